"""A study that asks for the scanned shell gets it, or is told why not; and runs again when the scan changes."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
import pytest

from coachwork.build import Build, read_text
from coachwork.build.sections.wanted import Wanted
from coachwork.plan import Plan, Sampled
from coachwork.scans.ceiling import Ceiling
from coachwork.scans.seated import SeatedShell
from coachwork.studies.finding import Finding
from coachwork.studies.memory import Memory
from coachwork.studies.parts import Blocked, Missing, Part
from coachwork.studies.study import Study

BUILD = """\
[build]
name = "Scanned"
scale = "1:10"

[shell]
mesh = "shell.stl"
length = 448
front-overhang = 82
rear-overhang = 94

[changes]
stretch = "20.1 ± 0.2 mm"
sill-above-underside = "2 ± 0.5 mm"
front-arch-from-axle = "0 ± 0.5 mm"

[running-gear]
wheelbase = 252

[running-gear.front]
ride-height = 24
[running-gear.rear]
ride-height = 24

[wheels.front]
tyre-diameter = 66
tyre-squash = 1
[wheels.rear]
tyre-diameter = 66
tyre-squash = 1
"""


@dataclass(eq=False)
class Asked:
    """A study of what is supplied, and what it was supplied with."""

    given: list[Part[SeatedShell]] = field(default_factory=list)

    def plan(self) -> Plan:
        def compute(scan: Part[SeatedShell]) -> Result:
            self.given.append(scan)
            return Result()

        def findings(_: Result) -> Iterator[Finding]:
            yield from ()

        compute.__annotations__ = {"scan": Part[SeatedShell], "return": Result}
        study = Study(name="asking", question="?", compute=compute, findings=findings, order=1)
        return Plan(studies=(study,))


@dataclass
class Result:
    pass


@pytest.fixture
def asked() -> Asked:
    return Asked()


@pytest.fixture
def build(tmp_path: Path, coarse_stl: Path):
    """The build, some of its file's texts replaced; its scan beside it."""
    shutil.copy(coarse_stl, tmp_path / "shell.stl")

    def made(**changes: str) -> Build:
        text = BUILD
        for old, new in changes.items():
            assert old in text
            text = text.replace(old, new)
        return read_text(text, tmp_path / "build.toml")

    return made


def test_the_shell_comes_seated_and_the_record_says_what_seating_read(asked, build):
    answer = asked.plan().run(build())["asking"]

    (scan,) = asked.given
    assert isinstance(scan, SeatedShell)
    assert scan.seated_by == "mount heights"
    assert set(scan.arches) == set(scan.residuals) == {"front left", "front right", "rear left", "rear right"}
    # Seated at 2 mm: the arches are 3.5 mm over the sill, as the shell is made; the wheels 8 mm over the underside.
    assert scan.arches["front left"].centre_mm[2] == pytest.approx(5.5, abs=0.3)
    assert scan.residuals["front left"].z_mm == pytest.approx(5.5 - (33 - 1 - 24), abs=0.3)
    assert {"changes.sill-above-underside", "changes.stretch", "running-gear.wheelbase",
            "wheels.front.tyre-diameter", "running-gear.rear.ride-height"} <= set(answer.read)  # fmt: skip


@pytest.mark.parametrize(
    ("changes", "kind", "words"),
    [
        pytest.param({'mesh = "shell.stl"\n': ""}, Missing, "shell.mesh", id="no mesh is named"),
        pytest.param({'"shell.stl"': '" "'}, Missing, "shell.mesh", id="a blank name"),
        pytest.param({"wheelbase = 252": ""}, Missing, "running-gear.wheelbase",
                     id="a number that the seat asked for stands on"),
        pytest.param({"shell.stl": "other.stl"}, Blocked, "there is no file other.stl", id="no such file"),
        pytest.param({"shell.stl": "build.txt"}, Blocked, "a mesh file is one of", id="no kind of mesh"),
    ],
)  # fmt: skip
def test_a_shell_that_cannot_be_had_is_missing_or_blocked_with_a_reason(asked, build, tmp_path, changes, kind, words):
    (tmp_path / "build.txt").write_text("no mesh", encoding="utf-8")
    if "wheelbase = 252" in changes:
        changes = {**changes, "[changes]": '[seating]\nby = "arches"\n[changes]'}
    asked.plan().run(build(**changes))

    (part,) = asked.given
    assert isinstance(part, kind)
    assert words in (part.why if isinstance(part, Blocked) else part.keys[0])


