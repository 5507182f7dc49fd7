"""Templates measured: what is printed is as long as the build file says, on every sheet and across their seams."""

from __future__ import annotations

import io
import math
import re
import xml.etree.ElementTree as ET
from collections.abc import Callable, Iterator
from itertools import pairwise

import ezdxf
import numpy as np
import pytest
from ezdxf import units
from pdf_reader import Circle, Page, pages_of

from coachwork.build.sections.decks import Decks
from coachwork.build.sections.keep_outs import KeepOuts
from coachwork.build.sections.outline import Shell
from coachwork.papers.binder import papers_of
from coachwork.papers.press import pdf
from coachwork.papers.sheet import FullPage, PaperSize, Sheet
from coachwork.papers.subject import Subject
from coachwork.papers.template import Hole, Line, Mark, Template, dxf, svg
from coachwork.papers.tiling import OVERLAP_MM, full_pages, tiles_of
from coachwork.studies.clearance.corner_scene import SIDES
from coachwork.studies.clearance.flat import outline
from coachwork.studies.clearance.trim import axle_x_mm, patch

WITHIN_MM = 0.05  # what a template has to keep to; a printer's own error is several times that
RULE_MM = 0.005  # of the rule of 100 mm: 100.00 to the hundredth
REGISTER_MM = 4.0  # diameter of a register mark's circle, which nothing else has


@pytest.fixture(scope="module")
def found_files(printed: Callable[[str, str], dict[str, bytes]]) -> dict[str, bytes]:
    """The templates of the van as found."""
    return printed("as_found", "templates")


@pytest.fixture(scope="module")
def finished_files(printed: Callable[[str, str], dict[str, bytes]]) -> dict[str, bytes]:
    """The templates of the van as finished."""
    return printed("as_finished", "templates")


def sheets(raw: bytes, title: str) -> Iterator[Page]:
    """The pages of one template, in order, each while it is open."""
    for page in pages_of(raw):
        if page.text.startswith(f"{title}, sheet"):
            yield page


def rules(page: Page) -> dict[str, list[float]]:
    """Lengths of all strokes between 95 and 105 mm that run along or up the page."""
    found: dict[str, list[float]] = {"along": [], "up": []}
    for line in page.polylines:
        if len(line) == 2:
            (x0, y0), (x1, y1) = line
            length = math.hypot(x1 - x0, y1 - y0)
            if 95 < length < 105 and (abs(x1 - x0) < 1e-3 or abs(y1 - y0) < 1e-3):
                found["along" if abs(y1 - y0) < 1e-3 else "up"].append(length)
    return found


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_every_sheet_carries_a_rule_of_100_mm_both_ways(as_finished: Subject, paper: PaperSize) -> None:
    raw = papers_of(as_finished.report, only=["templates"], paper=paper)["templates.pdf"]
    seen = 0
    for page in pages_of(raw):
        if ", sheet " in page.text[:60]:
            seen += 1
            for lengths in rules(page).values():
                assert any(abs(length - 100.0) < RULE_MM for length in lengths), lengths
    assert seen >= 5


def test_a_deck_is_as_large_on_paper_as_in_the_build_file(
    as_finished: Subject, finished_files: dict[str, bytes]
) -> None:
    """Its outline side by side, against the corners typed in; seen from above with the nose up the page."""
    deck = as_finished.build[Decks].each["main"]
    corners = np.array([(float(c.x.mm[0]), float(c.y.mm[0])) for c in deck.outline.values()])
    sides = np.linalg.norm(corners - np.roll(corners, -1, axis=0), axis=1)

    (lines,) = [page.polylines for page in sheets(finished_files["templates.pdf"], "Deck main")]

    drawn = [np.array(line[:-1] if line[0] == line[-1] else line) for line in lines]
    measured = [np.linalg.norm(line - np.roll(line, -1, axis=0), axis=1) for line in drawn if len(line) == 6]
    assert any(np.allclose(one, sides, atol=WITHIN_MM) for one in measured)
    (outline_,) = [line for line, one in zip([d for d in drawn if len(d) == 6], measured, strict=True)
                   if np.allclose(one, sides, atol=WITHIN_MM)]  # fmt: skip
    rear_left, front_left = (int(np.argmin(np.hypot(*(corners - end).T))) for end in ((-236, 66), (-62, 40)))
    assert outline_[front_left, 1] < outline_[rear_left, 1]  # the nose is up the page, where y is less
    assert outline_[:, 0].min() == pytest.approx(outline_[rear_left, 0], abs=WITHIN_MM)  # left is at the left


