"""What the pages point to exists: files, pictures, headings, keys of the build file, ids of verdicts."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from coachwork.build.fields import NAME, field_of, file_tables
from coachwork.build.reading import read
from coachwork.confidence import examine

ROOT = Path(__file__).parents[2]
PAGES = [ROOT / "README.md", ROOT / "CHANGELOG.md", *sorted((ROOT / "docs").rglob("*.md"))]
LINK = re.compile(r"(?<!`)\[[^\]\n]*\]\((?P<target>[^)\s]+)\)")
BLOCK = re.compile(r"^```.*?^```$", re.DOTALL | re.MULTILINE)
# How GitHub and others name a heading: small letters, blanks as hyphens, all other signs left out.
SIGNS = re.compile(r"[^\w\- ]")


def name(page):
    return str(page.relative_to(ROOT))


def prose(page):
    return BLOCK.sub("", page.read_text(encoding="utf-8"))


def headings(page):
    lines = [line.lstrip("#").strip() for line in prose(page).splitlines() if re.match(r"#+ ", line)]
    return {SIGNS.sub("", line.lower()).replace(" ", "-") for line in lines}


@pytest.mark.parametrize("page", PAGES, ids=name)
def test_every_relative_link_leads_to_a_file_and_a_heading(page):
    targets = [match["target"] for match in LINK.finditer(prose(page))]

    lost = []
    for target in targets:
        if re.match(r"[a-z]+:", target):
            continue
        path, _, heading = target.partition("#")
        file = (page.parent / path).resolve() if path else page
        inside = file.exists() and ROOT in [file, *file.parents]
        if not inside or (heading and heading not in headings(file)):
            lost.append(target)
    assert not lost


def test_the_pages_have_links_at_all():
    """A pattern that finds nothing would find nothing wrong."""
    assert sum(len(LINK.findall(prose(page))) for page in PAGES) > 30


def test_every_drawing_is_on_some_page():
    shown = "\n".join(page.read_text(encoding="utf-8") for page in PAGES)

    for drawing in [*(ROOT / "docs").rglob("*.svg")]:
        assert f"/{drawing.name})" in shown, f"{drawing.name} is drawn and shown nowhere"


# Keys as the pages write them: in code marks, whole or from some table on, or with a value behind.
CODE = re.compile(r"(?<!`)`(?P<code>[a-z][a-z0-9.\-]*)(?: = [^`]*)?`(?!`)")
KEY_PAGES = ["measure-your-first-build.md", "glossary.md"]
NO_KEYS = {"build.toml", "coachwork", "benchmarks", "do", "why"}


def known_keys():
    """Every key, and every tail of one: `wheels.front.inset`, `front.inset`, `inset`."""
    tails = set()
    for outer in file_tables():
        for table in outer.walk():
            for whole in [table.header, *(field.key for field in table.fields)]:
                steps = [step for step in whole.split(".") if step != NAME]
                tails |= {".".join(steps[i:]) for i in range(len(steps))}
    return tails


@pytest.mark.parametrize("page", KEY_PAGES)
def test_every_key_on_the_measuring_pages_is_one_of_the_build_file(page):
    known = known_keys()
    text = prose(ROOT / "docs" / page)
    codes = {match["code"] for match in CODE.finditer(text)} - NO_KEYS

    links = {"left-leaf", "right-leaf", "mail-slot-width"}  # names of the builder's own
    assert len(codes) > 10
    assert not {code for code in codes - links if code.removesuffix("-") not in known and field_of(code) is None}


def test_every_key_in_the_drawings_is_one_of_the_build_file():
    known = known_keys()
    word = re.compile(r'font-family="DejaVu Sans Mono[^>]*fill="#1a1a1a">(?P<words>[^<]*)<')

    words = set()
    for drawing in (ROOT / "docs" / "drawings").glob("*.svg"):
        words |= {match["words"] for match in word.finditer(drawing.read_text(encoding="utf-8"))}
    keys = {re.sub(r"^half of |[:,;=].*$| [xyz]$", "", each).strip() for each in words}
    assert len(keys) > 60
    # "z" and "y" are coordinates, "links left-leaf" is a name of the builder's own.
    assert not {key for key in keys - {"y", "z", "links left-leaf"} if key not in known}


def test_every_verdict_id_on_the_pages_is_one_that_studies_give():
    report = examine(read(ROOT / "examples" / "harbour-mail-van" / "as-found"))
    ids = {verdict.id for verdict in report.verdicts}

    quoted = set()
    for page in PAGES:
        quoted |= set(re.findall(r"`((?:likeness|stance|linkage)\.[a-z.\-]*[a-z])`", prose(page)))
    assert quoted
    assert quoted <= ids
