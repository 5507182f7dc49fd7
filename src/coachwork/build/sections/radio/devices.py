"""`[radio.devices]`: what hangs on the receiver's outputs, each a small machine of a few kinds that combine."""

from __future__ import annotations

from typing import Annotated, Literal

from coachwork.build.entries import Ask, Current, Note, Pulse, Time
from coachwork.build.section import Section
from coachwork.build.sections.radio.names import names_in

RECEIVER, OWN_PACK = "receiver", "own pack"  # words of powered-by that are no names
SETTABLE = ("starts", "memory", "without-pulse", "counts", "when", "switches-at", "direct")
_USUAL_MODES = {
    "proportional": ("reverse", "neutral", "forward"),
    "switched": ("off", "on"),
    "cycling": ("off", "on"),
    "held": ("off", "on"),
    "plain": ("off", "on"),
}


class Device(Section):
    """One servo, speed controller, light, buzzer or sound unit."""

    kind: Annotated[
        Literal["proportional", "switched", "cycling", "held", "plain"],
        Note(
            "proportional follows the pulse; switched is on beyond a pulse; cycling goes to its next mode at each "
            "press; held goes to its next mode when pressed long enough; plain is on whenever it has power"
        ),
    ]
    channel: Annotated[str, Note("the channel whose output it is plugged into; two on one channel share a Y-lead")] = ""
    modes: Annotated[
        str,
        Note(
            "your names of its modes, with commas between: first its quiet one, then in the order it goes through "
            "them; of a proportional device those below, at and above neutral"
        ),
    ] = ""
    neutral: Annotated[
        Pulse, Ask(how="pulse in the middle of its neutral zone", usual=(1350, 1650), guess="1500 ± 10 us")
    ] = Pulse()
    dead_band: Annotated[
        Pulse, Ask(how="whole width of its neutral zone", usual=(4, 200), guess="40 ± 20 us")
    ] = Pulse()  # fmt: skip
    switches_at: Annotated[
        Pulse, Ask(how="pulse at which it switches, or takes a press as one, by a servo tester", usual=(900, 2100))
    ] = Pulse()
    when: Annotated[Literal["above", "below"], Note("on which side of that pulse it is on, or pressed")] = "above"
    hysteresis: Annotated[
        Pulse,
        Ask(how="how far apart the pulses of switching on and off are", sign="not negative", usual=(0, 150),
            guess="20 ± 10 us"),
    ] = Pulse()  # fmt: skip
    counts: Annotated[
        Literal["press", "release", "both"], Note("of a cycling device: what takes it to its next mode")
    ] = "press"
    hold_time: Annotated[Time, Ask(how="how long it must be pressed for its long press", usual=(0.3, 10))] = Time()
    held_mode: Annotated[
        str, Note("of a cycling device with a hold time: the mode a long press takes it to; left out: the first")
    ] = ""
    time_out: Annotated[
        Time, Ask(how="after how long it goes back to its quiet mode by itself; left out: never", usual=(0.5, 3600))
    ] = Time()
    starts: Annotated[str, Note("the mode in which it wakes up; left out: the quiet one")] = ""
    memory: Annotated[Literal["lost", "kept"], Note("whether it wakes up in the mode in which it lost its power")] = (
        "lost"
    )
    without_pulse: Annotated[
        Literal["quiet", "keeps"], Note("what it does when its output sends no pulse: go quiet, or keep its mode")
    ] = "quiet"
    waits_for_neutral: Annotated[
        bool, Note("of a proportional device: whether it obeys only after it has seen neutral since it woke up")
    ] = False
    powered_by: Annotated[
        str,
        Note(
            "where its power comes from: receiver, own pack, a switch on the vehicle, or another device through which "
            "it is fed"
        ),
    ] = RECEIVER
    powered_when: Annotated[
        str, Note("the modes or positions of that one in which power comes through; left out: all but its quiet one")
    ] = ""
    accessory: Annotated[bool, Note('whether "everything" in a wish means it too; not so for servos')] = True
    settable: Annotated[
        str,
        Note(
            f"which of these can be changed on it, with commas between, for cures: {', '.join(SETTABLE)}; "
            "direct: it can be wired to another device's output, to work whenever that does"
        ),
    ] = ""
    current_quiet: Annotated[
        Current,
        Ask(how="amperes in its quiet mode, from its leaflet or by multimeter in its plus lead", sign="not negative",
            usual=(0, 5), guess="10 ± 8 mA"),
    ] = Current()  # fmt: skip
    current_on: Annotated[
        Current,
        Ask(how="amperes in any other mode, at most, from its leaflet or by multimeter in its plus lead; of a servo "
            "that is moving (until then 700 ± 500 mA), not held", sign="not negative", usual=(0, 60),
            guess="120 ± 90 mA"),
    ] = Current()  # fmt: skip

    def guess_for(self, name: str, usual: str | None) -> str | None:
        """A servo that moves draws more than a lamp or a buzzer."""
        return "700 ± 500 mA" if name == "current_on" and self.kind == "proportional" else usual

    @property
    def named(self) -> tuple[str, ...]:
        """Its modes."""
        return names_in(self.modes) or _USUAL_MODES[self.kind]

    @property
    def quiet(self) -> int:
        """Which of its modes is the quiet one: neutral of a proportional device, else the first."""
        return 1 if self.kind == "proportional" else 0
