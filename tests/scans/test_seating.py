"""Where a shell sits, against places worked out by hand, by each way of holding it and with the residuals it leaves.

The wheels' centres over the underside: half the tyre, less its squash, less the ride height.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from coachwork.build import NotMeasured, read_text
from coachwork.build.sections.changes import Changes
from coachwork.build.sections.running_gear import RunningGear
from coachwork.build.sections.seating import Seating
from coachwork.build.sections.wheels import Wheels
from coachwork.errors import Unsure
from coachwork.plan import Sampled
from coachwork.scans.hints import Hints
from coachwork.scans.seating import Held, residuals, seat

BUILD = """\
[build]
scale = "1:10"
[running-gear]
wheelbase = 252
[running-gear.front]
ride-height = 22
[running-gear.rear]
ride-height = 24
[wheels.front]
tyre-diameter = 66
tyre-squash = 1
[wheels.rear]
tyre-diameter = 68
tyre-squash = 1
[changes]
stretch = 20.1
"""
WHEELBASE = 272.1
FRONT_Z, REAR_Z = 33 - 1 - 22, 34 - 1 - 24  # wheel centres over the underside: 10 and 9 mm


def held(tmp_path, extra: str = "", view: object = None, less: str = "") -> Held:
    build = read_text(BUILD.replace(less, "") + extra, tmp_path / "build.toml")
    return Held(seating=build[Seating].seen_by(view), changes=build[Changes].seen_by(view),
                gear=build[RunningGear].seen_by(view), wheels=build[Wheels].seen_by(view))  # fmt: skip


def put(found, where, point) -> np.ndarray:
    """A point of the shell's frame, in the chassis frame."""
    return where.chassis_from_shell.at(np.array(point, dtype=float))[0]


def test_by_arches_the_four_arches_come_over_the_wheels(coarse, found_coarse, tmp_path):
    """The arches are as far apart as the wheels, so the residuals are the scan's errors and nothing else."""
    of = held(tmp_path)
    where = seat(found_coarse, of)
    left_over = residuals(found_coarse, of, where)
    assert where.by == "arches"
    assert len(left_over) == 4
    for one in left_over.values():
        assert abs(one.x_mm[0]) < 0.1
        assert abs(one.z_mm[0]) < 0.1
    # The line through the wheels' centres falls by 1 mm to the rear, the arches' line is level: nose up.
    assert where.pitch_rad[0] == pytest.approx(-math.atan2(FRONT_Z - REAR_Z, WHEELBASE), abs=5e-4)
    sill = put(found_coarse, where, (0, 0, 0))[2]
    assert sill == pytest.approx(FRONT_Z - coarse.truth["arch_centre_over_sill"], abs=0.15)


@pytest.mark.parametrize("seed", [2, 3, 4])
def test_other_scans_of_the_same_shell_sit_at_the_same_place(make_shell, find, tmp_path, seed):
    made = make_shell.make(seed=seed, step=6.0)
    found = find(made.vertices, made.faces)
    of = held(tmp_path)
    where = seat(found, of)
    # Where the file's own points end up, against where the script says they belong: no number of the finder's between.
    pose = np.array(made.truth["file_from_shell"])
    drawn = (made.vertices - pose[:, 3]) @ pose[:, :3]
    pitch = -math.atan2(FRONT_Z - REAR_Z, WHEELBASE)
    turned = np.column_stack([drawn[:, 0] * math.cos(pitch) + drawn[:, 2] * math.sin(pitch), drawn[:, 1],
                              -drawn[:, 0] * math.sin(pitch) + drawn[:, 2] * math.cos(pitch)])  # fmt: skip
    arch = made.truth["arch_centre_over_sill"]
    wanted = turned + np.array([-arch * math.sin(pitch), 0.0, FRONT_Z - arch * math.cos(pitch)])
    placed = where.chassis_from_shell.at(found.shell_from_file.at(made.vertices))
    assert np.abs(placed - wanted).max() < 0.45  # 0.1 mm of seat, and 0.1 degrees of roll at 90 mm


def test_an_error_in_the_stretch_is_shared_between_the_ends(found_coarse, tmp_path):
    """Without the stretch the wheels are 20 mm too near each other: 10 mm inside the arches at either end."""
    of = held(tmp_path, less="stretch = 20.1\n")
    left_over = residuals(found_coarse, of, seat(found_coarse, of))
    short = WHEELBASE - 252
    for wheel, one in left_over.items():
        assert one.x_mm[0] == pytest.approx(short / 2 if "front" in wheel else -short / 2, abs=0.1)


def test_by_mount_heights_the_sill_lies_where_the_posts_hold_it(coarse, found_coarse, tmp_path):
    of = held(tmp_path, "sill-above-underside = 4\nfront-arch-from-axle = 1.5\n")
    where = seat(found_coarse, of)
    left_over = residuals(found_coarse, of, where)
    assert where.by == "mount heights"
    assert where.pitch_rad[0] == 0.0
    arch = coarse.truth["arch_centre_over_sill"]
    for wheel, one in left_over.items():
        wheel_z = FRONT_Z if "front" in wheel else REAR_Z
        assert one.x_mm[0] == pytest.approx(1.5, abs=0.1)
        assert one.z_mm[0] == pytest.approx(4 + arch - wheel_z, abs=0.15)


