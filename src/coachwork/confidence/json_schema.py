"""The JSON Schema of a report, for programs that read one (json-schema.org, draft 2020-12)."""

from __future__ import annotations

from typing import Any, get_args

from coachwork.confidence.json_form import FORMAT
from coachwork.confidence.next_step import Reason
from coachwork.studies.finding import STATES, Sense

DRAFT = "https://json-schema.org/draft/2020-12/schema"
_NUMBER_OR_NULL = {"type": ["number", "null"]}
_TEXT_OR_NULL = {"type": ["string", "null"]}


def report_schema() -> dict[str, Any]:
    """What `coachwork check --json` prints."""
    return {
        "$schema": DRAFT,
        "title": "Coachwork report",
        "type": "object",
        "required": ["format", "build", "verdicts", "next", "doubts", "results"],
        "properties": {
            "format": {"const": FORMAT, "description": "changes when an old reader would misread the new form"},
            "build": _object({"name": {"type": "string"}, "file": {"type": "string"}}),
            "verdicts": {
                "type": "array",
                "items": {"$ref": "#/$defs/verdict"},
                "description": "in the builder's order of questions, worst first within each",
            },
            "next": {"type": "array", "items": {"$ref": "#/$defs/next"}, "description": "most useful first"},
            "doubts": {"type": "array", "items": {"$ref": "#/$defs/doubt"}},
            "results": {
                "type": "object",
                "additionalProperties": {"type": "object"},
                "description": "each study's result by its name; field names end in their unit",
            },
        },
        "$defs": {"verdict": _verdict(), "next": _next(), "doubt": _doubt()},
    }


def _object(properties: dict[str, Any]) -> dict[str, Any]:
    return {"type": "object", "required": list(properties), "properties": properties, "additionalProperties": False}


def _verdict() -> dict[str, Any]:
    place = _object(
        {
            "part": {"type": "string"},
            "point_mm": {"type": ["array", "null"], "items": {"type": "number"}, "minItems": 3, "maxItems": 3},
        }
    )
    lead = _object(
        {
            "key": {"type": "string"},
            "share": {"type": "number", "minimum": 0, "maximum": 1, "description": "of the variance of the margin"},
            "gain": {"type": ["number", "null"], "description": "change of the value per internal unit of the number"},
        }
    )
    verdict = _object(
        {
            "id": {"type": "string", "description": "stable: never reworded, never reused"},
            "study": {"type": "string"},
            "question": {"type": "string"},
            "state": {"enum": list(STATES)},
            "value": _NUMBER_OR_NULL,
            "unit": {"type": "string", "description": "of value, limit and margin; empty for a pure number"},
            "limit": _NUMBER_OR_NULL,
            "sense": {"enum": list(get_args(Sense)), "description": "within: the value's size is at most the limit"},
            "margin": {"type": ["number", "null"], "description": "room left; negative when the limit is broken"},
            "chance": {"type": ["number", "null"], "minimum": 0, "maximum": 1, "description": "that it holds"},
            "why": {"type": "string"},
            "do": _TEXT_OR_NULL,
            "where": {"anyOf": [place, {"type": "null"}], "description": "chassis frame, x forward, y left, z up"},
            "source": {**_TEXT_OR_NULL, "description": "of the limit"},
            "missing": {"type": "array", "items": {"type": "string"}, "description": "keys that are not measured yet"},
            "leads": {"type": "array", "items": lead, "description": "numbers that the chance hangs on, most first"},
        }
    )
    nothing = {name: {"type": "null"} for name in ("margin", "chance")}
    return {
        **verdict,
        "if": {"properties": {"state": {"const": "unmeasured"}}},
        "then": {"properties": nothing},
        "else": {"properties": {name: {"type": "number"} for name in ("value", "limit", "margin")}},
    }


def _next() -> dict[str, Any]:
    return _object(
        {
            "key": {"type": "string"},
            "reason": {"enum": list(get_args(Reason))},
            "how": {"type": "string", "description": "what to put the callipers on"},
            "verdicts": {"type": "array", "items": {"type": "string"}, "description": "ids of those it serves"},
            "weight": {"type": "number", "description": "how much it serves them; comparable within one reason"},
            "together": {
                "type": "array",
                "items": {"type": "string"},
                "description": "keys to take before there is an answer, this one among them",
            },
        }
    )


def _doubt() -> dict[str, Any]:
    return _object(
        {
            "key": {"type": "string"},
            "line": {"type": ["integer", "null"]},
            "what": {"type": "string"},
            "suggestion": {"type": "string"},
        }
    )
