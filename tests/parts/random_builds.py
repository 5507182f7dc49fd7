"""The finished van with every measure of its parts drawn at random, within what a builder might sanely type.

A number gives a whole build, and the same one each time; a key's draw hangs on that number and the key alone, so a new
key leaves the others as they were. What comes of many, counted, with the number of each that breaks:

    PYTHONPATH=src:. python -m tests.parts.random_builds --of 200 [--kind chassis] [--from 0]
"""

from __future__ import annotations

import argparse
import json
import random
import sys
import time
import tomllib
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np

from coachwork.build import read_text
from coachwork.parts.draw import draw
from coachwork.parts.drawn import DrawnPart, PartRefused
from coachwork.parts.measure import triangles
from coachwork.studies.makeability.specs.every import Wanted, every_part
from coachwork.studies.makeability.specs.tables import PartTables
from coachwork.studies.parts import Missing, is_missing

VAN = Path(__file__).parents[2] / "examples" / "harbour-mail-van" / "as-finished" / "build.toml"

NUMBERS = {  # key: least, most, and how often it is left out of the file
    "changes.stretch": (8, 40, 0), "decks.main.thickness": (2.5, 6, 0),
    "decks.main.doors.battery.x-from": (-222, -198, 0), "decks.main.doors.battery.x-to": (-92, -72, 0),
    "decks.main.doors.battery.y-from": (4, 16, 0), "decks.main.doors.battery.y-to": (48, 60, 0),
    "making.hole-shrinks": (-0.05, 0.3, 0.1), "making.fit-gap": (0.1, 0.5, 0.1),
    "parts.chassis.wall": (1.2, 4, 0.1), "parts.chassis.wall-height": (6, 35, 0.1), "parts.chassis.lip": (4.5, 9, 0.1),
    "parts.chassis.rim": (1.0, 3.0, 0.1), "parts.chassis.rim-height": (3, 35, 0.1),
    "parts.chassis.rib-height": (2, 30, 0.25), "parts.chassis.box-width": (3, 16, 0.25),
    "parts.chassis.neck-floor": (2.5, 16, 0.25), "parts.chassis.ahead": (20, 45, 0.1),
    "parts.chassis.behind": (20, 45, 0.1), "parts.chassis.tower": (3, 8, 0.1), "parts.chassis.boss": (5, 12, 0.1),
    "parts.chassis.corner": (0.4, 4, 0.1), "parts.chassis.land-depth": (0.2, 1.2, 0.1),
    "parts.chassis.servo-body": (24, 32, 0), "parts.chassis.servo-lugs": (15, 30, 0),
    "parts.battery-door.latch-length": (6, 20, 0), "parts.battery-door.latch-thickness": (1.0, 3, 0.1),
    "parts.battery-door.latch-hook": (0.6, 2.2, 0.1), "parts.battery-door.pin": (1.5, 3, 0.1),
    "parts.front-arms.thickness": (2.5, 7, 0.1), "parts.front-arms.pin": (2, 4, 0.1),
    "parts.front-arms.barrel": (5.5, 10, 0.1), "parts.front-arms.play": (0.1, 1, 0.1),
    "parts.rear-arms.thickness": (2.5, 7, 0.1), "parts.rear-arms.pin": (2, 4, 0.1),
    "parts.rear-arms.barrel": (5.5, 10, 0.1), "parts.rear-arms.play": (0.1, 1, 0.1),
    "changes.front.arm-longer": (-10, 25, 0.1), "changes.rear.arm-longer": (-10, 25, 0.1),
    "parts.rear-carriers.bearings-across": (9, 22, 0.1), "parts.rear-carriers.behind-face": (1, 6, 0.1),
    "parts.rear-carriers.wall": (1.4, 3.5, 0.1), "parts.rear-carriers.lug": (2, 7, 0.1),
    "parts.front-hub-spacer.bore": (3, 10, 0), "parts.front-hub-spacer.outside": (10, 22, 0),
    "parts.rear-hub-spacer.bore": (3, 10, 0), "parts.rear-hub-spacer.outside": (10, 22, 0),
    "changes.front.hub-spacer": (0.3, 8, 0), "changes.rear.hub-spacer": (0.3, 8, 0),
    "parts.light-housings.head-lamp.lens": (10, 30, 0), "parts.light-housings.head-lamp.lens-depth": (0.4, 3, 0.1),
    "parts.light-housings.head-lamp.depth": (3, 20, 0), "parts.light-housings.head-lamp.wall": (0.8, 2.5, 0.1),
    "parts.light-housings.head-lamp.diode": (1.8, 5, 0.1),
    "parts.jigs.plate": (1.5, 6, 0.1), "parts.jigs.bush": (2, 14, 0.1), "parts.jigs.drill": (1, 5, 0.1),
}  # fmt: skip

