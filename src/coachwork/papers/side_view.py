"""The vehicle from its left side, drawn from the numbers there are: shell, arches, wheels, what is stowed inside."""

from __future__ import annotations

from collections.abc import Callable

from coachwork.build import Numbers
from coachwork.build.sections.outline import Shell
from coachwork.papers.pen import FAINT, SOFT, Strokes
from coachwork.papers.subject import Subject
from coachwork.studies.parts import Part, is_missing
from coachwork.studies.stance.result import StanceResult
from coachwork.studies.stowage.result import StowageResult

WIDTH_MM = 150.0
_MARGIN = 14.0


def side_view(of: Subject) -> str | None:
    """As SVG; None where length, height, overhang or wheelbase of the shell are not measured."""
    shell = of.build[Shell]
    needed = (shell.length, shell.height, shell.wheelbase, shell.front_overhang)
    if not all(entry.known for entry in needed):
        return None
    length, height, wheelbase, nose = (float(entry.mm[0]) for entry in needed)
    sill = float(shell.sill_height.mm[0]) if shell.sill_height.known else 0.12 * height
    scale = (WIDTH_MM - 2 * _MARGIN) / length
    ground = 8 + height * scale
    paper = Strokes()

    def at(x: float, z: float) -> tuple[float, float]:
        """Of x forward of the front axle, z over the ground; the nose is at the left."""
        return _MARGIN + (nose - x) * scale, ground - z * scale

    tail, corner = nose - length, 0.07 * height
    paper.line(at(nose, sill), at(nose, height - 3 * corner), at(nose - 1.5 * corner, height - corner),
               at(nose - 3.5 * corner, height), at(tail + corner, height), at(tail, height - corner), at(tail, sill),
               weight=0.7, closed=True, fill="#f2f2f2")  # fmt: skip
    stance: StanceResult = of.result("stance")
    for end, x, opening in (("front", 0.0, shell.arch_opening_front), ("rear", -wheelbase, shell.arch_opening_rear)):
        one = stance.ends["front" if end == "front" else "rear"]
        radius = _plain(one.tyre if is_missing(one.tyre) else one.tyre.model_mm)
        centre = _plain(one.axle_height_mm)
        radius = radius / 2 if radius is not None else 0.17 * height
        centre = centre if centre is not None else radius
        u, v = at(x, centre)
        if opening.known:
            paper.disc(u, v, float(opening.mm[0]) / 2 * scale, weight=0.4, fill="#ffffff", colour=SOFT)
        paper.disc(u, v, radius * scale, weight=0.8, fill="#d0d0d0")
        paper.disc(u, v, 0.55 * radius * scale, weight=0.4, fill="#ffffff")
    _boxes(of, paper, at)
    paper.line((2, ground), (WIDTH_MM - 2, ground), weight=0.5)
    _span(of, paper, at(nose, 0)[0], at(tail, 0)[0], ground + 12, "length", length)
    _span(of, paper, at(0, 0)[0], at(-wheelbase, 0)[0], ground + 5.5, "wheelbase", wheelbase)
    paper.words(at(tail, 0)[0] + 4.5, (ground + at(0, height)[1]) / 2, of.units.length(height), 2.6, anchor="middle",
                turned=True)  # fmt: skip
    paper.line((at(tail, 0)[0] + 1.5, ground), (at(tail, 0)[0] + 1.5, at(0, height)[1]), weight=0.2)
    return paper.svg(width=WIDTH_MM, height=ground + 16, title=f"{of.name} from its left")


def _plain(part: Part[Numbers]) -> float | None:
    return None if is_missing(part) else float(part[0])


def _boxes(of: Subject, paper: Strokes, at: Callable[[float, float], tuple[float, float]]) -> None:
    """Dashed, where they stand over the ground; without a ride height there is no telling."""
    stance: StanceResult = of.result("stance")
    stowage: StowageResult = of.result("stowage")
    ride = _plain(stance.ends["front"].ride_height_mm)
    if ride is None:
        return
    for part in stowage.air.values():
        if not is_missing(part):
            low, high = part.at.low[0], part.at.high[0]
            corners = [(low[0], low[2]), (high[0], low[2]), (high[0], high[2]), (low[0], high[2])]
            points = [at(float(x), float(z) + ride) for x, z in corners]
            paper.line(*points, weight=0.25, colour=SOFT, dashes="1 0.7", closed=True)


def _span(of: Subject, paper: Strokes, u0: float, u1: float, v: float, what: str, mm: float) -> None:
    paper.line((u0, v), (u1, v), weight=0.2)
    for u in (u0, u1):
        paper.line((u, v - 1.2), (u, v + 1.2), weight=0.2)
        paper.line((u, v - 1.2), (u, v - 4), weight=0.15, colour=FAINT)
    paper.words((u0 + u1) / 2, v - 0.9, f"{what} {of.units.length(mm)}", 2.6, anchor="middle")
