"""What the model refuses, in the builder's words: where it stands, what was read, what would be right."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterator
from functools import cache
from typing import Annotated, Any, get_args

from pydantic import TypeAdapter, ValidationError

from coachwork.build.entries import Ask, Entry, Habits, Length, Point
from coachwork.build.lines import joined, line_of
from coachwork.build.places import Steps
from coachwork.build.section import Section, kebab
from coachwork.build.tables import tables
from coachwork.errors import Fault
from coachwork.quantity import Unreadable

LEFT_OUT = "it is left out"
# Words of the trade that name none of our keys, and why. Each of them has been two different things.
_AMBIGUOUS = {
    "offset": 'sellers\' "offset" has either sign; give backspace, or inset (positive: mounting face outboard)',
    "et": 'sellers\' "offset" has either sign; give backspace, or inset (positive: mounting face outboard)',
    "stub-axle": "its pin is kingpin-lower and kingpin-upper, its outer face hub-face",
}


def faults_of(kind: type[Section], problem: Any, habits: Habits, text: str) -> list[Fault]:
    """One of pydantic's problems with a section; a point can have several."""
    loc = tuple(problem["loc"])
    path: Steps = (kind.TABLE, *(loc[1:] if kind.NAMES else loc))
    read = problem["input"]
    match problem["type"]:
        case "unreadable":
            ask = _ask(kind, loc) if _at(kind, loc) is Point else None
            if ask is not None:
                return list(_coordinates(path, read, ask, habits, text))
            return [_unreadable(path, problem["ctx"]["fault"], text)]
        case "extra_forbidden":
            return [unknown(path, read, _names(_at(kind, loc[:-1])), text)]
        case "literal_error":
            return [_choice(path, read, re.findall(r"'([^']+)'", problem["ctx"]["expected"]), text)]
        case "point":
            return [_fault(path, read, _point_wanted(path, read), text)]
        case "missing":
            return [Fault(key=joined(path), line=line_of(text, path), read=LEFT_OUT, wanted=_required(kind, loc))]
        case "model_type" | "dict_type":
            wanted = f"a table is wanted here: a line [{joined(path)}], then its keys below"
        case "string_type":
            wanted = (
                f'text in quotes is wanted: {path[-1]} = "{told(read)}"' if _plain(read) else "text in quotes is wanted"
            )
        case kind_of if kind_of.startswith("int"):
            wanted = "a whole number is wanted"
        case kind_of if kind_of.startswith("bool"):
            wanted = "true or false is wanted, without quotes"
        case _:
            wanted = problem["msg"]
    return [_fault(path, read, wanted, text)]


def _fault(path: Steps, read: Any, wanted: str, text: str) -> Fault:
    return Fault(key=joined(path), line=line_of(text, path), read=f"read {told(read)}", wanted=wanted)


def _unreadable(path: Steps, fault: Unreadable, text: str) -> Fault:
    """The sentence of the grammar, cut where it turns from what is wrong to what is wanted."""
    what, _, wish = fault.why.partition("; ")
    if not wish or fault.read not in what:
        what, wish = f"read {fault.read}", fault.why
    return Fault(key=joined(path), line=line_of(text, path), read=what, wanted=wish)


def _coordinates(path: Steps, read: list[Any] | dict[str, Any], ask: Ask, habits: Habits, text: str) -> Iterator[Fault]:
    """Every coordinate of a point that cannot be read."""
    number = TypeAdapter(Annotated[Length, ask])
    for axis, value in zip("xyz", read, strict=True) if isinstance(read, list) else read.items():
        try:
            number.validate_python(value, context=habits)
        except ValidationError as error:
            yield _unreadable((*path, axis), error.errors(include_url=False)[0]["ctx"]["fault"], text)


def _point_wanted(path: Steps, read: Any) -> str:
    if isinstance(read, list) and len(read) == 6 and all(isinstance(item, int) for item in read):
        pairs = ", ".join(f"{whole}.{decimals}" for whole, decimals in zip(read[::2], read[1::2], strict=True))
        return f"write decimals with a point: {path[-1]} = [{pairs}]"
    return f'a point is three lengths: {path[-1]} = [x, y, z], with "?" for one that is not measured'


def _required(kind: type[Section], loc: Steps) -> str:
    choices = _choices(kind, loc)
    listed = " or ".join(f'{loc[-1]} = "{choice}"' for choice in choices)
    return f"write {listed}" if choices else f"{loc[-1]} has to be given here"


