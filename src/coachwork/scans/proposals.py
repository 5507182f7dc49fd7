"""What a scan puts into the build file: each entry with its spread, and the reason where it had better not be taken.

A spread is that of the mesh (noise, fineness, how well a circle fits) and that of the scanner, independent of each
other: the root of the sum of their squares.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import chain

import numpy as np

from coachwork.quantity import LENGTH, Measured, Source, brief
from coachwork.scans.arches import Arch
from coachwork.scans.found import FoundShell

ENDS = ("front", "rear")


@dataclass(frozen=True, kw_only=True)
class Proposal:
    """One entry of the build file.

    doubt : why it is not taken unless it is named; empty where nothing speaks against it
    """

    key: str
    measured: Measured
    doubt: str = ""

    def text(self, unit: str = "mm") -> str:
        """As it is written into the file."""
        return f"{brief(self.measured, unit)} {self.measured.source.value}"


def proposals(found: FoundShell, *, scanner_mm: float, sill_height: Measured | None = None) -> tuple[Proposal, ...]:
    """All that the scan can say about `[shell]`, in the order of the file.

    scanner_mm  : how far the scanner may be off, each way
    sill_height : ground to sill, as the builder means it to stand; without it a scan knows no height over the ground
    """
    ends = "" if found.which_end.sure else f"which end is the nose is {found.which_end.why}"
    rows = chain(_overall(found, sill_height), _along(found, ends), *(_axle(found, end, ends) for end in ENDS))
    return tuple(
        Proposal(
            key=f"shell.{key}", doubt=doubt,
            measured=Measured(float(value), float(np.hypot(half, scanner_mm)), Source.SCAN, LENGTH),
        )
        for key, value, half, doubt in rows if np.isfinite(value)  # a single skin has no lip to measure
    )  # fmt: skip


_Row = tuple[str, float, float, str]  # key, value, half-width of the mesh alone, doubt


def _overall(found: FoundShell, sill_height: Measured | None) -> Iterator[_Row]:
    yield "length", found.length.value, found.length.half_width, ""
    yield "width", found.width.value, found.width.half_width, ""
    if sill_height is not None:
        roof = found.roof_over_sill
        half = float(np.hypot(sill_height.half_width, roof.half_width))
        yield "height", sill_height.value + roof.value, half, ""


def _along(found: FoundShell, ends: str) -> Iterator[_Row]:
    front, rear = found.pair("front"), found.pair("rear")
    if found.wheelbase is not None and front is not None and rear is not None:
        yield "wheelbase", found.wheelbase.value, found.wheelbase.half_width, _unsure((*front, *rear))
    if front is not None:
        ahead = found.nose.value - (front[0].x + front[1].x) / 2
        yield "front-overhang", ahead, _halves(found.nose.half, front), ends or _unsure(front)
    if rear is not None:
        behind = found.tail.value + (rear[0].x + rear[1].x) / 2
        yield "rear-overhang", behind, _halves(found.tail.half, rear), ends or _unsure(rear)
    for end, pair in zip(ENDS, (front, rear), strict=True):
        if pair is not None:
            half = float(np.hypot(pair[0].half_opening, pair[1].half_opening)) / 2
            yield f"arch-opening-{end}", (pair[0].opening + pair[1].opening) / 2, half, ends or _unsure(pair)


def _axle(found: FoundShell, end: str, ends: str) -> Iterator[_Row]:
    for side in ("left", "right"):
        arch = found.arches.get(f"{end} {side}")  # type: ignore[call-overload]
        if arch is not None:
            half = float(np.hypot(found.nose.half, arch.half_x))
            yield f"{end}.from-nose-{side}", found.nose.value - arch.x, half, ends or _unsure((arch,))
    pair = found.pair(end)
    if pair is None:
        return
    doubt = ends or _unsure(pair)
    left, right = pair
    yield f"{end}.across", left.outer + right.outer, float(np.hypot(left.half_outer, right.half_outer)), doubt
    half_top = float(np.hypot(left.half_top, right.half_top)) / 2
    yield f"{end}.top", (left.top + right.top) / 2, float(np.hypot(half_top, found.sill.half_height)), doubt
    yield f"{end}.lip", (left.lip + right.lip) / 2, float(np.hypot(left.half_lip, right.half_lip)) / 2, doubt


def _unsure(arches: tuple[Arch, ...]) -> str:
    return "" if all(arch.sure for arch in arches) else "an arch's lip is not the circle it should be"


def _halves(half: float, pair: tuple[Arch, Arch]) -> float:
    """Of an end's reach and the mean of two arch centres."""
    return float(np.linalg.norm([half, pair[0].half_x / 2, pair[1].half_x / 2]))