CHOICES = {
    "parts.chassis.crank-bosses": ("both", "left", "right", "none"), "parts.chassis.bolt-screw": ("M2.5", "M3", "M4"),
    "parts.front-arms.damper-screw": ("M2.5", "M3"), "parts.rear-arms.damper-screw": ("M2.5", "M3"),
    "parts.rear-carriers.bearing": ("4x8x3", "4x9x2.5", "5x8x2.5", "5x10x4", "5x11x3", "6x10x3"),
    "parts.rear-carriers.link-screw": ("M2.5", "M3"), "decks.main.open-to": ("rear, bottom", "bottom", "front, bottom"),
    "making.seats": ("reamed", "as made"),
}  # fmt: skip

KINDS = {
    "chassis": ("chassis",), "door": ("battery-door",), "posts": ("post-front-left", "bracket-front-left"),
    "arms": ("front-arm-left", "front-arm-right", "rear-arm-left", "rear-arm-right"),
    "carriers": ("rear-carrier-left", "rear-carrier-right"),
    "small": ("front-hub-spacer", "rear-hub-spacer", "housing-head-lamp", "jig-front-bolts", "jig-posts"),
}  # fmt: skip


@dataclass(frozen=True)
class Drawer:
    """One build's draws: each by its own name, whatever else is drawn."""

    number: int

    def uniform(self, name: str, least: float, most: float) -> float:
        """To a hundredth, as read off callipers."""
        return round(random.Random(f"{self.number} {name}").uniform(least, most), 2)

    def choice(self, name: str, among: tuple[Any, ...]) -> Any:
        """One of them."""
        return random.Random(f"{self.number} {name} among").choice(among)

    def happens(self, name: str, chance: float) -> bool:
        """Whether it does."""
        return random.Random(f"{self.number} {name} happens").random() < chance


@cache
def _van() -> str:
    return VAN.read_text(encoding="utf-8")


def entries(number: int) -> dict[str, Any]:
    """Every key that is drawn, and its value; None for one that is left out of the file."""
    at = Drawer(number)
    found: dict[str, Any] = {key: None if at.happens(key, left_out) else at.uniform(key, least, most)
                             for key, (least, most, left_out) in NUMBERS.items()}  # fmt: skip
    found |= {key: at.choice(key, among) for key, among in CHOICES.items()}
    found["decks.main.height"] = found["decks.main.thickness"] + at.choice("raised", (0, 0, 0, 1.5))
    for key in ("front-bolts", "rear-bolts"):
        for bolt in ("front-left", "front-right", "rear-left", "rear-right"):
            for axis in "xy":
                name = f"parts.chassis.{key}.{bolt}.{axis}"
                found[name] = _typed(name) + at.uniform(name, -2, 2)
    column = at.uniform("column", 5, 14)  # one cap marks them all, so all are as thick
    for post in ("front-left", "front-right", "rear-left", "rear-right"):
        key = f"parts.posts.{post}"
        found |= {f"{key}.{axis}": _typed(f"{key}.{axis}") + at.uniform(f"{key}.{axis}", -4, 4) for axis in "xy"}
        found |= {f"{key}.diameter": column, f"{key}.height": at.uniform(f"{key}.height", 20, 120),
                  f"{key}.adjusts": at.uniform(f"{key}.adjusts", 0, 10),
                  f"{key}.screw": at.choice(f"{key}.screw", ("M2.5", "M3", "M4")),
                  f"{key}.screw-length": at.choice(f"{key}.screw-length", (10, 12, 16, 20))}  # fmt: skip
    found["parts.light-housings.head-lamp.diodes"] = at.choice("diodes", (1, 1, 2, 3, 4, 5))
    if at.happens("a hole of its own", 0.5):
        found["parts.chassis.holes.own"] = {
            "at": [at.uniform("own x", -220, -90), at.uniform("own y", -60, 60), 0.0], "into": "up",
            "screw": at.choice("own screw", ("M2.5", "M3", "M4")),
        }  # fmt: skip
    found["parts.make"] = (
        "chassis, battery-door, posts, front-arms, rear-arms, rear-carriers, front-hub-spacer, rear-hub-spacer, "
        "light-housings, jigs"
    )
    found["parts.jigs.of"] = "front-bolts, rear-bolts, posts"
    return found


def _typed(key: str) -> float:
    held: Any = tomllib.loads(_van())
    for step in key.split("."):
        held = held[step]
    return float(held)


def build_of(number: int) -> tuple[Wanted, ...]:
    """Every part of one build."""
    tables: Any = tomllib.loads(_van())
    for key, value in entries(number).items():
        *way, last = key.split(".")
        table = tables
        for step in way:
            table = table.setdefault(step, {})
        if value is None:
            table.pop(last, None)
        else:
            table[last] = round(value, 4) if isinstance(value, float) else value
    return every_part(PartTables.of(read_text("\n".join(_lines(tables, "")), VAN)))


