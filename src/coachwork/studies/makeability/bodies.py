"""The boxes in their places as bodies that made parts must stay out of."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Mapping
from typing import TypeAlias

import numpy as np

from coachwork.build import Numbers
from coachwork.studies.makeability.specs.chassis.steering import SERVO
from coachwork.studies.makeability.specs.plain import number
from coachwork.studies.makeability.specs.tables import PartTables
from coachwork.studies.parts import attempt, is_missing
from coachwork.studies.stowage.placed import placed

Block: TypeAlias = tuple[Numbers, Numbers]  # low and high corner, (3,) each, mm


def box_bodies(tables: PartTables) -> dict[str, tuple[Block, ...]]:
    """Of every box that has a place: one block, or two for a servo, whose lugs stand out over its seats."""
    found = {}
    for name in tables.boxes.each:
        here = attempt(placed, name, tables.placing)
        if not is_missing(here):
            low, high = np.round(here.low[0], 4), np.round(here.high[0], 4)
            found[name] = tuple(_servo(tables, low, high)) if name == SERVO else ((low, high),)
    return found


def _servo(tables: PartTables, low: Numbers, high: Numbers) -> Iterator[Block]:
    """Its case between the lugs, and from the lugs' underside up as long as with them."""
    own = tables.parts.chassis
    if not (own.servo_body.given and own.servo_lugs.given):
        yield low, high
        return
    middle, half = (low[0] + high[0]) / 2, number(own.servo_body) / 2
    lugs = low[2] + number(own.servo_lugs)
    yield np.array([middle - half, low[1], low[2]]), np.array([middle + half, high[1], lugs])
    yield np.array([low[0], low[1], lugs]), high


def stamp_of(blocks: tuple[Block, ...]) -> str:
    """Another place or size, another text."""
    return hashlib.sha256(np.round(np.array(blocks), 3).tobytes()).hexdigest()


def stamps(tables: PartTables) -> Mapping[str, str]:
    """Of every box that has a place."""
    return {name: stamp_of(blocks) for name, blocks in box_bodies(tables).items()}