def test_holes_are_as_far_apart_on_paper_as_their_posts(as_finished: Subject, finished_files: dict[str, bytes]) -> None:
    posts = [held for held in as_finished.build[KeepOuts].each.values() if held.what == "post"]
    centres = [((float(p.x_from.mm[0]) + float(p.x_to.mm[0])) / 2, (float(p.y_from.mm[0]) + float(p.y_to.mm[0])) / 2)
               for p in posts]  # fmt: skip
    apart = math.dist(*centres)

    (circles,) = [page.circles for page in sheets(finished_files["templates.pdf"], "Deck main")]

    holes = [one for one in circles if abs(one.diameter - 3.2) < WITHIN_MM]
    assert len(holes) == len(posts) == 2
    assert math.dist(*((one.x, one.y) for one in holes)) == pytest.approx(apart, abs=WITHIN_MM)


def joined(pages: list[tuple[dict[str, Circle], list[Circle]]]) -> list[list[Circle]]:
    """All sheets' circles in the frame of the first, laid mark over mark as a builder does; none by our own layout."""
    known = pages[0][0]
    out = [pages[0][1]]
    for marks, circles in pages[1:]:
        shared = marks.keys() & known.keys()
        assert len(shared) >= 2, "sheets that belong together share two register marks"
        dx = np.mean([known[name].x - marks[name].x for name in shared])
        dy = np.mean([known[name].y - marks[name].y for name in shared])
        out.append([Circle(c.x + dx, c.y + dy, c.diameter) for c in circles])
        known = known | {name: Circle(c.x + dx, c.y + dy, c.diameter) for name, c in marks.items()}
    return out


def marks_and_circles(page: Page) -> tuple[dict[str, Circle], list[Circle]]:
    """Register marks by the letter beside them, and all other circles."""
    marks = [one for one in page.circles if abs(one.diameter - REGISTER_MM) < 1e-3]
    named = {}
    for one in marks:
        near = [w for w in page.words if re.fullmatch("[A-Z]{1,2}", w.text)
                and math.hypot(w.left - one.x, w.bottom - one.y) < 5]  # fmt: skip
        assert near, "a register mark has its letter"
        named[min(near, key=lambda w: math.hypot(w.left - one.x, w.bottom - one.y)).text] = one
    return named, [one for one in page.circles if one not in marks]


def test_across_the_seam_of_two_sheets_nothing_is_lost(as_finished: Subject, finished_files: dict[str, bytes]) -> None:
    """Arch centres on two sheets, laid mark over mark: as far apart as the arches were measured from the nose."""
    shell = as_finished.build[Shell]
    apart = float(shell.rear.from_nose_left.mm[0]) - float(shell.front.from_nose_left.mm[0])

    pages = [marks_and_circles(page) for page in sheets(finished_files["templates.pdf"], "Shell, left side: arches")]

    assert len(pages) == 2
    first, second = joined(pages)
    wide = {"front": float(shell.arch_opening_front.mm[0]), "rear": float(shell.arch_opening_rear.mm[0])}
    (front,) = [one for one in first if abs(one.diameter - wide["front"]) < WITHIN_MM]
    (rear,) = [one for one in second if abs(one.diameter - wide["rear"]) < WITHIN_MM]
    assert rear.x - front.x == pytest.approx(apart, abs=WITHIN_MM)


def test_holes_of_the_chassis_lie_where_the_file_says_on_whichever_sheet(
    as_finished: Subject, finished_files: dict[str, bytes]
) -> None:
    pages = [marks_and_circles(page) for page in sheets(finished_files["templates.pdf"], "Chassis: axles and posts")]
    assert len(pages) == 2
    holes = sorted({(round(c.x, 1), round(c.y, 1)): c for sheet in joined(pages) for c in sheet
                    if abs(c.diameter - 3.2) < WITHIN_MM}.items())  # fmt: skip
    kept_free = as_finished.build[KeepOuts].each
    posts = [
        (float(post.x_from.mm[0] + post.x_to.mm[0]) / 2, float(post.y_from.mm[0] + post.y_to.mm[0]) / 2)
        for post in (kept_free["mid-post"], kept_free["aerial-post"])
    ]

    drawn = [(-c.y, -c.x) for _, c in holes]  # forward and left, but for where the page begins
    assert len(drawn) == 4
    wanted = math.dist(*posts)
    between = [math.dist(a, b) for i, a in enumerate(drawn) for b in drawn[i + 1 :]]
    assert min(abs(one - wanted) for one in between) < WITHIN_MM


def test_the_cut_line_is_the_patch_that_clearance_asks_to_be_cut(
    as_found: Subject, found_files: dict[str, bytes]
) -> None:
    result = as_found.result("clearance")
    part = patch(result, "front", SIDES[0], gap_mm=float(result.gap_mm[0]))
    flat = outline(part, axle_x_mm=axle_x_mm(result, "front", SIDES[0]))
    wanted = max(flat.lines, key=len)[:-1]

    (lines,) = [page.polylines for page in sheets(found_files["templates.pdf"], "Trim the shell: front left tyre")]

    drawn = np.array(max(lines, key=len))
    drawn = drawn[:-1] if np.allclose(drawn[0], drawn[-1]) else drawn
    assert len(drawn) == len(wanted)
    offset = drawn[0] - wanted[0] * (1, -1)
    np.testing.assert_allclose(drawn - offset, wanted * (1, -1), atol=WITHIN_MM)