def _lines(table: dict[str, Any], before: str) -> Iterator[str]:
    """A build file that has every number on a line of its own, under its full key."""
    for key, value in table.items():
        if isinstance(value, dict):
            yield from _lines(value, f"{before}{key}.")
        else:
            yield f"{before}{key} = {json.dumps(value, ensure_ascii=False)}"


def refusal(wanted: Wanted) -> str | None:
    """Why a part is not even begun; None where it can be drawn. A measure that is drawn is never a missing one."""
    for part in (wanted.spec, wanted.settings):
        assert not isinstance(part, Missing), f"{wanted.name}: {part.keys} were drawn or have a usual value"
        if is_missing(part):
            clear(part.why)
            return part.why
    return None


def clear(words: str) -> None:
    """A refusal says what is too small or in the way: a sentence with a number or a place in it, no code."""
    assert len(words) > 30, f"no refusal in words: {words}"
    assert any(letter.isdigit() for letter in words), f"a refusal without a number: {words}"
    assert "CAD kernel" not in words, f"the kernel gave up: {words}"
    assert not any(code in words for code in ("Standard_", "BRep", "OCP", "gp_", "Traceback", "None", "nan"))


def drawn(wanted: Wanted) -> DrawnPart | str:
    """The solid, of which all is asked that can be asked of any solid; or the refusal's words."""
    why = refusal(wanted)
    if why is not None:
        return why
    try:
        part = draw(wanted.spec, wanted.settings, Path())
    except PartRefused as no:
        clear(str(no))
        return str(no)
    whole(part, wanted)
    return part


def whole(part: DrawnPart, wanted: Wanted) -> None:
    """One valid solid without a hollow; its surface, in triangles, is closed and holds as much; its holes are open."""
    import trimesh

    (solid,) = part.shape.solids()
    assert solid.is_valid, "the CAD kernel finds fault"
    assert solid.volume > 0
    assert len(solid.shells()) == 1, "a hollow inside"
    mesh = trimesh.Trimesh(*triangles(part.shape), process=False)
    assert mesh.is_watertight, "its triangles leave a gap"
    assert abs(mesh.volume / solid.volume - 1) < 0.01, f"{mesh.volume:.1f} against {solid.volume:.1f} mm3"
    assert np.isfinite(mesh.bounds).all()
    reamed = 0.3 if wanted.name.startswith("rear-carrier") else 0.0
    for hole in part.holes:
        off = hole.drawn_mm - hole.diameter_mm
        assert abs(off - wanted.settings.shrink_mm) < 1e-6 or abs(off - wanted.settings.shrink_mm + reamed) < 1e-6
        if hole.depth_mm > 1.0:
            inside = np.array(hole.centre_mm) + min(hole.depth_mm / 2, 1.0) * np.array(hole.axis)
            assert not mesh.contains([inside])[0], f"{hole.name} is closed"


@dataclass(frozen=True)
class Outcome:
    """Of one part of one build."""

    number: int
    name: str
    state: str
    words: str


def outcomes(kind: str, numbers: range) -> Iterator[Outcome]:
    """Drawn, refused or broken, one after another."""
    for number in numbers:
        for wanted in build_of(number):
            if wanted.name in KINDS[kind]:
                try:
                    made = drawn(wanted)
                except Exception as fault:
                    yield Outcome(number, wanted.name, "broken", f"{type(fault).__name__}: {fault}"[:300])
                else:
                    refused = isinstance(made, str)
                    yield Outcome(number, wanted.name, "refused" if refused else "drawn", made if refused else "")


def _say(line: str) -> None:
    sys.stdout.write(f"{line}\n")
    sys.stdout.flush()


def main() -> int:
    """Counts; 1 where anything broke."""
    ask = argparse.ArgumentParser(description=__doc__)
    ask.add_argument("--of", type=int, default=200)
    ask.add_argument("--from", type=int, default=0, dest="first")
    ask.add_argument("--kind", choices=KINDS, action="append")
    asked = ask.parse_args()
    broken = 0
    for kind in asked.kind or KINDS:
        start, counts = time.perf_counter(), Counter()
        for each in outcomes(kind, range(asked.first, asked.first + asked.of)):
            counts[each.state] += 1
            if each.state != "drawn":
                _say(f"  {each.number} {each.name}: {each.state}: {each.words}")
        broken += counts["broken"]
        _say(f"{kind}: {dict(counts)} in {time.perf_counter() - start:.0f} s")
    return 1 if broken else 0


if __name__ == "__main__":
    sys.exit(main())
