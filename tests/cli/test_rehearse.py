"""`coachwork rehearse` and `coachwork card`: the counter-examples replayed, a script, questions, drawings, the card."""

from __future__ import annotations

import io
import re
from itertools import pairwise
from pathlib import Path

import pytest

from coachwork.build import read, read_text
from coachwork.build.sections.radio import Radio
from coachwork.cli import main
from coachwork.plan import Plan
from coachwork.studies.radio.actions import actions_of
from coachwork.studies.radio.from_table import read_setup
from coachwork.studies.radio.rehearsal import rehearsed
from coachwork.studies.radio.result import WishAnswer

# What each planted trouble of the van shows when its shortest way is played; by hand, from the build's own words.
TROUBLES = {
    "quiet-start": ["mail-sign lit"],
    "cab-lamp-with-beacons": ["beacons: turning to flashing; cab-lamp: on to off"],
    "engine-by-dial": ["trigger to full forward", "engine-sound: silent to revving"],
    "stops-when-lost": ["trigger to full reverse", "speed-controller: stopped to reverse", "lose the signal"],
    "silent-when-lost": ["reversing-buzzer: off to on", "lose the signal"],
    "buzzer-warns": ["trigger to -14 %", "speed-controller: stopped to reverse"],
}


@pytest.fixture(scope="module")
def result():
    van = Path(__file__).parents[2] / "examples" / "harbour-mail-van" / "as-found"
    return Plan().run(read(van), only=["radio"])["radio"].result


@pytest.fixture(scope="module")
def answers(result):
    return result.wishes


def rehearse(capsys, *arguments) -> str:
    assert main(["rehearse", *map(str, arguments)]) == 0
    out, err = capsys.readouterr()
    assert err == ""
    return out


def test_the_van_has_at_least_four_refuted_wishes_of_each_planted_kind(answers):
    refuted = {name for name, answer in answers.items() if isinstance(answer, WishAnswer) and answer.refuted}
    assert refuted == set(TROUBLES)


@pytest.mark.parametrize("wish", TROUBLES)
def test_a_counter_example_typed_by_hand_shows_the_trouble(capsys, examples, answers, wish):
    out = rehearse(capsys, examples / "as-found", *(step.action for step in answers[wish].steps))
    for told in TROUBLES[wish]:
        assert told in " ".join(out.split())


@pytest.mark.parametrize("wish", TROUBLES)
def test_a_counter_example_replayed_goes_step_by_step_where_the_exploration_went(result, answers, wish):
    """The rehearsal has all devices and counts time more finely; what the wish hangs on does the same at every step."""
    steps = answers[wish].steps
    beats = rehearsed(result.setup, actions_of([step.action for step in steps], result.setup))

    assert len(beats) == len(steps)
    for beat, step in zip(beats, steps, strict=True):
        assert {name: beat.step.modes[name] for name in step.modes} == step.modes
        assert {name: beat.step.pulses_us[name] for name in step.pulses_us} == step.pulses_us


@pytest.mark.parametrize("wish", TROUBLES)
def test_by_the_wishes_name_it_is_the_same(capsys, examples, answers, wish):
    by_name = rehearse(capsys, examples / "as-found", "--wish", wish)
    by_hand = rehearse(capsys, examples / "as-found", *(step.action for step in answers[wish].steps))
    assert by_name == by_hand


def test_the_whole_of_a_rehearsal(capsys, examples):
    """In full, so that a change of its looks is seen and meant. Currents by hand: 172 mA, 150 less 2 mA of the bell."""
    out = rehearse(capsys, examples / "as-found", "hold bell-button 2.5 s")
    assert (
        out
        == """\
   0.0 s switch on  (0.17 A)
         steering-servo straight, speed-controller stopped, reversing-buzzer
         off, engine-sound silent, delivery-bell off, mail-sign lit, side-lamps
         dark, head-lamps dark, beacons off, cab-lamp off
   0.2 s press bell-button  (0.32 A)
         pulses bell 1000 us to 2000 us
         then delivery-bell: off to on
   2.2 s time passes  (0.24 A)
         then mail-sign: lit to off
   2.7 s wait 2.5 s  (0.24 A)
         then nothing changes; still delivery-bell on
   2.9 s let go of bell-button  (0.09 A)
         pulses bell 2000 us to 1000 us
         then delivery-bell: on to off
"""
    )