def test_two_mount_heights_pitch_it(coarse, found_coarse, tmp_path):
    """2 mm lower at the rear axle than at the front one: nose up by 2 in the wheelbase (ISO 8855: negative)."""
    of = held(tmp_path, '[seating]\nby = "mount-heights"\nsill-front = 5\nsill-rear = 3\n')
    where = seat(found_coarse, of)
    assert where.pitch_rad[0] == pytest.approx(-math.atan2(2, WHEELBASE))
    # The sill's line passes 5 mm over the underside at the front axle line and 3 mm at the rear one.
    ahead, behind = put(found_coarse, where, (50, 0, 0)), put(found_coarse, where, (-300, 0, 0))
    at = [ahead[2] + (x - ahead[0]) * (behind[2] - ahead[2]) / (behind[0] - ahead[0]) for x in (0.0, -WHEELBASE)]
    assert at == pytest.approx([5.0, 3.0], abs=1e-3)  # a pitch of 0.4 degrees, to second order
    arch = put(found_coarse, where, (0, 0, coarse.truth["arch_centre_over_sill"]))
    assert arch[0] == pytest.approx(0.0, abs=0.01)  # the arch's centre stays over the axle, whatever the pitch


def test_given_the_nose_lies_where_it_was_said(coarse, found_coarse, tmp_path):
    of = held(tmp_path, '[seating]\nby = "given"\nnose-ahead = 85\nsill-front = 5\nsill-rear = 5\n')
    where = seat(found_coarse, of)
    nose = put(found_coarse, where, (found_coarse.nose.value, 0, 10))
    assert nose[0] == pytest.approx(85.0)
    assert put(found_coarse, where, (0, 0, 0))[2] == pytest.approx(5.0)
    left_over = residuals(found_coarse, of, where)
    assert left_over["front left"].x_mm[0] == pytest.approx(85 - coarse.truth["nose_to_front_arch"], abs=0.7)


@pytest.mark.parametrize(
    ("extra", "less", "keys"),
    [("", "wheelbase = 252\n", {"running-gear.wheelbase"}),
     ("", "tyre-diameter = 66\n", {"wheels.front.tyre-diameter"}),
     ('[seating]\nby = "given"\nsill-rear = 5\n', "", {"seating.nose-ahead", "seating.sill-front"}),
     ('[seating]\nby = "mount-heights"\n', "", {"changes.sill-above-underside"})],
)  # fmt: skip
def test_what_a_seat_lacks_is_named(found_coarse, tmp_path, extra, less, keys):
    with pytest.raises(NotMeasured) as gap:
        seat(found_coarse, held(tmp_path, extra, less=less))
    assert set(gap.value.keys) == keys


def test_a_wheel_that_is_not_measured_has_no_residual(found_coarse, tmp_path):
    of = held(tmp_path, "sill-above-underside = 4\n", less="tyre-diameter = 66\n")
    assert set(residuals(found_coarse, of, seat(found_coarse, of))) == {"rear left", "rear right"}


def test_a_shell_without_arches_cannot_be_laid_over_wheels_or_axles(find, tmp_path):
    import trimesh

    box = trimesh.creation.box((400, 170, 180)).subdivide_to_size(8)
    marks = {"nose": np.array([200.0, 0, 0]), "tail": np.array([-200.0, 0, 0])}
    found = find(box.vertices, box.faces[box.triangles_center[:, 2] > -89.9], hints=Hints(marks=marks))
    for extra in ("", "sill-above-underside = 4\n"):
        with pytest.raises(Unsure, match="arches were not found"):
            seat(found, held(tmp_path, extra))
    given = held(tmp_path, '[seating]\nby = "given"\nnose-ahead = 85\nsill-front = 5\nsill-rear = 5\n')
    assert put(found, seat(found, given), (found.nose.value, 0, 0))[0] == pytest.approx(85.0)


def test_samples_are_seated_all_at_once_and_each_as_it_would_be_alone(found_coarse, tmp_path):
    values = {"changes.stretch": np.array([20.1, 18.0, 22.0]),
              "running-gear.rear.ride-height": np.array([24.0, 23.0, 24.5])}  # fmt: skip
    together = seat(found_coarse, held(tmp_path, view=Sampled(columns=values, samples=3)))
    for i in range(3):
        one = Sampled(columns={key: column[i : i + 1] for key, column in values.items()}, samples=1)
        alone = seat(found_coarse, held(tmp_path, view=one))
        for name in ("x_mm", "z_mm", "pitch_rad"):
            assert np.broadcast_to(getattr(together, name), 3)[i] == pytest.approx(getattr(alone, name)[0])
