"""Measurements of one vehicle that cannot all be right, by more than their spreads allow."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from coachwork.build.entries import Length
from coachwork.build.sections.corner import End
from coachwork.build.sections.outline import Arch, Outline, Prototype, Shell
from coachwork.build.sections.running_gear import RunningGear
from coachwork.build.sections.wheels import Wheels
from coachwork.build.slips import Finding, said, swapped_digits
from coachwork.build.vehicle import Build

SIGMAS = 3.0  # measurements further apart than this, in standard deviations, contradict each other


def at_odds(build: Build) -> Iterator[Finding]:
    """Measurements of one vehicle that cannot all be right."""
    for outline in (build[Prototype], build[Shell]):
        yield from _sum(outline)
    shell = build[Shell]
    for side in ("left", "right"):
        yield from _arches(shell, side)
    for end, name in ((build[RunningGear].front, "front"), (build[RunningGear].rear, "rear")):
        yield from _links(end)
        yield from _sides(end)
        wheel = getattr(build[Wheels], name)
        yield from _inset(wheel)
        yield from _inset(end.wheel)


def _sum(outline: Outline) -> Iterator[Finding]:
    """Front overhang + wheelbase + rear overhang = length."""
    parts = [outline.front_overhang.measured, outline.wheelbase.measured, outline.rear_overhang.measured]
    whole = outline.length.measured
    if whole is None or any(part is None for part in parts):
        return
    known = [part for part in parts if part is not None]
    total = sum(part.value for part in known)
    sigma = math.sqrt(whole.sigma**2 + sum(part.sigma**2 for part in known))
    off = whole.value - total
    if abs(off) <= SIGMAS * sigma:
        return
    hint = "measure the four again"
    entries = (outline.length, outline.front_overhang, outline.wheelbase, outline.rear_overhang)
    for entry, sign in zip(entries, (-1, 1, 1, 1), strict=True):
        assert entry.measured is not None
        swapped = swapped_digits(entry.measured.value, entry.measured.value + sign * off, within=0.003)
        if swapped is not None:
            hint = f"are two digits of {entry.key} swapped? {swapped:g} mm would close the sum"
    yield Finding(
        outline.length,
        f"overhangs and wheelbase add up to {total:.1f} mm, the length is {whole.value:.1f} mm: "
        f"{abs(off):.1f} mm apart where the spreads allow {SIGMAS * sigma:.1f} mm",
        hint,
    )


def _arches(shell: Shell, side: str) -> Iterator[Finding]:
    """Rear arch less front arch = wheelbase, on each side; and the two sides alike."""
    front, rear = (getattr(arch, f"from_nose_{side}").measured for arch in (shell.front, shell.rear))
    base = shell.wheelbase.measured
    if front is None or rear is None or base is None:
        return
    off = rear.value - front.value - base.value
    sigma = math.sqrt(front.sigma**2 + rear.sigma**2 + base.sigma**2)
    if abs(off) <= SIGMAS * sigma:
        return
    odd: Arch = shell.rear
    other = "right" if side == "left" else "left"
    for arch in (shell.front, shell.rear):
        mine, twin = (getattr(arch, f"from_nose_{s}").measured for s in (side, other))
        if mine is not None and twin is not None and abs(mine.value - twin.value) > abs(off) / 2:
            odd = arch
    entry: Length = getattr(odd, f"from_nose_{side}")
    assert entry.measured is not None
    right = entry.measured.value - (off if odd is shell.rear else -off)
    yield Finding(
        entry,
        f"the {side} arches are {rear.value - front.value:z.1f} mm apart, the wheelbase is {base.value:z.1f} mm; "
        f"the spreads allow {SIGMAS * sigma:.1f} mm",
        f"measure this arch again; {right:.1f} mm would agree",
    )


def _links(end: End) -> Iterator[Finding]:
    """A link's length against the distance between its two measured balls."""
    rods = ((end.camber_link_length, end.camber_link_inner, end.camber_link_outer),
            (end.tie_rod_length, end.tie_rod_inner, end.tie_rod_outer),
            (end.shaft_length, end.shaft_inner, end.shaft_outer))  # fmt: skip
    for length, inner, outer in rods:
        points = [e.measured for e in (*inner.coordinates, *outer.coordinates)]
        if length.measured is None or any(p is None for p in points):
            continue
        known = [p for p in points if p is not None]
        apart = np.array([known[3 + i].value - known[i].value for i in range(3)])
        distance = float(np.linalg.norm(apart))
        if distance == 0:
            continue
        along = np.abs(apart) / distance
        sigma = math.sqrt(length.measured.sigma**2 + sum((along[i % 3] * p.sigma) ** 2 for i, p in enumerate(known)))
        off = length.measured.value - distance
        if abs(off) > SIGMAS * sigma + 0.02 * distance:
            yield Finding(
                length,
                f"measured {length.measured.value:.1f} mm, but its two ends are {distance:.1f} mm apart; "
                f"the spreads allow {SIGMAS * sigma:.1f} mm",
                "measure the length and both ends again",
            )


def _sides(end: End) -> Iterator[Finding]:
    """Left-hand points lie at positive y."""
    for name in (
        "arm_pin_front",
        "arm_pin_rear",
        "hub_pin_front",
        "hub_pin_rear",
        "kingpin_lower",
        "kingpin_upper",
        "hub_face",
    ):
        y = getattr(end, name).y
        if y.measured is not None and y.measured.value < 0:
            yield Finding(
                y,
                f"{said(y)} is on the right of the centreline; left-hand points are asked for, y to the left",
                "drop the minus sign if this is the left side",
            )


def _inset(wheel: object) -> Iterator[Finding]:
    """Backspace = half the rim's width + inset."""
    inset, backspace, width = (getattr(wheel, n) for n in ("inset", "backspace", "rim_width"))
    if inset.measured is None or backspace.measured is None or width.measured is None:
        return
    implied = backspace.measured.value - width.measured.value / 2
    sigma = math.sqrt(inset.measured.sigma**2 + backspace.measured.sigma**2 + (width.measured.sigma / 2) ** 2)
    if abs(implied - inset.measured.value) <= SIGMAS * sigma:
        return
    flipped = abs(implied + inset.measured.value) <= SIGMAS * sigma
    hint = (
        "is its sign the seller's? positive means: mounting face outboard of the rim's centre"
        if flipped
        else "measure all three again"
    )
    yield Finding(inset, f"{said(inset)}, but backspace and rim width make it {implied:+z.1f} mm", hint)
