"""One build held open: numbers put in, taken back and redone, saved as they come, and answered again in the background.

Nothing here knows of a page. A session belongs to a build's folder: what was typed is on disk before `edit` or `note`
returns, so that a new session of the same folder goes on where a killed one stopped. The file may be changed by others
meanwhile: what they changed is taken over, and where they changed the very number that was typed here, the builder is
asked. Listeners are called on whatever thread the news comes up, and are to be quick.
"""

from __future__ import annotations

import contextlib
import threading
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Literal

from coachwork.build import Build, find, read_text, text_of, with_entry
from coachwork.build.fields import field_of
from coachwork.build.writing import exchange
from coachwork.confidence import examine, first_look
from coachwork.errors import BuildRefused, CoachworkError, EditedElsewhere, Fault
from coachwork.plan import Plan
from coachwork.workbench.answering import Answers, Examine, News
from coachwork.workbench.journal import Draft, Journal
from coachwork.workbench.merging import NOT_THERE, differences, digest, held, step, stepped

Listener = Callable[[News], None]
LOOK_S = 0.4  # between two looks at the file; a human who saves in an editor and looks up waits no longer
QUIET_S = 1.5  # without an edit, before what can be turned is looked for
MOST_TRIES = 3


@dataclass(frozen=True, kw_only=True)
class Outcome:
    """What became of an edit: `saved`, or the draft that it is kept as until it can be."""

    saved: bool
    drafts: tuple[Draft, ...] = ()
    faults: tuple[str, ...] = ()


