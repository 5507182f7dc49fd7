"""The explorer alone: puzzles whose shortest solutions are known, a graph library, its bound, its being stopped."""

from __future__ import annotations

from itertools import pairwise

import networkx as nx
import numpy as np
import pytest

from coachwork.studies.radio.compile import compiled
from coachwork.studies.radio.explore import explore
from coachwork.studies.watch import Unwanted, Watch


def test_wolf_goat_and_cabbage_need_seven_crossings():
    """Alcuin of York, Propositiones ad acuendos juvenes, problem 18 (about 800; from memory): seven crossings."""
    man, wolf, goat, cabbage = 1, 2, 4, 8

    def safe(codes):
        def together(one, other):
            return ((codes & one) > 0) == ((codes & other) > 0)

        return together(man, goat) | (~together(wolf, goat) & ~together(goat, cabbage))

    def crossings(codes):
        for number, load in enumerate((0, wolf, goat, cabbage)):
            allowed = ((codes & man) > 0) == ((codes & load) > 0) if load else np.ones(codes.shape, bool)
            over = codes ^ (man | load)
            yield number, np.where(allowed & safe(over), over, codes)

    found = explore(np.array([0]), crossings)

    (place,) = found.places_of(np.array([man | wolf | goat | cabbage]))
    assert found.actions_to(int(place)) == 7
    assert found.states == 10  # of the 16 placings, those in which nobody is eaten and which can be got to


def test_missionaries_and_cannibals_need_eleven_crossings():
    """S. Amarel, "On representations of problems of reasoning about actions" (1968; from memory): eleven crossings."""

    def crossings(codes):
        m, c, boat = codes // 8, codes // 2 % 4, codes % 2
        for number, (dm, dc) in enumerate(((1, 0), (2, 0), (0, 1), (0, 2), (1, 1))):
            way = np.where(boat == 1, -1, 1)
            m2, c2 = m + way * dm, c + way * dc
            inside = (m2 >= 0) & (m2 <= 3) & (c2 >= 0) & (c2 <= 3)
            safe = ((m2 == 0) | (m2 >= c2)) & ((m2 == 3) | (3 - m2 >= 3 - c2))
            yield number, np.where(inside & safe, m2 * 8 + c2 * 2 + 1 - boat, codes)

    found = explore(np.array([3 * 8 + 3 * 2 + 1]), crossings)

    (place,) = found.places_of(np.array([0]))
    assert found.actions_to(int(place)) == 11


def test_eight_puzzle_has_its_published_diameter():
    """A. Reinefeld, "Complete solution of the eight-puzzle" (1993; from memory): 181,440 states, two 31 moves off."""
    powers = 9 ** np.arange(9)

    def slides(codes):
        tiles = codes[:, None] // powers % 9
        hole = np.argmin(tiles, axis=1)
        rows = np.arange(codes.size)
        for number, (step, barred) in enumerate(
            ((-3, hole < 3), (3, hole > 5), (-1, hole % 3 == 0), (1, hole % 3 == 2))
        ):
            other = np.where(barred, hole, hole + step)
            moved = tiles.copy()
            moved[rows, hole], moved[rows, other] = tiles[rows, other], tiles[rows, hole]
            yield number, moved @ powers

    found = explore(np.array([np.arange(9) @ powers]), slides)

    assert (found.states, found.depth) == (181_440, 31)
    assert np.diff(found.begins)[-1] == 2


def test_every_distance_on_the_van_is_that_of_a_graph_library(examples):
    """It walks the same moves, one edge at a time, by its own breadth-first search."""
    from coachwork.build import read
    from coachwork.build.sections.radio import Radio
    from coachwork.studies.radio.from_table import read_setup

    setup = read_setup(read(examples / "as-found")[Radio], 0).setup
    product = compiled(setup.part(["reversing-buzzer", "speed-controller", "beacons", "cab-lamp"]))
    found = explore(product.start, product.successors)

    graph = nx.DiGraph()
    for _, after in product.successors(found.codes):
        graph.add_edges_from(zip(found.codes.tolist(), after.tolist(), strict=True))
    lengths = nx.single_source_shortest_path_length(graph, int(product.start[0]))

    assert found.complete
    assert found.states > 500
    assert lengths == {int(code): found.actions_to(place) for place, code in enumerate(found.codes)}


def endless(codes):
    yield 0, codes + 1
    yield 1, codes * 3


def test_too_many_states_end_in_a_bounded_answer():
    found = explore(np.array([1]), endless, most_states=500)

    assert not found.complete
    assert found.states <= 500
    by_hand, level = {1}, {1}
    for _ in range(found.depth):
        level = {n for code in level for n in (code + 1, code * 3)} - by_hand
        by_hand |= level
    assert set(found.codes.tolist()) == by_hand, "nothing within its depth was missed"


def test_one_level_that_is_far_too_wide_is_not_finished():
    """The bound is looked at inside a level, too: a million events of one state would else fill the memory."""
    asked = []

    def wide(codes):
        for number in range(1000):
            asked.append(number)
            yield number, np.arange(2000) + 2000 * number

    found = explore(np.array([-1]), lambda codes: wide(codes), most_states=5000)

    assert (found.states, found.complete) == (1, False)
    assert len(asked) < 20


def test_it_can_be_stopped():
    asked = iter(range(100))

    with pytest.raises(Unwanted):
        explore(np.array([1]), endless, watch=Watch(cancelled=lambda: next(asked) > 20))


def test_ways_lead_from_a_start_by_the_events_they_name():
    found = explore(np.array([1]), lambda codes: [(0, np.minimum(codes + 1, 90)), (1, np.minimum(codes * 3, 90))])
    for place in range(found.states):
        way = list(found.way_to(place))
        assert len(way) - 1 == found.actions_to(place)
        for before, after in pairwise(way):
            code = int(found.codes[before])
            assert found.codes[after] == min(90, (code + 1, code * 3)[found.event[after]])