def test_an_unreadable_file_blocks_in_words_and_a_mended_one_is_read(asked, build, tmp_path):
    whole = (tmp_path / "shell.stl").read_bytes()
    (tmp_path / "shell.stl").write_bytes(whole[: len(whole) // 2])
    plan = asked.plan()
    plan.run(build())
    (tmp_path / "shell.stl").write_bytes(whole)
    plan.run(build())

    cut_off, mended = asked.given
    assert isinstance(cut_off, Blocked)
    assert "cut off" in cut_off.why
    assert isinstance(mended, SeatedShell)


@pytest.mark.parametrize(
    ("changes", "again"),
    [
        pytest.param({}, False, id="nothing"),
        pytest.param({'name = "Scanned"': 'name = "Other"'}, False, id="a setting that seating does not use"),
        pytest.param({"[shell]": "[shell]\nheight = 190"}, False, id="a number that it does not use"),
        pytest.param({"2 ± 0.5 mm": "2.5 ± 0.5 mm"}, True, id="the mounting height"),
        pytest.param({"tyre-squash = 1": "tyre-squash = 1.2"}, True, id="a wheel's height, for the residuals"),
        pytest.param({"length = 448": "length = 447"}, True, id="what the finder is told of the size"),
        pytest.param({"length = 448": 'length = 448\nmesh-units = "mm"'}, True, id="the unit"),
    ],
)
def test_the_study_runs_again_when_what_the_shell_was_made_from_changes(asked, build, changes, again):
    plan = asked.plan()
    plan.run(build())
    plan.run(build(**changes))

    assert len(asked.given) == (2 if again else 1)


def test_the_study_runs_again_when_the_mesh_file_s_content_changes(asked, build, tmp_path, make_shell):
    plan = asked.plan()
    plan.run(build())
    (tmp_path / "shell.stl").touch()  # another time, the same content
    plan.run(build())
    assert len(asked.given) == 1

    made = make_shell.make(step=5.0, seed=2)
    make_shell.write_stl(tmp_path / "shell.stl", made.vertices, made.faces)
    plan.run(build())
    assert len(asked.given) == 2


def test_a_study_with_a_memory_keeps_what_it_is_supplied_with(build, tmp_path, make_shell):
    """While other numbers change: the very object, so that what stands on it is kept, too; never beyond its own."""
    given: list[Part[SeatedShell]] = []

    def compute(scan: Part[SeatedShell], wanted: Wanted, memory: Memory) -> Result:
        given.append(scan)
        wanted.gap.samples()
        return Result()

    compute.__annotations__ = {"scan": Part[SeatedShell], "wanted": Wanted, "memory": Memory, "return": Result}
    plan = Plan(studies=(Study(name="asking", question="?", compute=compute, findings=lambda _: iter(()), order=1),))

    plan.run(build())
    again = plan.run(build(**{"[changes]": "[wanted]\ngap = 0.7\n[changes]"}))["asking"]
    plan.run(build(**{"20.1 ± 0.2": "21.1 ± 0.2"}))
    made = make_shell.make(step=5.0, seed=2)
    make_shell.write_stl(tmp_path / "shell.stl", made.vertices, made.faces)
    plan.run(build(**{"20.1 ± 0.2": "21.1 ± 0.2"}))

    assert len(given) == 4
    assert given[1] is given[0]
    assert "changes.sill-above-underside" in again.read  # on record, as if it had been read again
    assert given[2] is not given[1]
    assert isinstance(given[2], SeatedShell)
    assert given[3] is not given[2]


def test_samples_move_the_same_arrays(asked, build):
    """A sampled run searches nothing again: vertices and faces are those of the plain run, `moved` carries them."""
    plan = asked.plan()
    plan.run(build())
    columns = {"changes.sill-above-underside": np.array([2.0, 3.0, 1.0]),
               "changes.front-arch-from-axle": np.array([0.0, 0.0, 0.25])}  # fmt: skip
    plan.run_sampled(build(), "asking", Sampled(columns=columns, samples=3))

    plain, sampled = asked.given
    assert isinstance(plain, SeatedShell)
    assert isinstance(sampled, SeatedShell)
    assert sampled.vertices_mm is plain.vertices_mm
    assert sampled.faces is plain.faces
    shifts = np.broadcast_to(sampled.moved.shift, (3, 3))
    np.testing.assert_allclose(shifts, [[0, 0, 0], [0, 0, 1], [0.25, 0, -1]], atol=1e-9)
    moved = np.broadcast_to(sampled.residuals["rear left"].z_mm - plain.residuals["rear left"].z_mm, 3)
    np.testing.assert_allclose(moved, [0, 1, -1], atol=1e-9)


def test_the_file_s_points_lie_where_the_motion_says(asked, build, coarse_stl):
    """By the mesh library's reader, not ours."""
    import trimesh

    asked.plan().run(build())
    (scan,) = asked.given
    assert isinstance(scan, SeatedShell)
    file_points = np.asarray(trimesh.load_mesh(coarse_stl, process=False).vertices)
    placed = scan.chassis_from_file.at(file_points * scan.mm_per_file_unit)

    np.testing.assert_allclose(placed.min(axis=0), scan.vertices_mm.min(axis=0), atol=1e-6)
    np.testing.assert_allclose(placed.max(axis=0), scan.vertices_mm.max(axis=0), atol=1e-6)


def test_the_ceiling_over_the_deck_is_supplied_in_the_chassis_frame(build, make_shell):
    """The roof's inside, 182.6 less 2 mm of wall over the sill, which is held 2 mm over the underside."""
    given: list[Part[Ceiling]] = []

    def compute(ceiling: Part[Ceiling]) -> Result:
        given.append(ceiling)
        return Result()

    compute.__annotations__ = {"ceiling": Part[Ceiling], "return": Result}
    study = Study(name="asking", question="?", compute=compute, findings=lambda _: (), order=1)
    Plan(studies=(study,)).run(build())
    Plan(studies=(study,)).run(build(**{'mesh = "shell.stl"\n': ""}))

    ceiling, none = given
    assert isinstance(ceiling, Ceiling)
    assert none == Missing(("shell.mesh",))
    over_the_middle = ceiling.z_mm[np.argmin(np.abs(ceiling.x_mm + 100)), np.argmin(np.abs(ceiling.y_mm))]
    van = make_shell.AS_FINISHED
    assert over_the_middle == pytest.approx(2 + van.roof_over_sill - van.wall, abs=0.4)
