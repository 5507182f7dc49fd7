"""`[radio.controls]`: what the builder's fingers move, on the transmitter or on the vehicle itself."""

from __future__ import annotations

from typing import Annotated, Literal

from coachwork.build.entries import Note
from coachwork.build.section import Section
from coachwork.build.sections.radio.names import names_in

Rest = Literal["low", "middle", "high"]
ENDS = {"two-position": 2, "button": 2, "three-position": 3, "stick": 3, "dial": 3}  # positions with a name
_USUAL = {
    "stick": ("low end", "middle", "high end"),
    "dial": ("low end", "middle", "high end"),
    "two-position": ("off", "on"),
    "three-position": ("low", "middle", "high"),
    "button": ("released", "pressed"),
}


class Control(Section):
    """One stick, dial, switch or button."""

    kind: Annotated[
        Literal["stick", "dial", "two-position", "three-position", "button"],
        Note("a stick springs back to its rest, a dial stays where it is put, a button springs back"),
    ]
    at: Annotated[
        Literal["transmitter", "vehicle"],
        Note("where it is; a switch in a lead on the vehicle works without a signal, but only in reach of a hand"),
    ] = "transmitter"
    rest: Annotated[
        Literal["low", "middle", "high"] | None,
        Note("where it stands before the builder touches it; a stick rests in the middle, all else low, if left out"),
    ] = None
    positions: Annotated[
        str, Note("your names of its positions, low to high, with commas between: reverse, stopped, forward")
    ] = ""
    can_latch: Annotated[
        bool, Note("for a button: whether the transmitter can be set so that it stays on until pressed again")
    ] = False

    @property
    def resting(self) -> Rest:
        """Where it rests."""
        if self.rest is not None:
            return self.rest
        return "middle" if self.kind == "stick" else "low"

    @property
    def named(self) -> tuple[str, ...]:
        """Names of its positions, low to high: two or three."""
        own = names_in(self.positions)
        return own if own else _USUAL[self.kind]
