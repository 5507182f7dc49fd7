"""A value that rounds to zero is told without a minus, whoever makes the words."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest

from coachwork.build import read
from coachwork.plan import Plan
from coachwork.studies.clearance.corners import Pose

PACKAGE = Path(__file__).parents[1] / "src" / "coachwork"
MINUS_NOUGHT = re.compile(r"(?<![\w.-])[-\N{MINUS SIGN}]0(?:\.0+)?(?![\w.]*[1-9])")


def signed_formats(file: Path) -> Iterator[str]:
    """Formats of numbers that write a sign, but for those of whole numbers."""
    for node in ast.walk(ast.parse(file.read_text("utf-8"))):
        if isinstance(node, ast.FormattedValue) and node.format_spec is not None:
            spec = ast.unparse(node.format_spec)[2:-1]
            if "+" in spec and spec[-1] in "eEfFgG%":
                yield f"{file.relative_to(PACKAGE)}:{node.lineno}: {spec}"


def test_every_format_with_a_sign_drops_it_from_a_zero():
    """The z of PEP 682: a number that can be told with a minus is told by one that knows it."""
    found = [told for file in PACKAGE.rglob("*.py") for told in signed_formats(file)]
    assert len(found) >= 8  # there are some
    assert [told for told in found if "z" not in told.rpartition(": ")[2]] == []


@pytest.mark.parametrize(("text", "is_one"), [
    ("from -0.0 to 0.1 deg", True), ("rolled by -0 deg", True), ("\N{MINUS SIGN}0.00 mm", True), ("-0.01 mm", False),
    ("-0.50", False), ("P-0", False), ("0.0 mm", False), ("M3-0.5", False), ("1e-05", False),
])  # fmt: skip
def test_what_is_looked_for_is_found(text: str, is_one: bool):
    assert bool(MINUS_NOUGHT.search(text)) == is_one


def test_a_pose_that_hardly_rolls_is_told_without_a_minus():
    """0.0005 rad are 0.03 deg."""
    pose = Pose(
        wheel="front left", travel_mm=7.9, travel_share=1.0, lock_share=0.0, steer_rad=0.0,
        roll_rad=(-0.0005, np.radians(3.0)), steered=False,
    )  # fmt: skip
    assert str(pose) == "front left wheel in full bump (7.9 mm), at any roll from 0.0 to 3.0 deg"


@pytest.mark.parametrize("build", ["as-found", "as-finished"])
def test_nothing_that_the_van_is_told_has_one(examples: Path, build: str):
    found = Plan().run(read(examples / build))
    texts = [
        text
        for answer in found.values()
        for one in answer.study.findings(answer.result)
        for text in (one.question, one.why, one.do or "")
    ]
    assert len(texts) > 500
    assert [text for text in texts if MINUS_NOUGHT.search(text)] == []
