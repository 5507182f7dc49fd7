"""Where made parts are kept: by what they were made from, so that an unchanged part is never drawn twice.

.coachwork/parts/made.json             the parts of the last `make`, for the studies
.coachwork/parts/<key>/part.step ...   the files of one part; the key is a hash of its spec and of our drawing code
"""

from __future__ import annotations

import hashlib
import json
import os
import shutil
from collections.abc import Iterable, Mapping
from dataclasses import asdict
from functools import lru_cache
from pathlib import Path
from types import MappingProxyType

from coachwork.errors import CoachworkError
from coachwork.studies.makeability.specs.every import Wanted
from coachwork.studies.makeability.specs.own import OwnSpec
from coachwork.studies.solids import MADE_FILE, MADE_FOLDER, Nearby, PartSolid

RECORD = "part.json"
FORMAT = 1
NOTHING: Mapping[str, Mapping[str, float]] = MappingProxyType({})
KEPT = 4  # times as many parts as the build has; older ones go


@lru_cache(maxsize=1)
def edition() -> str:
    """Of the code that draws and measures: its own text, and the CAD kernel's version. Raises CoachworkError."""
    from importlib.metadata import PackageNotFoundError, version

    try:
        kernel = version("build123d")
    except PackageNotFoundError:
        raise CoachworkError("drawing parts needs the CAD kernel: pip install 'coachwork[parts]'") from None
    text = b"".join(file.read_bytes() for file in sorted(Path(__file__).parent.glob("*.py")))
    return hashlib.sha256(text + kernel.encode()).hexdigest()[:16]


def content(file: Path) -> str:
    """SHA-256 of a file, hex."""
    return hashlib.sha256(file.read_bytes()).hexdigest()


def folder_of(build_folder: Path) -> Path:
    """Where a build keeps its made parts."""
    return build_folder / MADE_FOLDER


def place_of(wanted: Wanted, build_folder: Path) -> Path:
    """Folder of one part's files, there or not. Raises ValueError for a part that cannot be drawn."""
    if wanted.fingerprint is None:
        raise ValueError(f"{wanted.name} cannot be drawn")
    text = wanted.fingerprint + edition()
    if isinstance(wanted.spec, OwnSpec) and (build_folder / wanted.spec.step).is_file():
        text += content(build_folder / wanted.spec.step)
    return folder_of(build_folder) / hashlib.sha256(text.encode()).hexdigest()[:20]


def assembly_of(parts: Iterable[PartSolid]) -> Path | None:
    """Where the assembly of just these parts is kept, there or not; None for no parts."""
    held = list(parts)
    if not held:
        return None
    text = json.dumps([(part.name, part.content, part.chassis_from_part) for part in held])
    return Path(held[0].step).parents[1] / f"assembly-{hashlib.sha256(text.encode()).hexdigest()[:20]}.step"


def kept(wanted: Wanted, build_folder: Path) -> PartSolid | None:
    """The part as it was made before, if its files are all there."""
    place = place_of(wanted, build_folder)
    try:
        part = PartSolid.from_json(json.loads((place / RECORD).read_text(encoding="utf-8")))
    except (OSError, ValueError, TypeError, KeyError):
        return None
    part = located(part, place)
    return part if Path(part.step).is_file() and Path(part.mesh).is_file() else None


def located(part: PartSolid, place: Path) -> PartSolid:
    """The part with full paths: records hold names alone, so that a build's folder can be moved."""
    from dataclasses import replace

    return replace(part, step=str(place / Path(part.step).name), mesh=str(place / Path(part.mesh).name))


def keep(part: PartSolid, place: Path) -> None:
    """Write a part's record beside its files; last of all, so that a part half made is none."""
    _write(place / RECORD, json.dumps(part.to_json()))


def tell_studies(
    parts: Iterable[PartSolid], build_folder: Path, reach: Mapping[str, Mapping[str, float]] = NOTHING,
    near: Iterable[Nearby] = (),
) -> None:  # fmt: skip
    """Write which parts stand made, how far drivers reach and how near they come to what is round them; clear away what
    is long unused.
    """
    folder = folder_of(build_folder)
    folder.mkdir(parents=True, exist_ok=True)
    form, used = [], set()
    for part in parts:
        place = Path(part.step).parent
        used.add(place.name)
        form.append(part.to_json() | {"step": f"{place.name}/{Path(part.step).name}",
                                      "mesh": f"{place.name}/{Path(part.mesh).name}"})  # fmt: skip
    _write(folder / MADE_FILE, json.dumps({"format": FORMAT, "parts": form, "reach": reach,
                                          "near": [asdict(each) for each in near]}))  # fmt: skip
    for file in sorted(folder.glob("assembly-*.step"), key=lambda p: p.stat().st_mtime, reverse=True)[KEPT:]:
        file.unlink()
    old = [p for p in folder.iterdir() if p.is_dir() and p.name not in used]
    for place in sorted(old, key=lambda p: p.stat().st_mtime, reverse=True)[KEPT * max(len(used), 5) :]:
        shutil.rmtree(place, ignore_errors=True)


def _write(file: Path, text: str) -> None:
    beside = file.with_name(f"{file.name}.{os.getpid()}")
    beside.write_text(text, encoding="utf-8")
    beside.replace(file)
