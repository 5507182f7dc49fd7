"""What the builder is told: a part modelled wrong, a shell off as a whole, what to do, what to measure."""

import numpy as np
import pytest

from coachwork.build.sections.outline import ALONG

WIDTHS = [name.replace("_", "-") for name, along in ALONG.items() if along == "width"]


def states(verdicts, state):
    return {id for id, verdict in verdicts.items() if verdict.state == state}


def test_a_shell_too_wide_as_a_whole_fails_once(van, verdicts_of):
    """1:10 long and 1:9.4 wide: one verdict says so with its amount, no width is called modelled wrong."""
    verdicts = verdicts_of(van(axes={"width": 10 / 9.4}))

    assert states(verdicts, "fails") == {"likeness.scale-agreement.width"}
    agreement = verdicts["likeness.scale-agreement.width"]
    assert agreement.value == pytest.approx(100 * (10 / 9.4 - 1), abs=0.01)
    assert "1:9.4" in agreement.why
    assert "too wide" in agreement.why
    assert "take 11.2 mm out" in agreement.do  # 176 x 10 / 9.4 - 176 = 11.23 mm
    for name in WIDTHS:
        assert "goes with its like" in verdicts[f"likeness.{name}"].why
        assert "modelled wrong" not in verdicts[f"likeness.{name}"].why


@pytest.mark.parametrize("name", ["windscreen_width", "wheelbase", "waist_height", "width"])
def test_a_part_modelled_wrong_fails_alone(van, verdicts_of, name):
    """8 % off among its like: that dimension fails, its axis and the scale do not."""
    verdicts = verdicts_of(van(parts={name: 1.08}))

    id = f"likeness.{name.replace('_', '-')}"
    assert states(verdicts, "fails") == {id}
    assert verdicts[id].value == pytest.approx(0.08 * verdicts[id].limit / 0.025, rel=0.01)
    assert "modelled wrong" in verdicts[id].why


def test_a_wrong_part_on_a_shell_too_wide_is_told_from_the_rest(van, verdicts_of):
    """Both at once: the axis fails, and of its widths only the one that is off against the others."""
    verdicts = verdicts_of(van(axes={"width": 10 / 9.4}, parts={"roof_width": 0.93}))

    assert states(verdicts, "fails") == {"likeness.scale-agreement.width", "likeness.roof-width"}


def test_the_one_right_width_among_wrong_ones_is_said_to_be_right(van, verdicts_of):
    verdicts = verdicts_of(van(axes={"width": 1.064}, parts={"bumper_width": 1 / 1.064}))

    assert "it would be right" in verdicts["likeness.bumper-width"].why


def test_worklist_is_sorted_by_what_the_eye_sees(van, result_of):
    """The windscreen's 12 % stand out before the body's 4 %, though the body is off by more millimetres."""
    jobs = result_of(van(parts={"windscreen_height": 0.88, "length": 1.04, "bumper_width": 1.06})).worklist

    off = [job for job in jobs if job.work != "leave"]
    assert [job.finding for job in off] == ["likeness.windscreen-height", "likeness.bumper-width", "likeness.length"]
    assert off[0].amount_mm < off[2].amount_mm
    assert [job.work for job in off] == ["remake", "cut", "cut"]
    assert "3.4 mm off" not in off[2].text
    assert "17.3 mm" in off[2].text  # 0.04 x 432
    assert "5.1 mm off each tip" in off[1].text  # 0.06 x 169 / 2
    assert all(job.seen <= 1 for job in jobs if job.work == "leave")
    assert [job.seen for job in jobs] == sorted([job.seen for job in jobs], reverse=True)


@pytest.mark.parametrize(("factor", "work"), [(0.95, "pack out"), (1.05, "cut")])
def test_too_short_is_packed_out_and_too_long_is_cut(van, result_of, factor, work):
    first = result_of(van(parts={"front_overhang": factor})).worklist[0]

    assert (first.finding, first.work) == ("likeness.front-overhang", work)


def test_an_opening_too_small_is_cut_and_one_too_large_is_packed(van, result_of):
    """The other way round from a solid: opening a hole takes material off."""
    small, large = (result_of(van(parts={"arch_opening_front": f})).worklist[0] for f in (0.95, 1.05))

    assert (small.work, large.work) == ("cut", "pack out")


def test_details_of_the_builders_own_are_judged_with_their_axis(van, findings_of):
    more = '[details.name-board]\nalong = "width"\nprototype = 900\nshell = 84'
    findings = findings_of(van(more=more))

    assert findings["likeness.detail.name-board"].value[0] == pytest.approx(-6.0, abs=0.02)


