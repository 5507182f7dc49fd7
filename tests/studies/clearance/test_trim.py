"""The patch measured back: the trimmed shell leaves the gap, no more than needed is taken, the paper is 1:1."""

import io
import re

import ezdxf
import numpy as np
import pytest

from coachwork.geometry.box_tree import BoxTree
from coachwork.papers.cut_line import RULE_MM, dxf, svg
from coachwork.studies.clearance.flat import outline
from coachwork.studies.clearance.trim import Patch, _clipped, instead, patch
from coachwork.studies.clearance.trim import _solids as solids_of

GAP_MM = 0.8


@pytest.fixture(scope="module")
def cut(found_plan):
    return patch(found_plan[2], "front", "left", gap_mm=GAP_MM)


def dense(steps=(41, 61)):
    """Poses that are none of the grid's."""
    axes = np.meshgrid(np.linspace(-1, 1, steps[0]), np.linspace(-1, 1, steps[1]), [0.0], indexing="ij")
    return np.stack(axes, axis=-1).reshape(-1, 3)


def test_the_trimmed_shell_leaves_the_gap_in_poses_that_were_not_looked_at(found_plan, cut):
    tyre = found_plan[2].scene.ends["front"].sides["left"].tyre

    least = BoxTree.over([cut.kept]).least(solids_of(tyre, dense()), over_all=True).distance[0]

    assert least > GAP_MM - 0.01
    assert least < GAP_MM + 0.1, "and no more is taken than that"


