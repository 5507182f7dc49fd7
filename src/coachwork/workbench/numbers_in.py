"""Numbers that are put in: checked as they are typed, kept as drafts until they are in the file, and never put over
what another hand has put there meanwhile.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Literal

from coachwork.build import Build, read_text, with_entry
from coachwork.build.fields import field_of
from coachwork.errors import BuildRefused, CoachworkError, EditedElsewhere
from coachwork.workbench.answering import News
from coachwork.workbench.following import Following
from coachwork.workbench.journal import Draft, Journal
from coachwork.workbench.merging import NOT_THERE, held
from coachwork.workbench.standing import Standing, in_words
from coachwork.workbench.way_back import WayBack

MOST_TRIES = 3
Write = Callable[[str, Build], None]  # puts a text in the file's place; raises EditedElsewhere


@dataclass(frozen=True, kw_only=True)
class Outcome:
    """What became of an edit: `saved`, or the draft that it is kept as until it can be."""

    saved: bool
    drafts: tuple[Draft, ...] = ()
    faults: tuple[str, ...] = ()


class NumbersIn:
    """Drafts, and their way into the file. Whoever calls holds the session's lock."""

    def __init__(
        self, standing: Standing, following: Following, journal: Journal, way_back: WayBack, *,
        write: Write, tell: Callable[[News], None],
    ) -> None:  # fmt: skip
        self._standing, self._following, self._journal, self._way_back = standing, following, journal, way_back
        self._write, self._tell = write, tell

    def note(self, key: str, text: str, *, seen: str | None) -> Outcome:
        """Keep what is being typed, and say what would be wrong with it."""
        *_, faults = self._tried({key: text.strip() or NOT_THERE})
        if not faults and text.strip() == (seen or ""):  # typed back to what it was
            self.drop(key)
            return Outcome(saved=False)
        self._keep(Draft(key=key, text=text, seen=seen, why="refused" if faults else "typed", faults=faults))
        return self._outcome([key], faults)

    def drop(self, key: str) -> None:
        """Forget a draft."""
        if self._journal.drafts.pop(key, None) is not None:
            self._journal.save()
            self._tell("drafts")

    def edit(self, values: Mapping[str, str], seen: Mapping[str, str | None], catch_up: Callable[[], None]) -> Outcome:
        """Put keys into the file together, or none of them; `catch_up` has the file read again before each try."""
        values = {key: text.strip() or NOT_THERE for key, text in values.items()}
        for _ in range(MOST_TRIES):
            catch_up()
            try:
                return self._put(values, seen)
            except EditedElsewhere:  # between the look and the writing
                continue
        return self._wait(
            values, seen, (f"{self._standing.file.name} is being changed by another program all the time",)
        )

    def _put(self, values: Mapping[str, str], seen: Mapping[str, str | None]) -> Outcome:
        text = self._standing.text
        if self._following.build is None or self._standing.broken:
            return self._wait(values, seen, self._standing.broken)
        now = {key: held(text, key) for key in values if field_of(key) is not None}
        clashes = [key for key in now if now[key] not in (seen.get(key), values[key])]
        if clashes:
            for key in values:
                theirs = now[key] if key in clashes else None
                why: Literal["clash", "waiting"] = "clash" if key in clashes else "waiting"
                self._keep(Draft(key=key, text=values[key], seen=seen.get(key), why=why, theirs=theirs))
            return self._outcome(values, ())
        new, build, faults = self._tried(values)
        if faults:
            for key, wanted in values.items():
                self._keep(Draft(key=key, text=wanted, seen=seen.get(key), why="refused", faults=faults))
            return self._outcome(values, faults)
        assert build is not None
        if new != text:
            self._write(new, build)
            self._way_back.made(text, new, tuple(values))
        gone = [self._journal.drafts.pop(key, None) for key in values]
        if new != text or any(gone) or self._journal.undo:
            self._journal.save()
        self._tell("build")
        return Outcome(saved=True)

    def _tried(self, values: Mapping[str, str]) -> tuple[str, Build | None, tuple[str, ...]]:
        """The text with these values, the build it makes, and what is wrong with it, in the file's own words."""
        text, build = self._standing.text, self._following.build
        for key, value in values.items():
            if field_of(key) is None:
                return text, None, (f"{key}: there is no key of this name",)
            try:
                text = with_entry(text, key, value)
            except CoachworkError as fault:
                return text, None, (str(fault),)
        if text == self._standing.text and build is not None:
            return text, build, ()
        try:
            return text, read_text(text, self._standing.file), ()
        except BuildRefused as refused:
            return text, None, in_words(refused.faults)

    def _wait(self, values: Mapping[str, str], seen: Mapping[str, str | None], why: tuple[str, ...]) -> Outcome:
        for key, text in values.items():
            self._keep(Draft(key=key, text=text, seen=seen.get(key), why="waiting", faults=why))
        return self._outcome(values, why)

    def _keep(self, draft: Draft) -> None:
        if self._journal.drafts.get(draft.key) != draft:
            self._journal.drafts[draft.key] = draft
            self._journal.save()
            self._tell("drafts")

    def _outcome(self, keys: Iterable[str], faults: tuple[str, ...]) -> Outcome:
        return Outcome(saved=False, faults=faults, drafts=tuple(self._journal.drafts[key] for key in keys))

    def meet(self) -> None:
        """Drafts against a file that is new: those that waited go in, those that another hand met are asked about."""
        drafts, text = self._journal.drafts, self._standing.text
        for key, draft in tuple(drafts.items()):
            now = held(text, key) if field_of(key) is not None else None
            if draft.why != "typed" and now == draft.text:
                drafts.pop(key)
            elif now != draft.seen and field_of(key) is not None:
                drafts[key] = replace(draft, why="clash", theirs=now, faults=())
        self._journal.save()
        waiting = {key: draft for key, draft in drafts.items() if draft.why == "waiting"}
        if waiting:
            try:
                self._put(
                    {key: draft.text for key, draft in waiting.items()},
                    {key: draft.seen for key, draft in waiting.items()},
                )
            except EditedElsewhere:
                return  # the next look finds it
