"""What a class's docstring explains is there: fields that were renamed or dropped leave no words behind."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

SOURCE = Path(__file__).parents[1] / "src" / "coachwork"
TOLD = re.compile(r"\s{0,4}([a-z]\w*(?:, [a-z]\w*)*)\s*: ")  # such as "low_mm, size_mm : of the box round it"


def names_of(held: ast.ClassDef) -> Iterator[str]:
    """Fields, methods, and what is set on the object or given to make it."""
    for each in ast.walk(held):
        match each:
            case ast.AnnAssign(target=ast.Name(id=name)) | ast.FunctionDef(name=name) | ast.arg(arg=name):
                yield name
            case ast.Attribute(value=ast.Name(id="self"), attr=name):
                yield name.lstrip("_")


def told_and_not_there(text: str) -> list[str]:
    return [
        f"{held.name}: {name}"
        for held in ast.walk(ast.parse(text)) if isinstance(held, ast.ClassDef)
        for line in (ast.get_docstring(held) or "").splitlines()[1:] if (found := TOLD.match(line))
        for name in found[1].split(", ") if name not in set(names_of(held))
    ]  # fmt: skip


def test_docstrings_explain_no_field_that_there_is_not():
    files = sorted(SOURCE.rglob("*.py"))

    told = {str(file.relative_to(SOURCE)): told_and_not_there(file.read_text(encoding="utf-8")) for file in files}

    assert len(files) > 500
    assert {name: names for name, names in told.items() if names} == {}


def test_a_field_that_was_renamed_is_found():
    text = 'class Jig:\n    """A plate.\n\n    edge_x, holes : gone, and there\n    """\n    holes: tuple[float, ...]\n'

    assert told_and_not_there(text) == ["Jig: edge_x"]
