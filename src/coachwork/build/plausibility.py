"""Numbers that can be read but look wrong: out of family, slipped a decimal, swapped digits, or at odds with others.

Nothing here is refused: the builder may own the odd vehicle. Each doubt names the likeliest slip, found by undoing it
and seeing whether the number then agrees. All of this is arithmetic on what was typed; the physics is the studies'.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from coachwork.build.entries import Ask, Entry, Length, Point
from coachwork.build.lines import line_of_key
from coachwork.build.section import Section
from coachwork.build.sections.about import About
from coachwork.build.sections.corner import End
from coachwork.build.sections.outline import ALONG, Arch, Details, Outline, Prototype, Shell
from coachwork.build.sections.running_gear import RunningGear
from coachwork.build.sections.wheels import Wheels
from coachwork.build.vehicle import Build, Doubt
from coachwork.quantity import ANGLE, LENGTH, MASS, Kind, brief

# Scales that hard bodies are sold in; only used to name a likelier one than the file's. Common practice, no source.
USUAL_SCALES = (8, 9, 10, 12, 14, 16, 18, 20, 24)
OFF_FAMILY = 0.15  # a dimension this far from the others is a slip of the pen sooner than a fault of the shell
SIGMAS = 3.0  # measurements further apart than this, in standard deviations, contradict each other


def doubts_about(build: Build) -> Iterator[Doubt]:
    """Everything that looks wrong, in the order of the file; of one number only what says most about it."""
    told: dict[str, Doubt] = {}
    for entry, what, suggestion in [*_out_of_family(build), *_at_odds(build), *_out_of_range(build)]:
        line = line_of_key(build.text, entry.key)
        told.setdefault(entry.key, Doubt(key=entry.key, line=line, what=what, suggestion=suggestion))
    yield from sorted(told.values(), key=lambda doubt: (doubt.line or 0, doubt.key))


Finding = tuple[Entry, str, str]


def _out_of_range(build: Build) -> Iterator[Finding]:
    """Values outside the span their key usually has."""
    for section in build.sections.values():
        for ask, entry in _asked(section):
            if entry.measured is None or ask.usual is None:
                continue
            value, (low, high) = entry.measured.value, ask.usual
            if not low <= value <= high:
                usual = f"{_as(entry, low)} to {_as(entry, high)}"
                slip = _slip(entry, low, high) or "look again"
                yield entry, f"{_said(entry)} is out of family; this is usually {usual}", slip


def _asked(section: Section) -> Iterator[tuple[Ask, Entry]]:
    for name, info in type(section).model_fields.items():
        value = getattr(section, name)
        ask = next((m for m in info.metadata if isinstance(m, Ask)), None)
        if ask is not None:
            for entry in value.coordinates if isinstance(value, Point) else (value,):
                yield ask, entry
        for inner in value.values() if isinstance(value, dict) else value if isinstance(value, list) else (value,):
            if isinstance(inner, Section):
                yield from _asked(inner)


_DECIMAL = "has the decimal point slipped one place?"
_SLIPS: dict[Kind, tuple[tuple[float, str], ...]] = {
    LENGTH: (
        (25.4, "were these inches? then write the unit: in"),
        (10.0, "has the decimal point slipped one place, or were these cm?"),
        (0.1, _DECIMAL),
        (1 / 25.4, "was it in millimetres already?"),
        (-1.0, "is the sign the other way round?"),
    ),
    MASS: (
        (1000.0, "was this in kilograms? then write the unit: kg"),
        (28.349523125, "was this in ounces? then write the unit: oz"),
        (10.0, _DECIMAL),
        (0.1, _DECIMAL),
    ),
    ANGLE: (
        (180 / math.pi, "was this in radians? then write the unit: rad"),
        (10.0, _DECIMAL),
        (0.1, _DECIMAL),
        (-1.0, "is the sign the other way round?"),
    ),
}
_OTHER_SLIPS = ((10.0, _DECIMAL), (0.1, _DECIMAL))


def _slip(entry: Entry, low: float, high: float) -> str | None:
    """The likeliest slip that brings a value back between two bounds."""
    assert entry.measured is not None
    value = entry.measured.value
    for factor, told in _SLIPS.get(entry.measured.kind, _OTHER_SLIPS):
        whole = not entry.measured.kind.whole or (value * factor).is_integer()  # no slip makes 1.9 teeth of 19
        if low <= value * factor <= high and whole:
            return f"{told} ({_as(entry, value * factor)} would be in family)"
    return None


def _as(entry: Entry, value: float) -> str:
    """Another value of the same entry, as a builder writes it."""
    assert entry.measured is not None
    if entry.key == "build.scale" and 0 < value < 1:
        return f"1:{1 / value:.4g}"
    scale = float(entry.KIND.bare_scale)
    return brief(replace(entry.measured, value=float(f"{value / scale:.4g}") * scale, half_width=0.0))


def _pairs(build: Build) -> list[tuple[Length, Length]]:
    """Full-size and scale readings of the same dimension, both given."""
    pairs = [(getattr(build[Prototype], name), getattr(build[Shell], name)) for name in ALONG]
    pairs += [(detail.prototype, detail.shell) for detail in build[Details].each.values()]
    return [(p, s) for p, s in pairs if p.measured is not None and s.measured is not None]


def _out_of_family(build: Build) -> Iterator[Finding]:
    """Dimensions whose scale is far from that of the others, and a stated scale far from all of them."""
    pairs = _pairs(build)
    ratios = np.array([p.measured.value / s.measured.value for p, s in pairs if p.measured and s.measured])
    scale = build[About].scale
    stated = 1 / scale.measured.value if scale.measured is not None else None
    if len(pairs) >= 3:
        family = float(np.median(ratios))
    elif stated is not None:
        family = stated
    else:
        return
    if stated is not None and len(pairs) >= 3 and abs(family / stated - 1) > OFF_FAMILY:
        near = min(USUAL_SCALES, key=lambda usual: abs(usual / family - 1))
        yield (
            scale,
            f"the scale is given as 1:{stated:.4g} but the dimensions agree on 1:{family:.3g}",
            f"is it 1:{near}?",
        )
    for (prototype, shell), ratio in zip(pairs, ratios, strict=True):
        off = ratio / family
        if abs(off - 1) <= OFF_FAMILY:
            continue
        assert prototype.measured is not None
        assert shell.measured is not None
        expected = prototype.measured.value / family
        told = (
            f"{_said(shell)} against {_said(prototype)} full size is 1:{ratio:.3g}, the others are about 1:{family:.3g}"
        )
        swapped = swapped_digits(shell.measured.value, expected)
        if swapped is not None:
            yield shell, told, f"are two digits swapped? {swapped:g} mm would fit"
            continue
        swapped = swapped_digits(prototype.measured.value, shell.measured.value * family)
        if swapped is not None:
            yield prototype, told, f"are two digits swapped? {swapped:g} mm would fit"
            continue
        slip = _slip(shell, expected * 0.93, expected * 1.07)
        yield shell, told, slip or f"about {expected:.4g} mm would be in family; measure both again"


def swapped_digits(value: float, expected: float, within: float = 0.02) -> float | None:
    """The number with two neighbouring digits swapped that comes within a share of what is expected, if any.

    >>> swapped_digits(692.0, 267.0) is None
    True
    >>> swapped_digits(627.0, 267.0)
    267.0
    """
    digits = f"{value:g}"
    for i in range(len(digits) - 1):
        if digits[i].isdigit() and digits[i + 1].isdigit() and digits[i] != digits[i + 1]:
            other = float(digits[:i] + digits[i + 1] + digits[i] + digits[i + 2 :])
            if expected and abs(other / expected - 1) <= within:
                return other
    return None


def _at_odds(build: Build) -> Iterator[Finding]:
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
    yield (
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
    yield (
        entry,
        f"the {side} arches are {rear.value - front.value:.1f} mm apart, the wheelbase is {base.value:.1f} mm; "
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
            yield (
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
            yield (
                y,
                f"{_said(y)} is on the right of the centreline; left-hand points are asked for, y to the left",
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
    yield inset, f"{_said(inset)}, but backspace and rim width make it {implied:+.1f} mm", hint


def _said(entry: Entry) -> str:
    assert entry.measured is not None
    return _as(entry, entry.measured.value) if entry.measured.half_width == 0 else brief(entry.measured)
