"""`[duty]`: what the vehicle is to do for how long; a round of driving, driven again and again."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Annotated, Any, ClassVar, Literal

from pydantic import PrivateAttr

from coachwork.build.duty_file import Row, read_duty
from coachwork.build.entries import Ask, Note, Time
from coachwork.build.places import Steps
from coachwork.build.section import Section
from coachwork.quantity import Source

TOLD = 5  # slips of one file; a foreign file has one on every line


class Duty(Section):
    """How it is driven. Your own round stands in a CSV file beside the build file (see docs/power.md)."""

    TABLE: ClassVar[str] = "duty"
    ORDER: ClassVar[int] = 63
    INSTRUMENT: ClassVar[Source | None] = Source.CHOSEN

    round: Annotated[
        Literal["parade crawl", "club run", "hill", "shuttle"],
        Note("a round of driving, repeated until the time is over; left aside where `file` gives your own"),
    ] = "club run"
    file: Annotated[str, Note("your own round: a CSV file beside the build file, one leg a line")] = ""
    time: Annotated[
        Time, Ask(how="how long it is to run without a stop", usual=(120, 14400), guess="30 ± 0 min")
    ] = Time()  # fmt: skip

    _rows: tuple[Row, ...] = PrivateAttr(default=())
    _broken: str | None = PrivateAttr(default=None)

    @property
    def rows(self) -> tuple[Row, ...]:
        """The legs of the file; none where there is no file, or none that can be read."""
        return self._rows

    @property
    def broken(self) -> str | None:
        """What is wrong with the file, None where nothing is."""
        return self._broken

    def read_files(self, folder: Path) -> Iterator[tuple[Steps, str, str]]:
        """Read the round's file; yields what is wrong with it."""
        name = self.file.strip()
        if name in ("", "?"):
            return
        self._rows, slips = read_duty(folder / name)
        for slip in slips[:TOLD]:
            where = "" if slip.line is None else f"{name}, line {slip.line}: "
            self._broken = self._broken or f"{where}{slip.read}; {slip.wanted}"
            yield ("file",), f"{where}{slip.read}", slip.wanted
        if len(slips) > TOLD:
            yield ("file",), f"{name}: {len(slips) - TOLD} more slips", "mend these first"

    def settings(self) -> tuple[Any, ...]:
        """With the file's legs: an answer is another one when they change."""
        return (*super().settings(), self._rows, self._broken)
