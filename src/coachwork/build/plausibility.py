"""Numbers that can be read but look wrong: of an unusual size, unlike the others, or at odds with them.

Nothing here is refused: the builder may own the odd vehicle. Each doubt names the likeliest slip, found by undoing it
and seeing whether the number then agrees. All of this is arithmetic on what was typed; the physics is the studies'.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from coachwork.build.at_odds import at_odds
from coachwork.build.entries import Ask, Entry, Length, Point
from coachwork.build.lines import line_of_key
from coachwork.build.section import Section
from coachwork.build.sections.about import About
from coachwork.build.sections.outline import ALONG, LARGEST, SMALLEST, Details, Prototype, Shell
from coachwork.build.slips import OFF_PARTNER, Finding, as_written, likeliest_slip, said, swapped_digits
from coachwork.build.vehicle import Build, Doubt

# Scales that hard bodies are sold in; only used to name a likelier one than the file's. Common practice, no source.
USUAL_SCALES = (8, 9, 10, 12, 14, 16, 18, 20, 24)


def doubts_about(build: Build) -> Iterator[Doubt]:
    """Everything that looks wrong, in the order of the file; of one number only what says most about it."""
    told: dict[str, Doubt] = {}
    for found in [*_out_of_range(build), *_unlike_the_others(build), *at_odds(build)]:
        key = found.entry.key
        line = line_of_key(build.text, key)
        told.setdefault(key, Doubt(key=key, line=line, what=found.what, suggestion=found.suggestion, fits=found.fits))
    yield from sorted(told.values(), key=lambda doubt: (doubt.line or 0, doubt.key))


def _out_of_range(build: Build) -> Iterator[Finding]:
    """Values outside the span their key usually has."""
    scale, _, _ = _scale_of(build)
    expected = {
        e.key: right for pair in _pairs(build) if scale for e, right in zip(pair, _by(scale, pair), strict=True)
    }
    for section in build.sections.values():
        for ask, entry in _odd(section):
            assert entry.measured is not None
            assert ask.usual is not None
            low, high = ask.usual
            near = expected.get(entry.key)
            again = "look again" if near is None else f"look again; about {as_written(entry, near)} would fit"
            slip, fits = likeliest_slip(entry, low, high, near) or (again, None)
            usual = f"{as_written(entry, low)} to {as_written(entry, high)}"
            yield Finding(entry, f"{as_written(entry, entry.measured.value)} is unusual: most are {usual}", slip, fits)


def _odd(section: Section) -> tuple[tuple[Ask, Entry], ...]:
    """What is of an unusual size in a table; an edit leaves all tables but one as they were, and those are the same."""
    last = _LAST.get(type(section))
    if last is None or last[0] is not section:
        found = tuple((ask, entry) for ask, entry in _asked(section) if not _usual(ask, entry))
        last = _LAST[type(section)] = section, found
    return last[1]


_LAST: dict[type[Section], tuple[Section, tuple[tuple[Ask, Entry], ...]]] = {}


def _usual(ask: Ask, entry: Entry) -> bool:
    return entry.measured is None or ask.usual is None or ask.usual[0] <= entry.measured.value <= ask.usual[1]


def _asked(section: Section) -> Iterator[tuple[Ask, Entry]]:
    for name in type(section).model_fields:
        value = getattr(section, name)
        ask = section.ask_of(name)
        if ask is not None:
            for entry in value.coordinates if isinstance(value, Point) else (value,):
                yield ask, entry
        for inner in value.values() if isinstance(value, dict) else value if isinstance(value, list) else (value,):
            if isinstance(inner, Section):
                yield from _asked(inner)


Pair = tuple[Length, Length]  # full size and scale, both given


def _pairs(build: Build) -> list[Pair]:
    """Readings of the same dimension on both vehicles."""
    pairs = [(getattr(build[Prototype], name), getattr(build[Shell], name)) for name in ALONG]
    pairs += [(detail.prototype, detail.shell) for detail in build[Details].each.values()]
    return [(p, s) for p, s in pairs if p.measured is not None and s.measured is not None]


def _usual_pairs(build: Build) -> list[Pair]:
    """Those neither of which is of an unusual size: that is doubted for itself, and tells nothing of the other."""
    odd = {entry.key for table in (Prototype, Shell) for _, entry in _odd(build[table])}
    return [(p, s) for p, s in _pairs(build) if not {p.key, s.key} & odd]


def _values(pair: Pair) -> tuple[float, float]:
    prototype, shell = pair
    assert prototype.measured is not None
    assert shell.measured is not None
    return prototype.measured.value, shell.measured.value


def _by(scale: float, pair: Pair) -> tuple[float, float]:
    """What a scale makes of each reading's partner, full size first."""
    full_size, model = _values(pair)
    return model * scale, full_size / scale


def _scale_of(build: Build) -> tuple[float | None, float | None, bool]:
    """How many times larger the full-size vehicle is; the same as stated; and whether three dimensions have voted.

    Of fewer than three dimensions none can be outvoted, so what is stated counts then, unless that is odd itself.
    """
    given = build[About].scale.measured
    stated = 1 / given.value if given is not None else None
    ratios = [full_size / model for full_size, model in map(_values, _usual_pairs(build))]
    if len(ratios) >= 3:
        return float(np.median(ratios)), stated, True
    return stated if stated is not None and SMALLEST <= 1 / stated <= LARGEST else None, stated, False


def _unlike_the_others(build: Build) -> Iterator[Finding]:
    """Dimensions whose scale is far from that of the others, and a stated scale far from all of them."""
    scale, stated, voted = _scale_of(build)
    if scale is None:
        return
    if voted and stated is not None and abs(scale / stated - 1) > OFF_PARTNER:
        near = min(USUAL_SCALES, key=lambda usual: abs(usual / scale - 1))
        what = f"the scale is given as 1:{stated:.4g} but the dimensions agree on 1:{scale:.3g}"
        yield Finding(build[About].scale, what, f"is it 1:{near}?", f"1:{near}")
    others = f"the others are about 1:{scale:.3g}" if voted else f"the scale is given as 1:{scale:.4g}"
    for pair in _usual_pairs(build):
        (full_size, model), expected, (prototype, shell) = _values(pair), _by(scale, pair), pair
        if abs(full_size / model / scale - 1) <= OFF_PARTNER:
            continue
        told = f"{said(shell)} against {said(prototype)} full size is 1:{_times(full_size / model)}, {others}"
        for entry, read, right in ((shell, model, expected[1]), (prototype, full_size, expected[0])):
            swapped = swapped_digits(read, right)
            if swapped is not None:
                yield Finding(entry, told, f"are two digits swapped? {swapped:g} mm would fit", f"{swapped:g} mm")
                break
        else:
            slip = likeliest_slip(shell, expected[1] * 0.93, expected[1] * 1.07, expected[1])
            again = f"about {expected[1]:.4g} mm would fit; measure both again"
            yield Finding(shell, told, *(slip or (again, None)))


def _times(ratio: float) -> str:
    """A scale's number, in plain digits.

    >>> _times(254.05), _times(1.0), _times(0.0101)
    ('254', '1', '0.01')
    """
    return f"{ratio:.3g}" if ratio >= 1 else f"{ratio:.1g}"
