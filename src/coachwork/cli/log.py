"""`coachwork log`: write down a run and what was seen when it stopped."""

from __future__ import annotations

import argparse
import difflib
import sys
from collections.abc import Callable, Iterable

from coachwork.build import find
from coachwork.build.run_log import add_run, choices_of, how_to, log_of, read_log, run_keys, tried
from coachwork.cli.screen import Screen
from coachwork.confidence.words import sentence
from coachwork.errors import BuildRefused, CoachworkError
from coachwork.plan import Plan
from coachwork.studies.wording import count

LITHIUM = (
    "First of all: unplug the pack and look at it. One that is swollen, hot, dented or smells goes outside, on stone, "
    "away from people; local rules and its leaflet come first. Parts of 60 degC and more burn the skin."
)


def run(options: argparse.Namespace, screen: Screen, plan: Plan | None) -> int:
    """Add a run from what was typed, or ask."""
    folder = find(options.place).parent
    path = log_of(folder)
    read_log(path)  # a log that cannot be read is told before anything is asked
    values = typed(options.seen) if options.seen else None
    if values is None:
        if not sys.stdin.isatty():
            values = typed(line for line in sys.stdin.read().splitlines() if line.strip())
        else:
            screen.say(LITHIUM, tone="warning")
            values = asked(screen, input)
    if not values:
        screen.say("Nothing was told, and nothing written.")
        return 0
    made = add_run(path, values)
    screen.say(f"{count(len(values), 'line')} added to {path}.")
    if made.stopped:
        screen.say(f"coachwork why {folder} says what most likely stopped it.")
    return 0


def typed(words: Iterable[str]) -> dict[str, str]:
    """KEY=VALUE pairs. Raises CoachworkError for a key that is none, or one told twice."""
    values: dict[str, str] = {}
    for word in words:
        key, equals, value = word.partition("=")
        key = key.strip().lower().replace("_", "-").replace(" ", "-")
        if not equals or key not in run_keys():
            near = difflib.get_close_matches(key, run_keys(), n=1, cutoff=0.5)
            hint = f"did you mean {near[0]}=...?" if near else f"there are {', '.join(run_keys())}"
            raise CoachworkError(f"{word}: {'KEY=VALUE is wanted' if not equals else 'there is no such key'}; {hint}")
        if key in values:
            raise CoachworkError(f"{key} is told twice")
        values[key] = value.strip()
    return {key: value for key, value in values.items() if value}


def asked(screen: Screen, ask: Callable[[str], str]) -> dict[str, str]:
    """Every observation, one after the other; what cannot be read is asked for once more."""
    values: dict[str, str] = {}
    for key in run_keys():
        if key == "stopped":
            continue
        choices = choices_of(key)
        screen.gap()
        screen.say(sentence(how_to(key)) + (f" [{' / '.join(choices)}]" if choices else ""))
        while answer := ask(f"   {key} = ").strip():
            try:
                tried(key, answer)
            except BuildRefused as refused:
                screen.say("; ".join(f"{fault.read}; {fault.wanted}" for fault in refused.faults), indent=3)
                continue
            values[key] = answer
            break
    return values