def test_an_action_that_changes_nothing_says_what_goes_on_all_the_same(capsys, examples):
    """The bell's off by the button's own rest; the trigger's reverse is what a builder must not miss."""
    actions = ("trigger to reverse", "wait 1 s", "trigger to stopped", "bell-button to released")
    told = " ".join(rehearse(capsys, examples / "as-finished", *actions).split())

    assert "then nothing changes; still speed-controller reverse, reversing-buzzer on" in told
    assert told.endswith("then nothing changes; nothing is on")

    told = " ".join(rehearse(capsys, examples / "as-finished", "lose the signal", "trigger to reverse").split())
    assert told.endswith("then nothing changes without the signal; nothing is on")


def test_a_script_and_standard_input_are_read_alike(capsys, examples, tmp_path, monkeypatch):
    script = tmp_path / "round.txt"
    script.write_text("# a round\ndial to 80 %   # up\nwait 1 s; power off and on\n", encoding="utf-8")
    by_script = rehearse(capsys, examples / "as-finished", "--script", script)
    monkeypatch.setattr("sys.stdin", io.StringIO(script.read_text("utf-8")))
    assert rehearse(capsys, examples / "as-finished") == by_script
    assert "engine 1000 us to 1800 us" in by_script


def test_asked_action_by_action(capsys, examples, monkeypatch):
    typed = iter(["press bell-button", "prss bell-button", "trigger to 40 %", "let go of bell-button", ""])
    monkeypatch.setattr("sys.stdin.isatty", lambda: True, raising=False)
    monkeypatch.setattr("builtins.input", lambda _: next(typed))
    out = rehearse(capsys, examples / "as-finished")

    assert 'did you mean "press bell-button"?' in out
    assert "throttle 1500 us to 1700 us" in out
    assert out.count("switch on ") == 1


def test_it_is_drawn(capsys, examples, tmp_path):
    arguments = (examples / "as-found", "--wish", "stops-when-lost", "--plot", tmp_path / "lost.svg", "wait 1 s")
    assert "Drawn in" in rehearse(capsys, *arguments)
    first = (tmp_path / "lost.svg").read_bytes()
    rehearse(capsys, *arguments)
    assert (tmp_path / "lost.svg").read_bytes() == first, "the same bytes for the same rehearsal"
    text = first.decode("utf-8")
    for word in ("speed-controller", "reverse", "lose the signal", "supply (A)"):
        assert word in text
    assert "<dc:date>" not in text


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (["pres bell-button"], 'did you mean "press bell-button"?'),
        (["press dial"], "the buttons are bell-button, beacon-button"),
        (["trigger to 300 %"], "trigger goes to reverse, stopped, forward, or per cent of its travel"),
        (["lights-switch to full"], "lights-switch goes to off, side, head"),
        (["wait"], "say how long"),
        (["noise lifts dial"], "the devices are"),
        (["--wish", "quiet-strt"], "did you mean quiet-start?"),
        (["--wish", "soon-silent"], "nothing breaks this wish"),
    ],
)
def test_what_cannot_be_played_says_what_can(capsys, examples, arguments, told):
    assert main(["rehearse", str(examples / "as-found"), *arguments]) == 2
    assert told in capsys.readouterr().err


def test_a_build_without_a_radio_says_so(capsys, tiny_folder):
    for command in ("rehearse", "card"):
        assert main([command, str(tiny_folder)]) == 2
        told = capsys.readouterr().err
        assert "there is no radio in this build yet" in told
        assert "docs/" not in told, "whoever installs a package has no docs"
        snippet = told[told.index("[radio.controls]") : told.index("and below")]
        assert read_text(snippet, tiny_folder)[Radio].devices


