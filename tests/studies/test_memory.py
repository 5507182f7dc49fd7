"""Pieces of a study's work that serve again."""

from __future__ import annotations

import numpy as np
import pytest

from coachwork.studies.memory import Memory, Record


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


class Reader:
    """A run's reads of two numbers, and a memory that serves it."""

    def __init__(self) -> None:
        self.memory, self.now, self.made = Memory(), {"a": 1.0, "b": 2.0}, []

    def run(self, *asked: str, **changed: float) -> dict[str, float]:
        """What is on record after a run that asks for these pieces; the piece of a number reads it."""
        self.now |= changed
        seen: dict[str, float] = {}
        self.memory.begin_run(
            Record(seen, None, lambda read, _: all(self.now[key] == was for key, was in read.items()))
        )

        def of(key: str) -> float:
            self.made.append(key)
            seen[key] = self.now[key]
            return self.memory.once(
                f"twice {key}", (seen[key],), lambda: self.made.append(f"twice {key}") or 2 * seen[key]
            )

        for key in asked:
            assert self.memory.once_reading(key, (), lambda key=key: of(key)) == 2 * self.now[key]
        self.memory.end_run()
        return seen


def test_a_piece_that_reads_serves_until_what_it_read_changes_and_is_on_record_each_time():
    reader = Reader()
    assert list(reader.run("a", "b")) == ["a", "b"]
    assert list(reader.run("a", "b")) == ["a", "b"]
    assert reader.made == ["a", "twice a", "b", "twice b"]
    assert reader.run("a", "b", b=3.0) == {"a": 1.0, "b": 3.0}
    assert reader.made[4:] == ["b", "twice b"]


def test_pieces_inside_one_that_serves_are_kept_with_it():
    """Else a change of the other end would forget what this end's next change stands on."""
    reader = Reader()
    reader.run("a", "b")
    reader.run("a", "b", b=3.0)
    reader.run("a", "b", b=4.0)
    reader.memory.begin_run(Record({}, None, lambda read, _: False))
    assert reader.memory.once("twice a", (1.0,), lambda: pytest.fail("made anew")) == 2.0


def test_what_is_read_within_a_piece_within_a_piece_is_read_by_both():
    memory = Memory()
    for now in (1.0, 1.0, 2.0):
        seen: dict[str, float] = {"before": 0.0}
        memory.begin_run(Record(seen, None, lambda read, _, now=now: read.get("a", now) == now))

        def read(seen=seen, now=now) -> float:
            seen["a"] = now
            return now

        assert memory.once_reading("outer", (), lambda read=read: memory.once_reading("inner", (), read)) == now
        assert list(seen.items()) == [("before", 0.0), ("a", now)]
        memory.end_run()


def test_a_piece_that_fails_leaves_its_reads_on_record_and_nothing_else():
    seen: dict[str, float] = {"b": 2.0}
    memory = Memory()
    memory.begin_run(Record(seen, None, lambda read, _: True))

    def fails() -> None:
        seen["a"] = 1.0
        raise ValueError("as it may")

    with pytest.raises(ValueError, match="as it may"):
        memory.once_reading("a", (), fails)
    assert seen == {"b": 2.0, "a": 1.0}
    memory.end_run()
    assert memory.once_reading("a", (), lambda: "made") == "made"
