"""Finds the studies: every folder in `coachwork.studies`, whose `__init__` defines `STUDY`."""

from __future__ import annotations

import importlib
import inspect
import pkgutil
from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import lru_cache
from graphlib import TopologicalSorter
from typing import Any, get_type_hints

from coachwork import studies
from coachwork.build import Section
from coachwork.plan.supplies import SUPPLIES, Supply
from coachwork.studies.memory import Memory
from coachwork.studies.study import Study
from coachwork.studies.watch import Watch


@dataclass(frozen=True)
class Wiring:
    """A study with what its function asks for: parameter name -> section class, another study's name, or a supply.

    watched     : its parameters that take the watch of the run
    remembering : those that take its memory
    """

    study: Study
    sections: dict[str, type[Section]]
    upstream: dict[str, str]
    supplies: dict[str, Supply] = field(default_factory=dict)
    watched: tuple[str, ...] = ()
    remembering: tuple[str, ...] = ()
    own: str | None = None  # the parameter that takes the study's own answer to the plain numbers, with samples

    @property
    def all_sections(self) -> tuple[type[Section], ...]:
        """Those the study asks for and those its supplies are made from."""
        behind = [kind for supply in self.supplies.values() for kind in supply.sections]
        return tuple(dict.fromkeys([*self.sections.values(), *behind]))


@lru_cache(maxsize=1)
def discover() -> tuple[Study, ...]:
    """All studies in the package, in the builder's order.

    Raises TypeError for a folder without a study, or one whose study has another name: nothing vanishes silently.
    """
    found = []
    for module in pkgutil.iter_modules(studies.__path__):
        if module.ispkg:
            package = importlib.import_module(f"{studies.__name__}.{module.name}")
            study = getattr(package, "STUDY", None)
            if not isinstance(study, Study):
                raise TypeError(f"the folder studies/{module.name} defines no STUDY in its __init__")
            if study.name != module.name:
                raise TypeError(f"the study in studies/{module.name} is named {study.name}; it takes its folder's name")
            found.append(study)
    return tuple(sorted(found, key=lambda study: (study.order, study.name)))


def wire(found: Iterable[Study]) -> tuple[Wiring, ...]:
    """Each study's parameters matched by type, in an order in which every study comes after those it asks for.

    A parameter typed as the study's own result, or None, takes its answer to the plain numbers when it runs with
    samples: a study that searches then looks again at what it found instead of searching anew.

    Raises TypeError for a parameter that is none of these: a section, a known study's result, a supply, a watch, a
    memory; and graphlib's CycleError for studies that ask for each other.
    """
    found = tuple(found)
    hints = {study.name: _hints(study) for study in found}
    for name, hint in hints.items():
        if not isinstance(hint.get("return"), type):
            raise TypeError(f"study {name}: its compute function does not say which result it returns")
    makers: dict[Any, str] = {hint["return"]: name for name, hint in hints.items()}
    wirings: dict[str, Wiring] = {}
    for study in found:
        sections: dict[str, type[Section]] = {}
        upstream: dict[str, str] = {}
        supplies: dict[str, Supply] = {}
        own: str | None = None
        watched: list[str] = []
        remembering: list[str] = []
        for parameter in inspect.signature(study.compute).parameters:
            kind = hints[study.name].get(parameter)
            if isinstance(kind, type) and issubclass(kind, Section) and kind.TABLE:
                sections[parameter] = kind
            elif kind in makers:
                upstream[parameter] = makers[kind]
            elif kind in SUPPLIES:
                supplies[parameter] = SUPPLIES[kind]
            elif kind is Watch:
                watched.append(parameter)
            elif kind is Memory:
                remembering.append(parameter)
            elif kind == hints[study.name]["return"] | None:
                own = parameter
            else:
                raise TypeError(
                    f"study {study.name}: parameter {parameter} asks for {kind}, neither a section nor a result"
                )
        wirings[study.name] = Wiring(study, sections, upstream, supplies, tuple(watched), tuple(remembering), own)
    order = TopologicalSorter({name: set(w.upstream.values()) for name, w in wirings.items()}).static_order()
    return tuple(wirings[name] for name in order)


def _hints(study: Study) -> dict[str, Any]:
    """The types of a study's parameters and of its result."""
    try:
        return get_type_hints(study.compute)
    except NameError as fault:
        raise TypeError(
            f"study {study.name}: the plan reads the type {fault.name}; import it where the module runs, "
            "not under TYPE_CHECKING alone"
        ) from fault
