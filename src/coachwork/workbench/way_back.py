"""The way back, and forward again: steps that the builder made, taken out of the file as it stands now."""

from __future__ import annotations

from collections.abc import Callable

from coachwork.build import Build, read_text
from coachwork.errors import BuildRefused, EditedElsewhere
from coachwork.workbench.answering import News
from coachwork.workbench.journal import Journal
from coachwork.workbench.merging import Step, step, stepped
from coachwork.workbench.standing import Standing


class WayBack:
    """What can be undone and redone. Whoever calls holds the session's lock, and has looked at the file."""

    def __init__(
        self, standing: Standing, journal: Journal, *,
        write: Callable[[str, Build], None], tell: Callable[[News], None],
    ) -> None:  # fmt: skip
        self._standing, self._journal, self._write, self._tell = standing, journal, write, tell

    def made(self, old: str, new: str, keys: tuple[str, ...]) -> None:
        """A step forward by the builder's own hand, which ends the way forward."""
        self._journal.undo.append(step(old, new, keys))
        self._journal.redo.clear()

    def undo(self) -> str | None:
        """Take the last step back; says why where that cannot be."""
        return self._go(self._journal.undo, self._journal.redo)

    def redo(self) -> str | None:
        """Make the step again that was taken back last; says why where that cannot be."""
        return self._go(self._journal.redo, self._journal.undo)

    def _go(self, stack: list[Step], other: list[Step]) -> str | None:
        if not stack:
            return None
        if self._standing.broken or not self._standing.read:
            return "the build file cannot be read just now"
        back = stack[-1].reverse
        text = self._standing.text
        new = stepped(text, back)
        if new is None:
            stack.pop()
            self._journal.save()
            self._tell("build")
            return f"{back.changes[0].key} was changed elsewhere since; it is left as it is"
        try:
            build = read_text(new, self._standing.file)
            made = step(text, new, tuple(one.key for one in back.changes))
            self._write(new, build)
        except (BuildRefused, EditedElsewhere) as fault:
            return str(fault)
        stack.pop()
        other.append(made)
        self._journal.save()
        self._tell("build")
        return None