def test_half_a_millimetre_is_forgiven_however_small_the_part(van, findings_of):
    more = '[details.handle]\nalong = "length"\nprototype = 120\nshell = 12.4'

    finding = findings_of(van(more=more))["likeness.detail.handle"]
    assert finding.limit[0] == 0.5
    assert finding.do is None


def test_two_numbers_and_a_scale_give_an_error(van, verdicts_of):
    verdict = verdicts_of(van(only=("wheelbase",)).replace("wheelbase = 246.0", "wheelbase = 261.0"))[
        "likeness.wheelbase"
    ]

    assert verdict.state == "fails"
    assert verdict.value == pytest.approx(15.0, abs=0.01)
    assert verdict.do == "move the arches 15.0 mm closer together"


def test_without_a_scale_the_fit_serves_and_the_scale_is_asked_for(van, verdicts_of):
    verdicts = verdicts_of(van(scale=None, ratio=1 / 10.4))

    scale = verdicts["likeness.scale"]
    assert scale.state == "unmeasured"
    assert scale.missing == ("build.scale",)
    assert "1:10.4" in scale.why
    assert states(verdicts, "unmeasured") == {"likeness.scale"}


def test_one_pair_without_a_scale_proves_nothing_and_says_so(van, verdicts_of):
    """A single dimension always agrees with itself; a verdict that could not fail would be no verdict."""
    verdicts = verdicts_of(van(scale=None, only=("wheelbase",)))

    assert verdicts["likeness.wheelbase"].missing == ("build.scale",)
    assert "1:10" in verdicts["likeness.scale"].why


@pytest.mark.parametrize("table", ["prototype", "shell"])
@pytest.mark.parametrize("name", list(ALONG))
def test_every_single_missing_number_is_named(van, findings_of, build_of, table, name):
    """Delete one: its dimension is unmeasured and names exactly that key; every other keeps its number."""
    key = f"{table}.{name.replace('_', '-')}"
    line = f"{name.replace('_', '-')} = "
    lines = van().splitlines()
    at = lines.index(f"[{table}]")
    gone = next(i for i in range(at, len(lines)) if lines[i].startswith(line))
    findings = findings_of("\n".join(lines[:gone] + lines[gone + 1 :]))

    assert {id for id, f in findings.items() if not f.measured} == {f"likeness.{name.replace('_', '-')}"}
    assert findings[f"likeness.{name.replace('_', '-')}"].missing == (key,)
    assert build_of(van()).entry(key).how


def test_an_empty_build_asks_for_the_first_four_dimensions_and_nothing_else(findings_of):
    findings = findings_of("")

    assert [id for id in findings if not id.startswith("likeness.scale")] == [
        "likeness.length", "likeness.width", "likeness.height", "likeness.wheelbase",
    ]  # fmt: skip
    assert findings["likeness.width"].missing == ("prototype.width", "shell.width")
    assert findings["likeness.scale-agreement.width"].missing[:2] == ("prototype.width", "shell.width")


FOUR = "[prototype]\nwidth = 1500\nwheelbase = 2740\n[shell]\nwidth = {width}\nwheelbase = {wheelbase}\n"


def test_two_dimensions_that_disagree_are_told_once_and_neither_as_the_odd_one(verdicts_of):
    """4 % apart: one verdict says so; each dimension by itself waits for something to hold it against."""
    verdicts = verdicts_of(FOUR.format(width=155, wheelbase=272))

    assert states(verdicts, "fails") == {"likeness.scale-agreement.width"}
    agreement = verdicts["likeness.scale-agreement.width"]
    assert agreement.why.count("one wrong part would look the same") == 1
    assert agreement.do == "measure widths and lengths until there are 3 of each, before you cut"
    for name in ("width", "wheelbase"):
        assert verdicts[f"likeness.{name}"].missing == ("build.scale",)
    assert "two dimensions disagree" in verdicts["likeness.scale"].why


@pytest.mark.parametrize(
    ("width", "wheelbase", "fails", "says"),
    [(155, 274, "width", "the widths that are off"), (150, 284, "wheelbase", "the lengths that are off")],
)
def test_a_stated_scale_says_which_of_two_is_off_and_only_that_one_is_cured(verdicts_of, width, wheelbase, fails, says):
    verdicts = verdicts_of('[build]\nscale = "1:10"\n' + FOUR.format(width=width, wheelbase=wheelbase))

    cured = {"likeness.scale-agreement.width", f"likeness.{fails}"}
    assert states(verdicts, "fails") - {"likeness.scale"} == cured
    if "likeness.scale" in states(verdicts, "fails"):
        assert verdicts["likeness.scale"].do.startswith("first find out which of the two is off")
    assert says in verdicts["likeness.scale-agreement.width"].do
    assert "mm" not in verdicts["likeness.scale-agreement.width"].do, "one amount, told once"


