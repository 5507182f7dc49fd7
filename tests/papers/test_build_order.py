"""The build order: each step after what it needs, safe ones last, and read off the build."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from coachwork.papers.build_order import build_order
from coachwork.papers.build_steps import in_order, steps_of
from coachwork.papers.sheet import Caution, Gap, Table
from coachwork.papers.step import Step
from coachwork.papers.subject import Subject

BUILDS = ("as_found", "as_finished", "many")


@pytest.mark.parametrize("build", BUILDS)
def test_each_step_stands_after_all_it_comes_after(build: str, request: pytest.FixtureRequest) -> None:
    """No demand was dropped: none of these builds goes round in a circle."""
    subject: Subject = request.getfixturevalue(build)
    steps = in_order(steps_of(subject))
    place = {step.key: number for number, step in enumerate(steps)}

    assert len(place) == len(steps) == len(steps_of(subject))  # no step lost, none twice
    for step in steps:
        for before in step.after:
            assert before not in place or place[before] < place[step.key], (before, step.key)


def test_what_must_not_be_mixed_up_is_not(as_found: Subject) -> None:
    keys = [step.key for step in in_order(steps_of(as_found))]

    def before(first: str, then: str) -> bool:
        return keys.index(first) < keys.index(then)

    assert before("made", "jigs")
    assert before("jigs", "stretch")  # the chassis takes the place of a deck cut from sheet
    assert "deck-main" not in keys
    assert before("stretch", "keep-outs.mid-post")
    assert before("stretch", "box-receiver")
    assert before("door", "box-pack")
    assert before("paint", "brackets")
    assert before("brackets", "shell-on")
    assert before("keep-outs.mid-post", "box-receiver")
    assert before("arms-front", "changes.front.camber-link-length")
    assert before("shafts-rear", "wheels-rear")
    assert before("trim-front", "paint")
    assert before("bench-radio", "servo")
    assert before("servo", "changes.front.tie-rod-length")  # a tie-rod is set with the servo centred
    assert before("lead-supply-lead", "check-wiring")


@pytest.mark.parametrize("build", ["as_found", "as_finished"])
def test_the_pack_goes_in_after_all_soldering_and_the_check_of_the_wiring(
    build: str, request: pytest.FixtureRequest
) -> None:
    keys = [step.key for step in in_order(steps_of(request.getfixturevalue(build)))]
    pack = keys.index("box-pack")

    assert all(keys.index(key) < pack for key in keys if key.startswith(("lead-", "check-")))
    assert keys[pack:] == ["box-pack", "failsafe", "set-up", "shell-on", "first-run"]


def test_a_step_that_the_build_has_not_is_not_there(as_found: Subject, subject_of: Callable[[str], Subject]) -> None:
    deckless = subject_of("[changes]\nstretch = 12.0\n[changes.front]\narm-longer = 4\nshaft-length = 60\n")

    keys = [step.key for step in in_order(steps_of(deckless))]

    assert keys == ["stretch", "arms-front", "shafts-front", "set-up", "first-run"]
    assert "arms-front" in {step.key for step in steps_of(as_found)}


def test_a_deck_that_no_chassis_brings_is_cut_and_drilled(subject_of: Callable[[str], Subject]) -> None:
    sheet = subject_of("[changes]\nstretch = 12.0\n[decks.upper]\nheight = 30\n")

    keys = [step.key for step in in_order(steps_of(sheet))]

    assert keys[:2] == ["stretch", "deck-upper"]


def test_two_boxes_that_stand_on_each_other_do_not_stop_it() -> None:
    circle = [Step(key="a", what="a", after=("b",)), Step(key="b", what="b", after=("a",)),
              Step(key="c", what="c", after=("a", "b"))]  # fmt: skip

    keys = [step.key for step in in_order(circle)]

    assert sorted(keys) == ["a", "b", "c"]
    assert keys[-1] == "c"


def test_the_sheet_names_dangers_and_marks_fasteners_as_common_practice(as_found: Subject) -> None:
    blocks = build_order(as_found).blocks
    told = " ".join(block.text for block in blocks if isinstance(block, Caution))
    (table,) = [block for block in blocks if isinstance(block, Table)]

    for danger in ("Lithium", "dust", "Wheels off the ground", "Thread-lock", "Solvents", "local rules"):
        assert danger in told
    assert "common practice" in table.heads[3]
    assert "common practice, no source" in table.note


def test_a_build_of_five_numbers_has_no_made_up_steps(five: Subject) -> None:
    steps = in_order(steps_of(five))

    assert {step.key for step in steps} <= {"shell-0", "shell-1", "paint", "set-up", "shell-on", "first-run"}
    assert steps or any(isinstance(block, Gap) for block in build_order(five).blocks)
