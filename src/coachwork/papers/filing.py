"""Papers into their folder: whole or not at all, and never over a file that is not ours or that the builder changed.

A list beside them, `written-by-coachwork.json`, holds the fingerprint (SHA-256) of each file as it was written.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from pathlib import Path

from coachwork.build import write_whole
from coachwork.errors import CoachworkError

LIST = "written-by-coachwork.json"


def write_papers(files: Mapping[str, bytes], folder: Path, *, all_there_are: bool = False) -> None:
    """Write the files; the list first, so that a run that is stopped on the way can be run again.

    all_there_are : what was written into the folder before and is not among them goes, unless the builder changed it

    Raises CoachworkError, with nothing written, where a file would go over one that is not as we wrote it.
    """
    known = _fingerprints(folder)
    foreign = [name for name, raw in files.items() if not _may_replace(folder / name, raw, known.get(name, ()))]
    if foreign:
        named = "\n".join(f"  {folder / name}" for name in sorted(foreign))
        raise CoachworkError(
            f"not as Coachwork wrote them, and left alone:\n{named}\nmove them away, or name another folder by --to"
        )
    fresh: dict[str, tuple[str, ...]] = {name: (_fingerprint(raw),) for name, raw in files.items()}
    if all_there_are:
        for name in known.keys() - files.keys():
            if _fingerprint_of(folder / name) in known[name]:
                (folder / name).unlink()
            else:
                fresh[name] = known[name]
    kept = fresh if all_there_are else {**known, **fresh}
    _list(folder, {name: (*known.get(name, ()), *kept[name]) for name in kept})
    for name, raw in sorted(files.items()):
        if _fingerprint_of(folder / name) != _fingerprint(raw):
            write_whole(folder / name, raw)
    _list(folder, kept)


def _may_replace(path: Path, raw: bytes, known: tuple[str, ...]) -> bool:
    if not path.exists() and not path.is_symlink():
        return True
    return path.is_file() and not path.is_symlink() and _fingerprint_of(path) in (*known, _fingerprint(raw))


def _fingerprint(raw: bytes) -> str:
    return hashlib.sha256(raw).hexdigest()


def _fingerprint_of(path: Path) -> str | None:
    return _fingerprint(path.read_bytes()) if path.is_file() else None


def _fingerprints(folder: Path) -> dict[str, tuple[str, ...]]:
    """{name: what it may hold and still be ours}; a list that cannot be read is none, and all files are foreign."""
    try:
        found = json.loads((folder / LIST).read_text("utf-8"))
    except (FileNotFoundError, ValueError):
        return {}
    if not isinstance(found, dict):
        return {}
    return {str(name): tuple(map(str, prints)) for name, prints in found.items() if isinstance(prints, list)}


def _list(folder: Path, known: Mapping[str, tuple[str, ...]]) -> None:
    told = {name: sorted(set(prints)) for name, prints in sorted(known.items())}
    write_whole(folder / LIST, json.dumps(told, indent=1) + "\n")
