"""The cheapest changes that make wishes hold: first for each that does not, then together for all.

For one wish: every single change, cheapest first, then every pair up to a number of tries; a change counts only if no
wish that held is broken by it. For all: one of the few cheapest cures of each wish, in the order of what they cost
together. So a cure that needs three changes for one wish is not found, and none is claimed to be impossible.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from itertools import combinations, islice
from math import comb

from coachwork.build.sections.radio.wishes import DeviceIs, Wish, atoms, parts_of
from coachwork.studies.radio.cheapest import cheapest_first
from coachwork.studies.radio.edit import Edit
from coachwork.studies.radio.edits import edits_near
from coachwork.studies.radio.edits_of_wiring import free_output
from coachwork.studies.radio.judge import Judged, judged, part_of
from coachwork.studies.radio.setup import Setup
from coachwork.studies.watch import UNWATCHED, Watch

CHOICES = 4  # cures kept for each wish
MOST_PAIRS = 150  # tried for a wish that no single change cures
MOST_TOGETHER = 64  # combinations tried for all wishes
# A change is tried only where it can be judged at once: with more states the search would take minutes.
MOST_STATES = 60_000


@dataclass(frozen=True)
class Cure:
    """Changes, what they cost together, and the most laborious of them in words."""

    changes: tuple[str, ...]
    cost: int
    effort: str


@dataclass(frozen=True)
class Tried:
    """What was tried on a wish to no avail.

    singles, pairs : how many changes and pairs of them were, of `all_pairs`
    kinds          : of changes
    no_output      : why no free output was among them; "" where one was
    """

    singles: int
    pairs: int
    all_pairs: int
    kinds: tuple[str, ...]
    no_output: str


@dataclass(frozen=True)
class Cures:
    """The cheapest cure of each refuted wish alone, and of all of them together; None where none was found.

    unsearched : wishes of so many states that no change was tried
    shares     : wish -> what of the joint cure is there for it
    tried      : wish -> what was, for each of which none was found
    """

    alone: Mapping[str, Cure | None]
    unsearched: frozenset[str]
    together: Cure | None
    shares: Mapping[str, Cure]
    tried: Mapping[str, Tried] = field(default_factory=dict)


def cures(
    setup: Setup,
    wishes: Mapping[str, Wish],
    refuted: Iterable[str],
    *,
    outputs: int | None,
    watch: Watch = UNWATCHED,
) -> Cures:
    """Search; every claim it makes was explored in full. Raises Unwanted when the watch says so."""
    refuted = tuple(refuted)
    search = _Search(setup, outputs, watch)
    held = [part for name, wish in wishes.items() if name not in refuted for part in parts_of(wish)]
    unsearched = frozenset(name for name in refuted if not search.can_judge(wishes[name]))
    found: dict[str, list[tuple[Edit, ...]]] = {}
    for name in refuted:
        watch.look(f"cures for {name}")
        found[name] = [] if name in unsearched else list(islice(search.cures_of(wishes[name], held), CHOICES))
    alone = {name: _cure(choices[0]) if choices else None for name, choices in found.items()}
    tried = {name: search.tried(wishes[name]) for name in refuted if not found[name] and name not in unsearched}
    watch.look("cures for all wishes together")
    everything = {one.name for one in setup.devices}
    together = search.together([*wishes.values(), *search.still_of_use(everything)], list(found.values()))
    if together is None:
        return Cures(alone, unsearched, None, {}, tried)
    shares = {name: _cure(edits) for name, edits in zip(found, together, strict=True)}
    return Cures(alone, unsearched, _cure(_once(together)), shares, tried)


def _once(chosen: Iterable[tuple[Edit, ...]]) -> tuple[Edit, ...]:
    """Every change once: one may serve several wishes, and is then made, and paid for, once."""
    return tuple({edit.words: edit for edits in chosen for edit in edits}.values())


def _cost(edits: Iterable[Edit]) -> int:
    return sum(edit.cost for edit in edits)


def _cure(edits: tuple[Edit, ...]) -> Cure:
    hardest = max(edits, key=lambda edit: edit.effort)
    return Cure(tuple(edit.words for edit in edits), _cost(edits), hardest.effort_told)


def _devices_of(parts: Iterable[Wish]) -> set[str]:
    return {atom.device for part in parts for atom in atoms(part.about) if isinstance(atom, DeviceIs)}


@dataclass(frozen=True, eq=False)
class _Search:
    """Changes of one setup."""

    setup: Setup
    outputs: int | None
    watch: Watch

    def can_judge(self, wish: Wish) -> bool:
        return all(self._judged(self.setup, part).complete for part in parts_of(wish))

    def cures_of(self, wish: Wish, held: list[Wish]) -> Iterator[tuple[Edit, ...]]:
        """Changes that prove a wish and break none that held, cheapest first."""
        right, broken = self._right_and_broken(wish)
        edits = self._edits(wish)
        wanted = [*broken, *right, *held, *self.still_of_use(_devices_of(broken))]
        single = False
        for edit in edits:
            if self._proves((edit,), wanted):
                single = True
                yield (edit,)
        if not single:
            for pair in self._pairs(edits):
                if self._proves(pair, wanted):
                    yield pair

    def tried(self, wish: Wish) -> Tried:
        """What `cures_of` tries when it finds nothing."""
        edits = self._edits(wish)
        pairs = len(self._pairs(edits))
        kinds = tuple(sorted({edit.kind for edit in edits}))
        no_output = ""
        if "free outputs" not in kinds:
            if self.outputs is None:
                no_output = "how many outputs the receiver has is not entered"
            elif free_output(self.setup, self.outputs) is None:
                no_output = "no output is known to be free"
            else:
                no_output = "none of its devices can move there"
        return Tried(len(edits), pairs, comb(len(edits), 2), kinds, no_output)

    def together(
        self, wishes: list[Wish], choices: list[list[tuple[Edit, ...]]]
    ) -> tuple[tuple[Edit, ...], ...] | None:
        """One choice for each wish, such that all hold at once; the cheapest of those tried."""
        if not wishes or any(not each for each in choices):
            return None
        parts = [part for wish in wishes for part in parts_of(wish)]
        first = list(islice(cheapest_first(choices, _cost), MOST_TOGETHER))
        for chosen in sorted(first, key=lambda chosen: _cost(_once(chosen))):
            if self._proves(_once(chosen), parts):
                return chosen
        return None

    def still_of_use(self, devices: Iterable[str]) -> list[Wish]:
        """What can be switched on now still can be: else unplugging a device would cure most wishes."""
        wishes = []
        for name in sorted(devices):
            device = self.setup.device(name)
            on = DeviceIs(name, tuple(i for i in range(len(device.modes)) if i != device.quiet), "on")
            wishes.append(Wish("can be reached", on, f"{on} can be reached"))
        return [wish for wish in wishes if self._judged(self.setup, wish).proved]

    def _right_and_broken(self, wish: Wish) -> tuple[list[Wish], list[Wish]]:
        parts = parts_of(wish)
        right = [part for part in parts if self._judged(self.setup, part).proved]
        return right, [part for part in parts if part not in right]

    def _edits(self, wish: Wish) -> list[Edit]:
        _, broken = self._right_and_broken(wish)
        return edits_near(self.setup, _devices_of(broken), outputs=self.outputs)

    def _pairs(self, edits: list[Edit]) -> list[tuple[Edit, Edit]]:
        return sorted(combinations(edits, 2), key=_cost)[:MOST_PAIRS]

    def _proves(self, edits: tuple[Edit, ...], wishes: Iterable[Wish]) -> bool:
        """Whether a wish holds with the changes made; one that hangs on nothing that they change goes on as it did."""
        setup = _made(self.setup, edits)
        if setup is None:
            return False
        for wish in wishes:
            before = self.setup if part_of(setup, wish) == part_of(self.setup, wish) else setup
            if not self._judged(before, wish).proved:
                return False
        return True

    def _judged(self, setup: Setup, wish: Wish) -> Judged:
        return judged(setup, wish, most_states=MOST_STATES, watch=self.watch)


def _made(setup: Setup, edits: Iterable[Edit]) -> Setup | None:
    """The setup with changes made; None where they do not go together."""
    try:
        for edit in edits:
            setup = edit.made(setup)
    except (StopIteration, ValueError):  # the thing to change is gone, or power would run in a circle
        return None
    return setup
