"""Every paper of every kind of build: nothing off the page, nothing over anything else, nothing left blank."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import pytest
from pdf_reader import Page, pages_of

from coachwork.papers.binder import PAPERS, papers_of
from coachwork.papers.pen import Strokes
from coachwork.papers.press import pdf
from coachwork.papers.sheet import Figure, Sheet
from coachwork.papers.subject import Subject
from coachwork.papers.told import Lengths, Units

EDGE_MM = 4.0  # that most printers leave blank
TOUCH_MM = 0.35  # letters' boxes are taller than what is inked of them; common practice, no source
BUILDS = ("five", "as_found", "as_finished", "many")


def off_the_page(page: Page) -> Iterator[str]:
    """Words that reach into the edge that printers leave blank."""
    for word in page.words:
        if min(word.left, word.top, page.width - word.right, page.height - word.bottom) < EDGE_MM:
            yield f"{word.text} at {word.left:.0f}, {word.top:.0f}"


def over_one_another(page: Page) -> Iterator[str]:
    """Pairs of words that share a patch."""
    words = sorted(page.words, key=lambda word: word.left)
    for number, word in enumerate(words):
        for other in words[number + 1 :]:
            if other.left > word.right:
                break
            if word.overlaps(other, by=TOUCH_MM):
                yield f"{word.text} over {other.text} at {word.left:.0f}, {word.top:.0f}"


@pytest.mark.parametrize("name", PAPERS)
@pytest.mark.parametrize("build", BUILDS)
def test_a_paper_has_nothing_off_the_page_nor_over_anything_else(
    build: str, name: str, printed: Callable[[str, str], dict[str, bytes]]
) -> None:
    number = 0

    for number, page in enumerate(pages_of(printed(build, name)[f"{name}.pdf"]), start=1):
        assert not list(off_the_page(page)), f"page {number}"
        assert not list(over_one_another(page)), f"page {number}"
        assert len(page.words) > 8, f"page {number} is as good as blank"
    assert number


@pytest.mark.parametrize("name", ["wiring-sheet", "templates", "cut-list", "measuring-sheet", "set-up-sheet"])
@pytest.mark.parametrize("build", ["five", "many"])
def test_the_same_on_letter_paper_in_inches(build: str, name: str, request: pytest.FixtureRequest) -> None:
    lengths: Lengths = "in"
    subject: Subject = request.getfixturevalue(build)
    made = papers_of(subject.report, only=[name], paper="letter", units=Units(lengths))[f"{name}.pdf"]

    for number, page in enumerate(pages_of(made), start=1):
        assert sorted((round(page.width, 1), round(page.height, 1))) == [215.9, 279.4]  # ANSI/ASME Y14.1, size A
        assert not list(off_the_page(page)), f"page {number}"
        assert not list(over_one_another(page)), f"page {number}"


def test_names_of_odd_characters_and_of_many_letters_stay_within_their_columns(
    subject_of: Callable[[str], Subject],
) -> None:
    name = 'Ümläut "$x$" #panic() \\\\ *bold* <tag> & 漢字 🚗 ' + "Donaudampfschifffahrtsgesellschaft" * 3
    odd = 'lead-äöü-ß-"\\u0001"-' + "x" * 70
    text = "\n".join([
        "[build]", f"name = '{name}'", "[pack]", "cells = 2", "[wiring.leads]",
        f"'{odd}' = {{ begins = \"pack\", ends = \"{'y' * 60}\", area = 0.5, length = 100, colour = \"{'z' * 50}\" }}",
        "[wiring.loads]", f"'{'y' * 60}' = {{ peak = \"30 mA\" }}",
        "[boxes.'a < b & c']", "length = 20", "width = 20", "height = 20",
    ])  # fmt: skip
    subject = subject_of(text)

    for file, raw in papers_of(subject.report).items():
        if file.endswith(".pdf"):
            for page in pages_of(raw):
                assert not list(off_the_page(page)), file
                assert not list(over_one_another(page)), file


def test_the_checks_above_can_fail() -> None:
    """A drawing whose words run into each other and off the page is caught."""
    drawing = Strokes()
    drawing.words(5, 10, "one over", 6)
    drawing.words(9, 11, "another", 6)
    drawing.words(-13.5, 25, "leftmost", 4)
    svg = drawing.svg(x=-15, width=190, height=40, title="a mess")
    sheet = Sheet(name="mess", title="Mess", about="", blocks=(Figure(svg=svg, alt="a mess", width_mm=208.0),))

    for page in pages_of(pdf(sheet, paper="a4", footer="")):
        assert any("one" in pair or "over" in pair for pair in over_one_another(page))
        assert any("leftmost" in word for word in off_the_page(page)), [(w.text, w.left) for w in page.words]
