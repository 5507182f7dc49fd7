"""Masses added up, and the bench's reaction method against statics that know no formula of it."""

from pathlib import Path

import numpy as np
import pytest

from coachwork.build import NotMeasured, read_text
from coachwork.build.sections.boxes import Boxes
from coachwork.build.sections.decks import Decks
from coachwork.build.sections.masses import Masses
from coachwork.build.sections.scales import Scales
from coachwork.build.sections.stowed import BoxPlaces
from coachwork.studies.balance.weight import Weight, of_parts, of_readings, readings
from coachwork.studies.parts import CannotBe
from coachwork.studies.solids import PartWeight, PartWeights
from coachwork.studies.stowage.placed import Placing


def section(text, kind):
    build = read_text(text, Path("van/build.toml"))
    return next(each for each in build.sections.values() if isinstance(each, kind))


def test_masses_and_moments_add_up():
    """300 g at x = 0 and 100 g at x = -200: 400 g at -50; by hand."""
    text = "[masses]\na = { mass = 300, at = [0, 10, 20] }\nb = { mass = 100, at = [-200, -30, 60] }\n"

    weight = of_parts(section(text, Masses))

    assert weight.mass_g[0] == pytest.approx(400)
    assert weight.cg_mm[0] == pytest.approx([-50, 0, 30])
    assert weight.newton[0] == pytest.approx(0.4 * 9.80665)


def test_every_number_a_part_lacks_is_named():
    with pytest.raises(NotMeasured) as gap:
        of_parts(section("[masses]\na = { mass = 300, at = [0, '?', 20] }\nb = { at = [-200, 0, 60] }\n", Masses))

    assert gap.value.keys == ("masses.a.at.y", "masses.b.mass")


def test_without_any_part_there_is_no_sum():
    with pytest.raises(CannotBe):
        of_parts(section("", Masses))


def reactions(cg, raised, *, wheelbase=270.0, axle=24.0, mass=2500.0):
    """Front and rear reading with the rear wheel centres raised: forces and moments on a turned rigid body.

    Each wheel centre carries its load straight down through it, whatever its radius: two equations, solved as such.
    """
    turn = np.arcsin(raised / wheelbase)
    turned = np.array([[np.cos(turn), -np.sin(turn)], [np.sin(turn), np.cos(turn)]])
    front, rear, middle = (turned @ np.array(p) for p in ((0, axle), (wheelbase, axle), (-cg[0], cg[2])))
    return np.linalg.solve(np.array([[1.0, 1.0], [front[0], rear[0]]]), np.array([mass, mass * middle[0]]))


@pytest.mark.parametrize("cg", [(-120.0, 0.0, 60.0), (-150.0, 3.0, 24.0), (-135.0, -4.0, 95.0)])
def test_the_scale_finds_the_centre_of_gravity_that_made_its_readings(level, cg):
    front, rear = reactions(cg, 0.0)
    raised, _ = reactions(cg, 110.0)
    across = {"front": cg[1] / 75.0, "rear": cg[1] / 77.0}  # each axle carries its own share of the side moment
    text = "[scales]\n" + "".join(
        f"{end}-{side} = {load / 2 * (1 + sign * across[end])}\n"
        for end, load in (("front", front), ("rear", rear))
        for side, sign in (("left", 1), ("right", -1))
    )
    text += f"raised-by = 110\nraised-front = {raised}\n"

    weight = of_readings(readings(section(text, Scales)), level)

    assert weight.mass_g[0] == pytest.approx(2500)
    assert weight.cg_mm[0] == pytest.approx(cg, abs=1e-6)


def test_a_reading_that_lacks_is_named():
    with pytest.raises(NotMeasured) as gap:
        readings(section("[scales]\nfront-left = 700\nfront-right = 700\nrear-left = 650\n", Scales))

    assert gap.value.keys == ("scales.rear-right", "scales.raised-by", "scales.raised-front")


def test_raising_further_than_the_wheelbase_is_refused(level):
    text = "[scales]\n" + "".join(f"{w} = 600\n" for w in ("front-left", "front-right", "rear-left", "rear-right"))
    with pytest.raises(CannotBe, match="wheelbase"):
        of_readings(readings(section(text + "raised-by = 280\nraised-front = 1300\n", Scales)), level)


def test_a_part_that_is_a_box_takes_its_place_from_there():
    """By hand: 100 g at x -50 and a box of 300 g, 20 high on a deck at 4, at x -150: middle -125 along, 14 up."""
    build = read_text(
        "[masses]\nshell = { mass = 100, at = [-50, 0, 14] }\nradio = {}\n"
        "[decks.main]\nheight = 4\n[boxes.radio]\nlength = 40\nwidth = 30\nheight = 20\nmass = 300\n"
        '[places.radio]\non = "main"\nx = -150\ny = 8\n',
        Path("build.toml"),
    )
    stowed = Placing(boxes=build[Boxes], decks=build[Decks], places=build[BoxPlaces])

    weight = of_parts(build[Masses], stowed)

    assert weight.mass_g == pytest.approx(400)
    assert weight.cg_mm[0] == pytest.approx([-125, 6, 14])


def test_a_made_part_weighs_what_its_solid_does_where_no_weight_is_typed_and_never_twice():
    """By hand: 100 g at x = 0 and 300 g made, at x = -200; the typed place or mass goes before the solid's own."""
    made = PartWeights(each={"chassis": PartWeight(mass_g=300.0, at_mm=(-200.0, 0.0, 8.0)),
                             "front-arms": PartWeight(mass_g=12.0, at_mm=None)})  # fmt: skip

    def weight(chassis: str) -> Weight:
        return of_parts(section(f"[masses]\nmotor = {{ mass = 100, at = [0, 0, 20] }}\n{chassis}", Masses), None, made)

    assert weight("chassis = {}\n").mass_g == pytest.approx(400.0)
    assert weight("chassis = {}\n").cg_mm[0] == pytest.approx((-150.0, 0.0, 11.0))
    assert weight("chassis = { mass = 500 }\n").mass_g == pytest.approx(600.0)
    assert weight("chassis = { at = [-100, 0, 8] }\n").cg_mm[0, 0] == pytest.approx(-75.0)
    assert weight("").mass_g == pytest.approx(100.0), "what has no line is not added"
    with pytest.raises(NotMeasured) as gap:
        weight("front-arms = {}\n")
    assert gap.value.keys == tuple(f"masses.front-arms.at.{axis}" for axis in "xyz")
