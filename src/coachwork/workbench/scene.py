"""The vehicle as something to draw: what hangs on each wheel in every pose, what stands, the boxes, where things touch.

All of it comes out of the studies' results; nothing is worked out here but where a body is at poses between the ones a
study looked at. Chassis frame, mm: x forward from the front axle line, y left, z up from the underside. What the page
does with it: `page/pose.js`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

import numpy as np

from coachwork.build import Build
from coachwork.build.sections.masses import Masses
from coachwork.confidence import Report
from coachwork.confidence.json_form import Json
from coachwork.plan import Answer
from coachwork.plan.asked import asked_parts
from coachwork.plan.made import made_parts
from coachwork.studies.clearance.corner_scene import SIDES, CornerScene
from coachwork.studies.clearance.corners import Corner
from coachwork.studies.clearance.result import ClearanceResult, Closest, Contact
from coachwork.studies.clearance.scene import ENDS
from coachwork.studies.clearance.search import Placed
from coachwork.studies.parts import attempt, is_missing
from coachwork.studies.stowage.placed import placed
from coachwork.studies.stowage.result import StowageResult
from coachwork.studies.stowage.surroundings import keep_out, outline_of
from coachwork.studies.wording import called
from coachwork.workbench.dimensions import dimensions, outline
from coachwork.workbench.meshes import shell_of
from coachwork.workbench.plain import numbers
from coachwork.workbench.poses import corner_form
from coachwork.workbench.shapes import part_form, pins_of
from coachwork.workbench.stresses import stress_told

MARKS = 12  # contacts shown of one question
NEAR_MM = 2.0  # what comes no nearer needs no mark


Once = Callable[[Answer, str, Callable[[], Any]], Any]  # of the plan: made once for an answer


def scene_of(report: Report, once: Once = lambda _, __, make: make()) -> dict[str, Json]:
    """What can be drawn of a build, however little is known."""
    clearance, stowage = report.answers.get("clearance"), report.answers.get("stowage")
    structure = report.answers.get("structure")
    moving: dict[str, Json] = {"corners": [], "parts": [], "marks": [], "shell": False}
    if clearance is not None:
        moving = once(clearance, "scene", lambda: _moving(clearance.result))
    return {
        **moving,
        "boxes": [] if stowage is None else list(_boxes(stowage.result)),
        "decks": [] if stowage is None else list(_decks(stowage.result)),
        "masses": list(_masses(report.build)),
        "made": list(_made(report.build)),
        "stress": [] if structure is None else once(structure, "stress", lambda: stress_told(report)),
        "gravity": _gravity(report),
    }


def drawn(report: Report, once: Once = lambda _, __, make: make()) -> dict[str, Json]:
    """All of the drawing: what can be drawn, what the numbers alone say, dimension lines, a stamp of the scan."""
    scene = scene_of(report, once)
    scene["outline"] = outline(report.build)
    scene["dimensions"] = [line.form() for line in dimensions(report.build)]
    shell = shell_of(report) if scene["shell"] else None
    scene["shellStamp"] = None if shell is None else f"{id(shell[0]):x}-{len(shell[0])}"
    return scene


def _moving(clearance: ClearanceResult) -> dict[str, Json]:
    """Everything at the wheels in all its poses, what stands beside it, and where they meet."""
    corners: list[Json] = []
    parts: list[Json] = []
    for end in ENDS:
        for side in SIDES:
            corner_scene = clearance.scene.ends[end].sides[side]
            corner = _corner_of(corner_scene)
            if corner is not None:
                corners.append(corner_form(corner))
                parts += [part_form(one, f"{end} {side}") for one in corner_scene.all() if _drawn(one)]
                parts += pins_of(corner)
    if not is_missing(clearance.scene.standing):
        parts += [part_form(one, None) for one in clearance.scene.standing]
    shell = not is_missing(clearance.scene.scan)
    return {"corners": corners, "parts": parts, "marks": list(_marks(clearance)), "shell": shell}


def _corner_of(corner_scene: CornerScene) -> Corner | None:
    return next((one.corner for one in corner_scene.all() if one.corner is not None), None)


def _drawn(one: Placed) -> bool:
    """The tyre is drawn as the ring that it is where that is known."""
    return not (one.thing.kind == "tyre" and not one.key.endswith(" ring"))


def contacts_of(clearance: ClearanceResult) -> Iterator[tuple[str, Closest]]:
    """The nearest pairs by the id of their verdict."""
    for end in (clearance.front, clearance.rear):
        for question, closest in end.closest.items():
            if not is_missing(closest):
                yield f"clearance.{end.name}.{question}", closest
    if clearance.underside is not None and not is_missing(clearance.underside):
        yield "clearance.underside", clearance.underside


def _marks(clearance: ClearanceResult) -> Iterator[Json]:
    for verdict, closest in contacts_of(clearance):
        for contact in closest.contacts[:MARKS]:
            if float(contact.distance_mm.flat[0]) < NEAR_MM:
                yield _mark(verdict, contact)


def _mark(verdict: str, contact: Contact) -> dict[str, Json]:
    pose = contact.pose
    return {
        "verdict": verdict,
        "moving": contact.moving,
        "other": contact.other,
        "distance_mm": round(float(contact.distance_mm.flat[0]), 3),
        "at": numbers(contact.moving_at_mm),
        "other_at": numbers(contact.other_at_mm),
        "pose": None if pose is None else {
            "wheel": pose.wheel,
            "travel": pose.travel_share if pose.travels else None,
            "lock": pose.lock_share if pose.steered else None,
            "words": str(pose),
        },
    }  # fmt: skip


def _boxes(stowage: StowageResult) -> Iterator[Json]:
    for name in stowage.tables.boxes.each:
        box = attempt(placed, name, stowage.tables)
        if not is_missing(box):
            yield {"id": f"box {name}", "name": called(name), "kind": "box",
                   "low": numbers(box.low[0]), "high": numbers(box.high[0])}  # fmt: skip
    for name, held in stowage.tables.keep_outs.each.items():
        thing = attempt(keep_out, name, held)
        if not is_missing(thing) and np.isfinite([thing.low[0], thing.high[0]]).all():
            yield {"id": f"keep-out {name}", "name": called(name), "kind": "keep-out",
                   "low": numbers(thing.low[0]), "high": numbers(thing.high[0])}  # fmt: skip


def _decks(stowage: StowageResult) -> Iterator[Json]:
    for name, deck in stowage.tables.decks.each.items():
        outline = attempt(outline_of, name, stowage.tables.decks, stowage.tables.rims)
        if not is_missing(outline) and deck.height.known:
            yield {"id": f"deck {name}", "name": called(name), "height": float(deck.height.mm[0]),
                   "outline": [numbers(corner) for corner in outline.corners]}  # fmt: skip


def _masses(build: Build) -> Iterator[Json]:
    """What is weighed and has a place: a ball each."""
    for name, mass in build[Masses].each.items():
        if mass.mass.known and mass.at.known:
            yield {"id": f"mass {name}", "name": called(name), "at": numbers(mass.at.mm[0]),
                   "grams": round(float(mass.mass.g[0]), 1)}  # fmt: skip


def _made(build: Build) -> Iterator[Json]:
    """The parts that were made last, wherever each is fitted; their triangles are fetched by name.

    One that the build asks for otherwise by now is told: no question counts with it until it is made again.
    """
    asked = asked_parts(build)
    for part in made_parts(build):
        yield {"id": f"part {part.name}", "name": called(part.name), "part": part.name,
               "stamp": part.content[:16], "old": part.name not in asked.made,
               "places": [[numbers(row) for row in place] for place in part.chassis_from_part]}  # fmt: skip


def _gravity(report: Report) -> Json:
    """The centre of gravity, where it is known."""
    for verdict in report.of("balance"):
        if verdict.where is not None and verdict.where.part == "centre of gravity" and verdict.where.point_mm:
            return list(verdict.where.point_mm)
    return None
