"""An order of assembly in which every screw can be reached, on small cases worked by hand; and where there is none."""

from __future__ import annotations

import numpy as np
import pytest

from coachwork.studies.makeability.assembly import _meets
from coachwork.studies.makeability.order import Order, Screw, order_of
from coachwork.studies.makeability.result import MakeabilityResult
from coachwork.studies.makeability.specs.every import Wanted
from coachwork.studies.makeability.verdicts import findings
from coachwork.studies.parts import CannotBe, attempt
from coachwork.studies.solids import Hole, PartSolid


def screw(part: str, hole: str, joins: str = "", in_way: str = "") -> Screw:
    return Screw(part=part, hole=hole, joins=frozenset(joins.split()), in_way=frozenset(in_way.split()))


def replay(order: Order, screws: list[Screw]) -> None:
    """Goes through the order: nothing that is in a driver's way is there yet, all that a screw joins is."""
    by_name, there = {each.name: each for each in screws}, set()
    for step in order.steps:
        if step in by_name:
            held = by_name[step]
            in_hand = held.part not in there
            assert in_hand or not (held.in_way & there), step
            assert held.joins <= there, step
        there.add(step)
    assert there == {*by_name, *(step for step in order.steps if "/" not in step)}


def test_a_box_over_a_screw_goes_in_after_it():
    screws = [
        screw("chassis", "servo.front", joins="servo", in_way="pack"),
        screw("chassis", "posts.left", "post-left"),
    ]

    order = order_of(["chassis", "pack", "servo", "post-left"], screws, {})

    replay(order, screws)
    assert order.early == {"chassis/servo.front": ("pack",)}


def test_a_bracket_is_screwed_to_the_shell_before_it_comes_over_the_floor():
    """Its screws go up from below, where the chassis is: they join nothing on the vehicle, so they go in by hand."""
    screws = [screw("bracket-left", "shell.left", in_way="chassis post-left")]

    order = order_of(["chassis", "post-left", "bracket-left"], screws, {"bracket-left": ["post-left"]})

    replay(order, screws)
    assert order.steps.index("bracket-left/shell.left") < order.steps.index("bracket-left")
    assert order.early == {"bracket-left/shell.left": ("bracket-left",)}


def test_a_screw_behind_what_it_holds_is_told():
    with pytest.raises(CannotBe, match=r"servo is in the driver's way to the screw servo\.front"):
        order_of(["chassis", "servo"], [screw("chassis", "servo.front", joins="servo", in_way="servo")], {})


def test_two_screws_each_behind_what_the_other_holds_are_told():
    """The left screw holds a, which hides the right one, which holds b, which hides the left one."""
    screws = [screw("chassis", "left", joins="a", in_way="b"), screw("chassis", "right", joins="b", in_way="a")]

    with pytest.raises(CannotBe, match="cannot be reached at any time"):
        order_of(["chassis", "a", "b"], screws, {})


@pytest.mark.parametrize(("in_way", "told"), [("", (0.0, None)), ("servo", (1.0, "turn that screw in from"))])
def test_a_screw_that_no_order_reaches_fails_the_verdict(in_way: str, told: tuple[float, str | None]):
    screws = [screw("chassis", "servo.front", joins="servo", in_way=in_way)]
    result = MakeabilityResult(
        wanted={"chassis": Wanted(name="chassis", key="parts.chassis", number="P-01", spec=(), settings=())},
        checked={}, unmade=(), screws={}, price=(0.0, 0.0), mass_g=0.0,
        order=attempt(order_of, ["chassis", "servo"], screws, {}),
    )  # fmt: skip

    finding = next(each for each in findings(result) if each.id == "makeability.order")

    value, cure = told
    assert finding.value is not None
    assert finding.limit is not None
    assert (finding.value.item(), finding.limit.item()) == (value, 0.0)
    assert (cure in finding.do) if cure else finding.do is None


def test_what_must_be_there_first_may_not_be_in_the_way():
    """The door shuts over the pack: a screw under it that holds the pack goes in before; one that needs both never."""
    after = {"door": ["pack"]}
    fine = [screw("chassis", "clamp", joins="pack", in_way="door")]
    replay(order_of(["chassis", "pack", "door"], fine, after), fine)

    with pytest.raises(CannotBe):
        order_of(["chassis", "pack", "door"], [screw("chassis", "clamp", joins="door", in_way="pack")], after)


@pytest.mark.parametrize(
    ("box", "meets"),
    [
        (((-5, -5, 20), (5, 5, 30)), True),  # right over it
        (((-5, -5, 90), (5, 5, 99)), False),  # beyond the driver's straight part
        (((2.4, -5, 20), (9, 5, 30)), True),  # beside its axis by less than its half thickness
        (((2.6, -5, 20), (9, 5, 30)), False),
        (((-5, -5, -30), (5, 5, -1)), False),  # below, where the screw goes
    ],
)
def test_a_driver_of_5_mm_and_75_mm_from_above_meets_a_box(box, meets: bool):
    hole = Hole(name="a.b", centre_mm=(0, 0, 0), axis=(0, 0, -1), diameter_mm=3, drawn_mm=3, depth_mm=5, screw="M3")
    part = PartSolid(name="chassis", number="", step="", mesh="", content="", spec="", process="resin", material="")
    low, high = (np.array(corner, dtype=float) for corner in box)

    assert _meets(part, hole, (low, high), 75.0, 5.0) is meets
