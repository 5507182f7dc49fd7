"""What is said to answer a question answers it: on the finished van, put together again number by number."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from coachwork.build import read_text, with_entry
from coachwork.build.fields import steps_of
from coachwork.build.starters import FIRST_FIVE
from coachwork.confidence import examine
from coachwork.confidence.needs import FAR, groups
from coachwork.plan import Plan, discover
from coachwork.quantity import show

PLAN = Plan(studies=tuple(study for study in discover() if study.name in ("likeness", "stance", "linkage")))


def report_of(text: str):
    return examine(read_text(text, Path("build.toml")), plan=PLAN)


@pytest.fixture(scope="module")
def van(request):
    """{key: text} of all that the finished van holds."""
    path = Path(__file__).parents[2] / "examples" / "harbour-mail-van" / "as-finished" / "build.toml"
    build = read_text(path.read_text("utf-8"), path)
    data = tomllib.loads(build.text)

    def value(key: str) -> str:
        measured = {entry.key: entry.measured for entry in build.entries()}.get(key)
        if measured is not None:
            return show(measured)
        here = data
        for step in steps_of(key):
            here = here[step]
        return str(here)

    return value


def promised(report):
    """The first group: its keys, and the verdicts it is said to answer."""
    first = report.next_steps[0]
    return first.together, set(first.verdicts)


def test_on_a_blank_build_the_five_numbers_of_the_guide_come_first():
    keys, answers = promised(report_of(""))
    assert keys == FIRST_FIVE
    assert answers == {"likeness.scale-agreement.width", "stance.wheelbase"}


def test_of_the_five_those_that_lack_come_first():
    keys, _ = promised(report_of('[build]\nscale = "1:10"\n[shell]\nwheelbase = 272\nwidth = 174\n'))
    assert keys == ("prototype.wheelbase", "prototype.width", "running-gear.wheelbase")


def test_whoever_begins_elsewhere_is_not_sent_back_to_them():
    keys, answers = promised(report_of("[wheels.front]\nseat-width = 18\n"))
    assert (keys, answers) == (("wheels.front.bead-width",), {"stance.front.bead-width"})


def test_every_promise_is_kept(van):
    """Group by group, as long as they are near: what a group is said to answer it answers, and it alone lacked."""
    text, kept = "", 0
    while True:
        report = report_of(text)
        keys, answers = promised(report)
        if len(keys) > FAR or report.next_steps[0].reason != "not measured":
            break
        before = {verdict.id for verdict in report.verdicts if verdict.state != "unmeasured"}
        assert not answers & before
        assert answers
        for key in keys:
            text = with_entry(text, key, van(key))
        waiting = {verdict.id: verdict.missing for verdict in report_of(text).verdicts if verdict.missing}
        assert {id: waiting[id] for id in answers & waiting.keys()} == {}
        kept += 1
    assert kept >= 12


def test_what_a_question_needs_is_named_together_whatever_the_study_stumbles_over_first():
    """The track: the study looks for the hub's face first, and only behind it for the wheel."""
    report = report_of("")
    track = next(verdict for verdict in report.verdicts if verdict.id == "stance.front.track")

    assert set(track.missing) >= {
        "running-gear.front.hub-face.y", "wheels.front.backspace", "wheels.front.rim-width", "prototype.track-front",
    }  # fmt: skip
    assert all(key in track.why for key in track.missing)
    step = next(step for step in report.next_steps if step.key == "running-gear.front.hub-face.y")
    assert {"wheels.front.backspace", "wheels.front.rim-width"} <= set(step.together)


def test_what_is_far_off_names_what_to_begin_with():
    report = report_of("")
    front = next(verdict for verdict in report.verdicts if verdict.id == "linkage.front.camber")
    step = next(step for step in report.next_steps if step.key == "running-gear.front.arm-pin-front.x")

    assert front.missing == ("running-gear.front.kind",)
    assert len(step.together) > FAR


def test_what_was_made_up_does_not_stay_in_the_plan():
    plan = Plan(studies=PLAN.studies)
    build = read_text("[shell]\nwheelbase = 272\n", Path("build.toml"))
    examine(build, plan=plan)
    assert {key: held for answer in plan.kept.values() for key, held in answer.read.items() if held is not None} == {
        entry.key: entry.best for entry in build.entries() for answer in plan.kept.values()
        if entry.best is not None and entry.key in answer.read
    }  # fmt: skip


def test_a_number_that_answers_more_comes_before_one_that_answers_less():
    found = groups("abcd", {"one": ("a", "b"), "two": ("b",), "three": ("c", "d"), "four": ("b", "c", "d")})
    assert [(group.keys, group.verdicts) for group in found] == [
        (("b",), ("two",)),
        (("a",), ("one",)),
        (("c", "d"), ("three", "four")),
    ]
