"""`coachwork rehearse`: play on the radio, and see what each accessory does, before anything is soldered."""

from __future__ import annotations

import argparse
import difflib
import sys
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path

from coachwork.build import Build, NotMeasured, read, write_whole
from coachwork.build.sections.radio import Radio
from coachwork.build.sections.radio.devices import OWN_PACK
from coachwork.cli.card import radio_of
from coachwork.cli.progress import Progress
from coachwork.cli.screen import Screen
from coachwork.errors import CoachworkError
from coachwork.plan import Plan
from coachwork.studies.radio.actions import Action, NotAnAction, actions_of
from coachwork.studies.radio.rehearsal import Beat, Rehearsal
from coachwork.studies.radio.result import RadioResult, WishAnswer
from coachwork.studies.radio.setup import Setup
from coachwork.studies.radio.traces import DARK

_ASK = "what now? (an empty line ends it) "


def run(options: argparse.Namespace, screen: Screen, plan: Plan | None) -> int:
    """Play the actions given, those of a script, of a wish's counter-example, or as they are typed."""
    build = read(options.place)
    radio = radio_of(build)
    if radio.lacking:
        keys = ", ".join(key for keys in radio.lacking.values() for key in keys)
        raise CoachworkError(f"{', '.join(radio.lacking)} cannot play yet; measure {keys}")
    typed = _typed(options, build, plan or Plan())
    if typed is not None:
        rehearsal = _played(screen, build, radio.setup, _understood(typed, radio.setup))
    else:
        rehearsal = _asked(screen, build, radio.setup)
    if options.plot is not None:
        _draw(screen, build, radio.setup, rehearsal.beats, options.plot)
    return 0


def _typed(options: argparse.Namespace, build: Build, plan: Plan) -> list[str] | None:
    """The lines of actions, or None where they are to be asked for."""
    lines: list[str] = []
    if options.wish is not None:
        lines += _of_wish(options.wish, build, plan)
    if options.script is not None:
        lines += options.script.read_text(encoding="utf-8").splitlines()
    lines += options.actions
    if lines or options.wish is not None or options.script is not None:
        return lines
    return None if sys.stdin.isatty() else sys.stdin.read().splitlines()


def _of_wish(name: str, build: Build, plan: Plan) -> list[str]:
    with Progress() as progress:
        answers = plan.run(build, only=["radio"], progress=progress, tell=progress.tell)
    result: RadioResult = answers["radio"].result
    if name not in result.wishes:
        near = difflib.get_close_matches(name, result.wishes, n=1, cutoff=0.5)
        hint = f"did you mean {near[0]}?" if near else f"there are {', '.join(result.wishes) or 'none yet'}"
        raise CoachworkError(f"{name}: there is no wish of this name; {hint}")
    answer = result.wishes[name]
    if not isinstance(answer, WishAnswer):
        raise CoachworkError(f"{name}: this wish is not answered yet; coachwork check says what it needs")
    if not answer.steps:
        raise CoachworkError(f"{name}: nothing breaks this wish, so there is nothing to show")
    return [step.action for step in answer.steps]


def _understood(lines: Iterable[str], setup: Setup) -> list[Action]:
    try:
        return actions_of(lines, setup)
    except NotAnAction as no:
        raise CoachworkError(str(no)) from None


def _rehearsal(build: Build, setup: Setup, actions: Iterable[Action]) -> Rehearsal:
    """With the currents, if all of them are known."""
    radio = build[Radio]
    try:
        currents = {
            one.name: (
                float(radio.devices[one.name].current_quiet.a[0]),
                float(radio.devices[one.name].current_on.a[0]),
            )
            for one in setup.devices
            if one.powered_by != OWN_PACK
        }
        return Rehearsal(setup, actions, currents_a=currents, receiver_a=float(radio.receiver.current.a[0]))
    except NotMeasured:
        return Rehearsal(setup, actions, currents_a=None)


def _played(screen: Screen, build: Build, setup: Setup, actions: list[Action]) -> Rehearsal:
    rehearsal = _rehearsal(build, setup, actions)
    _show(screen, setup, None, rehearsal.beats[0])
    for action in actions:
        before = rehearsal.beats[-1]
        for beat in rehearsal.play(action):
            _show(screen, setup, before, beat)
            before = beat
    return rehearsal


def _asked(screen: Screen, build: Build, setup: Setup) -> Rehearsal:
    """Action by action from the terminal. A new position of a stick asks for a new machine, played up to there."""
    actions: list[Action] = []
    rehearsal = _rehearsal(build, setup, actions)
    _show(screen, setup, None, rehearsal.beats[0])
    for line in _lines():
        try:
            fresh = actions_of([line], setup)
        except NotAnAction as no:
            screen.say(str(no), tone="warning")
            continue
        rehearsal = _rehearsal(build, setup, [*actions, *fresh])
        for action in actions:
            rehearsal.play(action)
        actions += fresh
        for action in fresh:
            before = rehearsal.beats[-1]
            for beat in rehearsal.play(action):
                _show(screen, setup, before, beat)
                before = beat
    return rehearsal


def _lines() -> Iterator[str]:
    while True:
        try:
            line = input(_ASK)
        except EOFError:
            return
        if not line.strip():
            return
        yield line


def _show(screen: Screen, setup: Setup, before: Beat | None, beat: Beat) -> None:
    """When, what was done, and what changed by it."""
    step = beat.step
    current = "" if beat.current_a is None else f"  ({beat.current_a:z.2f} A)"
    screen.say(f"{step.action}{current}", mark=f"{beat.time_s:6.1f} s", tone="strong")
    if before is None:
        told = [f"{name} {mode}" for name, mode in step.modes.items()]
        screen.say(", ".join(told), indent=9)
        return
    pulses = [
        f"{name} {_us(before.step.pulses_us[name])} to {_us(pulse)}"
        for name, pulse in step.pulses_us.items()
        if pulse != before.step.pulses_us[name]
    ]
    modes = [
        f"{name}: {before.step.modes[name]} to {mode}"
        for name, mode in step.modes.items()
        if mode != before.step.modes[name]
    ]
    if pulses:
        screen.say(", ".join(pulses), mark="pulses", tone="faint", indent=9)
    screen.say("; ".join(modes) or _still(beat, _quiet(setup)), mark="then", tone="faint", indent=9)


def _still(beat: Beat, quiet: Mapping[str, str]) -> str:
    """What goes on where nothing changed: every device that is neither quiet nor dark."""
    on = [f"{name} {mode}" for name, mode in beat.step.modes.items() if mode not in (quiet[name], DARK)]
    unheard = not beat.step.signal and not beat.step.action.startswith("wait")
    nothing = "nothing changes without the signal" if unheard else "nothing changes"
    return f"{nothing}; {'still ' + ', '.join(on) if on else 'nothing is on'}"


def _quiet(setup: Setup) -> dict[str, str]:
    return {one.name: one.modes[one.quiet] for one in setup.devices}


def _us(pulse_us: float | None) -> str:
    return "no pulse" if pulse_us is None else f"{pulse_us:.0f} us"


def _draw(screen: Screen, build: Build, setup: Setup, beats: list[Beat], place: Path) -> None:
    from coachwork.papers.rehearsal import rehearsal_svg

    file = place if place.suffix == ".svg" else place / "rehearsal.svg"
    write_whole(file, rehearsal_svg(beats, f"Rehearsal: {build.name}", _quiet(setup)))
    screen.say(f"Drawn in {file}.")
