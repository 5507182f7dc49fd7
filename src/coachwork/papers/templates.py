"""The templates: which there are, the sheets they are printed on, and the same as SVG and DXF."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from coachwork.papers import cautions
from coachwork.papers.pen import SOFT, Strokes
from coachwork.papers.sheet import Block, Caution, Figure, Gap, Heading, Points, Sheet, Table, Words
from coachwork.papers.subject import Subject
from coachwork.papers.template import Mark, Template, draw
from coachwork.papers.templates_of_chassis import chassis_template, deck_templates
from coachwork.papers.templates_of_shell import arch_templates, trim_templates
from coachwork.papers.tiling import full_pages, tiles_of


@dataclass(frozen=True, kw_only=True)
class Templates:
    """All that a build has numbers for, and what it has not: (what, why)."""

    each: tuple[Template, ...]
    lacking: tuple[tuple[str, str], ...] = ()


def templates_of(of: Subject) -> Templates:
    """Trim lines, decks, the chassis, the shell's arches."""
    trims = list(trim_templates(of))
    decks, arches, chassis = tuple(deck_templates(of)), tuple(arch_templates(of)), chassis_template(of)
    lacking = [(f"No trim line for the {one[0]}.", f"{one[1][:1].upper()}{one[1][1:]}.") for one in trims
               if not isinstance(one, Template)]  # fmt: skip
    if not decks:
        lacking.append(("No deck to drill.", "A deck's corners stand under [decks] in the build file; see "
                        "docs/theory/stowage.md."))  # fmt: skip
    if not arches:
        lacking.append(("No arches to mark.", "They want shell.front.from-nose-left, shell.arch-opening-front, "
                        "shell.front.top and the like; see the measuring sheet."))  # fmt: skip
    drawn = [one for one in trims if isinstance(one, Template)]
    return Templates(
        each=(*drawn, *decks, *([chassis] if chassis is not None else []), *arches), lacking=tuple(lacking)
    )


def template_sheet(of: Subject, templates: Templates, *, name: str = "templates", title: str = "Templates") -> Sheet:
    """Pages with the list of each template's holes, then their sheets at 1:1."""
    blocks: list[Block] = [
        Points((
            "Print at 100 %: no “fit to page”, no “shrink”. Every sheet carries a rule of 100 mm in both directions: "
            "measure both with callipers before you cut. Off by more than 0.3 mm in either direction: set the "
            "printer's scale, or send the DXF to a cutter.",
            "Sheets that belong together: cut one on its dotted line and lay it over the other, register mark over "
            "register mark, against a window.",
            "Centre-punch holes through the paper, then drill small first.",
        )),
        Caution(cautions.BLADES),
    ]  # fmt: skip
    blocks += [Gap(what, why) for what, why in templates.lacking]
    for template in templates.each:
        blocks += _list(of, template)
    for template in templates.each:
        blocks += full_pages(template, paper=of.paper, vehicle=of.name)
    return Sheet(
        name=name, title=f"{title} at 1:1: {of.name}", about="Where to cut, drill and set things down.",
        blocks=tuple(blocks),
    )  # fmt: skip


def _list(of: Subject, template: Template) -> Iterator[Block]:
    yield Heading(template.title)
    left, bottom, right, top = template.bounds
    tiles = tiles_of(template, of.paper)
    sheets = "on one sheet" if len(tiles) == 1 else f"on {len(tiles)} sheets"
    size = f"{of.units.length(right - left, decimals=0)} by {of.units.length(top - bottom, decimals=0)}"
    yield Words(f"{template.how} {size}, {sheets}.")
    for note in template.notes:
        yield Words(of.units.sentence(note))
    if len(tiles) > 1:
        yield _overview(of, template)
    if template.holes:
        rows = tuple(
            (str(hole.number or ""), of.units.length(hole.y), of.units.length(-hole.x), f"{hole.diameter:g} mm",
             hole.what)
            for hole in template.holes
        )  # fmt: skip
        yield Table(heads=("hole", "x, forward", "y, to the left", "drill", "for"), rows=rows,
                    widths=(0, 1.6, 1.6, 1.0, 5), note="From the front axle line and the centreline.")  # fmt: skip
    yield from _things(template)


def _things(template: Template) -> Iterator[Block]:
    if template.things:
        yield Table(heads=("what sits there", "x, from rear to front", "y, from right to left", "held by"),
                    rows=template.things, widths=(2.6, 2.4, 2.4, 1.4))  # fmt: skip


def _overview(of: Subject, template: Template) -> Figure:
    """The net of sheets, small."""
    tiles = tiles_of(template, of.paper)
    left, top = min(tile.left for tile in tiles), max(tile.top for tile in tiles)
    width = max(tile.left + tile.width for tile in tiles) - left
    height = top - min(tile.top - tile.height for tile in tiles)
    paper = Strokes()
    draw((part for part in template.parts if not isinstance(part, Mark)), paper, left=left, top=top)
    small = min(110 / width, 90 / height)
    for number, tile in enumerate(tiles, start=1):
        paper.box(tile.left - left, top - tile.top, tile.width, tile.height, weight=0.3 / small, fill="none",
                  colour=SOFT, dashes=f"{1 / small:.2f} {1 / small:.2f}")  # fmt: skip
        paper.words(tile.left - left + 3 / small, top - tile.top + 7 / small, str(number), 5 / small, bold=True)
    svg = paper.svg(width=width, height=height, title="How the sheets lie")
    return Figure(svg=svg, width_mm=width * small, alt=f"{template.title}: how its {len(tiles)} sheets lie together.",
                  caption="How the sheets lie together; not to scale.")  # fmt: skip