def test_two_dimensions_that_agree_agree(verdicts_of):
    verdicts = verdicts_of(FOUR.format(width=150.2, wheelbase=274))
    assert {"likeness.width", "likeness.wheelbase"} <= states(verdicts, "holds")
    assert "2 dimensions agree on 1:1" in verdicts["likeness.scale"].why
    assert verdicts["likeness.scale-agreement.width"].do is None


@pytest.mark.parametrize("width", [147.1, 147.3, 152.8, 152.9, 153.1])
def test_near_the_border_neither_of_two_is_ever_told_as_odd(verdicts_of, width):
    """2 % apart, on either side: they hold against each other or wait for a scale, but no dimension fails."""
    verdicts = verdicts_of(FOUR.format(width=width, wheelbase=274))
    assert not states(verdicts, "fails") & {"likeness.width", "likeness.wheelbase"}


def test_one_width_among_many_lengths_is_not_told_from_all_widths(van, verdicts_of):
    """The lengths are known well; whether the width or all widths are off, one width cannot tell."""
    lengths = tuple(name for name, along in ALONG.items() if along == "length")
    verdicts = verdicts_of(van(only=(*lengths, "width"), parts={"width": 1.06}))

    assert states(verdicts, "fails") == {"likeness.scale-agreement.width", "likeness.width"}
    assert verdicts["likeness.scale-agreement.width"].do.startswith("measure widths until there are 3, before you cut")
    assert verdicts["likeness.width"].why.endswith("with so few widths, this part or all of them")


def test_prototype_dimensions_for_other_questions_are_not_asked_twice(van, findings_of):
    findings = findings_of(van(more="").replace("[shell]", "track-front = 1400\ntyre-diameter = 660\n[shell]"))

    assert not any("track" in id or "tyre" in id for id in findings)


def test_samples_answer_as_each_alone(van, findings_of, sampled):
    """Twelve samples of three numbers at once, and one build file for each."""
    draw = np.random.default_rng(4)
    columns = {
        "shell.width": 176 + 3 * draw.standard_normal(12),
        "prototype.wheelbase": 2460 + 30 * draw.standard_normal(12),
        "shell.roof-width": 161 + 6 * draw.standard_normal(12),
    }
    together = {finding.id: finding for finding in sampled(van(), columns).findings}

    for i in range(12):
        text = van().replace("width = 176.0000", f"width = {columns['shell.width'][i]:.12f}", 1)
        text = text.replace("wheelbase = 2460.0000", f"wheelbase = {columns['prototype.wheelbase'][i]:.12f}")
        text = text.replace("roof-width = 161.0000", f"roof-width = {columns['shell.roof-width'][i]:.12f}")
        for id, finding in findings_of(text).items():
            value = np.broadcast_to(together[id].value, 12)[i]
            assert value == pytest.approx(finding.value[0], abs=1e-8), id


@pytest.mark.parametrize(
    ("id", "parts", "axes"),
    [
        ("likeness.windscreen-width", {"windscreen_width": 1.023}, {}),
        ("likeness.headlamp-spacing", {"headlamp_spacing": 0.976}, {}),
        ("likeness.scale-agreement.width", {}, {"width": 1.0195}),
    ],
)
def test_first_order_chance_agrees_with_drawing_from_the_spreads(van, verdicts_of, sampled, build_of, id, parts, axes):
    """Monte Carlo over every number read, each from the rectangle it was measured to lie in; 20000 draws."""
    text = van(parts=parts, axes=axes)
    verdict = verdicts_of(text)[id]
    draw = np.random.default_rng(8)
    columns = {
        entry.key: draw.uniform(entry.best.low, entry.best.high, 20000)
        for entry in build_of(text).entries()
        if entry.measured is not None and entry.key.startswith(("shell.", "prototype."))
    }
    finding = next(f for f in sampled(text, columns).findings if f.id == id)
    share = np.mean(np.abs(finding.value) <= finding.limit)

    assert 0.1 < verdict.chance < 0.9, "the case should be an open one"
    assert verdict.chance == pytest.approx(share, abs=0.03)