def unknown(path: Steps, read: Any, known: list[str], text: str) -> Fault:
    """A key or table that is none, and the one that may be meant."""
    name = re.sub(r"[\s_]+", "-", str(path[-1]).strip()).lower()
    near = difflib.get_close_matches(name, known, n=1, cutoff=0.6)
    top = len(path) == 1
    elsewhere = [] if name in known else _tables_with(name)
    if name in _AMBIGUOUS:
        wanted = _AMBIGUOUS[name]
    elif near and (not elsewhere or name in known):
        wanted = f"did you mean [{near[0]}]?" if top else f"did you mean {near[0]}?"
    elif elsewhere and top and not isinstance(read, dict):
        wanted = f"put it below a line {_either(elsewhere)}"
    elif elsewhere:
        wanted = f"it belongs in {_either(elsewhere)}"
    else:
        wanted = f"the tables are {', '.join(known)}" if top else f"this table knows {', '.join(known)}"
    what = "table" if top and isinstance(read, dict) else "key"
    where = " outside the tables" if top and what == "key" else ""
    return Fault(
        key=joined(path), line=line_of(text, path), read=f"there is no {what} of this name{where}", wanted=wanted
    )


def _either(names: list[str]) -> str:
    shown = [f"[{name}]" for name in names[:4]] + (["others"] if len(names) > 4 else [])
    return shown[0] if len(shown) == 1 else f"{', '.join(shown[:-1])} or {shown[-1]}"


def _choice(path: Steps, read: Any, choices: list[str], text: str) -> Fault:
    near = difflib.get_close_matches(str(read).lower(), choices, n=1, cutoff=0.5)
    hint = f'did you mean "{near[0]}"? ' if near else ""
    listed = ", ".join(f'"{choice}"' for choice in choices)
    return _fault(path, read, f"{hint}one of {listed} is wanted", text)


def _at(kind: type[Section], loc: Steps) -> Any:
    """What stands at a place in a section's model: a section class, or the annotation of a field."""
    here: Any = kind
    for step in loc:
        if isinstance(here, type) and issubclass(here, Section):
            field = next((f for name, f in here.model_fields.items() if kebab(name) == step), None)
            here = None if field is None else field.annotation
        else:  # a name of the builder's own, or a place in a list
            here = next((a for a in get_args(here) if isinstance(a, type) and issubclass(a, Section)), None)
    return here


def _ask(kind: type[Section], loc: Steps) -> Ask | None:
    parent = _at(kind, loc[:-1])
    if not (isinstance(parent, type) and issubclass(parent, Section)):
        return None
    field = next((f for name, f in parent.model_fields.items() if kebab(name) == loc[-1]), None)
    return next((m for m in field.metadata if isinstance(m, Ask)), None) if field is not None else None


def _choices(kind: type[Section], loc: Steps) -> tuple[str, ...]:
    return tuple(a for a in get_args(_at(kind, loc)) if isinstance(a, str))


def _names(here: Any) -> list[str]:
    return [kebab(name) for name in here.model_fields] if isinstance(here, type) and issubclass(here, Section) else []


def _tables_with(name: str) -> list[str]:
    return [table for table, names in _all_names().items() if name in names]


@cache
def _all_names() -> dict[str, list[str]]:
    """Table header -> its keys, for every table with a name of its own."""
    found: dict[str, list[str]] = {}

    def collect(table: str, kind: type[Section]) -> None:
        found[table] = _names(kind)
        for name, field in kind.model_fields.items():
            if isinstance(field.annotation, type) and issubclass(field.annotation, Section):
                collect(f"{table}.{kebab(name)}", field.annotation)

    for table, kind in tables().items():
        if not kind.NAMES:
            collect(table, kind)
    return found


def _plain(read: Any) -> bool:
    return isinstance(read, (int, float, Entry, Point)) and not isinstance(read, bool)


def told(raw: Any) -> str:
    """What was read, the way it stands in the file."""
    if isinstance(raw, bool):
        return str(raw).lower()
    if isinstance(raw, str):
        shown = "".join(c if c.isprintable() else "?" for c in raw[:60])
        return f'"{shown}"' + (" (and so on)" if len(raw) > 60 else "")
    if isinstance(raw, dict):
        return "a table"
    if isinstance(raw, list):
        return f"a list of {len(raw)}"
    if isinstance(raw, int) and abs(raw) > 10**20:
        return "a number of more than 20 digits"
    return str(raw)
