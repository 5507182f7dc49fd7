"""The parts that `coachwork make` left in the build's folder, as the studies ask for them."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Hashable, Mapping
from dataclasses import replace
from functools import lru_cache
from pathlib import Path

from coachwork.build import Build
from coachwork.studies.solids import MADE_FILE, MADE_FOLDER, MadeParts, PartSolid

FORMAT = 1


def made_parts(build: Build) -> MadeParts:
    """None where nothing is made, or was by another edition of this program; an own drawing edited since is none."""
    folder = build.path.parent / MADE_FOLDER
    there = [
        replace(part, step=str(folder / part.step), mesh=str(folder / part.mesh))
        for part in _recorded(build)
        if not part.own or part.source_content == _content(build, part.source)
    ]
    return MadeParts(parts={part.name: part for part in there}, reach=_reach(build))


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
    state = _state(build)
    return () if state is None else _read(*state)[0]


def _reach(build: Build) -> Mapping[str, Mapping[str, float]]:
    state = _state(build)
    return {} if state is None else _read(*state)[1]


@lru_cache(maxsize=4)  # two studies ask with every number that changes
def _read(file: Path, written_ns: int, size: int) -> tuple[tuple[PartSolid, ...], Mapping[str, Mapping[str, float]]]:
    """The record in this state of its file: the parts, and how far drivers reach."""
    try:
        form = json.loads(file.read_text(encoding="utf-8"))
        if form["format"] != FORMAT:
            return (), {}
        return tuple(PartSolid.from_json(each) for each in form["parts"]), form.get("reach", {})
    except (OSError, ValueError, KeyError, TypeError):
        return (), {}


def _content(build: Build, source: str) -> str:
    try:
        return hashlib.sha256((build.path.parent / source).read_bytes()).hexdigest()
    except OSError:
        return ""
