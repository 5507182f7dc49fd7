"""The drawings of all made parts as one paper: a list, then each at 1:1 on the smallest ISO sheet that holds it."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from html import escape
from pathlib import Path

from coachwork.papers.sheet import Block, FullPage, Sheet, Table, Words
from coachwork.studies.solids import PartSolid

NAME = "drawings"
SHEETS = {"A4": (297, 210), "A3": (420, 297), "A2": (594, 420), "A1": (841, 594), "A0": (1189, 841)}
"""ISO 216, lying; mm."""
EDGE_MM = 8.0  # of the frame, from the sheet's edge; ISO 5457 has 10 and 20, home printers keep 4 or 5
BLOCK_MM = (112.0, 15.0)  # title block, low on the right
RULE_MM = 100.0
_SIZE = re.compile(r'viewBox="0 0 ([\d.]+) ([\d.]+)"')


def part_drawings(parts: Mapping[str, PartSolid], *, build: str, revision: str) -> Sheet:
    """Of the parts whose drawings stand beside their solids, in order; `build` as the builder calls it."""
    drawn = [(part, text) for part in parts.values() if (text := _drawing(part)) is not None]
    return Sheet(
        name=NAME, title="Drawings of the parts", about="every made part at 1:1, its holes from the datum",
        blocks=(*_front(drawn), *(_page(part, text, build, revision) for part, text in drawn)),
    )  # fmt: skip


def _drawing(part: PartSolid) -> str | None:
    try:
        return (Path(part.step).parent / f"{part.name}.svg").read_text(encoding="utf-8")
    except OSError:
        return None


def _front(drawn: list[tuple[PartSolid, str]]) -> Iterator[Block]:
    yield Words(
        "Print at 100 %, not fitted to the page, each page on the sheet that its title block names, and measure the "
        "rule. On a smaller sheet a page still tells all it has to: what counts are the numbers. Holes are told as "
        "they are to be when finished, from the datum; drill or ream them to that."
    )
    rows = [
        (part.number, part.name, f"{part.process}, {part.material}", _sizes(part), _sheet_for(*_size(text)))
        for part, text in drawn
    ]
    yield Table(heads=("number", "part", "made of", "size, mm", "sheet"), rows=tuple(rows), widths=(0, 2, 2, 2, 0))


def _sizes(part: PartSolid) -> str:
    return "" if part.measured is None else " x ".join(f"{size:.1f}" for size in part.measured.size_mm)


def _size(text: str) -> tuple[float, float]:
    """Of a drawing, mm."""
    found = _SIZE.search(text)
    assert found is not None, "our own drawings say their size"
    return float(found[1]), float(found[2])


def _sheet_for(wide: float, high: float) -> str:
    """The smallest sheet that holds a drawing inside its frame, over the title block; the largest where none does."""
    for name, (across, up) in SHEETS.items():
        if wide <= across - 2 * EDGE_MM and high + BLOCK_MM[1] <= up - 2 * EDGE_MM:
            return name
    return "A0"


def _page(part: PartSolid, text: str, build: str, revision: str) -> FullPage:
    wide, high = _size(text)
    name = _sheet_for(wide, high)
    across, up = SHEETS[name]
    inner = text[text.index(">") + 1 : text.rindex("</svg>")]  # its own frame is left off
    right, low = across - EDGE_MM, up - EDGE_MM
    x, y = right - BLOCK_MM[0], low - BLOCK_MM[1]
    words = (
        (x + 2, y + 5.6, 4.2, f"{part.number}  {part.name}"),
        (x + 2, y + 10.0, 2.6, f"{build}; {part.process}, {part.material}"),
        (
            x + 2,
            y + 13.6,
            2.6,
            f"1:1 in mm, first angle; revision {revision}; {name}; sizes without tolerance: ISO 2768-m",
        ),
    )
    lines = [
        f'<rect x="{EDGE_MM}" y="{EDGE_MM}" width="{across - 2 * EDGE_MM}" height="{up - 2 * EDGE_MM}"/>',
        f'<rect x="{x}" y="{y}" width="{BLOCK_MM[0]}" height="{BLOCK_MM[1]}"/>',
        *_rule(EDGE_MM + 4.0, low - 4.0),
    ]
    svg = "".join((
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{across}mm" height="{up}mm" viewBox="0 0 {across} {up}">',
        '<rect width="100%" height="100%" fill="white"/>',
        f'<g transform="translate({EDGE_MM} {EDGE_MM})">{inner}</g>',
        f'<g fill="none" stroke="#16202a" stroke-width="0.3">{"".join(lines)}</g>',
        *(_text(*each) for each in (*words, (EDGE_MM + 4.0, low - 8.0, 2.6, f"this rule is {RULE_MM:.0f} mm long"))),
        "</svg>",
    ))  # fmt: skip
    return FullPage(svg=svg, alt=f"drawing of the part {part.name}, at 1:1", width_mm=across, height_mm=up)


def _rule(x: float, y: float) -> Iterator[str]:
    yield f'<path d="M{x},{y}h{RULE_MM}"/>'
    for at in range(0, int(RULE_MM) + 1, 10):
        yield f'<path d="M{x + at},{y}v{-3 if at % 50 == 0 else -1.8}"/>'


def _text(x: float, y: float, size: float, words: str) -> str:
    return f'<text x="{x}" y="{y}" font-family="sans-serif" font-size="{size}" fill="#16202a">{escape(words)}</text>'
