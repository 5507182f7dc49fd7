"""The study as a whole: what it asks for, samples, chances, and what few numbers already give."""

import re

import numpy as np
import pytest

from coachwork.build import Entry
from coachwork.confidence import examine
from coachwork.plan import Plan
from coachwork.studies import likeness, stance

STUDIES = (likeness.STUDY, stance.STUDY)

# Left out, these mean "as bought" or have a set aim, so there is nothing to ask for.
AS_BOUGHT = re.compile(r"changes\.(stretch|centre-shaft-length|(front|rear)\.(arm-longer|ride-height))$")
AIM = re.compile(r"wanted\.")
# Not needed while the inset is given, nor by this study.
ELSEWHERE = re.compile(r"wheels\.\w+\.rim-width$|hub-face\.[xz]$")


def keys_of(build) -> list[str]:
    return [entry.key for entry in build.entries() if entry.measured is not None]


def test_every_single_missing_number_is_asked_for(sits_right, with_, build_of):
    """Delete one entry at a time: it is the next thing to measure (or named as guessed), the rest goes on."""
    whole = build_of(sits_right)
    asked = 0
    for key in keys_of(whole):
        if AS_BOUGHT.match(key) or AIM.match(key) or ELSEWHERE.search(key):
            continue
        build = build_of(with_({key: None}))
        assert build.entry(key).measured is None, key
        report = examine(build, plan=Plan(STUDIES))
        steps = {step.key: step for step in report.next_steps}
        # Backspace says the same as inset and has no sign to get wrong, so it is the one asked for.
        asked_for = key.replace("inset", "backspace")
        assert steps[asked_for].how, key
        assert {step.key for step in report.next_steps if step.reason == "not measured"} <= {asked_for}, key
        assert sum(v.state != "unmeasured" for v in report.verdicts) >= 20, key
        asked += 1
    assert asked >= 60


def test_drive_left_open_is_asked_for(with_, findings_of):
    assert findings_of(with_({"running-gear.drive": None}))["stance.drive"].missing == ("running-gear.drive",)


def test_ids_do_not_depend_on_numbers(sits_right, with_, build_of, findings_of):
    """Every number moved a tenth of itself up and down, one at a time: the same questions."""
    ids = list(findings_of(sits_right))
    for entry in list(build_of(sits_right).entries()):
        if entry.measured is not None and entry.key != "build.scale":
            for factor in (0.9, 1.1):
                assert list(findings_of(with_({entry.key: round(entry.measured.value * factor, 4)}))) == ids, entry.key


def test_samples_answer_as_each_alone(sits_right, with_, build_of, findings_of, sampled):
    """Eight samples of all numbers at once, and one build file for each."""
    draw = np.random.default_rng(12)
    entries: list[Entry] = [
        e for e in build_of(sits_right).entries() if e.measured is not None and e.key != "build.scale"
    ]
    columns = {
        e.key: np.round(e.measured.value + 2 * (e.measured.sigma + 0.3) * draw.standard_normal(8), 6) for e in entries
    }
    columns = {key: np.abs(column) if "arch-from" not in key else column for key, column in columns.items()}
    together = sampled(sits_right, columns)

    for i in range(8):
        alone = findings_of(with_({key: float(column[i]) for key, column in columns.items()}))
        assert set(alone) == set(together)
        for id, finding in alone.items():
            for name in ("value", "limit"):
                number = np.broadcast_to(getattr(together[id], name), 8)[i]
                assert number == pytest.approx(getattr(finding, name)[0], abs=1e-9), (id, name)


@pytest.mark.parametrize(
    ("id", "changes"),
    [
        ("stance.wheelbase", {"changes.stretch": 6.9, "running-gear.wheelbase": "240 ± 0.5 mm"}),
        ("stance.front.tyre-sticks-out", {"wheels.front.inset": 3.1}),
        ("stance.front.arch-over-tyre", {"shell.front.top": "36.3 ± 0.5 mm", "wheels.front.tyre-squash": "1 ± 0.5"}),
        (
            "stance.centre-shaft",
            {"changes.centre-shaft-length": 133.2, "running-gear.centre-shaft-plunge": "1.6 ± 0.4"},
        ),
        ("stance.front.tyre-diameter", {"wheels.front.tyre-diameter": 67.6, "prototype.tyre-diameter": "660 ± 10 mm"}),
    ],
)
def test_first_order_chance_agrees_with_drawing_from_the_spreads(with_, verdicts_of, sampled, build_of, id, changes):
    """Monte Carlo, each number read drawn from the rectangle it was measured to lie in, 40000 times."""
    text = with_(changes)
    verdict = verdicts_of(text)[id]
    draw = np.random.default_rng(6)
    columns = {
        e.key: draw.uniform(e.best.low, e.best.high, 40000)
        for e in build_of(text).entries()
        if e.best is not None and e.best.sigma > 0 and e.key != "build.scale"
    }
    finding = sampled(text, columns)[id]
    margin = {
        "within": finding.limit - np.abs(finding.value),
        "at least": finding.value - finding.limit,
        "at most": finding.limit - finding.value,
    }[finding.sense]

    assert 0.05 < verdict.chance < 0.95, "the case should be an open one"
    assert verdict.chance == pytest.approx(np.mean(margin >= 0), abs=0.02)


def test_five_numbers_already_say_something(build_of):
    """Length and wheelbase of both vehicles and the donor's wheelbase: the scale, the shell's truth, the stretch."""
    text = """
    [prototype]
    length = 4320
    wheelbase = 2460
    [shell]
    length = 432.5
    wheelbase = 246
    [running-gear]
    wheelbase = 257
    """
    report = examine(build_of(text), plan=Plan(STUDIES))

    answered = {v.id: v for v in report.verdicts if v.state != "unmeasured"}
    assert set(answered) == {"likeness.length", "likeness.wheelbase", "stance.wheelbase"}
    assert answered["stance.wheelbase"].value == pytest.approx(11)
    assert answered["stance.wheelbase"].do.startswith("shorten the wheelbase by 11.0 mm")
    scale = next(v for v in report.verdicts if v.id == "likeness.scale")
    assert "1:9.99" in scale.why or "1:10" in scale.why


def test_an_empty_build_only_asks(build_of):
    report = examine(build_of(""), plan=Plan(STUDIES))

    assert {v.state for v in report.verdicts} == {"unmeasured"}
    assert all(step.how for step in report.next_steps)


def test_places_lie_in_the_chassis_frame(sits_right, verdicts_of):
    """ISO 8855: x forward from the front axle, y left, z up from the underside: axle at 32 over the ground, ride 12."""
    verdicts = verdicts_of(sits_right)

    assert verdicts["stance.front.track"].where.point_mm == pytest.approx((0, 76, 20))
    assert verdicts["stance.rear.track"].where.point_mm == pytest.approx((-246, 76, 20))


def test_every_limit_names_its_source(sits_right, findings_of):
    assert all(finding.source for finding in findings_of(sits_right).values())
