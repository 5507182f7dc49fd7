"""Simple parts at random, whose volume can be written down; and what cannot be drawn, refused with what would do.

Whole builds at random: test_random_specs.py.
"""

from __future__ import annotations

import math
import random
from pathlib import Path

import numpy as np
import pytest

from coachwork.build import read, read_text, with_entry
from coachwork.parts.draw import draw
from coachwork.parts.drawn import PartRefused
from coachwork.studies.makeability.specs.every import Wanted, every_part
from coachwork.studies.makeability.specs.settings import Settings
from coachwork.studies.makeability.specs.small import HousingSpec, JigSpec, SpacerSpec
from coachwork.studies.makeability.specs.tables import PartTables
from coachwork.studies.parts import Blocked, is_missing

VAN = Path(__file__).parents[2] / "examples" / "harbour-mail-van" / "as-finished"
SETTINGS = Settings(process="powder-bed nylon", shrink_mm=0.1, gap_mm=0.2, number="T-01", revision="A", driver_mm=5.0)


def sound(spec):
    """The solid, of which all that can be asked of any solid is asked; None for a refusal in words."""
    try:
        part = draw(spec, SETTINGS, Path())
    except PartRefused as refusal:
        words = str(refusal)
        if len(words) < 20:
            pytest.fail(f"no refusal in words: {words}")
        return None
    (solid,) = part.shape.solids()
    assert solid.is_valid
    assert solid.volume > 0
    assert solid.area > 0
    assert len(solid.shells()) == 1, "no hollow inside"
    low, high = part.shape.bounding_box().min, part.shape.bounding_box().max
    assert all(math.isfinite(v) for v in (*low, *high))
    for hole in part.holes:
        assert hole.drawn_mm == pytest.approx(hole.diameter_mm + SETTINGS.shrink_mm), "made for the process"
    return part


@pytest.mark.parametrize("seed", range(60))
def test_spacers(seed):
    rng = random.Random(seed)
    bore = rng.uniform(2, 12)
    spec = SpacerSpec(name="s", bore_mm=bore, outside_mm=bore + rng.uniform(1.6, 12), thickness_mm=rng.uniform(0.3, 15))

    part = sound(spec)

    ring = spec.outside_mm**2 - (bore + SETTINGS.shrink_mm) ** 2
    assert part.shape.volume == pytest.approx(math.pi / 4 * ring * spec.thickness_mm, rel=1e-6)


@pytest.mark.parametrize("seed", range(50))
def test_light_housings(seed):
    rng = random.Random(seed)
    diodes, diode = rng.choice((1, 1, 2, 3, 5)), rng.uniform(1.8, 5)
    lens = max(rng.uniform(6, 30), diode + 4 if diodes == 1 else (diode + 1.2) / math.sin(math.pi / diodes) + diode + 4)
    spec = HousingSpec(
        name="h", lens_mm=lens, lens_depth_mm=rng.uniform(0.5, 2.5), depth_mm=rng.uniform(3, 20),
        wall_mm=rng.uniform(0.8, 2), diode_mm=diode, diodes=diodes,
    )  # fmt: skip

    part = sound(spec)

    assert len(part.holes) == diodes
    outside, inside, mouth = lens + 0.2 + 2 * spec.wall_mm, lens - 2, lens + 0.2
    high = spec.wall_mm + spec.depth_mm + spec.lens_depth_mm
    flange = (outside + 5) ** 2 - outside**2
    volume = math.pi / 4 * (
        outside**2 * high + flange * (spec.wall_mm + min(0.2, high - spec.wall_mm)) - inside**2 * spec.depth_mm
        - mouth**2 * spec.lens_depth_mm - diodes * (diode + SETTINGS.shrink_mm) ** 2 * spec.wall_mm
    )  # fmt: skip
    assert part.shape.volume == pytest.approx(volume, rel=1e-6)


