"""On which line of a TOML text a key stands.

TOML readers drop line numbers. The style-keeping writer can tell them all the same: replace the key's value by a
marker nobody types, write the text out again, and see on which line the marker comes out.
"""

from __future__ import annotations

from typing import Any

_MARKER = "where-is-this-key-5d1c"


def line_of(text: str, path: tuple[str | int, ...]) -> int | None:
    """Line (from 1) of a key, given as names and list positions; of its nearest parent if it stands nowhere itself."""
    import tomlkit  # only a faulty or doubtful file needs it

    for depth in range(len(path), 0, -1):
        document = tomlkit.parse(text)
        if _mark(document, path[:depth]):
            for number, line in enumerate(tomlkit.dumps(document).splitlines(), start=1):
                if _MARKER in line:
                    return number - 1 if line.startswith(_MARKER) else number
    return None


def _mark(item: Any, path: tuple[str | int, ...]) -> bool:
    """Put the marker in place of the item at `path`, or of the first plain value below it."""
    for step in path[:-1]:
        item = _child(item, step)
        if item is None:
            return False
    target = _child(item, path[-1])
    if target is None:
        return False
    if isinstance(target, dict) and not target:
        target[_MARKER] = 0  # a bare header: the marker comes out on the line below it
        return True
    if isinstance(target, dict):
        return any(_mark(target, (name,)) for name in list(target))
    if isinstance(target, list) and target and isinstance(target[0], dict):
        return _mark(target, (0,))
    item[path[-1]] = _MARKER
    return True


def _child(item: Any, step: str | int) -> Any:
    if isinstance(item, dict) and isinstance(step, str):
        return item.get(step)
    if isinstance(item, list) and isinstance(step, int) and step < len(item):
        return item[step]
    return None
