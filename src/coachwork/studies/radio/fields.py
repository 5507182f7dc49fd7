"""A state of the whole radio as one whole number: what its fields are, and how they are packed.

Fields are the signal, where each control stands, the pulse each output holds, and the state of each device.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from coachwork.studies.radio.automata import Whole
from coachwork.studies.radio.explore import Codes

SIGNAL = "signal:"  # name of the field: 0 there, 1 lost. Devices' fields have their names, others a colon


def hand(control: str) -> str:
    """Name of the field that says at which of its levels a control stands."""
    return f"hand: {control}"


def held(channel: str) -> str:
    """Name of the field that remembers the pulse an output holds."""
    return f"held: {channel}"


@dataclass(frozen=True)
class Fields:
    """The fields with how many values each has."""

    radices: Mapping[str, int]

    @cached_property
    def strides(self) -> dict[str, int]:
        """What one step of each field is worth in a code. Raises OverflowError where codes would not fit."""
        if self.codes >= 2**62:
            raise OverflowError("more states than a whole number can count")
        strides, stride = {}, 1
        for name, radix in self.radices.items():
            strides[name] = stride
            stride *= radix
        return strides

    @property
    def codes(self) -> int:
        """How many there are; not all are states that can be reached."""
        return math.prod(self.radices.values())


class Columns(Mapping[str, Whole]):
    """The fields of many states, (states,) each.

    A field is unpacked when it is first asked for: most events ask for few of them.
    """

    def __init__(
        self, fields: Fields, codes: Codes, unpacked: dict[str, Whole], changed: Mapping[str, Whole] | None = None
    ) -> None:
        self._fields, self._codes, self._unpacked = fields, codes, unpacked
        self._changed = dict(changed or {})

    @classmethod
    def of(cls, fields: Fields, codes: Codes) -> Columns:
        """The fields of these states."""
        return cls(fields, codes, {})

    def __getitem__(self, name: str) -> Whole:
        return self._changed[name] if name in self._changed else self._before(name)

    def __setitem__(self, name: str, column: Whole) -> None:
        self._changed[name] = column

    def __iter__(self) -> Iterator[str]:
        return iter(self._fields.radices)

    def __len__(self) -> int:
        return len(self._fields.radices)

    @property
    def shape(self) -> tuple[int, ...]:
        """Of every field."""
        return self._codes.shape

    def _before(self, name: str) -> Whole:
        if name not in self._unpacked:
            stride, radix = self._fields.strides[name], self._fields.radices[name]
            above = self._codes // stride
            self._unpacked[name] = (above - above // radix * radix).astype(np.intp, copy=False)
        return self._unpacked[name]

    def but(self, changed: Mapping[str, Whole]) -> Columns:
        """A copy with some fields changed."""
        return Columns(self._fields, self._codes, self._unpacked, {**self._changed, **changed})

    def packed(self) -> Codes:
        """The states as codes."""
        codes = self._codes.copy()
        for name, column in self._changed.items():
            codes += (column - self._before(name)) * self._fields.strides[name]
        return codes
