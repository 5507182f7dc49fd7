"""What comes out of the press: tagged, titled, searchable, the same bytes; and nothing typed is read as markup."""

from __future__ import annotations

import io
import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pypdf
import pytest
from pdf_reader import pages_of

from coachwork.papers.binder import PAPERS, papers_of
from coachwork.papers.press import pdf
from coachwork.papers.press.glyphs import shown
from coachwork.papers.sheet import Points, Sheet, Table, Words
from coachwork.papers.subject import Subject

Printed = Callable[[str, str], dict[str, bytes]]

NASTY = r'#panic("x") $1 + 1$ *bold* _it_ `raw` [link](x) @ref <label> \ // comment /* */ {} "quoted" & <b> = head'
_AGAIN = """
import hashlib, sys
from pathlib import Path
from coachwork.build import read
from coachwork.confidence import examine
from coachwork.papers.binder import papers_of
made = papers_of(examine(read(Path(sys.argv[1]))), only=["wiring-sheet", "build-order", "report"])
print(*(hashlib.sha256(made[name]).hexdigest() for name in sorted(made)))
"""


def test_every_paper_is_tagged_with_title_and_language(printed: Printed) -> None:
    """PDF/UA-1 (ISO 14289-1): marked, a language, a structure tree, a title that readers show, and its own claim."""
    files = {file: raw for paper in PAPERS for file, raw in printed("as_found", paper).items()}
    for name, raw in files.items():
        if not name.endswith(".pdf"):
            continue
        reader = pypdf.PdfReader(io.BytesIO(raw))
        root = reader.trailer["/Root"]
        assert root["/MarkInfo"]["/Marked"], name
        assert root["/Lang"] == "en", name
        assert "/StructTreeRoot" in root, name
        assert root["/ViewerPreferences"]["/DisplayDocTitle"], name
        assert reader.metadata is not None
        assert str(reader.metadata.title).endswith("Harbour mail van, as found"), name
        assert b"pdfuaid" in root["/Metadata"].get_object().get_data(), name


def test_only_the_shipped_letters_are_used_and_all_of_them_are_inside(printed: Printed) -> None:
    raw = printed("as_found", "report")["report.pdf"]
    fonts = {
        str(font.get_object()["/BaseFont"]).partition("+")[2]
        for page in pypdf.PdfReader(io.BytesIO(raw)).pages
        for font in page["/Resources"].get_object().get("/Font", {}).values()
    }
    assert fonts
    assert all(font.startswith("DejaVuSans") for font in fonts), fonts


def test_markup_that_a_builder_types_is_printed_as_it_stands() -> None:
    sheet = Sheet(
        name="nasty", title=NASTY, about=NASTY,
        blocks=(Words(NASTY), Points((NASTY,)), Table(heads=(NASTY, ""), rows=((NASTY, NASTY),), widths=(1, 1))),
    )  # fmt: skip

    (text,) = [page.text for page in pages_of(pdf(sheet, paper="a4", footer=NASTY))]

    pieces = [piece for piece in NASTY.split() if len(piece) < 12]
    assert len(pieces) > 15
    for piece in pieces:
        assert text.count(piece) >= 7, piece  # title, about, words, points, head, two cells; the footer besides


def test_letters_that_the_font_lacks_are_told_by_their_code() -> None:
    assert shown("a 漢 b") == "a [U+6F22] b"
    assert shown("Größe ± 5 °C, Ω, Ж") == "Größe ± 5 °C, Ω, Ж"
    assert "\x00" not in shown("a\x00b")


def test_text_comes_out_as_it_was_typed_keys_whole(five: Subject) -> None:
    """A key copied out of the PDF can be pasted into a terminal: no soft hyphen and no other invisible letter in it."""
    texts = " ".join(
        page.text for page in pages_of(papers_of(five.report, only=["measuring-sheet"])["measuring-sheet.pdf"])
    )

    assert "camber-link-inner" in texts
    assert not any(letter in texts for letter in "\u200b\u00ad\ufffc\u2060")


def test_the_same_build_gives_the_same_bytes_in_another_process(as_found: Subject, printed: Printed) -> None:
    """Hash seed, hour and folder differ; bytes do not."""
    import hashlib

    script, build = _AGAIN, as_found.build.path.parent
    made = {file: raw for paper in ("wiring-sheet", "build-order", "report")
            for file, raw in printed("as_found", paper).items()}  # fmt: skip
    here = [hashlib.sha256(made[name]).hexdigest() for name in sorted(made)]
    environment = {**os.environ, "PYTHONHASHSEED": "77", "TZ": "Pacific/Chatham", "LC_ALL": "C.UTF-8"}

    done = subprocess.run(
        [sys.executable, "-c", script, str(build)], capture_output=True, text=True, check=True, env=environment,
        cwd=Path(__file__).parent,
    )  # fmt: skip

    assert done.stdout.split() == here


def test_a_table_with_a_row_too_short_is_refused() -> None:
    with pytest.raises(ValueError, match="2 columns"):
        Table(heads=("a", "b"), rows=(("only one",),), widths=(1, 1))


def test_there_is_a_paper_of_every_name_and_each_says_what_it_is_for(five: Subject) -> None:
    for name, make in PAPERS.items():
        sheet = make(five)
        assert sheet.name == name
        assert sheet.about.endswith(".")
        assert sheet.title.endswith("Five numbers")