def test_all_that_is_taken_was_too_near(found_plan, cut):
    """Every corner of the patch, but for the 0.03 mm that allow for what is between poses."""
    tyre = found_plan[2].scene.ends["front"].sides["left"].tyre
    solids = solids_of(tyre, dense((33, 49)))
    some = cut.cut.reshape(-1, 3)[:: max(1, len(cut.cut) // 60)]

    for point in some:
        seen = solids.signed(np.broadcast_to(point, (solids.count, 3))).distance
        assert seen.min() < GAP_MM + 0.06


def test_nothing_of_the_shell_is_lost_between_patch_and_rest(found_plan, cut):
    scene = found_plan[2].scene
    arch = scene.ends["front"].arches[0]
    whole = arch.thing.shapes[0].pieces(arch.still)[0][0]

    def area(triangles):
        a, b, c = triangles[:, 0], triangles[:, 1], triangles[:, 2]
        return np.linalg.norm(np.cross(b - a, c - a), axis=-1).sum() / 2

    assert area(cut.cut) + area(cut.kept) == pytest.approx(area(whole), rel=1e-9)
    assert cut.area_mm2 == pytest.approx(area(cut.cut))


def test_where_the_gap_is_there_nothing_is_cut(found_plan):
    assert patch(found_plan[2], "rear", "left", gap_mm=1.0) is None


def test_a_cure_does_and_a_little_less_does_not(found_plan):
    """An earlier bump stop, tried by searching with it."""
    result = found_plan[2]
    cures = {cure.what: cure for cure in instead(result, "front", "left", gap_mm=GAP_MM)}
    stop = cures["a bump stop"].amount
    tyre = result.scene.ends["front"].sides["left"].tyre
    arch = result.scene.surroundings("front", "left").only([0])
    full = tyre.corner.pose(np.array([1.0, 0, 0])).travel_mm

    def least(less_mm):
        shares = dense((9, 25))
        shares[:, 0] = np.minimum(shares[:, 0], 1 - less_mm / full)
        return arch.tree.least(solids_of(tyre, shares), over_all=True).distance[0]

    assert least(stop) > GAP_MM - 0.02
    assert least(stop - 0.2) < GAP_MM
    assert cures["less lock"].amount is None, "it rubs straight ahead, too"
    assert cures["the shell higher"].amount > 0


def test_clipping_keeps_to_the_line():
    """A right triangle cut along x = 0.25: the tip of a quarter the size each way is kept below."""
    triangle = np.array([[[0.0, 0, 0], [1.0, 0, 0], [0.0, 1, 0]]])

    below, above = _clipped(triangle, triangle[:, :, 0] - 0.25)

    assert below[..., 0].max() == pytest.approx(0.25)
    assert above[..., 0].min() == pytest.approx(0.25)

    def area(t):
        return np.linalg.norm(np.cross(t[:, 1] - t[:, 0], t[:, 2] - t[:, 0]), axis=-1).sum() / 2

    assert area(above) == pytest.approx(0.75**2 / 2)
    assert area(below) == pytest.approx(0.5 - 0.75**2 / 2)


def cylinder_patch(radius=60.0, half_angle=0.3, length=40.0):
    """A strip of a cylinder along x: developable, so that paper lies on it without error."""
    x, angle = np.meshgrid(np.linspace(-length / 2, length / 2, 81), np.linspace(-half_angle, half_angle, 81))
    points = np.stack([x, radius * np.cos(angle), radius * np.sin(angle) + 40], axis=-1)
    a, b, c, d = points[:-1, :-1], points[:-1, 1:], points[1:, :-1], points[1:, 1:]
    triangles = np.concatenate([np.stack([a, b, d], axis=-2), np.stack([a, d, c], axis=-2)]).reshape(-1, 3, 3)
    return Patch(wheel="front left", gap_mm=1.0, least_mm=0.0, cut=triangles, kept=np.zeros((0, 3, 3)))


def test_a_developable_patch_is_laid_flat_at_its_true_size():
    """Height: the arc, 60 x 0.6 = 36 mm, not the chord of 35.5; width as it is."""
    flat = outline(cylinder_patch(), axle_x_mm=0.0)

    width, height = flat.size_mm
    assert width == pytest.approx(40.0, abs=0.15)
    assert height == pytest.approx(36.0, abs=0.15)
    assert flat.stretch < 0.01
    assert flat.area_mm2 == pytest.approx(40 * 36, rel=0.01)


def test_the_svg_is_in_millimetres_and_its_rule_is_100_long():
    flat = outline(cylinder_patch(), axle_x_mm=0.0)

    text = svg(flat, "a cut")

    width = re.search(r'width="([\d.]+)mm" height="([\d.]+)mm" viewBox="0 0 ([\d.]+) ([\d.]+)"', text)
    assert width.group(1) == width.group(3)
    assert width.group(2) == width.group(4)
    (rule,) = [
        (float(a), float(c))
        for a, b, c, d in re.findall(r'class="rule" d="M ([\d.]+) ([\d.]+) L ([\d.]+) ([\d.]+)"', text)
        if b == d
    ]
    assert abs(rule[1] - rule[0]) == pytest.approx(RULE_MM)
    path = re.search(r'class="cut" d="M ([^"]+) Z"', text).group(1)
    points = np.array([[float(n) for n in pair.split()] for pair in path.split(" L ")])
    assert np.ptp(points[:, 0]) == pytest.approx(flat.size_mm[0], abs=0.01)
    assert np.ptp(points[:, 1]) == pytest.approx(flat.size_mm[1], abs=0.01)


def test_the_dxf_read_back_holds_the_same_line_in_millimetres():
    flat = outline(cylinder_patch(), axle_x_mm=0.0)

    document = ezdxf.read(io.StringIO(dxf(flat)))

    assert document.units == ezdxf.units.MM
    assert not document.audit().errors
    (line,) = document.modelspace().query('LWPOLYLINE[layer=="CUT"]')
    points = np.array([point[:2] for point in line.get_points()])
    assert np.ptp(points, axis=0) == pytest.approx(flat.size_mm, abs=0.01)
    assert line.closed
    rules = [np.array([p[:2] for p in one]) for one in document.modelspace().query('LWPOLYLINE[layer=="RULE"]')]
    assert max(np.ptp(rule[:, 0]) for rule in rules) == pytest.approx(RULE_MM)
