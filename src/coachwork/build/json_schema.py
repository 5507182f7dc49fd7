"""The JSON Schema of the build file, for editors that check while one types (json-schema.org, draft 2020-12)."""

from __future__ import annotations

from typing import Any

from coachwork.build.fields import NAME, Field, Table, file_tables

DRAFT = "https://json-schema.org/draft/2020-12/schema"


def build_schema() -> dict[str, Any]:
    """Every table and key; looser than the reader, which also knows units and signs."""
    return {
        "$schema": DRAFT,
        "title": "Coachwork build",
        "type": "object",
        "properties": {outer.header: _table(outer) for outer in file_tables()},
        "additionalProperties": False,
    }


def _table(table: Table) -> dict[str, Any]:
    properties = {field.name: _field(field) for field in table.fields if field.name != NAME}
    named: dict[str, Any] | bool = next((_field(field) for field in table.fields if field.name == NAME), False)
    for inner in table.inner:
        *_, last = inner.header.split(".")
        if last != NAME:
            properties[last] = {"type": "array", "items": _table(inner)} if inner.many else _table(inner)
        elif inner.header == f"{table.header}.{NAME}":
            named = _table(inner)
        else:
            properties[inner.header.split(".")[-2]] = {"type": "object", "additionalProperties": _table(inner)}
    schema = {"type": "object", "description": table.about, "properties": properties, "additionalProperties": named}
    required = [field.name for field in table.fields if field.required]
    return {**schema, "required": required} if required else schema


def _field(field: Field) -> dict[str, Any]:
    match field.holds:
        case "number":
            return {**_number(field), "description": _how(field)}
        case "point":
            axis = _number(field)
            in_list = {"type": "array", "items": axis, "minItems": 3, "maxItems": 3}
            in_table = {"type": "object", "properties": dict.fromkeys("xyz", axis), "additionalProperties": False}
            return {"anyOf": [in_list, in_table], "description": _how(field)}
        case "choice":
            schema: dict[str, Any] = {"enum": list(field.choices)}
        case "text":
            schema = {"type": "string"}
        case "whole":
            schema = {"type": "integer"}
        case "yes-or-no":
            schema = {"type": "boolean"}
    schema |= {"description": _sentence(field.note)} if field.note else {}
    return schema if field.default is None else {**schema, "default": field.default}


def _number(field: Field) -> dict[str, Any]:
    """A number in the usual unit, or a text with its own."""
    number: dict[str, Any] = {"type": "integer" if field.entry is not None and field.entry.KIND.whole else "number"}
    if field.ask is not None and field.ask.sign == "positive":
        number["exclusiveMinimum"] = 0
    elif field.ask is not None and field.ask.sign == "not negative":
        number["minimum"] = 0
    return {"anyOf": [number, {"type": "string"}]}


def _how(field: Field) -> str:
    assert field.entry is not None
    assert field.ask is not None
    unit = field.entry.KIND.bare_unit
    return _sentence(field.ask.how) + (f" A bare number is in {unit}." if unit else "")


def _sentence(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}."
