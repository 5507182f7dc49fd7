"""Studies are found by being there and wired by the types they ask for."""

from __future__ import annotations

from dataclasses import dataclass, replace
from graphlib import CycleError

import pytest

from coachwork.build import Section
from coachwork.build.sections.corner import End
from coachwork.build.sections.outline import Shell
from coachwork.plan import discover, wire
from coachwork.studies.study import Study


@dataclass
class One:
    pass


@dataclass
class Other:
    pass


def study(name: str, compute, order: int = 10) -> Study:
    return Study(name=name, question=f"{name}?", compute=compute, findings=lambda _: (), order=order)


def test_the_studies_of_the_package_come_in_the_builder_s_order():
    found = discover()

    assert [s.name for s in found][:3] == ["likeness", "stance", "linkage"]
    assert [s.order for s in found] == sorted(s.order for s in found)
    assert len({s.name for s in found}) == len(found)


def test_every_study_of_the_package_can_be_wired():
    assert {w.study.name for w in wire(discover())} == {s.name for s in discover()}


def test_parameters_are_matched_by_type_not_by_name():
    def one(body: Shell) -> One: ...
    def other(something: One, body: Shell) -> Other: ...

    first, second = wire([study("late", locals_of(other)), study("early", locals_of(one))])

    assert (first.study.name, first.sections, first.upstream) == ("early", {"body": Shell}, {})
    assert (second.study.name, second.sections, second.upstream) == ("late", {"body": Shell}, {"something": "early"})


def locals_of(function):
    """The function with its annotations resolved, as a module's functions have them."""
    names = {"Shell": Shell, "One": One, "Other": Other, "End": End, "Section": Section}
    function.__annotations__ = {key: names[text] for key, text in function.__annotations__.items()}
    return function


@pytest.mark.parametrize("annotation", [End, Section, int, Other])
def test_a_parameter_that_nobody_can_supply_is_named(annotation):
    """A table inside a table is not one of the file's sections, and no study here makes an Other."""

    def compute(what) -> One: ...

    compute.__annotations__ = {"what": annotation, "return": One}
    with pytest.raises(TypeError, match=r"study odd: parameter what asks for .*neither a section nor a result"):
        wire([study("odd", compute)])


def test_a_parameter_without_a_type_is_named():
    def compute(what): ...

    compute.__annotations__ = {"return": One}
    with pytest.raises(TypeError, match="parameter what asks for None"):
        wire([study("odd", compute)])


def test_a_study_that_does_not_say_what_it_returns_is_named():
    def compute(): ...

    with pytest.raises(TypeError, match="study odd: its compute function does not say which result it returns"):
        wire([study("odd", compute)])


def test_studies_that_ask_for_each_other_are_refused():
    def one(other: Other) -> One: ...
    def other(one: One) -> Other: ...

    with pytest.raises(CycleError):
        wire([study("one", locals_of(one)), study("other", locals_of(other))])


def test_the_order_of_running_does_not_hang_on_the_order_of_finding(tiny):
    forward = [w.study.name for w in wire(tiny.studies)]
    backward = [w.study.name for w in wire(reversed([replace(s) for s in tiny.studies]))]
    assert forward == backward == ["sized", "stretched"]
