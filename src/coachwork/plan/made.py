"""The parts that `coachwork make` left in the build's folder, as the studies ask for them."""

from __future__ import annotations

import json
from collections.abc import Hashable
from dataclasses import replace

from coachwork.build import Build
from coachwork.studies.solids import MADE_FILE, MADE_FOLDER, MadeParts, PartSolid

FORMAT = 1


def made_parts(build: Build) -> MadeParts:
    """None where nothing is made, or was by another edition of this program."""
    folder = build.path.parent / MADE_FOLDER
    try:
        form = json.loads((folder / MADE_FILE).read_text(encoding="utf-8"))
        parts = [PartSolid.from_json(each) for each in form["parts"]] if form["format"] == FORMAT else []
    except (OSError, ValueError, KeyError, TypeError):
        return MadeParts()
    there = [replace(part, step=str(folder / part.step), mesh=str(folder / part.mesh)) for part in parts]
    return MadeParts(parts={part.name: part for part in there})


def stamp(build: Build) -> Hashable:
    """Of the record."""
    file = build.path.parent / MADE_FOLDER / MADE_FILE
    try:
        held = file.stat()
    except OSError:
        return None
    return held.st_mtime_ns, held.st_size
