"""`coachwork trim`: what to cut out of the shell for the tyres, at 1:1, and what would do instead."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from coachwork.build import Build, find, read, write_whole
from coachwork.build.sections.corner import EndName
from coachwork.cli.progress import Progress
from coachwork.cli.screen import Screen
from coachwork.errors import CoachworkError
from coachwork.plan import Plan
from coachwork.studies.clearance.corner_scene import SIDES
from coachwork.studies.clearance.result import ClearanceResult
from coachwork.studies.clearance.scene import ENDS
from coachwork.studies.linkage.hardpoints import Side
from coachwork.studies.parts import Blocked, Missing, Part, attempt, is_missing

if TYPE_CHECKING:
    from coachwork.studies.clearance.trim import Patch

MOST_STRETCH = 0.01  # wrapped paper that is wrong by more than this is worth a word


def run(options: argparse.Namespace, screen: Screen, plan: Plan | None) -> int:
    """Write the cut lines, and the trimmed mesh where there is a scan. 0 where there is nothing to cut, else 1."""
    build = read(options.place)
    with Progress() as progress:
        answers = (plan or Plan()).run(build, only=["clearance"], progress=progress, tell=progress.tell)
    result: ClearanceResult = answers["clearance"].result
    gap = _gap(options.gap, result)
    folder: Path = options.to if options.to is not None else find(options.place).parent / "trim"
    looked = [_one(screen, build, result, end, side, gap, folder) for end in ENDS for side in SIDES]
    if all(is_missing(one) for one in looked):
        screen.say("No tyre could be held against the shell.")
        return 1
    patches = [one for one in looked if one is not None and not is_missing(one)]
    if not patches:
        screen.say(f"Every tyre that could be looked at clears the shell by {gap:g} mm: nothing to cut.")
        return 0
    if not is_missing(result.scene.scan):
        _write_mesh(screen, patches, result, gap, folder)
    return 1


def _gap(given: str | None, result: ClearanceResult) -> float:
    from coachwork.quantity import LENGTH, Unreadable, parse

    if given is None:
        return float(result.gap_mm[0])
    try:
        return float(parse(given, LENGTH, sign="not negative").value)
    except Unreadable as fault:
        raise CoachworkError(f"--gap {given}: {fault}") from None


def _one(
    screen: Screen, build: Build, result: ClearanceResult, end: EndName, side: Side, gap: float, folder: Path
) -> Part[Patch | None]:
    """What to cut for a tyre, told and written; None for nothing."""
    from coachwork.papers.cut_line import dxf, svg
    from coachwork.studies.clearance.flat import outline
    from coachwork.studies.clearance.trim import axle_x_mm, instead, patch

    part = attempt(lambda: patch(result, end, side, gap_mm=gap))
    if isinstance(part, (Missing, Blocked)):
        why = f"not measured yet: {', '.join(part.keys)}" if isinstance(part, Missing) else part.why
        screen.say(f"{end} {side} tyre: {why}")
        return part
    if part is None:
        return None
    folder.mkdir(parents=True, exist_ok=True)
    flat = outline(part, axle_x_mm=axle_x_mm(result, end, side))
    name = f"{end}-{side}"
    write_whole(folder / f"{name}.svg", svg(flat, f"{build.name}: cut line, {end} {side} tyre, gap {gap:g} mm"))
    write_whole(folder / f"{name}.dxf", dxf(flat))
    width, height = flat.size_mm
    screen.say(f"{end} {side} tyre: {_now(part.least_mm)}, wanted {gap:g} mm", tone="strong")
    screen.say(
        f"Cut out {width:.0f} x {height:.0f} mm, {flat.area_mm2 / 100:.1f} cm2: {folder / name}.svg and .dxf, 1:1, to "
        f"be laid on from outside, seen from {flat.seen_from}.", indent=2,
    )  # fmt: skip
    if flat.stretch > MOST_STRETCH:
        screen.say(
            f"The skin bends both ways there: lengths on the paper are off by up to {flat.stretch:.0%}.", indent=2
        )
    cures = instead(result, end, side, gap_mm=gap)
    does = [cure.words for cure in cures if cure.amount is not None]
    if does:
        screen.say("Or, each alone: " + "; ".join(does) + ".", indent=2)
    if fails := [cure.what for cure in cures if cure.amount is None]:
        screen.say(f"Not by {', nor by '.join(fails)}.", indent=2)
    return part


def _now(least: float) -> str:
    return f"clears the shell by {least:.1f} mm" if least >= 0 else f"overlaps the shell by {-least:.1f} mm"


def _write_mesh(screen: Screen, patches: list[Patch], result: ClearanceResult, gap: float, folder: Path) -> None:
    import numpy as np
    import trimesh

    from coachwork.studies.clearance.trim import all_trimmed

    triangles = all_trimmed(result, [patch.wheel for patch in patches], gap_mm=gap)
    mesh = trimesh.Trimesh(
        vertices=triangles.reshape(-1, 3), faces=np.arange(3 * len(triangles)).reshape(-1, 3), process=False
    )
    target = folder / "shell-trimmed.stl"
    mesh.export(target)
    screen.say(f"The trimmed shell, {len(triangles):,} triangles in the chassis frame, is in {target}.")
