"""A cure that stands on a number that looks wrong says so, and keeps its amount to itself where a slip explains it."""

from __future__ import annotations

from coachwork.confidence import examine

LOOK = "look at prototype.length first: it looks wrong, and this hangs on it"


def verdicts(tiny, **changes: str):
    return {v.id: v for v in examine(tiny.build(**changes), plan=tiny.plan()).verdicts}


def test_a_cure_built_on_a_slip_is_left_out(tiny):
    """4.1 for metres: the length would be 410.6 mm too long, and to be taken off."""
    found = verdicts(tiny, **{'"4100 ± 9 mm"': "4.1"})

    assert found["sized.length"].state == "fails"
    assert found["sized.length"].do == LOOK


def test_what_hangs_on_it_through_another_study_is_told_too(tiny):
    """The stretch's own numbers are right; it takes half of the length's error."""
    assert verdicts(tiny, **{'"4100 ± 9 mm"': "4.1"})["stretched.amount"].do == LOOK


def test_what_does_not_hang_on_it_keeps_its_cure(tiny):
    found = verdicts(tiny, **{'"4100 ± 9 mm"': "4.1", '"166 ± 0.6 mm"': '"169 ± 0.6 mm"'})
    assert found["sized.width"].do == "take 3.0 mm off the width"


def test_a_number_that_no_slip_explains_may_be_right_and_the_cure_with_it(tiny):
    found = verdicts(tiny, **{'"4100 ± 9 mm"': "1500"})
    assert found["sized.length"].do == f"{LOOK}. Only if it is right: take 261.0 mm off the length"


def test_a_doubt_is_looked_into_along_with_the_spreads(tiny):
    """No study runs once more for it."""
    examine(tiny.build(), plan=tiny.plan())
    plain = list(tiny.ran)
    tiny.ran.clear()
    doubted = examine(tiny.build(**{'"4100 ± 9 mm"': "4.1"}), plan=tiny.plan())
    assert doubted.build.doubts
    assert plain == tiny.ran


def test_a_doubt_comes_and_goes_with_the_number(tiny):
    plan = tiny.plan()
    told = [
        str({v.id: v for v in examine(tiny.build(**changes), plan=plan).verdicts}["sized.length"].do)
        for changes in ({}, {'"4100 ± 9 mm"': "4.1"}, {})
    ]
    assert [text == LOOK for text in told] == [False, True, False]
