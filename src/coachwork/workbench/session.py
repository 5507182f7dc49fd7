"""One build held open: numbers put in, taken back and redone, saved as they come, and answered again in the background.

Nothing here knows of a page. A session belongs to a build's folder: what was typed is on disk before `edit` or `note`
returns, so that a new session of the same folder goes on where a killed one stopped. The file may be changed by others
meanwhile: what they changed is taken over, and where they changed the very number that was typed here, the builder is
asked. Listeners are called on whatever thread the news comes up, and are to be quick.

Here its parts are held together, and take turns: the file as it stands (`standing`), numbers on their way into it
(`numbers_in`), the way back (`way_back`), and answers that follow it (`following`).
"""

from __future__ import annotations

import contextlib
import threading
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Literal

from coachwork.build import Build, find
from coachwork.build.writing import exchange
from coachwork.confidence import examine, first_look
from coachwork.plan import Plan
from coachwork.workbench.answering import Answers, Examine, News
from coachwork.workbench.following import Following
from coachwork.workbench.journal import Draft, Journal
from coachwork.workbench.merging import digest
from coachwork.workbench.numbers_in import NumbersIn, Outcome
from coachwork.workbench.standing import Standing
from coachwork.workbench.way_back import WayBack

Listener = Callable[[News], None]
LOOK_S = 0.4  # between two looks at the file; a human who saves in an editor and looks up waits no longer
QUIET_S = 1.5  # without an edit, before what can be turned is looked for


class Session:
    """One build, open.

    answers : of the build, or of an older one while they are being worked out
    told    : what another program did to the file, in words, the latest last
    """

    def __init__(
        self, place: Path, *, plan: Plan | None = None, look: Examine = first_look, answer: Examine = examine
    ) -> None:
        self.file = find(place).resolve()
        self.plan = plan or Plan()
        self.answers = Answers(self.plan, look, answer, self.tell)
        self.told: list[str] = []
        self._listeners: list[Listener] = []
        self._lock = threading.RLock()
        self._journal = Journal.of(self.folder)
        self._standing = Standing(self.file)
        self._following = Following(self.answers, self.tell, quiet_s=QUIET_S)
        self._way_back = WayBack(self._standing, self._journal, write=self._write, tell=self.tell)
        self._numbers = NumbersIn(
            self._standing, self._following, self._journal, self._way_back, write=self._write, tell=self.tell
        )
        with self._lock:
            self._catch_up()
        self._following.start()
        self._looking = threading.Thread(target=self._keep_looking, name="coachwork file", daemon=True)
        self._looking.start()

    @property
    def folder(self) -> Path:
        """The build's."""
        return self.file.parent

    def close(self) -> None:
        """Stop working; what was typed is on disk already."""
        self._following.close()
        self._looking.join(timeout=5)

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

    @property
    def build(self) -> Build | None:
        """As last read; None until the file can be read for the first time."""
        return self._following.build

    @property
    def broken(self) -> tuple[str, ...]:
        """Why the file cannot be read just now, line by line; empty when it can."""
        return self._standing.broken

    @property
    def text(self) -> str:
        """Of the file as last read."""
        return self._standing.text

    @property
    def mark(self) -> str:
        """Changes with the text."""
        return digest(self.text)

    def _keep_looking(self) -> None:
        while not self._following.closed.wait(LOOK_S):
            with self._lock:
                self._catch_up()

    def _catch_up(self) -> None:
        """Take over what another program has made of the file."""
        seen = self._standing.look()
        if seen is None:
            return
        if seen.build is not None:
            self._following.to(seen.build)
            told = self._standing.told(seen)
            if told is not None:
                self.told.append(told)
                self.tell("told")
            self._numbers.meet()
        self.tell("build")

    def _write(self, new: str, build: Build) -> None:
        """Put a text in the file's place; the answers begin meanwhile, for the disk takes as long as the first of them.

        Raises EditedElsewhere; the file and the build are then as they were.
        """
        before = self.build
        self._following.to(build)
        try:
            exchange(self.file, self.text, new)
        except BaseException:
            self._following.to(before)
            raise
        self._standing.wrote(new)

    @property
    def drafts(self) -> Mapping[str, Draft]:
        """Texts that are not in the file, by key."""
        return dict(self._journal.drafts)  # a copy is taken in one go: whoever shows it waits for no disk

    def note(self, key: str, text: str, *, seen: str | None) -> Outcome:
        """Keep what is being typed, and say what would be wrong with it; the file is left alone."""
        with self._lock:
            return self._numbers.note(key, text, seen=seen)

    def drop(self, key: str) -> None:
        """Forget a draft."""
        with self._lock:
            self._numbers.drop(key)

    def edit(self, key: str, text: str, *, seen: str | None) -> Outcome:
        """Put one key into the file. See `edit_all`."""
        return self.edit_all({key: text}, seen={key: seen})

    def edit_all(self, values: Mapping[str, str], *, seen: Mapping[str, str | None]) -> Outcome:
        """Put keys into the file together, as one step to undo, or none of them.

        values : what the builder typed, by key; nothing takes a number out, as "?" does
        seen   : what each key held when the typing began; where the file now holds another text of somebody else's,
                 the builder is asked first
        """
        with self._lock:
            return self._numbers.edit(values, seen, self._catch_up)

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

    @property
    def undoes(self) -> str | None:
        """What `undo` would take back, in words."""
        return next((step.told for step in self._journal.undo[-1:]), None)

    @property
    def redoes(self) -> str | None:
        """What `redo` would do again, in words."""
        return next((step.told for step in self._journal.redo[-1:]), None)

    def undo(self) -> str | None:
        """Take the last change back; says why where that cannot be."""
        with self._lock:
            self._catch_up()
            return self._way_back.undo()

    def redo(self) -> str | None:
        """Do again what was taken back last; says why where that cannot be."""
        with self._lock:
            self._catch_up()
            return self._way_back.redo()

    @property
    def version(self) -> int:
        """Of the build."""
        return self._following.version

    @property
    def answered(self) -> int:
        """The version that the answers are of."""
        return self._following.answered

    def again(self) -> None:
        """Answer once more: a file beside the build's has changed."""
        self._following.again()
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
