"""Carrying spreads through the linkage: samples answer as single builds do, and first order agrees with sampling."""

from pathlib import Path

import numpy as np
import pytest

from coachwork.build import read_text, with_entry
from coachwork.confidence import examine
from coachwork.plan import Plan, Sampled

# The van's own path, for what it drives stands in a file beside it.
VAN = Path(__file__).parents[3] / "examples" / "harbour-mail-van" / "as-finished" / "build.toml"

MOVED = {
    "running-gear.front.camber-link-outer.z": 38.4,
    "running-gear.front.tie-rod-inner.y": 23.7,
    "changes.front.arm-longer": -4.3,
    "wheels.front.tyre-diameter": 68.5,
    "running-gear.rear.hub-face.x": 0.4,
}


def findings(text, **columns):
    build = read_text(text, VAN)
    samples = len(next(iter(columns.values())))
    answer = Plan().run_sampled(build, "linkage", Sampled(samples=samples, columns=columns))
    return {finding.id: finding for finding in answer.findings}


def test_a_sample_answers_as_the_build_with_its_numbers(van_text):
    """Two samples: the van itself, and the van with five numbers moved, against that van read from its own file.

    The single build is run as two equal samples, since a plain run looks at a finer grid of poses.
    """
    build = read_text(van_text, VAN)
    columns = {key: np.array([build.entry(key).best.value, value]) for key, value in MOVED.items()}
    text = van_text
    for key, value in MOVED.items():
        text = with_entry(text, key, f"{value} ± 0.1")
    name = "wheels.front.tyre-width"
    same = np.full(2, build.entry(name).best.value)

    together, alone = findings(van_text, **columns), findings(text, **{name: same})

    assert together.keys() == alone.keys()
    for id, finding in together.items():
        value, wanted = (np.broadcast_to(one.value, 2)[1] for one in (finding, alone[id]))
        assert value == pytest.approx(wanted, abs=1e-9), id


@pytest.mark.parametrize(
    ("id", "within"),
    [
        ("linkage.front.toe", 0.02),
        ("linkage.front.camber", 0.02),
        ("linkage.rear.camber", 0.02),
        ("linkage.front.servo-torque", 0.03),  # grip times mass: not quite a straight line
        ("linkage.rear.camber-link-inner-angle", 0.02),
        ("linkage.front.shaft-bottoms", 0.03),
    ],
)
def test_first_order_chance_agrees_with_ten_thousand_draws(van_text, id, within):
    """Each number drawn from the rectangle it was measured in; limits moved so that no chance is a foregone one.

    The bound is three standard errors of 10,000 draws (0.015 at a chance of one half) and what first order leaves out.
    """
    text = van_text
    for key, value in LIMITS.get(id, {}).items():
        text = with_entry(text, key, value)
    build = read_text(text, VAN)
    report = examine(build, only=["linkage"])
    verdict = next(verdict for verdict in report.verdicts if verdict.id == id)
    assert 0.05 < verdict.chance < 0.95, "a foregone chance proves nothing"
    spread = {
        k: m for k, m in report.answers["linkage"].everything_read().items() if m is not None and m.half_width > 0
    }
    random = np.random.default_rng(20261125)
    draws, holds = 10_000, 0
    for _ in range(draws // 500):  # in lots of 500, to keep the arrays small
        columns = {k: random.uniform(m.low, m.high, 500) for k, m in spread.items()}
        finding = findings(text, **columns)[id]
        value, limit = np.broadcast_arrays(finding.value, finding.limit)
        holds += np.sum(
            np.abs(value) <= limit
            if finding.sense == "within"
            else value <= limit
            if finding.sense == "at most"
            else value >= limit
        )

    assert verdict.chance == pytest.approx(holds / draws, abs=within)


LIMITS = {
    "linkage.front.toe": {"changes.front.tie-rod-length": "43.65 ± 0.05"},
    "linkage.front.camber": {"changes.front.camber-link-length": "32.75 ± 0.05"},
    "linkage.rear.camber": {"changes.rear.camber-link-length": "31.75 ± 0.05"},
    "linkage.front.servo-torque": {"running-gear.front.steering.servo-torque": "1.55 kgf cm ± 0.05"},
    "linkage.rear.camber-link-inner-angle": {"running-gear.rear.ball-joint-limit": "15.5 ± 2 deg"},
    "linkage.front.shaft-bottoms": {"running-gear.front.shaft-plunge-in": "0.45 ± 0.2"},
}
