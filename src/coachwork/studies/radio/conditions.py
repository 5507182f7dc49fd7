"""What can be said of states: where a wish's condition is true."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from coachwork.build.sections.radio.wishes import (
    Both,
    Condition,
    ControlIs,
    DeviceIs,
    Either,
    Not,
    SignalIs,
)  # fmt: skip
from coachwork.studies.radio.fields import SIGNAL, Columns, hand
from coachwork.studies.radio.product import Product


def holds(product: Product, condition: Condition, columns: Columns) -> NDArray[np.bool_]:
    """Where a condition is true."""
    match condition:
        case DeviceIs(device=name, modes=modes):
            return np.asarray(np.isin(product.tables[name].mode, modes)[columns[name]])
        case ControlIs(control=name):
            return stands(condition, product.levels[name])[columns[hand(name)]]
        case SignalIs(lost=lost):
            return np.asarray(is_lost(columns) == lost)
        case Not(of=one):
            return ~holds(product, one, columns)
        case Both(of=parts):
            return np.asarray(
                np.logical_and.reduce([_all(columns), *(holds(product, part, columns) for part in parts)])
            )
        case Either(of=parts):
            return np.asarray(
                np.logical_or.reduce([~_all(columns), *(holds(product, part, columns) for part in parts)])
            )


def _all(columns: Columns) -> NDArray[np.bool_]:
    return np.ones(columns.shape, dtype=bool)


def is_lost(columns: Columns) -> NDArray[np.bool_]:
    """Where the signal is lost."""
    return np.asarray(columns[SIGNAL] == 1) if SIGNAL in columns else ~_all(columns)


def at_rest(product: Product, columns: Columns) -> NDArray[np.bool_]:
    """Where every control stands at its rest."""
    rest = _all(columns)
    for control in product.setup.controls:
        rest &= columns[hand(control.name)] == product.rest_level(control)
    return rest


def stands(condition: ControlIs, levels: tuple[float, ...]) -> NDArray[np.bool_]:
    """At which of a control's levels a condition on it is true."""
    side = np.sign(np.array(levels) - condition.position)
    match condition.side:
        case "at":
            return np.asarray(side == 0)
        case "not at":
            return np.asarray(side != 0)
        case "above":
            return np.asarray(side > 0)
        case "below":
            return np.asarray(side < 0)
