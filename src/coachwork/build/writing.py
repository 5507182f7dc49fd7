"""Writing to a build file: comments and layout kept, never half a file, never over somebody else's edit."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

from coachwork.build.reading import read_text
from coachwork.build.vehicle import Build
from coachwork.errors import EditedElsewhere


def with_entry(text: str, key: str, value: str | float) -> str:
    """The file's text with one key set; everything else, comments included, as it was.

    key   : `shell.wheelbase`, or `running-gear.front.arm-pin-front.x` for one coordinate of a point
    value : what the builder would type
    """
    import tomlkit

    document = tomlkit.parse(text)
    *tables, name = key.split(".")
    here: object = document
    for depth, step in enumerate(tables):
        assert isinstance(here, dict)
        if step not in here:
            here[step] = tomlkit.table(is_super_table=depth < len(tables) - 1)
        here = here[step]
    if isinstance(here, list):
        here["xyz".index(name)] = value
    else:
        assert isinstance(here, dict)
        here[name] = value
    return tomlkit.dumps(document)


def write(build: Build, text: str) -> Build:
    """Put a new text in place of a build's file and return the build it makes.

    Raises BuildRefused (the new text has faults) or EditedElsewhere (the file is not what `build` was read from);
    the file is untouched then.
    """
    fresh = read_text(text, build.path)
    if build.path.exists() and build.path.read_bytes().decode("utf-8-sig") != build.text:
        raise EditedElsewhere(
            f"{build.path} was changed by another program since it was read; nothing was written, read it again"
        )
    write_whole(build.path, text)
    return fresh


def write_whole(path: Path, text: str) -> None:
    """Write a file so that a reader sees the old one or the new one, never a part, whatever happens."""
    path.parent.mkdir(parents=True, exist_ok=True)
    handle, beside = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.", suffix=".part")
    try:
        with os.fdopen(handle, "w", encoding="utf-8", newline="") as file:
            file.write(text)
            file.flush()
            os.fsync(file.fileno())
        if path.exists():
            os.chmod(beside, path.stat().st_mode & 0o777)
        else:
            umask = os.umask(0)
            os.umask(umask)
            os.chmod(beside, 0o666 & ~umask)
        os.replace(beside, path)
    except BaseException:
        Path(beside).unlink(missing_ok=True)
        raise