@pytest.mark.parametrize("seed", range(30))
def test_jigs(seed):
    rng = random.Random(seed)
    holes = {(round(rng.uniform(-30, 30)), round(rng.uniform(-20, 20))) for _ in range(rng.randint(1, 6))}
    spec = JigSpec(name="j", of="front-bolts", holes=tuple((float(x), float(y)) for x, y in sorted(holes)),
                   drill_mm=rng.uniform(1, 5), plate_mm=rng.uniform(2, 5), bush_mm=rng.uniform(2, 10))  # fmt: skip

    part = sound(spec)

    assert part is None or len(part.holes) == len(holes)


@pytest.fixture(scope="module")
def van():
    return read(VAN)


def varied(van, changes: dict[str, object], names: tuple[str, ...]) -> list[Wanted]:
    text = van.text
    for key, value in changes.items():
        text = with_entry(text, key, str(value))
    return [each for each in every_part(PartTables.of(read_text(text, van.path))) if each.name in names]


def drawn_or_refused(wanted: Wanted):
    if is_missing(wanted.spec):
        assert isinstance(wanted.spec, Blocked), "a random number is no missing one"
        assert len(wanted.spec.why) > 20
        return None
    return sound(wanted.spec)


@pytest.mark.parametrize("seed", range(3))
def test_arms_are_as_long_as_asked_and_left_mirrors_right(van, seed):
    rng = random.Random(seed)
    longer = rng.uniform(-12, 25)
    changes = {"changes.front.arm-longer": f"{longer:.3f}", "parts.front-arms.thickness": f"{rng.uniform(2.5, 7):.2f}",
               "parts.front-arms.barrel": f"{rng.uniform(5.5, 9):.2f}"}  # fmt: skip
    left, right = (drawn_or_refused(w) for w in varied(van, changes, ("front-arm-left", "front-arm-right")))
    if left is None or right is None:
        assert left is None
        assert right is None
        return

    outer = next(hole for hole in left.holes if hole.pattern == "outer-pin")
    assert outer.centre_mm[1] == pytest.approx(math.hypot(47.0, 0.4) + longer, abs=0.02)
    # their marks differ, so the volumes do by a little
    assert left.shape.volume == pytest.approx(right.shape.volume, rel=5e-3)
    assert np.linalg.det(np.array(right.chassis_from_part[0])[:3, :3]) == pytest.approx(1.0)


@pytest.mark.parametrize(
    ("changes", "name", "words"),
    [
        ({"parts.chassis.lip": 40}, "chassis", "opening"),
        ({"parts.chassis.ahead": 10}, "chassis", "parts.chassis.ahead at least"),
        ({"parts.chassis.neck-floor": 20}, "chassis", "parts.chassis.neck-floor at most 14.5 mm"),
        ({"parts.battery-door.latch-length": 40}, "battery-door", "latch-length at most"),
        ({"parts.posts.front-left.height": 9}, "post-front-left", "height at least"),
        ({"parts.posts.front-left.diameter": 4.1}, "post-front-left", "diameter at least"),
        ({"parts.chassis.bolt-screw": "M9"}, "chassis", "no such screw"),
        ({"parts.front-arms.barrel": 4.0}, "front-arm-left", "no wall round pins"),
        ({"changes.front.arm-longer": -35}, "front-arm-left", "too short"),
        ({"parts.chassis.deck": "roof"}, "chassis", "no such deck"),
    ],
)
def test_what_cannot_be_drawn_is_refused_with_what_would_do(van, changes, name, words):
    (wanted,) = varied(van, changes, (name,))

    assert isinstance(wanted.spec, Blocked)
    assert words in wanted.spec.why


def test_a_chassis_that_falls_apart_is_refused_with_where(van):
    """A moving part as wide as the neck cuts it off."""
    changes = {"keep-outs.spur-gear.y-from": -70, "keep-outs.spur-gear.y-to": 70}
    (wanted,) = varied(van, changes, ("chassis",))

    with pytest.raises(PartRefused, match="falls into 2 pieces"):
        draw(wanted.spec, SETTINGS, Path())