def test_the_help_lists_every_kind_of_action_as_it_is_read(capsys, examples):
    """Each quoted pattern of the help, filled in for the van, plays."""
    with pytest.raises(SystemExit):
        main(["rehearse", "--help"])
    told = capsys.readouterr().out
    assert "%%" not in told
    filled = [
        re.sub("NAME to POSITION", "dial to high end", pattern).replace(
            "NAME", "mail-sign" if "noise" in pattern else "trigger" if "full" in pattern else "bell-button"
        )
        for pattern in re.findall(r'"([^"]+)"', told[told.index("actions, each") : told.index("example:")])
    ]
    assert len(filled) == 13
    filled.remove("full trigger")  # of a position, no action
    assert main(["rehearse", str(examples / "as-found"), *filled]) == 0


def test_the_card_names_control_pulses_failsafe_and_what_hangs_on_it(capsys, examples, tmp_path):
    assert main(["card", str(examples / "as-finished")]) == 0
    text = " ".join(capsys.readouterr().out.split())

    assert "full reverse 1000 us; stopped 1500 us; full forward 2000 us" in text
    assert "full left 1050 us; straight 1500 us; full right 1950 us" in text  # end points of 90 %
    assert "speed-controller: reverse below 1470, forward above 1530 us, else stopped" in text
    assert "mail-sign: above 1710 us for 2 s goes on through off, lit" in text
    assert "local rules on failsafes" in text
    for line in text.split("\n"):
        assert line == line.rstrip()

    assert main(["card", str(examples / "as-finished"), "--markdown", str(tmp_path / "card.md")]) == 0
    lines = (tmp_path / "card.md").read_text("utf-8").splitlines()
    heads = [line for line in lines if line.startswith("| output")]
    rows = [line for line in lines if line.startswith(("| 1 ", "| 2 ", "| 3 ", "| 4 ", "| 5 ", "| 6 "))]
    assert len(rows) == 6
    assert {row.count("|") for row in rows} == {heads[0].count("|")}
    assert "| speed-controller | own pack | stopped | stopped |" in "\n".join(lines)


def test_the_card_of_the_van_as_found_shows_the_failsafe_on_hold_and_the_lit_sign(capsys, examples):
    main(["card", str(examples / "as-found")])
    text = " ".join(capsys.readouterr().out.split())
    assert "2 throttle control trigger (stick)" in text
    assert "holds the last pulse what hangs on it speed-controller" in text
    assert "mail-sign power from the receiver at power-up lit" in text


def test_the_card_tells_what_the_loss_of_the_signal_does_from_every_state_not_from_rest_alone(capsys, examples):
    """By the build: throttle held as found, preset as finished; the beacons keep their mode without a pulse."""
    lost = {}
    for build in ("as-found", "as-finished"):
        assert main(["card", str(examples / build)]) == 0
        text = " ".join(capsys.readouterr().out.split())
        lost[build] = {
            name: text.split(f" {name} power from ")[1].split(" signal lost ")[1].split(" power off and on ")[0]
            for name in ("speed-controller", "engine-sound", "beacons", "side-lamps")
        }
    goes_on = "goes on with what it did"
    assert lost["as-found"] == {
        "speed-controller": goes_on, "engine-sound": "silent", "beacons": goes_on, "side-lamps": "off or dark",
    }  # fmt: skip
    assert lost["as-finished"]["speed-controller"] == "stopped"


def test_a_long_wait_leaves_room_for_actions_in_the_drawing(examples):
    """An hour's wait, drawn to scale, would leave a fifty-thousandth of the width for the press before it."""
    from coachwork.papers.rehearsal import _places

    setup = read_setup(read(examples / "as-finished")[Radio], 0).setup
    beats = rehearsed(setup, actions_of(["press bell-button", "wait 60 min", "let go of bell-button"], setup))
    places = _places(beats)
    widths = [after - before for before, after in pairwise(places)]

    assert len(places) == len(beats) + 1
    assert min(widths) == 1.0
    assert places[-1] < 15
    longest = max(range(1, len(beats)), key=lambda i: beats[i].time_s - beats[i - 1].time_s)
    assert widths[longest - 1] == max(widths) > 3, "a longer wait is wider all the same"
