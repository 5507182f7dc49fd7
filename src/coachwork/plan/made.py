"""The parts that `coachwork make` left in the build's folder, as the studies ask for them."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Hashable
from dataclasses import replace

from coachwork.build import Build
from coachwork.studies.solids import MADE_FILE, MADE_FOLDER, MadeParts, PartSolid

FORMAT = 1


def made_parts(build: Build) -> MadeParts:
    """None where nothing is made, or was by another edition of this program; an own drawing edited since is none."""
    folder = build.path.parent / MADE_FOLDER
    try:
        form = json.loads((folder / MADE_FILE).read_text(encoding="utf-8"))
        parts = [PartSolid.from_json(each) for each in form["parts"]] if form["format"] == FORMAT else []
    except (OSError, ValueError, KeyError, TypeError):
        return MadeParts()
    there = [
        replace(part, step=str(folder / part.step), mesh=str(folder / part.mesh))
        for part in parts
        if not part.own or part.source_content == _content(build, part.source)
    ]
    return MadeParts(parts={part.name: part for part in there})


def stamp(build: Build) -> Hashable:
    """Of the record, and of the drawings of the builder's own that it names."""
    file = build.path.parent / MADE_FOLDER / MADE_FILE
    try:
        held = file.stat()
    except OSError:
        return None
    own = tuple(part.source_content for part in made_parts(build) if part.own)
    return held.st_mtime_ns, held.st_size, own


def _content(build: Build, source: str) -> str:
    try:
        return hashlib.sha256((build.path.parent / source).read_bytes()).hexdigest()
    except OSError:
        return ""
