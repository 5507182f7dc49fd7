"""What each form of a wish means, by hand on a radio of a few states."""

from __future__ import annotations

import pytest

from coachwork.studies.parts import CannotBe

BUILD = """
[radio.controls]
dial = { kind = "dial" }
button = { kind = "button" }
feed = { kind = "two-position", at = "vehicle" }
[radio.channels]
d = { number = 1, control = "dial", failsafe = "hold" }
b = { number = 2, control = "button", failsafe = "off" }
[radio.devices]
sound = { kind = "switched", channel = "d", modes = "silent, revving", switches-at = 1600 }
bell = { kind = "switched", channel = "b", switches-at = 1500 }
lamp = { kind = "cycling", channel = "b", switches-at = 1500, modes = "off, on, flashing", powered-by = "feed" }
siren = { kind = "cycling", channel = "b", switches-at = 1500, memory = "kept" }
"""
TRUE = [
    "sound silent unless dial raised",
    "never sound revving and dial at rest",
    "bell on exactly when button pressed",
    "bell on only when button pressed",
    "lamp on only when feed on",
    "everything but siren off at power-up",
    "lamp off at any power-up",
    "bell off on signal loss",
    "one action from anywhere to sound silent",
    "two actions from anywhere to sound silent and bell off",
    "lamp flashing can be reached",
    "lamp flashing can always be reached",
    "if button pressed then bell on",
    "bell on or button released always",
]
# wish -> actions of the shortest way to where it is broken
FALSE = {
    "never sound revving": ["dial to high end"],
    "siren off at power-up": ["press button", "let go of button", "power off and on"],
    "siren off at any power-up": ["press button", "power off and on"],
    "sound silent on signal loss": ["dial to high end", "lose the signal"],
    "lamp on exactly when bell on": ["press button"],
    "one action from anywhere to sound silent and bell off": ["dial to high end", "press button"],
    "lamp on whenever button pressed": ["press button"],
    "always siren off": ["press button"],
}


@pytest.mark.parametrize("wish", TRUE)
def test_what_is_true_is_proved(judge, wish):
    answer = judge(BUILD, wish)
    assert answer.proved
    assert not answer.refuted


@pytest.mark.parametrize("wish", FALSE)
def test_what_is_false_is_refuted_by_a_shortest_way(judge, wish):
    from coachwork.studies.radio.traces import steps_of

    answer = judge(BUILD, wish)

    assert answer.refuted
    assert [step.action for step in steps_of(answer.product, answer.way)][1:] in (
        FALSE[wish],
        list(reversed(FALSE[wish])),  # two hands may come in either order
    )


def test_what_cannot_be_reached_has_no_way(judge):
    answer = judge(BUILD, "lamp flashing and not feed on can be reached")
    assert answer.refuted
    assert answer.way == ()


def test_a_control_nobody_hears_breaks_no_wish(judge):
    """Held at full dial, then the dial lowered without a signal: it revs, but the dial's place means nothing then."""
    assert judge(BUILD, "sound silent unless dial raised").proved
    assert judge(BUILD, "sound silent on signal loss").refuted


def test_too_many_states_give_a_bounded_answer_not_a_wrong_one(judge):
    wish = "never bell on and sound revving and lamp flashing and siren on"
    bounded = judge(BUILD, wish, most_states=20)

    assert (bounded.complete, bounded.proved, bounded.refuted) == (False, False, False)
    assert bounded.states <= 20
    assert len(judge(BUILD, wish).way) - 1 > bounded.depth, "else it had claimed to have looked that far"


MANY = """
[radio.controls]
""" + "".join(f'b{i} = {{ kind = "button" }}\n' for i in range(24)) + "[radio.channels]\n" + "".join(
    f'c{i} = {{ number = {i + 1}, control = "b{i}", failsafe = "off" }}\n' for i in range(24)
) + "[radio.devices]\n" + "".join(
    f'd{i} = {{ kind = "cycling", channel = "c{i}", modes = "off, one, two, three", switches-at = 1500 }}\n'
    for i in range(24)
)  # fmt: skip


def test_a_bounded_search_does_not_mistake_the_edge_of_what_it_saw_for_the_edge_of_what_there_is(judge):
    """Each device is off again after so many presses, so all can always be had off."""
    for wish in ("d0, d1, d2 and d3 off can always be reached", "12 actions from anywhere to d0 and d1 off"):
        assert judge(MANY, wish).proved
        bounded = judge(MANY, wish, most_states=60)
        assert not bounded.complete
        assert not bounded.refuted, wish


def test_more_states_than_can_be_counted_are_looked_at_piece_by_piece_or_not_at_all(judge):
    assert judge(MANY, "everything off at power-up").proved
    with pytest.raises(CannotBe, match="more states than can be counted"):
        judge(MANY, "one action from anywhere to everything off")


def test_parts_of_a_wish_are_looked_at_where_the_whole_is_too_much(judge):
    """Four devices together have more than 100 states, none alone has: each part is proved by itself."""
    wish = "everything but siren off at power-up"
    whole = judge(BUILD, wish)
    parts = judge(BUILD, wish, most_states=40)

    assert whole.states > 40
    assert parts.in_parts
    assert parts.proved
