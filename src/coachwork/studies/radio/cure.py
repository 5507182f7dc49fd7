"""The cheapest changes that make wishes hold: first for each that does not, then together for all.

For one wish: every single change, cheapest first, then every pair up to a number of tries; a change counts only if no
wish that held is broken by it. For all: one of the few cheapest cures of each wish, in the order of what they cost
together. So a cure that needs three changes for one wish is not found, and none is claimed to be impossible.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import combinations, islice, product

from coachwork.build.sections.radio.wishes import DeviceIs, Wish, atoms, parts_of
from coachwork.studies.radio.edits import Edit, edits_near
from coachwork.studies.radio.judge import judged
from coachwork.studies.radio.setup import Setup

CHOICES = 4  # cures kept for each wish
MOST_PAIRS = 150  # tried for a wish that no single change cures
MOST_TOGETHER = 64  # combinations tried for all wishes
# A change is tried only where it can be judged at once: with more states the search would take minutes.
MOST_STATES = 60_000


@dataclass(frozen=True)
class Cure:
    """Changes and what they cost together."""

    changes: tuple[str, ...]
    cost: int


@dataclass(frozen=True)
class Cures:
    """The cheapest cure of each refuted wish alone, and of all of them together; None where none was found.

    unsearched : wishes of so many states that no change was tried
    shares : wish -> what of the joint cure is there for it
    """

    alone: Mapping[str, Cure | None]
    unsearched: frozenset[str]
    together: Cure | None
    shares: Mapping[str, Cure]


def cures(setup: Setup, wishes: Mapping[str, Wish], refuted: Iterable[str], *, outputs: int | None) -> Cures:
    """Search; every claim it makes was explored in full."""
    refuted = tuple(refuted)
    held = [part for name, wish in wishes.items() if name not in refuted for part in parts_of(wish)]
    unsearched = frozenset(name for name in refuted if not _searchable(setup, wishes[name]))
    found = {
        name: [] if name in unsearched else list(islice(_cures_of(setup, wishes[name], held, outputs), CHOICES))
        for name in refuted
    }
    alone = {name: _cure(choices[0]) if choices else None for name, choices in found.items()}
    everything = {one.name for one in setup.devices}
    together = _together(setup, [*wishes.values(), *_still_of_use(setup, everything)], list(found.values()))
    if together is None:
        return Cures(alone, unsearched, None, {})
    shares = {name: _cure(edits) for name, edits in zip(found, together, strict=True)}
    every = _once(together)
    return Cures(alone, unsearched, _cure(every), shares)


def _searchable(setup: Setup, wish: Wish) -> bool:
    return all(judged(setup, part, most_states=MOST_STATES).complete for part in parts_of(wish))


def _once(chosen: Iterable[tuple[Edit, ...]]) -> tuple[Edit, ...]:
    """Every change once: one may serve several wishes, and is then made, and paid for, once."""
    return tuple({edit.words: edit for edits in chosen for edit in edits}.values())


def _cure(edits: tuple[Edit, ...]) -> Cure:
    return Cure(tuple(edit.words for edit in edits), sum(edit.cost for edit in edits))


def _cures_of(setup: Setup, wish: Wish, held: list[Wish], outputs: int | None) -> Iterator[tuple[Edit, ...]]:
    """Changes that prove a wish and break none that held, cheapest first."""
    parts = parts_of(wish)
    right = [part for part in parts if judged(setup, part, most_states=MOST_STATES).proved]
    broken = [part for part in parts if part not in right]
    devices = {atom.device for part in broken for atom in atoms(part.about) if isinstance(atom, DeviceIs)}
    edits = edits_near(setup, devices, outputs=outputs)
    held = [*right, *held, *_still_of_use(setup, devices)]
    single = False
    for edit in edits:
        if _proves(_made(setup, (edit,)), [*broken, *held]):
            single = True
            yield (edit,)
    if not single:
        pairs = sorted(combinations(edits, 2), key=lambda pair: pair[0].cost + pair[1].cost)
        for pair in pairs[:MOST_PAIRS]:
            if _proves(_made(setup, pair), [*broken, *held]):
                yield pair


def _still_of_use(setup: Setup, devices: Iterable[str]) -> Iterator[Wish]:
    """What can be switched on now still can be: else unplugging a device would cure most wishes."""
    for name in sorted(devices):
        device = setup.device(name)
        on = DeviceIs(name, tuple(i for i in range(len(device.modes)) if i != device.quiet), "on")
        wish = Wish("can be reached", on, f"{on} can be reached")
        if judged(setup, wish, most_states=MOST_STATES).proved:
            yield wish


def _made(setup: Setup, edits: Iterable[Edit]) -> Setup | None:
    """The setup with changes made; None where they do not go together."""
    try:
        for edit in edits:
            setup = edit.made(setup)
    except (StopIteration, ValueError):  # the thing to change is gone, or power would run in a circle
        return None
    return setup


def _proves(setup: Setup | None, wishes: Iterable[Wish]) -> bool:
    return setup is not None and all(judged(setup, wish, most_states=MOST_STATES).proved for wish in wishes)


def _together(
    setup: Setup, wishes: list[Wish], choices: list[list[tuple[Edit, ...]]]
) -> tuple[tuple[Edit, ...], ...] | None:
    if not wishes or any(not each for each in choices):
        return None
    parts = [part for wish in wishes for part in parts_of(wish)]

    def cost(chosen: tuple[tuple[Edit, ...], ...]) -> int:
        return sum(edit.cost for edit in _once(chosen))

    for chosen in sorted(product(*choices), key=cost)[:MOST_TOGETHER]:
        if _proves(_made(setup, _once(chosen)), parts):
            return chosen
    return None
