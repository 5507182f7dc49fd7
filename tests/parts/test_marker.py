"""The marking cap for body posts: it goes over them, and its point stands on their axis."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from coachwork.build import read_text, with_entry
from coachwork.parts.draw import draw
from coachwork.parts.measure import measure, triangles
from coachwork.studies.makeability.specs.every import Wanted, every_part
from coachwork.studies.makeability.specs.tables import PartTables
from coachwork.studies.parts import Blocked

VAN = Path(__file__).parents[2] / "examples" / "harbour-mail-van" / "as-finished" / "build.toml"


def cap(**entries: str) -> Wanted:
    text = with_entry(VAN.read_text(encoding="utf-8"), "parts.jigs.of", "posts")
    for key, value in entries.items():
        text = with_entry(text, key.replace("__", "."), value)
    return next(w for w in every_part(PartTables.of(read_text(text, VAN))) if w.name == "jig-posts")


def test_it_slides_over_a_post_and_its_point_is_on_the_axis(tmp_path: Path):
    """Posts of 8 mm, a gap of 0.25 all round, and what the process takes off, 0.15."""
    each = cap()
    drawn = draw(each.spec, each.settings, tmp_path)
    measured = measure(drawn.shape, drawn.holes, driver_mm=5.0)
    corners, _ = triangles(drawn.shape)
    top = corners[corners[:, 2] > corners[:, 2].max() - 1e-6]

    assert (measured.solids, measured.valid, measured.watertight) == (1, True, True)
    assert measured.holes[0].diameter_mm == pytest.approx(8.0 + 2 * 0.25 + 0.15)
    assert np.linalg.norm(top[:, :2], axis=1).max() < 0.41, "the blunt end of the point"
    assert top[:, :2].mean(axis=0) == pytest.approx([0.0, 0.0], abs=0.02)
    assert measured.thin == () or measured.thin[0].wall_mm > 1.5


def test_on_a_post_s_end_its_point_is_at_the_shell_s_height(tmp_path: Path):
    """A point that stands higher would hold the shell up, and prick it where it does not belong."""
    text = with_entry(VAN.read_text(encoding="utf-8"), "parts.jigs.of", "posts")
    parts = {w.name: w for w in every_part(PartTables.of(read_text(text, VAN)))}
    post, marker = parts["post-rear-left"], parts["jig-posts"]

    drawn = draw(marker.spec, marker.settings, tmp_path)

    over = drawn.shape.bounding_box().max.Z - marker.spec.depth_mm  # the post's end meets the bore's
    assert post.spec.length_mm + over == pytest.approx(62.0, abs=1e-3)


def test_posts_of_several_sizes_are_refused_in_words():
    spec = cap(**{"parts__posts__rear-left__diameter": "9.0"}).spec

    assert isinstance(spec, Blocked)
    assert "one cap does not fit" in spec.why
