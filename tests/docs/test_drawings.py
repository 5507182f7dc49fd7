"""The drawings in the documentation are the ones that the scripts beside them draw."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

DOCS = Path(__file__).parents[2] / "docs"


def drawn(script, folder):
    """What a drawing script puts into a folder: {name: bytes}."""
    folder.mkdir()
    subprocess.run([sys.executable, str(script), str(folder)], check=True)
    return {path.name: path.read_bytes() for path in folder.glob("*.svg")}


def test_drawing_again_gives_the_same_bytes(tmp_path):
    kept = {path.name: path.read_bytes() for path in (DOCS / "drawings").glob("*.svg")}

    again = drawn(DOCS / "drawings" / "draw.py", tmp_path / "again")

    assert set(again) == set(kept)
    assert {name for name in kept if kept[name] != again[name]} == set(), "run: python docs/drawings/draw.py"


def test_every_drawing_has_a_white_page_under_it_and_greys_only():
    """So that it reads on a dark screen and from a grey print."""
    for path in (DOCS / "drawings").glob("*.svg"):
        text = path.read_text(encoding="utf-8")
        first_shape = re.search(r"<(rect|path|circle|text)\b[^>]*>", text)[0]
        assert first_shape.startswith("<rect")
        assert 'fill="#ffffff"' in first_shape
        colours = set(re.findall(r'(?:fill|stroke)="(#[0-9a-f]{6})"', text))
        assert all(colour[1:3] == colour[3:5] == colour[5:7] for colour in colours), f"{path.name}: {colours}"


def test_texts_that_run_into_each_other_are_refused(monkeypatch):
    """The check that keeps the drawings legible can fail."""
    monkeypatch.syspath_prepend(str(DOCS / "drawings"))
    from pen import Sheet

    sheet = Sheet(400, 100, "two words", "")
    sheet.text((20, 50), "one here")
    sheet.text((60, 55), "one there")
    with pytest.raises(ValueError, match="runs into"):
        sheet.svg()
    off = Sheet(400, 100, "one word", "")
    off.text((390, 50), "outside")
    with pytest.raises(ValueError, match="off the page"):
        off.svg()


def numbers_of(svg):
    """Every coordinate in the drawing's curves, and its words."""
    curves = re.findall(r'<path d="([^"]*)" clip-path', svg)
    numbers = [float(n) for curve in curves for n in re.findall(r"-?\d+(?:\.\d+)?", curve)]
    return np.array(numbers), re.findall(r"<text[^>]*>([^<]*)</text>", svg)


def test_the_tour_s_curve_is_the_one_the_demonstration_build_gives(tmp_path):
    """To half a pixel: another version of the plotting library may round otherwise."""
    (kept,) = (DOCS / "tour").glob("linkage.*.svg")

    (again,) = drawn(DOCS / "tour" / "draw.py", tmp_path / "again").values()

    old, old_words = numbers_of(kept.read_text(encoding="utf-8"))
    new, new_words = numbers_of(again.decode())
    assert old_words == new_words, "run: python docs/tour/draw.py"
    assert old.size > 100
    np.testing.assert_allclose(new, old, atol=0.5, err_msg="run: python docs/tour/draw.py")


def test_the_shell_of_the_page_on_scans_is_what_is_found_in_its_scan(tmp_path):
    """Its words and numbers; the pictures' pixels hang on the drawing library's version."""
    again = drawn(DOCS / "tour" / "draw_shell.py", tmp_path / "again")["shell.svg"]
    kept = (DOCS / "tour" / "shell.svg").read_bytes()
    words = [re.findall(rb"<text[^>]*>([^<]*)</text>", text) for text in (kept, again)]
    assert words[0] == words[1], "run: python docs/tour/draw_shell.py"
    assert b"length 448.3" in words[0]


def test_the_wiring_in_the_tour_is_the_finished_vans(tmp_path):
    again = drawn(DOCS / "tour" / "draw_wiring.py", tmp_path / "again")["wiring.svg"]

    assert (DOCS / "tour" / "wiring.svg").read_bytes() == again, "run: python docs/tour/draw_wiring.py"
