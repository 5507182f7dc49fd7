"""`coachwork new`: the first handful of numbers asked for, or a file to fill in."""

from __future__ import annotations

import argparse
import signal
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from coachwork.build import FILE_NAME, Build, read_text, with_entry, write_whole
from coachwork.build.blank_file import blank_file
from coachwork.build.fields import field_of
from coachwork.cli.progress import Progress
from coachwork.cli.report_page import show_next
from coachwork.cli.screen import Screen
from coachwork.confidence import examine
from coachwork.errors import BuildRefused, CoachworkError
from coachwork.plan import Plan
from coachwork.studies.wording import count

# Enough to tell whether shell, full-size vehicle and running gear go together at all.
FIRST_NUMBERS = (
    "build.name",
    "build.scale",
    "prototype.length",
    "prototype.wheelbase",
    "shell.length",
    "shell.width",
    "shell.wheelbase",
    "running-gear.wheelbase",
    "wheels.front.tyre-diameter",
)
Ask = Callable[[str], str]


def run(options: argparse.Namespace, screen: Screen, plan: Plan | None) -> int:
    """Write the file and say what to do next."""
    path: Path = options.place / FILE_NAME
    if path.exists():
        raise CoachworkError(f"{path} is there already and was left as it is; coachwork check {options.place} reads it")
    if options.blank or not (sys.stdin.isatty() and sys.stdout.isatty()):
        write_whole(path, blank_file())
        screen.say(f"{path} is ready to fill in: every key stands there with what to put the callipers on.")
        screen.say(f"Then: coachwork check {options.place}")
        return 0
    screen.say("Nine questions, each of which Enter skips. Write a length as 267, 10 1/2 in or ~ 265 for a guess.")
    text = blank_file()
    interview = Interview(text, path, screen)
    try:
        interview.hold(input)
    except (KeyboardInterrupt, EOFError) as end:
        with _undisturbed():
            screen.gap()
            _keep(interview, path, screen)
        if isinstance(end, KeyboardInterrupt):
            raise
        return 0
    _keep(interview, path, screen)
    if interview.answered:
        with Progress() as progress:
            report = examine(read_text(interview.text, path), plan=plan or Plan(), progress=progress, tell=progress.tell)
        show_next(screen, report)
    return 0


@contextmanager
def _undisturbed() -> Iterator[None]:
    """A second Ctrl-C, pressed in impatience, must not cut short the keeping of what was answered."""
    before = signal.signal(signal.SIGINT, signal.SIG_IGN)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)


class Interview:
    """Questions put to the builder; `text` holds all that was answered so far, whatever happens next."""

    def __init__(self, text: str, path: Path, screen: Screen) -> None:
        self.text = text
        self.answered: set[str] = set()
        self._path = path
        self._screen = screen

    def hold(self, ask: Ask) -> None:
        """Ask for each of the first numbers until it is understood or skipped."""
        for number, key in enumerate(FIRST_NUMBERS, start=1):
            self._screen.gap()
            self._screen.say(_question(key), mark=f"{number}.", tone="strong")
            answer = ask(f"   {key} = ").strip()
            while answer:
                objection = self._object_to(key, answer)
                if objection is None:
                    break
                self._screen.say(objection, indent=3)
                kept = "keeps it" if key in self.answered else "skips it"
                answer = ask(f"   once more (Enter {kept}): ").strip()

    def _object_to(self, key: str, answer: str) -> str | None:
        """Take an answer in; what there is to say against it, which for an odd number does not keep it out."""
        try:
            text = with_entry(self.text, key, answer)
            build = read_text(text, self._path)
        except BuildRefused as refused:
            return " ".join(f"{fault.read}; {fault.wanted}." for fault in refused.faults)
        except CoachworkError as fault:
            return f"{fault}."
        self.text = text
        self.answered.add(key)
        doubt = next((doubt for doubt in build.doubts if doubt.key == key), None)
        return None if doubt is None else f"{doubt.what}; {doubt.suggestion}"


def _question(key: str) -> str:
    field = field_of(key)
    if key == "build.name" or field is None or field.ask is None or field.entry is None:
        return "What do you call it?"
    whose = {"prototype": "The full-size vehicle: ", "shell": "The shell: ", "running-gear": "The running gear: "}
    unit = field.entry.KIND.bare_unit
    told = f"{whose.get(key.split('.')[0], '')}{field.ask.how}"
    return f"{told[:1].upper()}{told[1:]}{f' ({unit})' if unit else ''}."


def _keep(interview: Interview, path: Path, screen: Screen) -> None:
    if not interview.answered:
        screen.say("Nothing was answered and nothing written. coachwork new --blank writes a file to fill in.")
        return
    write_whole(path, interview.text)
    build: Build = read_text(interview.text, path)
    screen.gap()
    screen.say(
        f"{count(len(interview.answered), 'answer')} written to {path}, where every other key waits as a comment."
    )
    screen.say(f"Next: coachwork enter {path.parent} KEY VALUE, or an editor; then coachwork check {path.parent}")
    for doubt in build.doubts:
        screen.say(str(doubt), mark="?", tone="warning", indent=2)
