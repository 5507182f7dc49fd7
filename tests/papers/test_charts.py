"""Charts: what a reader of the drawing needs is in it, in grey too, and the same numbers give the same file."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from dataclasses import replace

import numpy as np
import pytest

from coachwork.papers.charts import svg
from coachwork.studies.chart import Chart, Line

X = np.linspace(-6.0, 8.0, 29)
CHART = Chart(
    id="linkage.front.camber", title="Camber over travel, front", x_label="wheel travel (mm)", y_label="camber (deg)",
    lines=(
        Line(name="left", variant="as bought", x=X, y=0.2 * X),
        Line(name="right", variant="as bought", x=X, y=0.3 * X),
        Line(name="left", variant="as changed", x=X, y=np.where(X > 4, np.nan, -0.1 * X)),
        Line(name="ideal", variant="reference", x=X, y=0 * X),
    ),
    band=(-2.0, 0.0), note="A swing arm of 100 mm leans 0.57 deg per mm.",
)  # fmt: skip
SVG = "{http://www.w3.org/2000/svg}"


def drawing(chart: Chart) -> ET.Element:
    return ET.fromstring(svg(chart))


def words(chart: Chart) -> list[str]:
    return ["".join(text.itertext()).strip() for text in drawing(chart).iter(f"{SVG}text")]


def curves(chart: Chart) -> dict[str, ET.Element]:
    """The lines over the axes, by their groups; matplotlib numbers ticks and grid first, ours come last in the axes."""
    groups = [g for g in drawing(chart).iter(f"{SVG}g") if re.fullmatch(r"line2d_\d+", g.get("id", ""))]
    found = [
        g for g in groups if len(g.findall(f"{SVG}path")) == 1 and g.find(f"{SVG}path").get("d", "").count("L") > 8
    ]
    return dict(zip(("bought left", "bought right", "changed left", "ideal"), found, strict=True))


def test_the_labels_are_letters_and_say_the_units():
    found = words(CHART)
    for label in ("Camber over travel, front", "wheel travel (mm)", "camber (deg)", "would be right", "ideal",
                  "left, as bought", "right, as bought", "left, as changed", CHART.note):  # fmt: skip
        assert label in found
    assert drawing(CHART).find(f"{SVG}title").text == CHART.title


def test_every_line_differs_from_every_other_without_its_colour():
    looks = set()
    for name, group in curves(CHART).items():
        style = group.find(f"{SVG}path").get("style")
        dashes = re.search(r"stroke-dasharray: ([\d., ]+)", style)
        marker = group.find(f".//{SVG}use").get("{http://www.w3.org/1999/xlink}href")
        looks.add((dashes and dashes[1], marker))
        assert marker, name
    assert len(looks) == 4


def test_in_grey_the_changed_line_is_darker_than_the_bought_one():
    """Relative luminance as in WCAG 2.1's definition; 3:1 is its least contrast for graphics (1.4.11)."""

    def luminance(colour: str) -> float:
        parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
        linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
        return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]

    colour = {
        name: re.search(r"stroke: (#[0-9a-f]{6})", group.find(f"{SVG}path").get("style"))[1]
        for name, group in curves(CHART).items()
    }
    light, dark = luminance(colour["bought left"]), luminance(colour["changed left"])
    assert (light + 0.05) / (dark + 0.05) > 3
    assert all(1.05 / (luminance(c) + 0.05) > 3 for c in colour.values())  # each against white paper


def test_the_curve_has_the_numbers_points_and_stops_where_there_is_no_pose():
    """Of 29 points the changed line has the 21 up to 4 mm; straight lines would be thinned, so bend it."""
    bent = replace(CHART.lines[2], y=np.where(X > 4, np.nan, np.cos(9 * X)))
    group = curves(replace(CHART, lines=(*CHART.lines[:2], bent, CHART.lines[3])))["changed left"]
    d = group.find(f"{SVG}path").get("d")
    assert d.count("M") == 1
    assert d.count("L") == 20


def test_the_same_numbers_give_the_same_bytes():
    assert svg(CHART) == svg(CHART)
    assert "<dc:date>" not in svg(CHART)


def test_other_numbers_give_another_drawing():
    changed = replace(CHART, lines=(replace(CHART.lines[0], y=0.21 * X), *CHART.lines[1:]))
    assert svg(changed) != svg(CHART)


@pytest.mark.parametrize("y", [np.full(29, np.nan), np.zeros(29)])
def test_a_line_without_a_single_pose_does_no_harm(y):
    only = replace(CHART, lines=(Line(name="as changed", variant="as changed", x=X, y=y),))
    assert ("no pose to draw" in words(only)) == bool(np.isnan(y).all())


def test_a_chart_without_lines_is_a_drawing_too():
    assert "no pose to draw" in words(replace(CHART, lines=(), band=None, note=""))


def test_names_that_could_be_markup_are_letters():
    odd = replace(CHART, title="a < b & $c$", note="x_y^z")
    assert "a < b & $c$" in words(odd)


def test_where_nothing_is_compared_the_legend_says_nothing_of_a_change():
    """A build without a donor has no "as changed"."""
    lines = (
        Line(name="regulator", variant="as changed", x=X, y=X),
        Line(name="as changed", variant="as changed", x=X, y=-X),
        Line(name="limit", variant="reference", x=X, y=0 * X),
    )
    told = words(replace(CHART, lines=lines))

    assert {"regulator", "this build", "limit"} <= set(told)
    assert not any("as changed" in text for text in told)