def grid() -> Template:
    """Holes every 37 mm over 700 by 500 mm, in a frame: many sheets."""
    holes = [Hole(x=37.0 * i, y=37.0 * j, diameter=3.2, number=i * 14 + j) for i in range(19) for j in range(14)]
    frame = Line("CUT", ((-5.0, -5.0), (700.0, -5.0), (700.0, 500.0), (-5.0, 500.0)), closed=True)
    return Template(name="grid", title="Grid", how="Flat.", parts=(frame, *holes, Mark(x=0.0, y=240.0, text="x" * 130)))


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_every_hole_of_a_large_template_is_whole_on_some_sheet_and_in_its_place(paper: PaperSize) -> None:
    template = grid()
    tiles = tiles_of(template, paper)
    blocks: tuple[FullPage, ...] = tuple(full_pages(template, paper=paper, vehicle="test"))
    raw = pdf(Sheet(name="grid", title="Grid", about="", blocks=blocks), paper=paper, footer="")
    whole: set[tuple[int, int]] = set()

    pages = 0
    for page in pages_of(raw):
        if not page.text.startswith("Grid, sheet"):
            continue
        tile = tiles[pages]
        pages += 1
        for circle in page.circles:
            if abs(circle.diameter - 3.2) > 1e-3:
                continue
            x, y = circle.x - 22.0 + tile.left, tile.top - (circle.y - 26.0)  # the window's corner on the page
            near = round(x / 37), round(y / 37)
            assert math.dist((x, y), (37 * near[0], 37 * near[1])) < WITHIN_MM
            if tile.holds((x - 1.6, y - 1.6, x + 1.6, y + 1.6)):
                whole.add(near)
    assert pages == len(tiles) > 6
    assert whole == {(i, j) for i in range(19) for j in range(14)}


def test_neighbouring_windows_overlap_and_share_their_marks() -> None:
    tiles = tiles_of(grid(), "a4")
    rows = {row: sorted((t for t in tiles if t.row == row), key=lambda t: t.column) for row in {t.row for t in tiles}}
    for row in rows.values():
        for one, other in pairwise(row):
            assert one.left + one.width - other.left == pytest.approx(OVERLAP_MM)
            assert len({m[0] for m in one.marks} & {m[0] for m in other.marks}) == 2
    names = [mark[0] for tile in tiles for mark in tile.marks]
    assert all(names.count(name) == 2 for name in names)  # each on two sheets, and no two of one name


def test_the_cutters_file_read_back_has_every_stroke_on_its_layer() -> None:
    """By ezdxf's own reader and audit; DXF Reference R2010: $INSUNITS 4 is millimetres."""
    document = ezdxf.read(io.StringIO(dxf(grid())))

    assert document.units == units.MM
    assert not document.audit().has_errors
    circles = document.modelspace().query("CIRCLE[layer=='DRILL']")
    assert len(circles) == 19 * 14
    assert {round(one.dxf.radius, 6) for one in circles} == {1.6}
    (frame,) = document.modelspace().query("LWPOLYLINE[layer=='CUT']")
    assert frame.closed
    assert [tuple(point[:2]) for point in frame.get_points()] == [(-5, -5), (700, -5), (700, 500), (-5, 500)]


def test_the_drawing_file_is_in_millimetres() -> None:
    root = ET.fromstring(svg(grid()))
    width, height = (float(str(root.get(side)).removesuffix("mm")) for side in ("width", "height"))
    *_, box_width, box_height = (float(number) for number in str(root.get("viewBox")).split())

    assert (width, height) == pytest.approx((box_width, box_height))
    frame = next(p for p in root.iter("{http://www.w3.org/2000/svg}path") if str(p.get("d")).endswith("Z"))
    numbers = [float(n) for n in re.findall(r"-?\d+\.\d+", str(frame.get("d")))]
    assert max(numbers[::2]) - min(numbers[::2]) == pytest.approx(705.0, abs=1e-3)
    assert max(numbers[1::2]) - min(numbers[1::2]) == pytest.approx(505.0, abs=1e-3)


def test_the_same_template_gives_the_same_files(found_files: dict[str, bytes], as_found: Subject) -> None:
    again = papers_of(as_found.report, only=["templates"])

    assert again.keys() == found_files.keys()
    assert [name for name in again if again[name] != found_files[name]] == []


def test_whoever_makes_parts_adds_drawings_and_sheets(five: Subject) -> None:
    sheet = Sheet(name="parts-list", title="Parts", about="What is made.", blocks=())

    files = papers_of(five.report, only=["templates"], more=[sheet], drawings=[grid()])

    assert {"templates.pdf", "templates/grid.svg", "templates/grid.dxf", "parts-list.pdf"} <= files.keys()
    assert any("Grid, sheet 1 of" in page.text for page in pages_of(files["templates.pdf"]))
