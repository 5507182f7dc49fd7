"""What to measure next, on builds whose answer is plain."""

from __future__ import annotations

from coachwork.confidence import examine


def steps(tiny, **changes: str):
    return examine(tiny.build(**changes), plan=tiny.plan()).next_steps


def test_what_is_not_measured_comes_first_and_says_what_it_serves(tiny):
    (first, *_) = steps(tiny, **{'width = "166 ± 0.6 mm"\n': ""})

    assert (first.key, first.reason, first.verdicts) == ("shell.width", "not measured", ("sized.width",))
    assert first.how == "widest point of the body across, without mirrors"


def test_the_number_most_verdicts_wait_for_comes_before_the_others(tiny):
    found = steps(tiny, **{'length = "411 ± 0.6 mm"\n': "", 'width = "166 ± 0.6 mm"\n': ""})

    assert [step.key for step in found[:2]] == ["shell.length", "shell.width"]
    assert set(found[0].verdicts) == {"sized.length", "stretched.amount"}


def test_a_number_that_alone_is_missing_counts_more_than_one_of_many(tiny):
    lone, shared = 'length = "411 ± 0.6 mm"\n', 'width = "166 ± 0.6 mm"\nwheelbase = "290 ± 0.3 mm"\n'
    found = {step.key: step.weight for step in steps(tiny, **{lone: "", shared: "", 'width = "1660 ± 9 mm"\n': ""})}

    assert found["prototype.width"] == found["shell.width"] == 0.5  # two that wait for each other
    assert found["shell.length"] == found["shell.wheelbase"] == 1.0


def test_numbers_that_only_answer_together_say_so(tiny):
    lone, shared = 'width = "1660 ± 9 mm"\n', 'width = "166 ± 0.6 mm"\n'
    found = {step.key: step for step in steps(tiny, **{lone: "", shared: "", '"411 ± 0.6 mm"': '"~ 411 ± 3 mm"'})}

    assert found["shell.width"].together == found["prototype.width"].together == ("prototype.width", "shell.width")
    assert found["shell.length"].together == ("shell.length",)


def test_a_guess_comes_before_a_reading(tiny):
    found = steps(tiny, **{'"411 ± 0.6 mm"': '"~ 411 ± 3 mm"', "1660": "1675"})

    assert [(step.key, step.reason) for step in found[:1]] == [("shell.length", "guessed")]
    assert {step.reason for step in found[1:]} == {"uncertain"}


def test_a_guess_that_nothing_hangs_on_is_known_as_such_and_says_what_it_is_read_for(tiny):
    """166.0 mm of width against 1660 ± 0.01 at 1:10 leave no doubt; of the length, 1.9 of 2 mm are used up."""
    report = examine(
        tiny.build(**{'"411 ± 0.6 mm"': '"411.9 ± 0.6 mm"', '"1660 ± 9 mm"': '"~ 1660 ± 0.01 mm"'}), plan=tiny.plan()
    )
    guess, *others = report.next_steps

    assert (guess.key, guess.reason, guess.idle) == ("prototype.width", "guessed", True)
    assert report.read_for(guess.key) == (report.answers["sized"].study.question,)
    assert others
    assert not any(step.idle for step in others)


def test_a_reading_is_worth_taking_better_only_where_a_verdict_hangs_on_it(tiny):
    assert {step.key for step in steps(tiny, **{"411": "411.9"})} >= {"shell.length", "prototype.length"}
    assert steps(tiny, **{"411": "410"}) == ()


def test_the_builder_s_own_choice_is_not_to_be_measured(tiny):
    found = steps(tiny, **{'"1:10"': '"0.1 ± 0.001"'})

    assert "build.scale" not in {step.key for step in found}
