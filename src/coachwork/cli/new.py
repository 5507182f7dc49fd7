"""`coachwork new`: the first five numbers asked for, or a file to fill in."""

from __future__ import annotations

import argparse
import re
import select
import signal
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from coachwork.build import FILE_NAME, Build, read, read_text, with_entry, write, write_whole
from coachwork.build.blank_file import blank_file
from coachwork.build.fields import field_of
from coachwork.build.sections.about import About
from coachwork.build.starters import FIRST_FIVE
from coachwork.cli.progress import Progress
from coachwork.cli.report_page import show_next
from coachwork.cli.screen import Screen
from coachwork.confidence import examine
from coachwork.confidence.words import tally
from coachwork.errors import BuildRefused, CoachworkError, EditedElsewhere
from coachwork.plan import Plan
from coachwork.quantity import brief
from coachwork.studies.wording import count

NAME = "build.name"
QUESTIONS = (NAME, "build.scale", *FIRST_FIVE)
BACK = "back"
PIPE_WAIT_S = 1.0  # for the first answer through a pipe; one that stays open and empty must not hold a script up
_NUMBER_WORDS = {5: "Five", 6: "Six", 7: "Seven"}
_LIKE_A_SCALE = re.compile(r"\s*1\s*[:/]\s*\d+(\.\d+)?\s*")
_LIKE_A_NUMBER = re.compile(r"[~\d.,/\s±+-]+(mm|cm|m|in|ft|\")?\s*")
Ask = Callable[[str], str]


def run(options: argparse.Namespace, screen: Screen, plan: Plan | None) -> int:
    """Write the file and say what to do next."""
    path: Path = options.place / FILE_NAME
    asking = sys.stdin.isatty() and sys.stdout.isatty()
    if path.exists() and (options.blank or not asking or not _open_questions(read(path))):
        raise CoachworkError(f"{path} is there already and was left as it is; coachwork check {options.place} reads it")
    if options.blank:
        return _blank(screen, path)
    if not asking:
        answers = _piped()
        return _take(screen, path, answers) if answers else _blank(screen, path)
    interview = Interview(path, screen)
    try:
        interview.hold(input)
    except (KeyboardInterrupt, EOFError) as end:
        with _undisturbed():
            screen.gap()
            _close(interview, screen)
        if isinstance(end, KeyboardInterrupt):
            raise
        return 0
    _close(interview, screen)
    if interview.answered:
        with Progress() as progress:
            report = examine(interview.build, plan=plan or Plan(), progress=progress, tell=progress.tell)
        screen.say(f"Of what can be asked so far: {tally(report.verdicts)}; coachwork check {path.parent} tells which.")
        show_next(screen, report)
    return 0


def _blank(screen: Screen, path: Path) -> int:
    write_whole(path, blank_file())
    screen.say(f"{path} is ready to fill in: every key stands there with what to put the callipers on.")
    screen.say(f"Then: coachwork check {path.parent}")
    return 0


def _piped() -> list[str]:
    """The lines of a pipe or file on standard input; none where nothing comes."""
    try:
        if not select.select([sys.stdin], [], [], PIPE_WAIT_S)[0]:
            return []
        return sys.stdin.read().splitlines()
    except (OSError, ValueError):  # closed, or nothing that can be waited for
        return []


def _take(screen: Screen, path: Path, answers: list[str]) -> int:
    """Answers through a pipe, a line each: there is nobody to ask again."""
    interview = Interview(path, screen)
    for key, answer in zip(QUESTIONS, answers, strict=False):
        if answer.strip() and (objection := interview.object_to(key, answer.strip())):
            screen.say(f"{key}: {objection}", mark="?", tone="warning")
    _close(interview, screen)
    if left := answers[len(QUESTIONS) :]:
        lines = count(len(left), "line was", "lines were")
        screen.say(f"{lines} not read: only {len(QUESTIONS)} are asked for ({', '.join(QUESTIONS)}).")
    return 0


@contextmanager
def _undisturbed() -> Iterator[None]:
    """A second Ctrl-C, pressed in impatience, must not cut short what is said of the answers so far."""
    before = signal.signal(signal.SIGINT, signal.SIG_IGN)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)


def _open_questions(build: Build) -> list[str]:
    """The questions whose answer the build does not hold yet."""
    named = build.name != About().name
    return [key for key in QUESTIONS if not (named if key == NAME else build.entry(key).given)]


