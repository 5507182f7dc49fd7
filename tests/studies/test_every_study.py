"""What every study of the package keeps to, so that a new one is held to it without a line of its own."""

from pathlib import Path

import numpy as np
import pytest

from coachwork.build import read, read_text
from coachwork.confidence import examine
from coachwork.plan import Plan, Sampled, discover

VAN = Path(__file__).parents[2] / "examples" / "harbour-mail-van" / "as-finished"
STUDIES = pytest.mark.parametrize("name", [study.name for study in discover()])


@pytest.fixture(scope="module")
def van():
    return read(VAN)


@pytest.fixture(scope="module")
def plan():
    """What one study has answered serves those that stand on it."""
    return Plan()


@STUDIES
def test_an_empty_build_is_answered_with_what_to_measure(name):
    answer = Plan().run(read_text("", Path("build.toml")), only=[name])[name]

    assert all(finding.value is None for finding in answer.findings)
    assert all(finding.missing or finding.why for finding in answer.findings)


@STUDIES
def test_ids_hang_on_the_questions_not_on_the_numbers(name, van, plan):
    """Samples may be anything; the questions stay the same, or their chances could not be told."""
    plain = plan.run(van, only=[name])[name]
    spread = {key: held for key, held in plain.everything_read().items() if held is not None and held.half_width > 0}
    if not spread:
        assert plain.findings == () or all(finding.missing for finding in plain.findings)
        return
    rng = np.random.default_rng(1)
    columns = {key: rng.uniform(held.low, held.high, 4) for key, held in spread.items()}

    sampled = plan.run_sampled(van, name, Sampled(samples=4, columns=columns))

    assert [finding.id for finding in sampled.findings] == [finding.id for finding in plain.findings]
    for finding in sampled.findings:
        for array in (finding.value, finding.limit):
            assert array is None or np.broadcast_to(array, 4).shape == (4,), finding.id


@STUDIES
def test_a_number_comes_with_its_unit_its_reason_and_the_source_of_its_limit(name, van, plan):
    for finding in plan.run(van, only=[name])[name].findings:
        if finding.value is not None:
            assert finding.unit, finding.id
            assert finding.why, finding.id
            assert finding.source, finding.id


def test_a_chance_is_the_same_whether_its_study_is_weighed_alone_or_with_others(van):
    """Together they are moved by one another's numbers as well, which must leave no trace."""
    together = {verdict.id: verdict.chance for verdict in examine(van).verdicts}  # each by a plan of its own
    for name in ("stance", "balance", "driveline"):
        alone = {verdict.id: verdict.chance for verdict in examine(van, only=[name]).verdicts}
        assert alone == {id: together[id] for id in alone}
