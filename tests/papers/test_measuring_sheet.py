"""The measuring sheet asks for what lacks and for nothing else; the assumptions' index is in order."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from coachwork.papers.assumptions import assumptions
from coachwork.papers.bench_drawings import _TABLES, drawing_of, drawings_that_show
from coachwork.papers.measuring_sheet import measuring_sheet, wanted
from coachwork.papers.sheet import Figure, Gap, Heading, Table, WriteIn
from coachwork.papers.subject import Subject


def keys_of(of: Subject) -> set[str]:
    """All keys asked for, points taken apart."""
    return {f"{one.key}.{axis}" if axis else one.key for one in wanted(of) for axis in (one.axes or ("",))}


@pytest.mark.parametrize("build", ["five", "as_found", "many"])
def test_it_asks_for_all_that_an_answer_waits_for_and_for_nothing_measured(
    build: str, request: pytest.FixtureRequest
) -> None:
    subject: Subject = request.getfixturevalue(build)
    waited_for = {key for verdict in subject.report.verdicts for key in verdict.missing}
    measured = {entry.key for entry in subject.build.entries()
                if entry.measured is not None and not entry.measured.source.value.startswith("guess")}  # fmt: skip

    asked = keys_of(subject)

    assert waited_for <= asked
    assert not asked & measured


def test_the_finished_van_has_nothing_left_to_measure(as_finished: Subject) -> None:
    (gap,) = [block for block in measuring_sheet(as_finished).blocks if isinstance(block, Gap)]

    assert gap.what == "Nothing is left to measure."


def test_readings_stand_by_place_each_with_a_box_its_how_and_its_good(five: Subject) -> None:
    blocks = measuring_sheet(five).blocks
    places = [block.text for block in blocks if isinstance(block, Heading)]
    tables = [block for block in blocks if isinstance(block, Table)]

    assert places.index("The shell") < places.index("The donor's front end") < places.index("The new front wheels")
    assert len(places) == len(set(places)) == len(tables)
    for table in tables:
        for _, how, answers, box in table.rows:
            assert isinstance(box, WriteIn)
            assert len(str(how)) > 10
            assert str(answers).strip()
    front = tables[places.index("The donor's front end")]
    hub = next(row for row in front.rows if row[0] == "hub-face")
    assert isinstance(hub[3], WriteIn)
    assert hub[3].labels == ("x", "y", "z")
    assert hub[3].unit == "mm"


def test_a_place_has_the_drawings_that_show_its_keys(five: Subject) -> None:
    alts = [block.alt for block in measuring_sheet(five).blocks if isinstance(block, Figure)]

    for name in ("shell-side", "shell-end", "corner-behind", "corner-above", "wheel-section"):
        assert drawing_of(name).about in alts
    assert len(alts) == len(set(alts))


def test_drawings_know_what_they_show() -> None:
    assert drawings_that_show(["shell.rear.from-nose-left"]) == ("shell-side",)
    assert drawings_that_show(["shell.front.lip"]) == ("shell-end",)
    assert "corner-behind" in drawings_that_show(["running-gear.front.arm-pin-rear"])
    assert (
        drawings_that_show(["running-gear.front.arm-pin-rear", "running-gear.front.upper-ball"])[0] == "two-arm-behind"
    )
    assert drawings_that_show(["running-gear.rear.links.left-lower.chassis"]) == ("live-axle-above", "live-axle-side")
    assert drawings_that_show(["pack.cells"]) == ()
    for name in _TABLES:
        assert drawing_of(name).keys, name


def test_guesses_are_sorted_by_what_hangs_on_them(subject_of: Callable[[str], Subject], as_found: Subject) -> None:
    """Two guesses, of which only one is in doubt's way: the shell's width of which an answer hangs, and the tyre's."""
    text = as_found.build.text.replace("wheelbase = 257.0\ndrive", 'wheelbase = "~ 257.0"\ndrive')
    text = text.replace("sill-height = 31.0", 'sill-height = "~ 31 mm"').replace('mesh = "shell.stl"', "#")
    text = text.replace('file = "delivery-round.csv"', "#")
    subject = subject_of(text)
    (table, *_) = [block for block in assumptions(subject).blocks if isinstance(block, Table)]

    weights = [float(str(row[2])) for row in table.rows]

    assert weights == sorted(weights, reverse=True)
    names = [row[0] for row in table.rows]
    assert "running-gear.wheelbase" in names
    assert {row[0] for row in table.rows} == {
        step.key for step in subject.report.next_steps if step.reason == "guessed"
    }
    doubted = table.rows[0]
    assert weights[0] > 0
    assert str(doubted[1]).endswith(", your guess")
