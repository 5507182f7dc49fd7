"""What runs again after a change, and what does not."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import pytest

from coachwork.build.sections.about import About
from coachwork.build.sections.outline import Shell
from coachwork.plan import Cancelled, Plan
from coachwork.plan.views import Sampled
from coachwork.studies.study import Study
from coachwork.studies.watch import Watch

BOTH = ["sized", "stretched"]


def ran_after(tiny, **changes: str) -> list[str]:
    """What runs when a build comes back with some of its text replaced."""
    plan = tiny.plan()
    plan.run(tiny.build())
    assert tiny.ran == BOTH
    tiny.ran.clear()
    plan.run(tiny.build(**changes))
    return list(tiny.ran)


@pytest.mark.parametrize(
    ("changes", "expected"),
    [
        pytest.param({}, [], id="nothing"),
        pytest.param({"# of the handbook": "# of the other one"}, [], id="a comment"),
        # `name` is a setting of [build], which the first study asks for; the second stands on the first's result, and
        # neither a name nor a spread changes that.
        pytest.param({'"Tiny"': '"Small"'}, ["sized"], id="a setting of a section that is asked for"),
        pytest.param({"[shell]": "[shell]\nheight = 190"}, [], id="a number that nobody reads"),
        pytest.param({"[shell]": "[loads]\nmass = 2100\n[shell]"}, [], id="a section that nobody reads"),
        pytest.param({'"411 ± 0.6 mm"': '"411 ± 0.6"'}, [], id="the same number in other words"),
        pytest.param({"411": "412"}, BOTH, id="a number that the first reads"),
        pytest.param({"411 ± 0.6": "411 ± 0.7"}, ["sized"], id="a spread"),
        pytest.param({"411 ± 0.6 mm": "411 ± 0.6 mm by ruler"}, ["sized"], id="an instrument"),
        pytest.param({'width = "1660 ± 9 mm"\n': ""}, BOTH, id="a number taken out"),
        pytest.param({"267": "268"}, ["stretched"], id="a number that only the second reads"),
        pytest.param({'"belt"': '"shaft"'}, ["stretched"], id="a setting that only the second reads"),
    ],
)
def test_a_study_runs_again_only_when_something_it_read_has_changed(tiny, changes, expected):
    assert ran_after(tiny, **changes) == expected


def test_a_number_filled_in_that_was_missing_runs_its_study_again(tiny):
    plan = tiny.plan()
    without = tiny.build(**{'length = "411 ± 0.6 mm"\n': ""})
    answers = plan.run(without)
    assert answers["sized"].missing() == {"shell.length"}
    assert answers["stretched"].missing() == {"shell.length"}
    tiny.ran.clear()

    assert plan.run(tiny.build())["sized"].missing() == set()
    assert tiny.ran == BOTH


def test_going_back_to_an_earlier_number_gives_the_earlier_answer(tiny):
    plan = tiny.plan()
    first = plan.run(tiny.build())["sized"].result.length_mm
    plan.run(tiny.build(**{"411": "415"}))

    assert plan.run(tiny.build())["sized"].result.length_mm == first == 411 - 410


def test_an_answer_that_is_reused_is_the_same_object(tiny):
    plan = tiny.plan()
    first = plan.run(tiny.build())
    second = plan.run(tiny.build(**{"267": "268"}))

    assert second["sized"] is first["sized"]
    assert second["stretched"] is not first["stretched"]


def test_an_answer_over_the_same_result_from_other_numbers_is_kept_and_knows_what_they_were(tiny):
    plan = tiny.plan()
    first = plan.run(tiny.build())
    second = plan.run(tiny.build(**{"411 ± 0.6": "411 ± 0.7"}))

    assert second["stretched"].result is first["stretched"].result
    assert second["stretched"].everything_read()["shell.length"].half_width == 0.7
    assert first["stretched"].everything_read()["shell.length"].half_width == 0.6


def moved_view(plan, build):
    read = plan.run(build)["stretched"].everything_read()
    return Sampled(samples=3, columns={key: held.value + np.arange(3.0) for key, held in read.items()})


@pytest.mark.parametrize(
    ("changes", "expected"),
    [
        pytest.param({}, [], id="nothing"),
        pytest.param({"411": "412"}, BOTH, id="a number that the first reads"),
        pytest.param({"267": "268"}, ["stretched"], id="a number that only the second reads"),
        pytest.param({'"belt"': '"shaft"'}, ["stretched"], id="a setting that only the second reads"),
    ],
)
def test_moved_again_a_study_runs_only_where_its_samples_have_changed(tiny, changes, expected):
    plan, before, after = tiny.plan(), tiny.build(), tiny.build(**changes)
    plan.run_moved(before, ["stretched"], moved_view(plan, before), purpose="chances")
    view = moved_view(plan, after)
    tiny.ran.clear()
    moved = plan.run_moved(after, ["stretched"], view, purpose="chances")["stretched"].result.stretch_mm

    assert tiny.ran == expected
    np.testing.assert_array_equal(moved, tiny.plan().run_sampled(after, "stretched", view).result.stretch_mm)


def test_one_question_runs_all_it_stands_on_and_nothing_else(tiny):
    plan = tiny.plan()
    assert list(plan.run(tiny.build(), only=["sized"])) == ["sized"]
    assert list(plan.run(tiny.build(), only=["stretched"])) == BOTH
    assert tiny.ran == BOTH


def test_a_question_of_no_study_is_an_error(tiny):
    with pytest.raises(KeyError):
        tiny.plan().run(tiny.build(), only=["sised"])


def test_progress_counts_the_studies(tiny):
    told: list[tuple[str, int, int]] = []
    tiny.plan().run(tiny.build(), progress=lambda *step: told.append(step))

    assert told == [("sized", 0, 2), ("stretched", 1, 2)]


def test_cancelling_stops_between_two_studies_and_keeps_what_is_done(tiny):
    plan = tiny.plan()
    with pytest.raises(Cancelled, match="stretched"):
        plan.run(tiny.build(), cancelled=lambda: bool(tiny.ran))
    assert tiny.ran == ["sized"]

    plan.run(tiny.build())
    assert tiny.ran == BOTH


def test_a_study_that_asks_for_the_watch_tells_and_is_stopped_within(tiny):
    """The same study in a plain run and over samples; nothing of a stopped one is kept."""
    told: list[str] = []

    @dataclass
    class Looked:
        times: int

    def look(watch: Watch) -> Looked:
        for times in range(3):
            watch.look(f"{times} of 3")
        return Looked(3)

    look.__annotations__ = {"watch": Watch, "return": Looked}
    plan = Plan((Study(name="looking", question="?", compute=look, findings=lambda _: (), order=1),))

    with pytest.raises(Cancelled, match="looking"):
        plan.run(tiny.build(), cancelled=lambda: len(told) == 2, tell=told.append)
    assert told == ["0 of 3", "1 of 3"]
    assert plan.kept == {}
    with pytest.raises(Cancelled, match="looking"):
        plan.run_sampled(tiny.build(), "looking", Sampled(columns={}, samples=2), Watch(cancelled=lambda: True))
    assert plan.run(tiny.build())["looking"].result.times == 3


def test_a_study_that_lacks_a_number_goes_on_with_the_rest(tiny):
    answers = tiny.plan().run(tiny.build(**{'width = "166 ± 0.6 mm"\n': ""}))
    length, width = answers["sized"].findings

    assert length.value == 1
    assert (width.value, width.missing) == (None, ("shell.width",))


def test_what_a_study_read_is_on_record(tiny):
    answers = tiny.plan().run(tiny.build())

    assert set(answers["sized"].read) == {
        f"{table}.{key}" for table in ("shell", "prototype") for key in ("length", "width")
    } | {"build.scale"}
    assert set(answers["stretched"].read) == {"shell.wheelbase", "running-gear.wheelbase"}
    assert set(answers["stretched"].everything_read()) == set(answers["sized"].read) | set(answers["stretched"].read)


def test_a_study_that_raises_leaves_no_answer_behind(tiny):
    def broken(result: object) -> None:
        raise RuntimeError("a bug")

    sized, stretched = tiny.studies
    faulty = replace(tiny, studies=(sized, replace(stretched, findings=broken)))
    plan = faulty.plan()
    with pytest.raises(RuntimeError, match="a bug"):
        plan.run(tiny.build())
    assert set(plan.kept) == {"sized"}


@dataclass(frozen=True, kw_only=True, eq=False)
class Searched:
    """What a study that searches found, and what it was handed."""

    handed: object


def test_a_study_that_asks_for_its_own_answer_gets_the_plain_one_with_samples(tiny):
    def search(about: About, plain: Searched | None) -> Searched:
        return Searched(handed=plain)

    study = Study(name="searched", question="Found?", compute=search, findings=lambda _: (), order=10)
    plan, build = Plan(studies=(study,)), tiny.build()

    first = plan.run(build)["searched"].result
    sampled = plan.run_sampled(build, "searched", Sampled(samples=2, columns={})).result

    assert first.handed is None
    assert sampled.handed is first


@pytest.mark.parametrize(
    ("changes", "expected"),
    [
        pytest.param({}, [], id="nothing"),
        pytest.param({"411": "412"}, ["sized"], id="a number of the first, on which the second merely stands"),
        pytest.param({'"belt"': '"shaft"'}, ["stretched"], id="a setting of the second"),
    ],
)
def test_an_edit_touches_the_studies_that_read_it_themselves(tiny, changes, expected):
    plan = tiny.plan()
    plan.run(tiny.build())
    assert plan.touched(tiny.build(**changes)) == expected
    assert tiny.ran == BOTH  # nothing is run to find that out


@dataclass(frozen=True)
class Rounded:
    metres: np.ndarray


@dataclass(frozen=True)
class Doubled:
    metres: np.ndarray


def test_samples_that_come_to_the_same_leave_what_stands_on_them_alone(tiny):
    ran = []

    def rounded(shell: Shell) -> Rounded:
        ran.append("rounded")
        return Rounded(np.round(shell.length.mm / 1000))

    def doubled(rounded: Rounded) -> Doubled:
        ran.append("doubled")
        return Doubled(2 * rounded.metres)

    rounded.__annotations__ = {"shell": Shell, "return": Rounded}
    doubled.__annotations__ = {"rounded": Rounded, "return": Doubled}
    plan = Plan(
        tuple(
            Study(name=one.__name__, question="?", compute=one, findings=lambda _: (), order=1)
            for one in (rounded, doubled)
        )
    )

    def moved(length: float):
        view = Sampled(samples=2, columns={"shell.length": np.array([length, length + 100.0])})
        return plan.run_moved(tiny.build(), ["doubled"], view, purpose="chances")["doubled"].result.metres

    first, near, far = moved(410.0), moved(411.0), moved(1410.0)

    np.testing.assert_array_equal([first, near, far], [[0, 2], [0, 2], [2, 4]])
    assert ran == ["rounded", "doubled", "rounded", "rounded", "doubled"]


def test_made_up_numbers_leave_the_builders_answers_alone_and_are_not_run_twice(tiny):
    plan, made_up = tiny.plan(), tiny.build(**{"267": "200"})
    own = plan.run(tiny.build())
    tiny.ran.clear()

    aside = [plan.run_beside(made_up, ["stretched"], purpose="a trial")["stretched"] for _ in range(2)]

    assert tiny.ran == ["stretched"]
    assert aside[0].result is aside[1].result
    assert plan.run(tiny.build()) == own
    assert tiny.ran == ["stretched"]
