"""What colours the drawing by the room that is left: all over what stands still, and round every tyre.

A list of surfaces, told as plain data, and fetched one by one: corners, triangles, and some numbers a corner. It is
worked out when it is first looked at, from the same scene as the verdicts.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np

from coachwork.confidence import Report
from coachwork.confidence.json_form import Json
from coachwork.studies.clearance.room import Room, RoomAt, room
from coachwork.studies.clearance.room_round import RingsAt
from coachwork.studies.clearance.search import FAR_MM, Placed
from coachwork.studies.watch import Watch
from coachwork.studies.wording import first
from coachwork.workbench.plain import packed

MOST_TOLD = 40  # pairs in the list of the tightest
AROUND = 60  # facets of a tyre


@dataclass(frozen=True, eq=False, kw_only=True)
class Coloured:
    """A legend's worth: what is told of it, and its surfaces by name."""

    told: dict[str, Json]
    surfaces: dict[str, bytes]


def room_colours(report: Report, watch: Watch) -> Coloured | None:
    """The room left over all poses; None where clearance was not asked. Raises Unwanted."""
    answer = report.answers.get("clearance")
    if answer is None:
        return None
    found = room(answer.result.scene, watch)
    told: dict[str, Any] = {
        "kind": "room",
        "far": FAR_MM,
        "gap": first(answer.result.gap_mm),
        "moving": [{"name": one.name, "corner": _corner(one)} for one in found.moving],
        "standing": [{"name": one.name} for one in found.standing],
        "surfaces": [
            *({"id": at.key, "name": at.name, "rides": None} for at in found.at),
            *({"id": at.key, "name": at.name, "rides": at.rides} for at in found.round),
        ],
        "worst": sorted(_tightest(found), key=lambda one: one["value"])[:MOST_TOLD],
    }
    surfaces = {at.key: _room_packed(at) for at in found.at} | {at.key: _turned(at) for at in found.round}
    return Coloured(told=told, surfaces=surfaces)


def _corner(one: Placed) -> str:
    assert one.corner is not None
    return one.corner.name


def _tightest(found: Room) -> Iterator[dict[str, Any]]:
    """Of each pair, where it is tightest."""
    for at in found.at:
        for number in np.unique(at.moving[at.moving >= 0]):
            its = np.flatnonzero(at.moving == number)
            worst = int(its[np.argmin(at.room_mm[its])])
            yield {
                "surface": at.key, "corner": worst, "value": round(float(at.room_mm[worst]), 2),
                "words": f"{at.name}, to {found.moving[number].name}",
            }  # fmt: skip


def _room_packed(at: RoomAt) -> bytes:
    return packed(at.vertices, at.faces, [at.room_mm, at.moving, *at.share.T[:2]])


def _turned(at: RingsAt) -> bytes:
    """The rings as a surface round the axis y, as the page turns a tyre; those that nothing comes near are left out."""
    angle = 2 * np.pi * np.arange(AROUND) / AROUND
    radius, height = at.profile[:, :1], at.profile[:, 1:]
    corners = np.stack(
        [radius * np.cos(angle), np.broadcast_to(height, (len(radius), AROUND)), radius * np.sin(angle)], axis=-1
    )
    known = np.isfinite(at.room_mm)
    ring = np.flatnonzero(known[:-1] & known[1:])[:, None]
    one = np.arange(AROUND)
    other = (one + 1) % AROUND
    a, b = ring * AROUND + one, ring * AROUND + other
    faces = np.concatenate([np.stack([a, b, b + AROUND], axis=-1), np.stack([a, b + AROUND, a + AROUND], axis=-1)])
    rows = [np.repeat(row, AROUND) for row in (at.room_mm, at.standing, *at.share.T[:2])]
    return packed(corners.reshape(-1, 3), faces.reshape(-1, 3), rows)
