"""Studies are found by being there and wired by the types they ask for."""

from __future__ import annotations

import importlib
import sys
from dataclasses import dataclass, replace
from graphlib import CycleError

import pytest

from coachwork import studies
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

    names = [s.name for s in found]
    assert names.index("likeness") < names.index("stance") < names.index("linkage")
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


@pytest.fixture
def extra_study(tmp_path, monkeypatch):
    """Write the `__init__` of one more folder that the package of studies looks into; what discovery makes of it."""
    monkeypatch.setattr(studies, "__path__", [*studies.__path__, str(tmp_path)])

    def found(name: str, code: str):
        (tmp_path / name).mkdir()
        (tmp_path / name / "__init__.py").write_text(code, encoding="utf-8")
        importlib.invalidate_caches()
        discover.cache_clear()
        return discover()

    yield found
    for name in [name for name in sys.modules if name.startswith("coachwork.studies.trial_")]:
        del sys.modules[name]
    discover.cache_clear()


def test_a_folder_without_a_study_is_named(extra_study):
    with pytest.raises(TypeError, match="the folder studies/trial_empty defines no STUDY in its __init__"):
        extra_study("trial_empty", '"""Nothing."""')


def test_a_study_of_another_name_than_its_folder_is_named(extra_study):
    code = (
        "from coachwork.studies.study import Study\n"
        "STUDY = Study(name='other', question='?', compute=len, findings=list, order=1)"
    )
    with pytest.raises(TypeError, match="the study in studies/trial_named is named other; it takes its folder's name"):
        extra_study("trial_named", code)


def test_a_type_that_is_not_there_when_the_plan_looks_is_named():
    def compute(body) -> One: ...

    compute.__annotations__ = {"body": "Terrain", "return": One}
    with pytest.raises(TypeError, match="study odd: the plan reads the type Terrain; import it where the module runs"):
        wire([study("odd", compute)])
