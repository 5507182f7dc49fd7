"""A deck's outline out of a STEP file, against the numbers that the CAD kernel was told to draw it with."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from manifold3d import CrossSection, FillRule

from coachwork.build import Build, read_text
from coachwork.build.sections.decks import Decks
from coachwork.errors import ScanRefused
from coachwork.plan import Plan
from coachwork.scans import deck_section
from coachwork.scans.deck_rim import DeckRim
from coachwork.scans.deck_section import DEPTH_MM, HOLE_MM, TOLERANCE_MM, deck_rim
from coachwork.studies.parts import is_missing
from coachwork.studies.stowage.posing import problem_of
from coachwork.studies.stowage.solve import Limits, Placement, find

# The deck, upper face at z = 3: a slope on either side of the front, a bay for the battery, a round hole, screw holes.
PLATE = [(-160, -35), (-20, -35), (0, -15), (40, -15), (40, 15), (0, 15), (-20, 35), (-160, 35)]
OPENING = (-145.0, -55.0, -20.0, 20.0)
ROUND, SCREWS = (10.0, 0.0, 6.0), [(30.0, 10.0, 1.5), (30.0, -10.0, 1.5)]
WALL, BOSS = (-160.0, -158.0, -35.0, 35.0), (-30.0, -20.0, 3.0)
CHAMFER_MM = 1.0  # along the front edge

BUILD = """\
[decks.main]
height = 3
{outline}

[boxes.receiver]
length = 36
width = 24
height = 15
mass = 14
exits.rail = {{ face = "front", room = 5 }}

