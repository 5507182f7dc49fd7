"""Pages written by a script are what the script writes."""

from __future__ import annotations

import importlib.util
from pathlib import Path

DOCS = Path(__file__).parents[1] / "docs"


def test_the_reference_of_the_build_file_is_up_to_date():
    spec = importlib.util.spec_from_file_location("generate_reference", DOCS / "generate_reference.py")
    assert spec is not None
    assert spec.loader is not None
    generator = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(generator)

    assert generator.PAGE.read_text("utf-8") == generator.page(), "run: python docs/generate_reference.py"
    assert generator.page().count("\n| `") > 150
