"""The corners of the battery bay, where lips and ledges end: no sharp inner edges meet, so there is a stress to know.

Round a sharp inner edge, elasticity has no finite stress: the finer the mesh, the higher (Williams, Journal of Applied
Mechanics 19, 1952: at 270 degrees as r^-0.455, from memory); where two of them meet in a point it climbs faster.
"""

from __future__ import annotations

import itertools
from pathlib import Path

import build123d as b
import numpy as np
import pytest
from tests.elasticity.conftest import run_case

from coachwork.build import read
from coachwork.parts.bay import opening
from coachwork.plan.made import made_parts
from coachwork.studies.makeability.specs.chassis import Bay
from coachwork.studies.makeability.specs.every import every_part
from coachwork.studies.makeability.specs.tables import PartTables

LOW, TOP, CORNER = 0.0, 4.0, 2.0  # the finished van's floor
SHARP = np.cos(np.radians(30))  # two faces that meet at less are as good as one
BESIDE_MM = 7.0  # of the opening's corner: its round, the lip's end and the ledge
APART_MM = 0.25


def square(bay: Bay):
    """The same three cuts without their rounds: lips and ledges as long as the opening."""
    x0, x1, y0, y1 = bay.opening
    middle = (LOW + TOP) / 2
    yield b.Pos((x0 + x1) / 2, (y0 + y1) / 2, middle) * b.Box(x1 - x0, y1 - y0, 10)
    yield b.Pos((x0 + x1) / 2, (y0 + y1) / 2, middle - 3) * b.Box(x1 - x0, y1 - y0 + 2 * bay.lip_mm, 6)
    yield b.Pos((x0 + x1) / 2, (y0 + y1) / 2, middle + 3) * b.Box(x1 - x0 + 2 * bay.tongue_mm, y1 - y0, 6)


def corner_of(tools):
    """An L of floor round the bay's front right corner, which lies at x = y = 0."""
    return (b.Pos(0, 0, 2) * b.Box(40, 40, 4)).cut(*tools).solids()[0]


@pytest.fixture(scope="module")
def bay() -> Bay:
    """Of the finished van's measures, its front right corner at nought and no slots to pry by."""
    return Bay(opening=(-142.0, 0.0, 0.0, 48.8), lip_mm=6.0, tongue_mm=4.2, pin_mm=2.0, pins=(), pry=(), rim_mm=2.2,
               rim_height_mm=24.0, notches=(), round_mm=1.5)  # fmt: skip


def where_inner_edges_meet(solid, near) -> list[np.ndarray]:
    """Places in the floor within BESIDE_MM of a point, seen from above, where two sharp inner edges meet at an angle.

    Ends less than APART_MM from each other count as meeting: door and chassis have a little play between them.
    """
    faces: dict = {}
    for face in solid.faces():
        for edge in face.edges():
            faces.setdefault(edge, []).append(face)
    ends = []
    for edge, pair in faces.items():
        for end, inward, share in ((0, 1, 0.02), (1, -1, 0.98)):
            place = np.array(tuple(edge @ end))
            beside = np.hypot(*(place[:2] - near)) < BESIDE_MM and place[2] < TOP - 0.1
            if beside and len(pair) == 2 and is_inner(solid, edge, pair, share):
                ends.append((place, np.array(tuple(edge % end)) * inward, edge))
    return [
        one[0] for one, other in itertools.combinations(ends, 2)
        if one[2] != other[2] and np.linalg.norm(one[0] - other[0]) < APART_MM and one[1] @ other[1] > -0.95
    ]  # fmt: skip


def is_inner(solid, edge, pair, share) -> bool:
    """Whether material fills more than half a turn round an edge, by far enough that it is sharp."""
    at = edge @ share
    one, other = (np.array(tuple(face.normal_at(at))) for face in pair)
    if one @ other > SHARP:
        return False
    out = (one + other) / np.linalg.norm(one + other) if np.linalg.norm(one + other) > 1e-6 else one
    aside = np.cross(np.array(tuple(edge % share)), out)
    probe = [np.array(tuple(at)) + 0.01 * (0.3 * out + way * aside) for way in (1, -1)]
    return all(solid.is_inside(b.Vector(*p), 1e-6) for p in probe)


def test_the_crossing_of_square_lips_and_ledges_is_found(bay):
    """Else the test below might see nothing anywhere."""
    found = where_inner_edges_meet(corner_of(square(bay)), (0, 0))

    assert min(np.linalg.norm(place - (0.0, 0.0, 2.0)) for place in found) < 1e-3


@pytest.mark.parametrize("name", ["chassis", "battery-door"])
def test_no_two_sharp_inner_edges_meet_in_the_corners_of_the_finished_van_s_bay(van, name):
    build = read(van("as-finished"))
    (solid,) = b.import_step(Path(made_parts(build).parts[name].step)).solids()
    spec = next(wanted.spec for wanted in every_part(PartTables.of(build)) if wanted.name == name)
    x0, x1, y0, y1 = spec.bay.opening

    for near in itertools.product((x0, x1), (y0, y1)):
        assert where_inner_edges_meet(solid, near) == [], near


def test_two_meshes_agree_on_the_stress_in_the_corner_and_not_without_its_rounds(tmp_path, bay):
    """On elements half as long: 1.3 % less where it is rounded, 20 % more where it is square, measured once."""
    b.export_step(corner_of(opening(bay, LOW, TOP, CORNER)), tmp_path / "rounded.step")
    b.export_step(corner_of(square(bay)), tmp_path / "square.step")
    found = run_case("bay_corner", tmp_path)

    usual, finer = found["rounded"]
    assert finer == pytest.approx(usual, rel=0.05)
    assert found["square"][1] > 1.15 * found["square"][0]