[boxes.controller]
length = 30
width = 25
height = 18
mass = 45
exits.servo = {{ face = "front", room = 0 }}
leads.servo = {{ to = "receiver.rail", length = 120 }}
{more}
"""
BY_HAND = "\n".join(f"outline.c{k} = {{ x = {x}, y = {y} }}" for k, (x, y) in enumerate(PLATE))
FROM_FILE = 'outline-from = "chassis.step"'


def draw(path: Path, *, furnished: bool) -> None:
    """With holes, wall and chamfer, or as a plate alone."""
    from build123d import (
        BuildPart,
        BuildSketch,
        Circle,
        Locations,
        Mode,
        Plane,
        Polygon,
        Rectangle,
        chamfer,
        export_step,
        extrude,
    )  # fmt: skip

    with BuildPart() as part:
        with BuildSketch(Plane.XY.offset(1)):
            Polygon(*PLATE, align=None)
        extrude(amount=2)
        if furnished:
            front = [e for e in part.edges() if e.center().X > 39.99 and e.center().Z > 2.99]
            chamfer(front, CHAMFER_MM)
            with BuildSketch(Plane.XY.offset(1)):
                with Locations((sum(OPENING[:2]) / 2, sum(OPENING[2:]) / 2)):
                    Rectangle(OPENING[1] - OPENING[0], OPENING[3] - OPENING[2])
                for x, y, radius in (ROUND, *SCREWS):
                    with Locations((x, y)):
                        Circle(radius)
            extrude(amount=2, mode=Mode.SUBTRACT)
            with BuildSketch(Plane.XY.offset(3)):
                with Locations((-159, 0)):
                    Rectangle(2, 70)
                with Locations(BOSS[:2]):
                    Circle(BOSS[2])
            extrude(amount=15)
    assert part.part is not None
    export_step(part.part, path)


@pytest.fixture(scope="session")
def drawn(tmp_path_factory) -> dict[str, bytes]:
    """Both chassis as STEP."""
    folder = tmp_path_factory.mktemp("chassis")
    for name in ("plate", "furnished"):
        draw(folder / f"{name}.step", furnished=name == "furnished")
    return {name: (folder / f"{name}.step").read_bytes() for name in ("plate", "furnished")}


@pytest.fixture
def build(tmp_path: Path, drawn):
    """A build beside a chassis file."""

    def made(chassis: str, *, outline: str = FROM_FILE, more: str = "") -> Build:
        (tmp_path / "chassis.step").write_bytes(drawn[chassis])
        return read_text(BUILD.format(outline=outline, more=more), tmp_path / "build.toml")

    return made


def rim_of(build: Build) -> DeckRim:
    return deck_rim(build.path.parent / "chassis.step", build[Decks].seen_by(None).each["main"])


def region(rings) -> CrossSection:
    return CrossSection([np.asarray(ring, dtype=np.float64) for ring in rings], FillRule.EvenOdd)


def rectangle(x0: float, x1: float, y0: float, y1: float) -> CrossSection:
    return CrossSection.square((x1 - x0, y1 - y0)).translate((x0, y0))


def disc(x: float, y: float, radius: float) -> CrossSection:
    return CrossSection.circle(radius, 720).translate((x, y))


def room(*, door: bool) -> CrossSection:
    """By hand: what may be stood on."""
    free = region([PLATE]) - rectangle(40 - CHAMFER_MM, 41, -20, 20) - rectangle(*WALL) - disc(*BOSS) - disc(*ROUND)
    return free if door else free - rectangle(*OPENING)


DOOR = "doors.battery = { x-from = -145, x-to = -55, y-from = -20, y-to = 20 }"


@pytest.mark.parametrize("door", [False, True], ids=["an opening", "closed by a door"])
def test_the_outline_is_what_was_drawn_and_promises_no_room_that_is_not_there(build, door):
    """Beyond the true room at most what a chamfer of 45 degrees is wider at the depth of the section; less than it by
    no more than was to be given away, and the file's triangles stray.
    """
    rim = rim_of(build("furnished", outline=f"{FROM_FILE}\n{DOOR}" if door else FROM_FILE))
    read, true = region([rim.corners, *rim.holes]), room(door=door)

    assert rim.level_mm == pytest.approx(3.0)
    from manifold3d import JoinType

    given_away = TOLERANCE_MM + 0.05
    assert (read - true.offset(DEPTH_MM + 0.002, JoinType.Miter)).area() == pytest.approx(0, abs=1e-6)
    assert (true.offset(-given_away, JoinType.Miter) - read).area() == pytest.approx(0, abs=1e-6)
    assert len(rim.holes) == (2 if door else 3), "screw holes are stood over"
    assert 2 * SCREWS[0][2] < HOLE_MM < 2 * ROUND[2]


def test_few_corners_are_left(build):
    """The four straight sides of the opening and the eight of the plate exactly, the round ones in steps."""
    rim = rim_of(build("furnished"))
    opening = next(hole for hole in rim.holes if len(hole) == 4)

    assert len(rim.corners) == 8
    assert sorted(map(tuple, opening.tolist())) == sorted(
        (x, y) for x in OPENING[:2] for y in OPENING[2:]
    )  # fmt: skip
    assert all(len(hole) <= 20 for hole in rim.holes)


def test_a_deck_by_hand_and_one_from_the_file_give_the_same_places(build):
    """The same plate, once typed and once drawn: corners to a thousandth, the same problem, the same places."""
    typed, read = (
        Plan().run(build("plate", outline=outline), only=["stowage"])["stowage"].result
        for outline in (BY_HAND, FROM_FILE)
    )
    problems = [problem_of(result.tables) for result in (typed, read)]
    found = [find(problem, Limits(decide=10, improve=5, each=4, workers=1)) for problem in problems]

    assert all(isinstance(one, Placement) for one in found)
    assert problems[0].surfaces[0].bounds == problems[1].surfaces[0].bounds
    assert set(problems[0].surfaces[0].edges) == set(problems[1].surfaces[0].edges)
    assert set(problems[0].surfaces[0].bays) == set(problems[1].surfaces[0].bays)
    assert found[0].cost == pytest.approx(found[1].cost)
    assert found[0].spots == found[1].spots


@pytest.mark.parametrize(
    ("x", "y", "holds"),
    [
        pytest.param(-70, 0, False, id="over the opening"),
        pytest.param(-36, 0, True, id="beside the opening"),
        pytest.param(-30, -20, False, id="on the boss"),
        pytest.param(21, 0, False, id="over the round hole"),
        pytest.param(30, 0, False, id="over a screw hole, and out over the front"),
        pytest.param(22, 0, False, id="over the rim of the round hole"),
    ],
)
def test_a_box_over_a_hole_is_judged_to_stick_out(build, x, y, holds):
    more = f'[places.controller]\non = "main"\nx = {x}\ny = {y}'
    result = Plan().run(build("furnished", more=more), only=["stowage"])["stowage"].result
    air = result.air["controller"]

    assert not is_missing(air)
    assert (float(air.least_mm[0]) >= 0) == holds
    assert air.to == "the rim of main"


@pytest.mark.parametrize(
    ("height", "why"),
    [
        pytest.param("8", "no flat face within 0.5 mm of the deck's height, 8 mm; its largest are at 1.0, 3.0, 18.0",
                     id="no flat at that height"),
        pytest.param("1", "no flat with room above it", id="its underside"),
    ],
)  # fmt: skip
def test_a_height_without_a_deck_is_refused_with_what_there_is(build, height, why):
    made = build("furnished")
    made = read_text(made.text.replace("height = 3\n", f"height = {height}\n"), made.path)

    with pytest.raises(ScanRefused, match=why.replace(".", r"\.")):
        rim_of(made)


def test_other_formats_say_the_same(build, tmp_path, drawn):
    """The mesh library writes what the STEP reader made, in millimetres that the file does not name."""
    import trimesh

    made = build("furnished")
    vertices, faces = deck_section._millimetres(tmp_path / "chassis.step")
    trimesh.Trimesh(vertices, faces, process=False).export(tmp_path / "chassis.stl")
    as_step = rim_of(made)
    as_stl = deck_rim(tmp_path / "chassis.stl", made[Decks].seen_by(None).each["main"])

    one, two = (region([rim.corners, *rim.holes]) for rim in (as_step, as_stl))
    assert ((one - two) + (two - one)).area() < 0.01 * one.area()
    np.testing.assert_allclose(as_stl.corners, as_step.corners, atol=0.002)