class Session:
    """One build, open.

    build   : as last read; None until the file can be read for the first time
    broken  : why it cannot be read just now, line by line; empty when it can
    answers : of the build, or of an older one while they are being worked out
    told    : what another program did to the file, in words, the latest last
    """

    def __init__(
        self, place: Path, *, plan: Plan | None = None, look: Examine = first_look, answer: Examine = examine
    ) -> None:
        self.file = find(place).resolve()
        self.plan = plan or Plan()
        self.answers = Answers(self.plan, look, answer, lambda news: self.tell(news))
        self._lock = threading.RLock()
        self._turn = threading.Condition()  # of the version; free while an edit is put on record, so that answers begin
        self._closed = threading.Event()
        self._listeners: list[Listener] = []
        self._text = ""
        self._mark: tuple[int, ...] = ()
        self.build: Build | None = None
        self.broken: tuple[str, ...] = ()
        self.told: list[str] = []
        self.version = 0  # of the build
        self.answered = 0  # the version that the answers are of
        self._journal = Journal.of(self.folder)
        with self._lock:
            self._catch_up()
        self._threads = [
            threading.Thread(target=run, name=f"coachwork {name}", daemon=True)
            for name, run in (("answers", self._keep_answering), ("file", self._keep_looking))
        ]
        for thread in self._threads:
            thread.start()

    @property
    def folder(self) -> Path:
        """The build's."""
        return self.file.parent

    def close(self) -> None:
        """Stop working; what was typed is on disk already."""
        self._closed.set()
        with self._turn:
            self._turn.notify_all()
        for thread in self._threads:
            thread.join(timeout=5)

    def listen(self, listener: Listener) -> Callable[[], None]:
        """Have a function called with what is new; returns how to end that."""
        self._listeners.append(listener)

        def end() -> None:
            with contextlib.suppress(ValueError):
                self._listeners.remove(listener)

        return end

    def tell(self, news: News) -> None:
        """Call the listeners."""
        for listener in tuple(self._listeners):
            listener(news)

    # ------------------------------------------------------------------ numbers in

    @property
    def drafts(self) -> Mapping[str, Draft]:
        """Texts that are not in the file, by key."""
        return dict(self._journal.drafts)  # a copy is taken in one go: whoever shows it waits for no disk

    @property
    def undoes(self) -> str | None:
        """What `undo` would take back, in words."""
        return next((step.told for step in self._journal.undo[-1:]), None)

    @property
    def redoes(self) -> str | None:
        """What `redo` would do again, in words."""
        return next((step.told for step in self._journal.redo[-1:]), None)

    def note(self, key: str, text: str, *, seen: str | None) -> Outcome:
        """Keep what is being typed, and say what would be wrong with it; the file is left alone."""
        with self._lock:
            faults = self._faults_of({key: text})
            if not faults and text.strip() == (seen or ""):  # typed back to what it was
                self.drop(key)
                return Outcome(saved=False)
            self._keep(Draft(key=key, text=text, seen=seen, why="refused" if faults else "typed", faults=faults))
            return self._outcome([key], faults)

    def drop(self, key: str) -> None:
        """Forget a draft."""
        with self._lock:
            if self._journal.drafts.pop(key, None) is not None:
                self._journal.save()
                self.tell("drafts")

    def edit(self, key: str, text: str, *, seen: str | None) -> Outcome:
        """Put one key into the file. See `edit_all`."""
        return self.edit_all({key: text}, seen={key: seen})

    def edit_all(self, values: Mapping[str, str], *, seen: Mapping[str, str | None]) -> Outcome:
        """Put keys into the file together, as one step to undo, or none of them.

        values : what the builder typed, by key; nothing takes a number out, as "?" does
        seen   : what each key held when the typing began; where the file now holds another text of somebody else's,
                 the builder is asked first
        """
        values = {key: text.strip() or NOT_THERE for key, text in values.items()}
        with self._lock:
            for _ in range(MOST_TRIES):
                self._catch_up()
                try:
                    return self._edited(values, seen)
                except EditedElsewhere:  # between the look and the writing
                    continue
            why = (f"{self.file.name} is being changed by another program all the time",)
            for key, text in values.items():
                self._keep(Draft(key=key, text=text, seen=seen.get(key), why="waiting", faults=why))
            return self._outcome(values, why)

    def _edited(self, values: Mapping[str, str], seen: Mapping[str, str | None]) -> Outcome:
        if self.build is None or self.broken:
            for key, text in values.items():
                self._keep(Draft(key=key, text=text, seen=seen.get(key), why="waiting", faults=self.broken))
            return self._outcome(values, self.broken)
        now = {key: held(self._text, key) for key in values if field_of(key) is not None}
        clashes = [key for key in now if now[key] not in (seen.get(key), values[key])]
        if clashes:
            for key in values:
                theirs = now[key] if key in clashes else None
                why: Literal["clash", "waiting"] = "clash" if key in clashes else "waiting"
                self._keep(Draft(key=key, text=values[key], seen=seen.get(key), why=why, theirs=theirs))
            return self._outcome(values, ())
        new, build, faults = self._tried(values)
        if faults:
            for key, text in values.items():
                self._keep(Draft(key=key, text=text, seen=seen.get(key), why="refused", faults=faults))
            return self._outcome(values, faults)
        assert build is not None
        if new != self._text:
            made = step(self._text, new, tuple(values))
            self._write(new, build)
            self._journal.undo.append(made)
            self._journal.redo.clear()
        gone = [self._journal.drafts.pop(key, None) for key in values]
        if new != self._text or any(gone) or self._journal.undo:
            self._journal.save()
        self.tell("build")
        return Outcome(saved=True)

    def _outcome(self, keys: Iterable[str], faults: tuple[str, ...]) -> Outcome:
        return Outcome(saved=False, faults=faults, drafts=tuple(self._journal.drafts[key] for key in keys))

    def _keep(self, draft: Draft) -> None:
        if self._journal.drafts.get(draft.key) != draft:
            self._journal.drafts[draft.key] = draft
            self._journal.save()
            self.tell("drafts")

    def _faults_of(self, values: Mapping[str, str]) -> tuple[str, ...]:
        return self._tried({key: text.strip() or NOT_THERE for key, text in values.items()})[2]

    def _tried(self, values: Mapping[str, str]) -> tuple[str, Build | None, tuple[str, ...]]:
        """The text with these values, the build it makes, and what is wrong with it, in the file's own words."""
        text = self._text
        for key, value in values.items():
            if field_of(key) is None:
                return text, None, (f"{key}: there is no key of this name",)
            try:
                text = with_entry(text, key, value)
            except CoachworkError as fault:
                return text, None, (str(fault),)
        if text == self._text and self.build is not None:
            return text, self.build, ()
        try:
            return text, read_text(text, self.file), ()
        except BuildRefused as refused:
            return text, None, _in_words(refused.faults)

    def undo(self) -> str | None:
        """Take the last change back; says why where that cannot be."""
        return self._step_back(self._journal.undo, self._journal.redo)

    def redo(self) -> str | None:
        """Do again what was taken back last; says why where that cannot be."""
        return self._step_back(self._journal.redo, self._journal.undo)

    def _step_back(self, stack: list, other: list) -> str | None:  # type: ignore[type-arg]
        with self._lock:
            self._catch_up()
            if not stack or self.broken or self.build is None:
                return None if not stack else "the build file cannot be read just now"
            back = stack[-1].reverse
            new = stepped(self._text, back)
            if new is None:
                stack.pop()
                self._journal.save()
                self.tell("build")
                return f"{back.changes[0].key} was changed elsewhere since; it is left as it is"
            try:
                build = read_text(new, self.file)
                made = step(self._text, new, tuple(one.key for one in back.changes))
                self._write(new, build)
            except (BuildRefused, EditedElsewhere) as fault:
                return str(fault)
            stack.pop()
            other.append(made)
            self._journal.save()
            self.tell("build")
            return None

    def _write(self, new: str, build: Build) -> None:
        """Put a text in the file's place; the answers begin meanwhile, for the disk takes as long as the first of them.

        Raises EditedElsewhere; the file and the build are then as they were.
        """
        before = self.build
        self._answer_to(build)
        try:
            exchange(self.file, self._text, new)
        except BaseException:
            self._answer_to(before)
            raise
        self._text, self.broken, self._mark = new, (), _mark(self.file)

    def _take(self, text: str, build: Build) -> None:
        self._text, self.broken, self._mark = text, (), _mark(self.file)
        self._answer_to(build)

    def _answer_to(self, build: Build | None) -> None:
        with self._turn:
            self.build = build
            self.version += 1
            self._turn.notify_all()

    # ------------------------------------------------------------------ the file, changed by others

    def _keep_looking(self) -> None:
        while not self._closed.wait(LOOK_S):
            with self._lock:
                self._catch_up()

    def _catch_up(self) -> None:
        """Read the file where it is another than before."""
        mark = _mark(self.file)
        if mark == self._mark and mark:
            return
        first = self.build is None and not self.broken
        try:
            text = text_of(self.file)
        except BuildRefused as refused:
            self._break(mark, _in_words(refused.faults, lines=True))
            return
        except OSError as fault:
            self._break(mark, (f"{self.file}: {(fault.strerror or str(fault)).lower()}",))
            return
        if text == self._text and not self.broken and self.build is not None:
            self._mark = mark
            return
        try:
            build = read_text(text, self.file)
        except BuildRefused as refused:
            self._break(mark, _in_words(refused.faults, lines=True))
            return
        changed = {} if first else differences(self._text, text)
        self._take(text, build)
        self._mark = mark
        if not first:
            self._tell_of(changed)
        self._settle_drafts()
        self.tell("build")

    def _break(self, mark: tuple[int, ...], why: tuple[str, ...]) -> None:
        self._mark = mark
        if self.broken != why:
            self.broken = why
            self.tell("build")

    def _tell_of(self, changed: Mapping[str, tuple[str | None, str | None]]) -> None:
        """What another program changed."""
        if not changed:
            return
        key, (before, after) = next(iter(changed.items()))
        more = f", and {len(changed) - 1} more" if len(changed) > 1 else ""
        self.told.append(
            f"{self.file.name} was changed by another program, and the change is taken over: {key} was "
            f"{before or 'nothing'}, is {after or 'nothing'}{more}"
        )
        self.tell("told")

    def _settle_drafts(self) -> None:
        """Drafts against a file that is new: those that waited go in, those that another hand met are asked about."""
        for key, draft in tuple(self._journal.drafts.items()):
            now = held(self._text, key) if field_of(key) is not None else None
            if draft.why != "typed" and now == draft.text:
                self._journal.drafts.pop(key)
            elif now != draft.seen and field_of(key) is not None:
                self._journal.drafts[key] = replace(draft, why="clash", theirs=now, faults=())
        self._journal.save()
        waiting = {key: draft for key, draft in self._journal.drafts.items() if draft.why == "waiting"}
        if waiting:
            try:
                self._edited(
                    {key: draft.text for key, draft in waiting.items()},
                    {key: draft.seen for key, draft in waiting.items()},
                )
            except EditedElsewhere:
                return  # the next look finds it

    def settle(self, key: str, *, take: Literal["mine", "theirs"]) -> Outcome:
        """Answer a clash: put mine in after all, or leave theirs."""
        with self._lock:
            draft = self._journal.drafts.get(key)
            if draft is None or draft.why != "clash":
                return Outcome(saved=True)
            if take == "theirs":
                self.drop(key)
                return Outcome(saved=True)
            return self.edit(key, draft.text, seen=draft.theirs)

    # ------------------------------------------------------------------ answers

    def _keep_answering(self) -> None:
        while not self._closed.is_set():
            with self._turn:
                self._turn.wait_for(
                    lambda: self._closed.is_set() or (self.build is not None and self.answered != self.version)
                )
                if self._closed.is_set():
                    return
                build, version = self.build, self.version
            assert build is not None

            def unwanted(version: int = version) -> bool:
                return self._closed.is_set() or self.version != version

            if self.answers.work(build, unwanted):
                self.answered = version
                self.tell("answers")
                # Only once no edit has come for a while: the next one must not wait for it.
                with self._turn:
                    edited = self._turn.wait_for(unwanted, QUIET_S)
                if not edited:
                    self.answers.find_levers(unwanted)

    def again(self) -> None:
        """Answer once more: a file beside the build's has changed."""
        with self._turn:
            self.version += 1
            self._turn.notify_all()
        self.tell("working")

    def settled(self, timeout_s: float = 60.0) -> bool:
        """Wait until the answers are those of the build as it stands; whether they are."""
        done = threading.Event()

        def look(_: News = "answers") -> None:
            if self.answered == self.version:
                done.set()

        end = self.listen(look)
        look()
        try:
            return done.wait(timeout_s)
        finally:
            end()

    @property
    def text(self) -> str:
        """Of the file as last read."""
        return self._text

    @property
    def mark(self) -> str:
        """Changes with the text."""
        return digest(self._text)


def _mark(file: Path) -> tuple[int, ...]:
    """Another mark, another file; nothing where there is none."""
    try:
        state = file.stat()
    except OSError:
        return ()
    return state.st_mtime_ns, state.st_size, state.st_ino


def _in_words(faults: Iterable[Fault], *, lines: bool = False) -> tuple[str, ...]:
    """Without lines, where those would be of a text that nobody will see."""
    return tuple(str(fault if lines else replace(fault, line=None)) for fault in faults)
