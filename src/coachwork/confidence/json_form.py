"""A report as plain data: the one form in which programs read what terminal, page and paper show people.

Described for readers in docs/json.md and by `report_schema` in coachwork.confidence.json_schema. `FORMAT` changes when
a reader of the old form would misread the new one; a new field alone does not change it.
"""

from __future__ import annotations

import dataclasses
import enum
import math
from collections.abc import Mapping, Set
from pathlib import PurePath
from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

from coachwork.build import Build, Doubt, Entry, Point, Section
from coachwork.confidence.next_step import NextStep
from coachwork.confidence.report import Report
from coachwork.quantity import Measured
from coachwork.studies.finding import Verdict
from coachwork.studies.parts import Blocked, Missing

FORMAT = 1
Json: TypeAlias = bool | int | float | str | list["Json"] | dict[str, "Json"] | None


def json_form(report: Report) -> dict[str, Json]:
    """Everything in a report, ready for `json.dumps`; finite numbers and nulls only."""
    shown = {verdict.study for verdict in report.verdicts}
    return {
        "format": FORMAT,
        "build": _build(report.build),
        "verdicts": [verdict_form(verdict) for verdict in report.verdicts],
        "next": [step_form(step) for step in report.next_steps],
        "doubts": [doubt_form(doubt) for doubt in report.build.doubts],
        "results": {name: plain(answer.result) for name, answer in report.answers.items() if name in shown},
    }


def plain(value: Any) -> Json:
    """Any result as plain data.

    Dataclasses become objects with their fields' names, but for fields marked `metadata={"json": False}`; an array
    becomes nested lists, less its axis of samples where that holds one sample; NaN and infinity become null; a part
    that could not be computed says why.
    Raises TypeError for anything else, so that a result cannot lose a part unnoticed.
    """
    match value:
        case None | bool() | str():
            return value
        case enum.Enum():
            return plain(value.value)
        case Missing():
            return {"missing": list(value.keys)}
        case Blocked():
            return {"blocked": value.why}
        case Measured():
            return {
                "value": value.value,
                "half_width": value.half_width,
                "unit": value.kind.unit,
                "source": value.source.word,
            }
        case Entry():
            return plain(value.best)
        case Point():
            return [plain(entry) for entry in value.coordinates]
        case Section():
            return _section(value)
        case np.ndarray():
            return _array(value)
        case np.generic():
            return plain(value.item())
        case int():
            return value
        case float():
            return value if math.isfinite(value) else None
        case PurePath():
            return str(value)
        case Mapping():
            return {_name(key): plain(item) for key, item in value.items()}
        case list() | tuple():
            return [plain(item) for item in value]
        case Set():
            return [plain(item) for item in sorted(value)]
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        told = [field for field in dataclasses.fields(value) if field.metadata.get("json", True)]
        return {field.name: plain(getattr(value, field.name)) for field in told}
    raise TypeError(f"{type(value).__name__} has no plain form: {value!r:.100}")


def _section(section: Section) -> Json:
    """A table of the build, as a result holds it: what is known of it."""
    known = {name: plain(getattr(section, name)) for name in type(section).model_fields}
    return {name: value for name, value in known.items() if value not in (None, {}, [None, None, None])}


def _array(array: NDArray[Any]) -> Json:
    if array.dtype.kind not in "fbiuU":
        raise TypeError(f"an array of {array.dtype} has no plain form")
    if array.ndim and array.shape[0] == 1:
        array = array[0, ...]  # the axis of samples
    if array.dtype.kind == "f" and not np.isfinite(array).all():
        holed = array.astype(object)
        holed[~np.isfinite(array)] = None
        array = holed
    listed: Json = array.tolist()
    return listed


def _name(key: Any) -> str:
    if isinstance(key, enum.Enum):
        return _name(key.value)
    return " ".join(map(_name, key)) if isinstance(key, tuple) else str(key)


def _build(build: Build) -> Json:
    return {"name": build.name, "file": str(build.path)}


def verdict_form(verdict: Verdict) -> Json:
    place = verdict.where
    return {
        "id": verdict.id,
        "study": verdict.study,
        "question": verdict.question,
        "state": verdict.state,
        "value": verdict.value,
        "unit": verdict.unit,
        "limit": verdict.limit,
        "sense": verdict.sense,
        "margin": verdict.margin,
        "chance": verdict.chance,
        "why": verdict.why,
        "do": verdict.do,
        "where": None if place is None else {"part": place.part, "point_mm": plain(place.point_mm)},
        "source": verdict.source,
        "missing": list(verdict.missing),
        "leads": [{"key": lead.key, "share": plain(lead.share), "gain": plain(lead.gain)} for lead in verdict.leads],
    }


def step_form(step: NextStep) -> Json:
    return {
        "key": step.key,
        "reason": step.reason,
        "how": step.how,
        "verdicts": list(step.verdicts),
        "weight": step.weight,
        "together": list(step.together),
    }


def doubt_form(doubt: Doubt) -> Json:
    return {"key": doubt.key, "line": doubt.line, "what": doubt.what, "suggestion": doubt.suggestion}
