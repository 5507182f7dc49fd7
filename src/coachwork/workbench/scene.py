"""The vehicle as something to draw: what hangs on each wheel in every pose, what stands, the boxes, where things touch.

All of it comes out of the studies' results; nothing is worked out here but where a body is at poses between the ones a
study looked at. Chassis frame, mm: x forward from the front axle line, y left, z up from the underside. What the page
does with it: `page/pose.js`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from coachwork.build import Build
from coachwork.build.sections.masses import Masses
from coachwork.confidence import Report
from coachwork.confidence.json_form import Json
from coachwork.errors import ScanRefused
from coachwork.geometry.rigid import Motion
from coachwork.geometry.sections import Barrel, Polygon
from coachwork.geometry.vectors import Array
from coachwork.plan import Answer
from coachwork.plan.made import made_parts
from coachwork.scans.reading import read_mesh
from coachwork.studies.clearance.corner_scene import SIDES, CornerScene
from coachwork.studies.clearance.corners import LOCK, OTHER, TRAVEL, Corner, SprungCorner
from coachwork.studies.clearance.result import ClearanceResult, Closest, Contact
from coachwork.studies.clearance.scene import ENDS
from coachwork.studies.clearance.search import Placed
from coachwork.studies.clearance.shapes import Box, Cylinder, Rod, Shape, Turning
from coachwork.studies.parts import attempt, is_missing
from coachwork.studies.stowage.placed import placed
from coachwork.studies.stowage.result import StowageResult
from coachwork.studies.stowage.surroundings import keep_out, outline_of
from coachwork.studies.wording import called

GRID = (9, 13, 5)  # poses of travel, lock, a live axle's other wheel; between them the page goes straight
ROUNDING = 8  # points of a quarter of a tyre's shoulder
PIN_MM = 1.2  # how thick a line is drawn that has no thickness
MARKS = 12  # contacts shown of one question
NEAR_MM = 2.0  # what comes no nearer needs no mark


Once = Callable[[Answer, str, Callable[[], Any]], Any]  # of the plan: made once for an answer


def scene_of(report: Report, once: Once = lambda _, __, make: make()) -> dict[str, Json]:
    """What can be drawn of a build, however little is known."""
    clearance, stowage = report.answers.get("clearance"), report.answers.get("stowage")
    moving: dict[str, Json] = {"corners": [], "parts": [], "marks": [], "shell": False}
    if clearance is not None:
        moving = once(clearance, "scene", lambda: _moving(clearance.result))
    return {
        **moving,
        "boxes": [] if stowage is None else list(_boxes(stowage.result)),
        "decks": [] if stowage is None else list(_decks(stowage.result)),
        "masses": list(_masses(report.build)),
        "made": list(_made(report.build)),
        "gravity": _gravity(report),
    }


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
                parts += [_part(one, f"{end} {side}") for one in corner_scene.all() if _drawn(one)]
                parts += _pins(corner)
    if not is_missing(clearance.scene.standing):
        parts += [_part(one, None) for one in clearance.scene.standing]
    shell = not is_missing(clearance.scene.scan)
    return {"corners": corners, "parts": parts, "marks": list(_marks(clearance)), "shell": shell}


def shell_of(report: Report) -> tuple[Array, Array] | None:
    """The scanned shell where it sits on the chassis: corners (n, 3), and triangles (m, 3) of them."""
    answer = report.answers.get("clearance")
    if answer is None or is_missing(answer.result.scene.scan):
        return None
    (shape,) = answer.result.scene.scan.thing.shapes
    return shape.vertices, shape.faces


def sweep_of(clearance: ClearanceResult, key: str) -> bytes | None:
    """The space a moving part sweeps, as little-endian uint32 (how many corners), float32 and uint32.

    None for a part there is not, or one whose sweep has no closed form: the rim, which the tyre hides.
    """
    from coachwork.studies.clearance.swept import swept

    try:
        part = clearance.scene.placed(key)
    except KeyError:
        return None
    if part.corner is None or part.thing.kind == "rim":
        return None
    found = swept(part)
    return packed(found.vertices, found.faces)


def packed(vertices: Array, faces: NDArray[np.int64]) -> bytes:
    """How many corners (uint32), the corners (float32), the triangles (uint32); little-endian."""
    head = np.array([len(vertices)], dtype="<u4").tobytes()
    return head + vertices.astype("<f4").tobytes() + faces.astype("<u4").tobytes()


def _corner_of(corner_scene: CornerScene) -> Corner | None:
    return next((one.corner for one in corner_scene.all() if one.corner is not None), None)


def _drawn(one: Placed) -> bool:
    """The tyre is drawn as the ring that it is where that is known."""
    return not (one.thing.kind == "tyre" and not one.key.endswith(" ring"))


def corner_form(corner: Corner) -> dict[str, Json]:
    """A wheel's bodies over the grid of its poses, in the left end's frame, before `mirror` and `shift`.

    poses : {body: [x y z w, x y z] a pose}, quaternion and shift; null where the pose cannot be; travel the outermost,
            then lock, then the other wheel
    """
    grid = corner.grid
    axes = [np.linspace(-1, 1, GRID[axis]) if np.ptp(grid[:, axis]) > 0 else np.zeros(1) for axis in range(3)]
    shares = np.stack(np.meshgrid(*axes, indexing="ij"), axis=-1).reshape(-1, 3)
    bodies = corner.bodies(shares)
    heights = _heights(corner, axes)
    return {
        "name": corner.name,
        "mirror": bodies.right,
        "shift": _numbers(np.ravel(bodies.shift[0])),
        "axes": [_numbers(axes[axis], 6) for axis in (TRAVEL, LOCK, OTHER)],
        "steered": corner.steered,
        "travel_mm": _numbers(heights),
        "poses": {
            name: [None if body is None else _numbers(body, 6) for body in _flat(motion, len(shares))]
            for name, motion in bodies.motions.items()
            if name not in ("chassis", "shell")
        },
    }


def _heights(corner: Corner, axes: list[Array]) -> Array:
    """How far the hub is from ride height at each share of travel, mm; NaN never: the stops are there."""
    return np.array([corner.pose(np.array([share, 0.0, 0.0])).travel_mm for share in axes[TRAVEL]])


def _flat(motion: Motion, count: int) -> Iterator[Array | None]:
    from scipy.spatial.transform import Rotation

    rotation = np.broadcast_to(motion.rotation, (count, 3, 3))
    shift = np.broadcast_to(motion.shift, (count, 3))
    there = np.asarray(np.isfinite(rotation).all(axis=(1, 2)) & np.isfinite(shift).all(axis=1))
    turned = np.zeros((count, 4))
    if there.any():
        turned[there] = Rotation.from_matrix(rotation[there]).as_quat()
    for i in range(count):
        yield np.concatenate([turned[i], shift[i]]) if there[i] else None


def _part(one: Placed, corner: str | None) -> dict[str, Json]:
    still = one.still
    return {
        "id": one.key,
        "name": one.name,
        "kind": one.thing.kind,
        "corner": corner,
        "mirror": still is not None and still.right,
        "shift": [0.0, 0.0, 0.0] if still is None else _numbers(np.ravel(still.shift[0])),
        "shapes": [_shape(shape) for shape in one.thing.shapes],
    }


def _pins(corner: Corner) -> Iterator[Json]:
    """Arm and kingpin as lines through their pins: where they are, not how they are shaped."""
    if not isinstance(corner, SprungCorner):
        return
    lines = {
        "arm": ("arm", [("arm_pin_front", "arm_pin_rear"), ("hub_pin_front", "hub_pin_rear"),
                        ("arm_pin_front", "hub_pin_front"), ("arm_pin_rear", "hub_pin_rear"),
                        ("arm_pin_front", "lower_ball"), ("arm_pin_rear", "lower_ball")]),
        "kingpin": ("knuckle", [("kingpin_lower", "kingpin_upper"), ("kingpin_lower", "hub_face")]),
    }  # fmt: skip
    for name, (body, pairs) in lines.items():
        shapes: list[Json] = []
        for first, last in pairs:
            ends = [getattr(corner.points, point, None) for point in (first, last)]
            if all(end is not None and end.known for end in ends):
                start, end = (corner.redrawn(body, point.mm)[0] for point in ends if point is not None)
                shapes.append({"kind": "rod", "body": body, "other": body, "start": _numbers(start),
                               "end": _numbers(end), "radius": PIN_MM})  # fmt: skip
        if shapes:
            words = f"{corner.name} {name}"
            yield {"id": words, "name": words, "kind": "pins", "corner": corner.name, "mirror": False,
                   "shift": [0.0, 0.0, 0.0], "shapes": shapes}  # fmt: skip


def _shape(shape: Shape) -> dict[str, Json]:
    match shape:
        case Box():
            return {"kind": "box", "body": shape.body, "middle": _numbers(shape.middle[0]),
                    "half": _numbers(shape.half[0])}  # fmt: skip
        case Cylinder():
            return {"kind": "cylinder", "body": shape.body, "start": _numbers(shape.start[0]),
                    "end": _numbers(shape.end[0]), "radius": float(shape.radius[0])}  # fmt: skip
        case Rod():
            return {"kind": "rod", "body": shape.body, "other": shape.other, "start": _numbers(shape.start[0]),
                    "end": _numbers(shape.end[0]), "radius": float(shape.radius[0])}  # fmt: skip
        case Turning():
            return {"kind": "turning", "body": shape.body, "centre": _numbers(shape.centre[0]),
                    "axis": _numbers(shape.axis[0]),
                    "profile": [_numbers(point) for point in profile(shape.section)]}  # fmt: skip
    raise TypeError(f"{type(shape).__name__} is nothing to draw")


def profile(section: Barrel | Polygon) -> Array:
    """A closed outline of the section to turn about its axis: radius and height, (n, 2)."""
    if isinstance(section, Polygon):
        corners = section.corners[0]
        return np.concatenate([corners, corners[:1]])
    outer, half, shoulder, crown = (
        float(np.ravel(value)[0]) for value in (section.outer, section.half_width, section.shoulder, section.crown)
    )
    inner = 0.0 if section.inner is None else float(np.ravel(section.inner)[0])
    edge = half - shoulder
    lean = float(np.arcsin(min(edge / (crown - shoulder), 1.0))) if np.isfinite(crown) else 0.0
    corner = outer - crown + (crown - shoulder) * np.cos(lean) if np.isfinite(crown) else outer - shoulder
    bend = np.linspace(np.pi / 2, lean, ROUNDING)
    tread = np.linspace(lean, -lean, ROUNDING + 1)
    side = np.stack([corner + shoulder * np.cos(bend), edge + shoulder * np.sin(bend)], axis=-1)
    over = (
        np.stack([outer - crown + crown * np.cos(tread), crown * np.sin(tread)], axis=-1)
        if np.isfinite(crown)
        else np.stack([np.full(tread.size, outer), np.linspace(edge, -edge, tread.size)], axis=-1)
    )
    other = side[::-1] * np.array([1.0, -1.0])
    return np.concatenate([[[inner, half]], side, over, other, [[inner, -half]], [[inner, half]]])


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
        "at": _numbers(contact.moving_at_mm),
        "other_at": _numbers(contact.other_at_mm),
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
                   "low": _numbers(box.low[0]), "high": _numbers(box.high[0])}  # fmt: skip
    for name, held in stowage.tables.keep_outs.each.items():
        thing = attempt(keep_out, name, held)
        if not is_missing(thing) and np.isfinite([thing.low[0], thing.high[0]]).all():
            yield {"id": f"keep-out {name}", "name": called(name), "kind": "keep-out",
                   "low": _numbers(thing.low[0]), "high": _numbers(thing.high[0])}  # fmt: skip


def _decks(stowage: StowageResult) -> Iterator[Json]:
    for name, deck in stowage.tables.decks.each.items():
        outline = attempt(outline_of, name, stowage.tables.decks, stowage.tables.rims)
        if not is_missing(outline) and deck.height.known:
            yield {"id": f"deck {name}", "name": called(name), "height": float(deck.height.mm[0]),
                   "outline": [_numbers(corner) for corner in outline.corners]}  # fmt: skip


def _masses(build: Build) -> Iterator[Json]:
    """What is weighed and has a place: a ball each."""
    for name, mass in build[Masses].each.items():
        if mass.mass.known and mass.at.known:
            yield {"id": f"mass {name}", "name": called(name), "at": _numbers(mass.at.mm[0]),
                   "grams": round(float(mass.mass.g[0]), 1)}  # fmt: skip


def _made(build: Build) -> Iterator[Json]:
    """The parts that were made last, wherever each is fitted; their triangles are fetched by name."""
    for part in made_parts(build):
        yield {"id": f"part {part.name}", "name": called(part.name), "part": part.name,
               "stamp": part.content[:16],
               "places": [[_numbers(row) for row in place] for place in part.chassis_from_part]}  # fmt: skip


def made_mesh(build: Build, name: str) -> bytes | None:
    """A made part's triangles in its own frame, as `sweep_of` sends them; None where there is no such part."""
    part = made_parts(build).parts.get(name)
    if part is None:
        return None
    try:
        mesh = read_mesh(Path(part.mesh))
    except (ScanRefused, OSError):  # made anew this moment, or thrown away
        return None
    return packed(mesh.vertices, mesh.faces)


def _gravity(report: Report) -> Json:
    """The centre of gravity, where it is known."""
    for verdict in report.of("balance"):
        if verdict.where is not None and verdict.where.part == "centre of gravity" and verdict.where.point_mm:
            return list(verdict.where.point_mm)
    return None


def _numbers(values: Any, places: int = 3) -> list[Json]:
    """Finite numbers, as many decimals as a drawing needs."""
    return [round(float(value), places) for value in np.ravel(values)]
