"""What is worked out again after an edit comes to what is worked out from the file alone, to the last bit."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

import numpy as np
import pytest

from coachwork.build import read_text, with_entry
from coachwork.confidence import Report, examine, first_look
from coachwork.plan import Plan
from coachwork.studies.finding import Verdict

EXAMPLES = Path(__file__).parents[2] / "examples" / "harbour-mail-van"
EDITS = (  # read by one study; by many; a whole number; a slip, which is doubted
    ("shell.windscreen-height", "57.6"),
    ("changes.front.hardpoints.tie-rod-inner.z", "23.0"),
    ("changes.pinion-teeth", "29"),
    ("shell.width", "1.81"),
)


@pytest.fixture(scope="module")
def histories() -> list[tuple[Report, Report, Report]]:
    """After each edit: (at first look, weighed with what was kept, worked out anew)."""
    path = EXAMPLES / "as-found" / "build.toml"
    text = path.read_text(encoding="utf-8").replace('mesh = "shell.stl"', "")  # the scan adds time, and no new way
    plan, found = Plan(), []
    examine(read_text(text, path), plan=plan)
    for key, value in EDITS:
        text = with_entry(text, key, value)
        build = read_text(text, path)
        found.append((first_look(build, plan=plan), examine(build, plan=plan), examine(build, plan=Plan())))
    return found


def test_many_edits_of_any_lengths_come_to_what_the_file_alone_comes_to():
    """Both answered only at the end: what is kept has been kept over all of them, some of it never looked at again."""
    path = EXAMPLES / "as-found" / "build.toml"
    text, chosen = path.read_text(encoding="utf-8").replace('mesh = "shell.stl"', ""), np.random.default_rng(8)
    plan = Plan()
    plan.run(read_text(text, path))
    for _ in range(6):
        lengths = {
            entry.key: entry.measured.value
            for entry in read_text(text, path).entries()
            if entry.measured is not None and entry.measured.kind.unit == "mm"
        }
        key = str(chosen.choice(list(lengths)))
        text = with_entry(text, key, f"{lengths[key] * chosen.uniform(0.98, 1.02):.5g} mm")
        plan.run(read_text(text, path))
    build = read_text(text, path)
    kept, anew = examine(build, plan=plan), examine(build, plan=Plan())
    assert kept.verdicts == anew.verdicts
    assert kept.next_steps == anew.next_steps


def test_verdicts_and_advice_are_those_of_a_fresh_run(histories):
    for _, kept, anew in histories:
        assert kept.verdicts == anew.verdicts  # floats compare by value: the last bit counts
        assert kept.next_steps == anew.next_steps


def by_id(verdicts: Iterable[Verdict]) -> dict[str, Verdict]:
    return {verdict.id: verdict for verdict in verdicts}


def test_the_first_look_has_the_same_values_and_makes_up_no_chance(histories):
    for first, kept, _ in histories:
        weighed = by_id(kept.verdicts)
        assert by_id(first.verdicts).keys() == weighed.keys()
        for verdict in first.verdicts:
            then = weighed[verdict.id]
            assert (verdict.value, verdict.limit, verdict.margin) == (then.value, then.limit, then.margin)
            if not verdict.weighed:
                assert verdict.chance is None
                assert verdict.leads == ()
            elif verdict.margin is not None:
                assert verdict == then  # what hangs on no spread is told at once, and for good


def test_what_weighing_may_still_turn_is_a_verdict_that_holds_on_paper(histories):
    turned = {
        (verdict.state, then.state)
        for first, kept, _ in histories
        for verdict, then in zip(
            sorted(first.verdicts, key=lambda one: one.id), sorted(kept.verdicts, key=lambda one: one.id), strict=True
        )
        if verdict.state != then.state
    }
    assert turned == {("holds", "tight")}


def test_a_cure_is_told_at_first_look_only_where_no_doubted_number_can_be_behind_it(histories):
    for first, kept, _ in histories:
        weighed = by_id(kept.verdicts)
        for verdict in first.verdicts:
            assert verdict.do in (None, weighed[verdict.id].do)
