"""The parts that `coachwork make` left in the build's folder, as the studies ask for them."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Hashable, Mapping
from dataclasses import replace
from functools import lru_cache
from pathlib import Path

from coachwork.build import Build
from coachwork.studies.solids import MADE_FILE, MADE_FOLDER, MadeParts, Nearby, PartSolid

FORMAT = 1


def made_parts(build: Build) -> MadeParts:
    """None where nothing is made, or was by another edition of this program; an own drawing edited since is none."""
    folder = build.path.parent / MADE_FOLDER
    there = [
        replace(part, step=str(folder / part.step), mesh=str(folder / part.mesh))
        for part in _recorded(build)
        if not part.own or part.source_content == _content(build, part.source)
    ]
    _, reach, near = _record(build)
    return MadeParts(parts={part.name: part for part in there}, reach=reach, near=near)


def stamp(build: Build) -> Hashable:
    """Of the record, and of the drawings of the builder's own that it names."""
    own = tuple(_content(build, part.source) for part in _recorded(build) if part.own)
    return _state(build), own


def _state(build: Build) -> tuple[Path, int, int] | None:
    file = build.path.parent / MADE_FOLDER / MADE_FILE
    try:
        held = file.stat()
    except OSError:
        return None
    return file, held.st_mtime_ns, held.st_size


def _recorded(build: Build) -> tuple[PartSolid, ...]:
    return _record(build)[0]


_Record = tuple[tuple[PartSolid, ...], Mapping[str, Mapping[str, float]], tuple[Nearby, ...]]
_NONE: _Record = ((), {}, ())


def _record(build: Build) -> _Record:
    state = _state(build)
    return _NONE if state is None else _read(*state)


@lru_cache(maxsize=4)  # two studies ask with every number that changes
def _read(file: Path, written_ns: int, size: int) -> _Record:
    """The record in this state of its file: the parts, how far drivers reach, and what comes near to what."""
    try:
        form = json.loads(file.read_text(encoding="utf-8"))
        if form["format"] != FORMAT:
            return _NONE
        near = (Nearby(**each | {"at_mm": each["at_mm"] and tuple(each["at_mm"])}) for each in form.get("near", ()))
        return tuple(PartSolid.from_json(each) for each in form["parts"]), form.get("reach", {}), tuple(near)
    except (OSError, ValueError, KeyError, TypeError):
        return _NONE


def _content(build: Build, source: str) -> str:
    try:
        return hashlib.sha256((build.path.parent / source).read_bytes()).hexdigest()
    except OSError:
        return ""
