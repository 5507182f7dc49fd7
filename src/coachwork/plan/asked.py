"""The parts that a build asks for, and those of them that stand made just so, for studies that stand on them."""

from __future__ import annotations

from collections.abc import Hashable
from functools import lru_cache
from pathlib import Path

from coachwork.build import Build
from coachwork.plan.made import made_parts
from coachwork.plan.made import stamp as stamp_of_made
from coachwork.studies.makeability.asked import AskedParts
from coachwork.studies.makeability.specs.every import Wanted, every_part
from coachwork.studies.makeability.specs.tables import PartTables

_KEPT = 4  # builds: the workbench asks for the one before an edit and the one after it


def asked_parts(build: Build) -> AskedParts:
    """By the plain numbers. What is read for it is not put on record: a part made otherwise is another stamp."""
    wanted = {each.name: each for each in wanted_parts(build)}
    made = made_parts(build).parts
    return AskedParts(
        wanted=wanted,
        made={name: made[name] for name, each in wanted.items()
              if name in made and each.fingerprint is not None and made[name].spec == each.fingerprint},
    )  # fmt: skip


def stamp(build: Build) -> Hashable:
    """Of what is asked for, and of what stands made."""
    return _asked(_Text(build))[1], stamp_of_made(build)


def wanted_parts(build: Build) -> tuple[Wanted, ...]:
    """Every part of a build; told from its text, once for each."""
    return _asked(_Text(build))[0]


class _Text:
    """A build, equal to another of the same text in the same place."""

    def __init__(self, build: Build) -> None:
        self.build = build

    @property
    def _key(self) -> tuple[Path, str]:
        return self.build.path, self.build.text

    def __hash__(self) -> int:
        return hash(self._key)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Text) and self._key == other._key


@lru_cache(maxsize=_KEPT)
def _asked(of: _Text) -> tuple[tuple[Wanted, ...], Hashable]:
    wanted = every_part(PartTables.of(of.build))
    return wanted, tuple((each.name, each.fingerprint) for each in wanted)
