"""At which places a box may be by itself, against asking thing by thing and place by place."""

import numpy as np
import pytest

from coachwork.studies.stowage.masks import masks
from coachwork.studies.stowage.problem import Apart, Block, Item, Pose, Problem, Surface
from coachwork.studies.stowage.turns import Turn

WIDE, DEEP = 14, 11
AHEAD, BEHIND = ("front", "left", "top"), ("rear", "right", "bottom")
AS_IT_IS = Turn("bottom", None)


def made_up(rng):
    """A deck, two boxes that stay, one that does not, and blocks of every kind, all at random."""

    def triple(low, high):
        return tuple(int(n) for n in rng.integers(low, high, 3))

    def room():
        return {str(side): int(rng.integers(1, 3)) for side in rng.choice([*AHEAD, *BEHIND], 2, replace=False)}

    def block(name):
        low = triple(-1, 9)
        kind = str(rng.choice(["thing", "ceiling"]))
        return Block(name=name, low=low, high=tuple(np.add(low, triple(1, 5)).tolist()), demand=name, kind=kind)

    def box(name, **more):
        return Item(name=name, poses=(Pose(turn=AS_IT_IS, size=triple(1, 4), room=room(), **more),), surfaces=("deck",))

    stay = [box(name) for name in ("motor", "servo")]
    stay = [Item(**{**vars(one), "fixed": (triple(0, 9), 0)}) for one in stay]
    looks_to = {str(side): str(side) for side in rng.choice(["front", "rear", "left", "right", "top"], 1)}
    loose = Item(**{**vars(box("radio", sides=looks_to)), "out": bool(rng.integers(0, 2))})
    names = ["motor", "servo", "post", "lid"]
    return Problem(
        items=(*stay, loose), gap=int(rng.integers(0, 2)),
        blocks=tuple(block(name) for name in ("post", "lid", "shelf")),
        surfaces=(
            Surface(name="deck", level=1, edges=((1000, 0, 10**6),), bounds=(0, WIDE, 0, DEEP),
                    open_to=("front", "rear", "left", "right", "top")),
        ),
        aparts=tuple(Apart(one="radio", two=two, gap=int(rng.integers(1, 4))) for two in rng.choice(names, 2)),
    )  # fmt: skip


def is_free(problem, corner, low, high, *, name, gap, way, room):
    """Whether the box at a corner is clear of a thing to one of its sides; then each way that must stay open."""
    radio = problem.item("radio")
    pose = radio.poses[0]
    apart = max((a.gap for a in problem.aparts if {a.one, a.two} == {"radio", name}), default=0)
    clear = set()
    for axis in range(3):
        ahead, behind = AHEAD[axis], BEHIND[axis]
        between = gap if axis < 2 else 0
        far = corner[axis] + pose.size[axis]
        if far + max(between, apart, pose.room.get(ahead, 0), room.get(behind, 0)) <= low[axis]:
            clear.add(ahead)
        if high[axis] + max(between, apart, pose.room.get(behind, 0), room.get(ahead, 0)) <= corner[axis]:
            clear.add(behind)
    open_ways = [*pose.sides.values(), *(["bottom"] if radio.out else [])] if way else []
    return bool(clear) and all(clear - {side} for side in open_ways)


@pytest.mark.parametrize("seed", range(30))
def test_a_box_may_be_where_every_thing_is_clear_of_it_and_of_its_ways(seed):
    problem = made_up(np.random.default_rng(seed))

    (mask,) = masks(problem, "radio")

    things = [
        {"low": b.low, "high": b.high, "name": b.name, "gap": 0, "way": b.kind == "thing", "room": {}}
        for b in problem.blocks
    ]
    for item in problem.items[:2]:
        corner, pose = item.fixed[0], item.poses[0]
        things.append({"low": corner, "high": tuple(np.add(corner, pose.size)), "name": item.name, "gap": problem.gap,
                       "way": True, "room": pose.room})  # fmt: skip
    wanted = [
        [all(is_free(problem, (x, y, 1), **thing) for thing in things) for y in range(DEEP + 1)]
        for x in range(WIDE + 1)
    ]
    np.testing.assert_array_equal(mask, wanted)
    assert not mask.all()
