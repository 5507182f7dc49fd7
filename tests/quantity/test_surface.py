"""The package offers what its `__all__` says, and nothing else by accident."""

import inspect
import pickle
from types import ModuleType

import pytest

import coachwork.quantity as quantity
from coachwork.quantity import KINDS, LENGTH, Kind, Unreadable, parse


def test_all_is_the_public_surface() -> None:
    public = {
        name for name, thing in vars(quantity).items() if not name.startswith("_") and not isinstance(thing, ModuleType)
    }
    assert public == set(quantity.__all__)


def test_every_public_thing_says_what_it_is() -> None:
    for name in quantity.__all__:
        thing = getattr(quantity, name)
        if inspect.isclass(thing) or inspect.isfunction(thing):
            assert inspect.getdoc(thing), name


def test_kinds_lists_every_kind_once() -> None:
    exported = {thing for thing in vars(quantity).values() if isinstance(thing, Kind)}
    assert exported == set(KINDS)
    assert len({kind.name for kind in KINDS}) == len(KINDS)


def test_the_error_carries_what_it_is_about_and_survives_a_process_border() -> None:
    with pytest.raises(Unreadable) as caught:
        parse("267 mmm", LENGTH)
    error = pickle.loads(pickle.dumps(caught.value))
    assert (error.read, error.wanted, error.suggestion) == ("267 mmm", "a length, such as 267 mm or 10 1/2 in", "mm")
    assert str(error) == error.why == "mmm is not a known unit; did you mean mm?"
