"""Templates for the shell, seen from outside: where the arches are, and what to trim for the tyres."""

from __future__ import annotations

from collections.abc import Iterator

from coachwork.build.sections.outline import Shell
from coachwork.papers.subject import Subject
from coachwork.papers.template import Hole, Line, Mark, Part, Template
from coachwork.studies.clearance.corner_scene import SIDES
from coachwork.studies.clearance.flat import Outline, outline
from coachwork.studies.clearance.result import ClearanceResult
from coachwork.studies.clearance.scene import ENDS
from coachwork.studies.clearance.trim import Patch, axle_x_mm, patch
from coachwork.studies.parts import Blocked, Missing, attempt

MOST_STRETCH = 0.01  # wrapped paper that is wrong by more than this is worth a word


def arch_templates(of: Subject) -> Iterator[Template]:
    """Each side with its arches as measured: nose, lower edge, arch centres, openings."""
    shell = of.build[Shell]
    for side in SIDES:
        parts: list[Part] = []
        sign = 1.0 if side == "left" else -1.0  # seen from the left the nose is at the left
        for end, opening in (("front", shell.arch_opening_front), ("rear", shell.arch_opening_rear)):
            arch = shell.front if end == "front" else shell.rear
            from_nose = arch.from_nose_left if side == "left" else arch.from_nose_right
            if not (from_nose.known and opening.known and arch.top.known):
                continue
            x, top, radius = sign * float(from_nose.mm[0]), float(arch.top.mm[0]), float(opening.mm[0]) / 2
            parts.append(Hole(x=x, y=top - radius, diameter=2 * radius, kind="PLACE", what=f"{end} arch as measured"))
            parts.append(Line("DATUM", ((x, top - radius - 6), (x, top + 8))))
            parts.append(Line("DATUM", ((x - 6, top - radius), (x + 6, top - radius))))
            parts.append(Mark(x=x, y=top + 9.5, text=f"{end} arch, middle", anchor="middle"))
        if not parts:
            continue
        ends = [x for part in parts if isinstance(part, Line) for x, _ in part.points]
        reach = (min([0.0, *ends]) - 10, max([0.0, *ends]) + 10)
        parts.append(Line("DATUM", ((reach[0], 0.0), (reach[1], 0.0))))
        parts.append(Mark(x=sum(reach) / 2, y=1.2, text="lower edge of the body side", anchor="middle"))
        parts.append(Line("DATUM", ((0.0, -6.0), (0.0, 60.0))))
        parts.append(Mark(x=sign * 2.5, y=20.0, text="foremost point of the nose", turned=True))
        yield Template(
            name=f"shell-{side}", title=f"Shell, {side} side: arches",
            how=f"Held flat beside the shell, seen from the {side}.", parts=tuple(parts),
            notes=("Lengths run straight along the vehicle, not along a curved side.",),
        )  # fmt: skip


def trim_templates(of: Subject) -> Iterator[Template | tuple[str, str]]:
    """The line to cut along, for each tyre that comes too near to the shell over travel and lock.

    In place of one, (which tyre, why) where it could not be held against the shell.
    """
    result: ClearanceResult = of.result("clearance")
    gap = float(result.gap_mm[0])
    for end in ENDS:
        for side in SIDES:
            found = attempt(patch, result, end, side, gap_mm=gap)
            if isinstance(found, Missing):
                yield f"{end} {side} tyre", f"not measured yet: {', '.join(found.keys)}"
            elif isinstance(found, Blocked):
                yield f"{end} {side} tyre", found.why
            elif found is not None:
                yield _trim(found, outline(found, axle_x_mm=axle_x_mm(result, end, side)), f"{end} {side}")


def _trim(found: Patch, flat: Outline, which: str) -> Template:
    parts: list[Part] = [
        Line("CUT", tuple((float(x), float(y)) for x, y in line[:-1]), closed=True) for line in flat.lines
    ]
    xs = [x for line in flat.lines for x in line[:, 0]]
    ys = [y for line in flat.lines for y in line[:, 1]]
    left, right, bottom, top = float(min(xs)), float(max(xs)), float(min(ys)), float(max(ys))
    x, y = float(flat.datum[0]), float(flat.datum[1])
    if left - 60 < x < right + 60:
        parts.append(Line("DATUM", ((x, bottom - 8), (x, top + 8))))
        parts.append(Mark(x=x + 1, y=top + 5.5, text="axle line"))
    what = "the flat underside" if flat.seen_from != "above" else "the centreline"
    parts.append(Line("DATUM", ((left - 6, bottom), (right + 6, bottom))))
    parts.append(Mark(x=left - 6, y=bottom - 4, text=f"{bottom - y:z.1f} mm along the skin from {what}"))
    now = f"clears the shell by {found.least_mm:.1f} mm" if found.least_mm >= 0 else (
        f"overlaps the shell by {-found.least_mm:.1f} mm")  # fmt: skip
    notes = [f"Leaves {found.gap_mm:g} mm to the tyre; now it {now}."]
    if flat.stretch > MOST_STRETCH:
        notes.append(f"The skin bends both ways: lengths on the paper are off by up to {flat.stretch:.0%}.")
    return Template(
        name=f"trim-{which.replace(' ', '-')}", title=f"Trim the shell: {which} tyre",
        how=f"Laid on from outside, seen from {flat.seen_from}; cut through the wall.", parts=tuple(parts),
        notes=tuple(notes),
    )  # fmt: skip
