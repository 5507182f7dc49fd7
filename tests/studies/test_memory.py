"""Pieces of a study's work that serve again."""

from __future__ import annotations

import numpy as np
import pytest

from coachwork.studies.memory import Memory


@pytest.fixture
def made() -> list[str]:
    return []


def work(memory: Memory, made: list[str], name: str, *given: object) -> object:
    return memory.once(name, given, lambda: made.append(name) or object())


def test_the_same_again_is_the_same_object_and_the_last_bit_counts(made):
    memory = Memory()
    heights = np.array([1.0, np.nan])
    first = work(memory, made, "a", heights)

    assert work(memory, made, "a", heights.copy()) is first
    assert work(memory, made, "a", np.nextafter(heights, 2.0)) is not first
    assert work(memory, made, "b", heights) is not first
    assert made == ["a", "a", "b"]


def test_only_the_last_run_is_remembered(made):
    """Numbers that go there and back are worked out anew each time."""
    memory = Memory()
    for number in (1.0, 2.0, 1.0):
        work(memory, made, "a", number)
        memory.end_run()
    assert made == ["a", "a", "a"]
    work(memory, made, "a", 1.0)
    assert made == ["a", "a", "a"]


def test_a_run_that_is_broken_off_leaves_what_there_was(made):
    memory = Memory()
    kept = work(memory, made, "a", 1.0)
    memory.end_run()
    for number in (2.0, 3.0):
        work(memory, made, "a", number)
        memory.break_run()
    assert work(memory, made, "a", 1.0) is kept
    work(memory, made, "a", 2.0)
    assert made == ["a"] * 4


def test_one_run_may_ask_for_a_name_more_than_once(made):
    memory = Memory()
    for _ in range(2):
        work(memory, made, "a", 1.0), work(memory, made, "a", 2.0)
        memory.end_run()
    assert made == ["a", "a"]


def test_a_piece_that_cannot_be_made_is_not_remembered():
    memory = Memory()

    def fails() -> None:
        raise ArithmeticError

    for _ in range(2):
        with pytest.raises(ArithmeticError):
            memory.once("a", (), fails)
    assert memory.once("a", (), lambda: 1) == 1
