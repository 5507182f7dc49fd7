"""What nobody wished for: unused modes, channels that nothing moves, functions that are one, noise, the supply."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from coachwork.build import Numbers
from coachwork.studies.finding import Finding, Place, Told, judge
from coachwork.studies.parts import Part, attempt, need
from coachwork.studies.radio.loads import Loads
from coachwork.studies.radio.result import Chatter, Clear, RadioResult
from coachwork.studies.radio.surprises import ModesUsed
from coachwork.studies.wording import COMMON_PRACTICE, count, first

EXPLORED = "every state that can be reached"
# A regulator that is warm has less to give than its label says; common practice, no source.
SPARE_A = 0.2


def findings(result: RadioResult) -> Iterator[Finding]:
    """Devices, channels, then the whole."""
    for name, modes in result.modes.items():
        yield _of_modes(name, modes)
    for name, clear in result.clear.items():
        yield judge(
            clear, partial(_clear, name), id=f"radio.device.{name}.clear-of-noise",
            question=f"Do the pulses of {name} stay clear of where it switches?",
        )  # fmt: skip
    for name, chatter in result.chatter.items():
        yield judge(
            chatter, partial(_chatter, name), id=f"radio.device.{name}.chatter",
            question=f"Does {name} switch once while a hand moves slowly?",
        )  # fmt: skip
    for name, movers in result.moved_by.items():
        yield judge(
            movers, partial(_moved, name), id=f"radio.channel.{name}.moved",
            question=f"Does a control move channel {name}?",
        )  # fmt: skip
    if result.modes:
        yield judge(result.alike, _alike, id="radio.apart", question="Can every accessory be told from the others?")
        supply = attempt(lambda: (need(result.loads), need(result.supply_limit_a)))
        yield judge(supply, lambda both: _supply(*both), id="radio.supply",
                    question="Can the regulator feed all that can be on together?")  # fmt: skip


def _of_modes(name: str, part: Part[ModesUsed]) -> Finding:
    id, question = f"radio.device.{name}.modes", f"Can {name} be switched through all of its modes?"
    if isinstance(part, ModesUsed) and part.unused and not part.complete:  # neither so nor not so
        why = f"{', '.join(part.unused)} not seen in {count(part.states, 'state')}; there are more, not looked at"
        return Finding(id=id, question=question, why=why)
    return judge(part, partial(_modes, name), id=id, question=question)


def _modes(name: str, used: ModesUsed) -> Told:
    unused = ", ".join(used.unused)
    if not used.unused:
        why = f"each of them is shown in some of {count(used.states, 'state')}"
    elif len(used.used) <= 1:
        why = f"nothing switches {name}: it is {', '.join(used.used)} in all of {count(used.states, 'state')}"
    else:
        why = f"no action leads to {unused}, in none of {count(used.states, 'state')}"
    return {
        "value": float(len(used.unused)),
        "limit": 0.0,
        "unit": "unused modes",
        "why": why,
        "do": f"check the channel, end points and power of {name}, or do without {unused}" if used.unused else None,
        "where": Place(part=name),
        "source": EXPLORED,
    }


def _clear(name: str, clear: Clear) -> Told:
    near, noise = clear.nearest, first(clear.noise_us)
    short = noise - near.room_us
    return {
        "value": clear.room_us,
        "limit": clear.noise_us,
        "sense": "at least",
        "tight_within": noise,
        "unit": "us",
        "why": f"nearest with {near.where}: a pulse of {near.pulse_us:.0f} us, it switches at {near.cut_us:.0f} us; "
        f"pulses jitter by {noise:.0f} us",
        "do": f"move the end point, the sub-trim or the switching pulse {short + noise:.0f} us further apart"
        if short > 0
        else None,
        "where": Place(part=name),
        "source": "the receiver's noise, as entered",
    }


def _chatter(name: str, chatter: Chatter) -> Told:
    noise, width = first(chatter.noise_us), first(chatter.hysteresis_us)
    return {
        "value": chatter.hysteresis_us,
        "limit": 2 * chatter.noise_us,
        "sense": "at least",
        "tight_within": noise / 2,
        "unit": "us",
        "why": f"{chatter.control} sweeps through; on and off lie {width:.0f} us apart, "
        f"and noise swings by {2 * noise:.0f} us",
        "do": f"put {name} on a switch, or on a device with a hysteresis of {2 * noise:.0f} us or more"
        if width < 2 * noise
        else None,
        "where": Place(part=name),
        "source": "twice the receiver's noise, as entered",
    }


def _moved(name: str, movers: tuple[str, ...]) -> Told:
    return {
        "value": float(len(movers)),
        "limit": 1.0,
        "sense": "at least",
        "unit": "controls",
        "why": f"moved by {' and '.join(movers)}"
        if movers
        else "no control is assigned to it, so its output never changes",
        "do": None if movers else f"name a control for channel {name}, or take the channel out",
        "where": Place(part=f"channel {name}"),
        "source": EXPLORED,
    }


def _alike(pairs: tuple[tuple[str, str], ...]) -> Told:
    told = "; ".join(f"{one} and {other}" for one, other in pairs)
    return {
        "value": float(len(pairs)),
        "limit": 0.0,
        "unit": "pairs",
        "why": f"always on and quiet together, whatever is done: {told}"
        if pairs
        else "for any two some action differs",
        "do": f"if that is meant, wish it ({pairs[0][0]} on exactly when {pairs[0][1]} on); else part their channels"
        if pairs
        else None,
        "where": Place(part="receiver"),
        "source": EXPLORED,
    }


def _supply(loads: Loads, limit_a: Numbers) -> Told:
    most = loads.most
    on = ", ".join(f"{name} {mode}" for name, mode in most.modes.items() if mode != "dark" and name in loads.devices)
    told = "the most that can be on together" if loads.exact else "too many states to look at all, so every device on"
    short = first(most.current_a) - first(limit_a)
    return {
        "value": most.current_a,
        "limit": limit_a,
        "sense": "at most",
        "tight_within": SPARE_A,
        "unit": "A",
        "why": f"{told}: {on}; at rest {first(loads.at_rest.current_a):.2f} A",
        "do": f"take {short:.2f} A off the receiver's supply, or feed a load from its own regulator"
        if short > 0
        else None,
        "where": Place(part="regulator"),
        "source": f"the regulator's label; a tenth or two to spare is {COMMON_PRACTICE}",
    }
