"""What a scan shows, on the screen: how it was read, dimensions, arches, how it sits, what is unsure."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

import numpy as np

from coachwork.build import NotMeasured
from coachwork.build.sections.changes import Changes
from coachwork.build.sections.running_gear import RunningGear
from coachwork.build.sections.seating import Seating
from coachwork.build.sections.wheels import Wheels
from coachwork.confidence.words import listed, points_joined, sentence
from coachwork.errors import Unsure
from coachwork.quantity import LENGTH, Measured, Source, brief
from coachwork.scans.seated import WHEELS

if TYPE_CHECKING:
    from coachwork.build import Build
    from coachwork.cli.scanned import Scan, Wanted
    from coachwork.cli.screen import Screen
    from coachwork.scans.arches import Arch
    from coachwork.scans.found import FoundShell

_LABEL, _CELL = 34, 15  # columns


def show_scan(screen: Screen, scan: Scan, wanted: Wanted, *, unit: str) -> None:
    """The whole page."""
    found = scan.found
    whose = "" if wanted.build is None else f", for {wanted.build.path}"
    screen.say(f"{wanted.path.name}{whose}", tone="strong")
    marks = f"; landmarks: {', '.join(wanted.hints.marks)}" if wanted.hints.marks else ""
    screen.say(f"{scan.triangles:,} triangles. Unit: {scan.unit.name} ({scan.unit.why}). "
               f"Nose: {found.which_end.why}{marks}.")  # fmt: skip
    screen.gap()
    screen.say("What the scan shows", tone="strong")
    for label, measured in _rows(scan, unit):
        screen.raw(f"  {label:<{_LABEL}}{measured}")
    _show_arches(screen, scan, unit)
    screen.say(f"Spreads are those of the mesh (roughness {found.noise_mm:.2f} mm, edges of {found.spacing_mm:.1f} mm) "
               f"and {scan.scanner_mm:g} mm for the scanner; [measuring] scan says otherwise.", indent=2)  # fmt: skip
    if wanted.build is not None:
        _show_seat(screen, found, wanted.build)
    if found.unsure:
        screen.gap()
        screen.say("Not sure about", tone="strong")
        for doubt in found.unsure:
            screen.say(sentence(doubt), mark="?", tone="warning", indent=2)


def _rows(scan: Scan, unit: str) -> Iterator[tuple[str, str]]:
    """What is told of the whole shell, a label and the numbers."""
    from coachwork.scans.ceiling import room_inside

    found = scan.found

    def with_scanner(measured: Measured) -> str:
        return brief(_length(measured.value, float(np.hypot(measured.half_width, scan.scanner_mm))), unit)

    yield "length, foremost to rearmost", with_scanner(found.length)
    yield "width, widest", with_scanner(found.width)
    yield "sill to roof", with_scanner(found.roof_over_sill)
    if found.wheelbase is not None:
        yield "wheelbase, arch to arch", with_scanner(found.wheelbase)
    if scan.wall is not None:
        half = scan.wall.typical.half_width
        low, high = (brief(_length(value, half), unit) for value in (scan.wall.thinnest_mm, scan.wall.thickest_mm))
        yield "wall, skin to skin", brief(scan.wall.typical, unit)
        yield "  nine tenths of it", f"{low.partition(' ')[0]} to {high.partition(' ')[0]} {unit}"
    room = room_inside(found, scan.ceiling)
    if np.isfinite(room):
        yield "room over the deck, from the sill", with_scanner(_length(room, found.sill.half_height))


def _length(value: float, half: float) -> Measured:
    return Measured(value, half, Source.SCAN, LENGTH)


def _show_arches(screen: Screen, scan: Scan, unit: str) -> None:
    arches = [(wheel, scan.found.arches[wheel]) for wheel in WHEELS if wheel in scan.found.arches]
    if not arches:
        return
    screen.gap()
    heads = ("centre to nose", "over sill", "radius", "lip thick")
    screen.raw(f"  {f'wheel arches ({unit})':<20}" + "".join(f"{head:<{_CELL}}" for head in heads).rstrip())
    for wheel, arch in arches:
        cells = "".join(f"{cell:<{_CELL}}" for cell in _cells(scan, arch, unit)).rstrip()
        screen.raw(f"  {wheel:<20}{cells}")


def _cells(scan: Scan, arch: Arch, unit: str) -> Iterator[str]:
    nose = scan.found.nose
    for value, half in ((nose.value - arch.x, np.hypot(nose.half, arch.half_x)), (arch.z, arch.half_z),
                        (arch.radius, arch.half_radius), (arch.lip, arch.half_lip)):  # fmt: skip
        whole = _length(value, float(np.hypot(half, scan.scanner_mm))) if np.isfinite(value) else None
        yield "one skin" if whole is None else brief(whole, unit).removesuffix(f" {unit}")


def _show_seat(screen: Screen, found: FoundShell, build: Build) -> None:
    from coachwork.scans.seating import Held, residuals, seat

    held = Held(seating=build[Seating], changes=build[Changes], gear=build[RunningGear], wheels=build[Wheels])
    screen.gap()
    screen.say("How it sits on the running gear", tone="strong")
    try:
        where = seat(found, held)
        left_over = residuals(found, held, where)
    except NotMeasured as gap:
        screen.say(f"Not known yet: needs {listed(points_joined(gap.keys))}.", indent=2)
        return
    except Unsure as fault:
        screen.say(sentence(str(fault)), mark="?", tone="warning", indent=2)
        return
    pitch = float(np.degrees(where.pitch_rad[0]))
    told = f", {abs(pitch):.2f} deg nose {'down' if pitch > 0 else 'up'}" if abs(pitch) >= 0.005 else ""
    screen.say(f"Held by {where.by}{told}. Arch centre against wheel centre at ride height:", indent=2)
    for wheel, residual in left_over.items():
        x, z = float(residual.x_mm[0]), float(residual.z_mm[0])
        screen.raw(f"  {wheel:<20}{abs(x):5.1f} mm {'ahead ' if x >= 0 else 'behind'}"
                   f"  {abs(z):5.1f} mm {'above' if z >= 0 else 'below'}")  # fmt: skip
    if not left_over:
        screen.say("not known: the wheels' size and ride height are not measured yet", indent=2)