class Interview:
    """Questions put to the builder. Each answer goes into the file at once, so that none is ever lost.

    build    : as the file stands, or would if there were one
    answered : the keys of this sitting
    """

    def __init__(self, path: Path, screen: Screen) -> None:
        self.resumed = path.exists()
        self.build = read(path) if self.resumed else read_text(blank_file(), path)
        self.answered: set[str] = set()
        self._screen = screen
        self._questions = _open_questions(self.build)

    def hold(self, ask: Ask) -> None:
        """Ask for each of the first numbers until it is understood or skipped."""
        self._greet()
        at = 0
        while at < len(self._questions):
            key = self._questions[at]
            self._screen.gap()
            self._screen.say(_question(key), mark=f"{at + 1}.", tone="strong")
            at = max(at - 1, 0) if self._settle(key, ask) == BACK else at + 1

    def _greet(self) -> None:
        if self.resumed:
            left = count(len(self._questions), "question is", "questions are")
            self._screen.say(f"{self.build.path} is there already; {left} left.")
        else:
            number = _NUMBER_WORDS[len(self._questions)]
            self._screen.say(f"{number} questions, each of which Enter skips; {BACK} returns to the one before.")
        self._screen.say("Write a length as 267 (mm), 10 1/2 in, 2.74 m, or ~ 265 for a guess.")

    def _settle(self, key: str, ask: Ask) -> str:
        """Ask until there is an answer that can be taken; BACK where the builder wants to return."""
        held = _held(self.build, key) if key in self.answered else None
        answer = ask(f"   {key} = " if held is None else f"   {key} = (Enter keeps {held}) ").strip()
        while answer and answer.lower() != BACK:
            objection = self.object_to(key, answer)
            if objection is None:
                break
            self._screen.say(objection, indent=3)
            kept = "keeps it" if key in self.answered else "skips it"
            answer = ask(f"   once more (Enter {kept}): ").strip()
        return BACK if answer.lower() == BACK else answer

    def object_to(self, key: str, answer: str) -> str | None:
        """Take an answer in; what there is to say against it, which for an odd one does not keep it out."""
        try:
            self._put_in(key, answer)
        except BuildRefused as refused:
            return " ".join(f"{fault.read}; {fault.wanted}." for fault in refused.faults)
        except CoachworkError as fault:
            return f"{fault}."
        self.answered.add(key)
        doubt = next((doubt for doubt in self.build.doubts if doubt.key == key), None)
        if key == NAME:
            return _odd_name(answer)
        return None if doubt is None else f"{doubt.what}; {doubt.suggestion}"

    def _put_in(self, key: str, answer: str) -> None:
        try:
            self.build = write(self.build, with_entry(self.build.text, key, answer))
        except EditedElsewhere:  # in an editor beside this; what stands there now stays, but for this one key
            self.build = read(self.build.path)
            self.build = write(self.build, with_entry(self.build.text, key, answer))


def _odd_name(name: str) -> str | None:
    """What looks like the answer to another question."""
    if _LIKE_A_SCALE.fullmatch(name):
        return f"{name} looks like a scale, which is the next question; this one is what you call the build"
    if _LIKE_A_NUMBER.fullmatch(name):
        return f"{name} looks like a number; this question is what you call the build"
    return None


def _held(build: Build, key: str) -> str:
    """An answer as the file has it."""
    if key == NAME:
        return build.name
    held = build.entry(key).measured
    return "" if held is None else brief(held)


def _question(key: str) -> str:
    field = field_of(key)
    if key == NAME or field is None or field.ask is None or field.entry is None:
        return "What do you call the build?"
    whose = {"prototype": "The full-size vehicle: ", "shell": "The shell: ", "running-gear": "The running gear: "}
    unit = field.entry.KIND.bare_unit
    told = f"{whose.get(key.split('.')[0], '')}{field.ask.how}"
    return f"{told[:1].upper()}{told[1:]}{f' ({unit})' if unit else ''}."


def _close(interview: Interview, screen: Screen) -> None:
    """Say what was kept, what looks odd, and what is left."""
    path = interview.build.path
    if not interview.answered:
        screen.say(
            "Nothing was answered and nothing was changed."
            if interview.resumed
            else "Nothing was answered and nothing written. coachwork new --blank writes a file to fill in."
        )
        return
    screen.gap()
    answers = count(len(interview.answered), "answer")
    screen.say(f"{answers} written to {path}, where every other key waits as a comment.")
    if _open_questions(interview.build):
        screen.say(f"coachwork new {path.parent} goes on with the questions that are left.")
    screen.say(f"Next: coachwork enter {path.parent} KEY VALUE, or an editor; then coachwork check {path.parent}")
    for doubt in interview.build.doubts:
        screen.say(str(doubt), mark="?", tone="warning", indent=2)
