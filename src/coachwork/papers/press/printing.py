"""A sheet set in type: the same bytes for the same sheet, on every machine.

The letters are those that matplotlib brings along (DejaVu Sans), so that no machine's own fonts change a page; no date
is written. The file claims PDF/UA-1 (ISO 14289-1): tagged, with title and language, every drawing described.
"""

from __future__ import annotations

import json
import re
from functools import cache
from importlib.resources import files
from typing import TYPE_CHECKING, Any, Literal

from coachwork.papers.press.glyphs import font_folder, shown
from coachwork.papers.sheet import (
    Block,
    Caution,
    Cell,
    Figure,
    FullPage,
    Gap,
    Heading,
    NewPage,
    PaperSize,
    Points,
    Sheet,
    Table,
    Tick,
    Words,
    WriteIn,
)

if TYPE_CHECKING:
    import typst

STANDARD: Literal["ua-1"] = "ua-1"
_FAMILY = re.compile(r'font-family="([^"]*)"')
_PAPERS: dict[PaperSize, str] = {"a4": "a4", "letter": "us-letter"}


def pdf(sheet: Sheet, *, paper: PaperSize, footer: str) -> bytes:
    """The sheet as a PDF file."""
    import typst

    data = {
        "title": shown(sheet.title, breaks=False),
        "heading": shown(sheet.title),
        "about": shown(sheet.about),
        "footer": shown(footer),
        "paper": _PAPERS[paper],
        "landscape": sheet.landscape,
        "blocks": [_block(block) for block in sheet.blocks],
    }
    made = typst.compile(
        _template(),
        output=None,
        format="pdf",
        sys_inputs={"sheet": json.dumps(data)},
        font_paths=_fonts(),
        pdf_standards=[STANDARD],
        timestamp=0,
    )
    assert isinstance(made, bytes)
    return made


@cache
def _template() -> bytes:
    return (files("coachwork.papers.press") / "sheet.typ").read_bytes()


@cache
def _fonts() -> typst.Fonts:
    """None but ours: neither the machine's nor the compiler's own."""
    import typst

    return typst.Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=[str(font_folder())])


def _block(block: Block) -> dict[str, Any]:
    match block:
        case Heading(text, level):
            return {"kind": "heading", "text": shown(text), "level": level}
        case Words(text, look):
            return {"kind": "words", "text": shown(text), "look": look}
        case Points(items):
            return {"kind": "points", "items": [shown(item) for item in items]}
        case Caution(text):
            return {"kind": "caution", "text": shown(text)}
        case Gap(what, why):
            return {"kind": "gap", "what": shown(what), "why": shown(why)}
        case Table():
            return {
                "kind": "table",
                "title": shown(block.title),
                "note": shown(block.note),
                "small": block.small,
                "widths": block.widths,
                "heads": [shown(head) for head in block.heads],
                "rows": [[_cell(cell) for cell in row] for row in block.rows],
            }
        case Figure():
            return _figure(block)
        case NewPage():
            return {"kind": "new-page"}
        case FullPage():
            return {
                "kind": "full-page",
                "svg": _drawn(block.svg),
                "alt": shown(block.alt),
                "width": block.width_mm,
                "height": block.height_mm,
            }


def _cell(cell: Cell) -> str | dict[str, Any]:
    match cell:
        case WriteIn(unit=unit, labels=labels):
            return {"kind": "write-in", "unit": shown(unit), "labels": labels}
        case Tick():
            return {"kind": "tick"}
    return shown(cell)


def _figure(figure: Figure) -> dict[str, Any]:
    return {
        "kind": "figure",
        "svg": _drawn(figure.svg),
        "alt": shown(figure.alt),
        "caption": shown(figure.caption),
        "width": figure.width_mm,
        "height": figure.height_mm,
    }


def _drawn(svg: str) -> str:
    """A drawing in our fonts alone, whatever families it names."""
    return _FAMILY.sub(
        lambda named: f'font-family="DejaVu Sans{" Mono" if "Mono" in named[1] else ""}"', shown(svg, breaks=False)
    )
