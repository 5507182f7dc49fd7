"""Writes docs/reference/build-file.md from the models of the build file: python docs/generate_reference.py

A test holds the committed page equal to what this writes, so the page cannot drift.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from coachwork.build import FILE_NAME
from coachwork.build.fields import NAME, Field, Table, file_tables
from coachwork.quantity import Measured, Source, brief

PAGE = Path(__file__).parent / "reference" / "build-file.md"

_FOREWORD = f"""\
# The build file

<!-- Written by docs/generate_reference.py from the models; edit those. -->

One vehicle is one folder with one `{FILE_NAME}` in it, in TOML 1.0. Every table and every line is optional.
`coachwork new DIR --blank` writes the file with all of them as comments, `coachwork schema` prints a JSON Schema for
editors.

## How to write a number

| you write | it means |
|---|---|
| `length = 410` | the usual unit of its kind (mm, g, deg), measured with what that kind is usually measured with |
| `length = "16 1/4 in"` | another unit, in quotes; fractions, feet and inches are read |
| `length = "410 ± 0.3 mm"` | how far it may be off, each way (`+/-` does as well); anywhere within is equally likely |
| `length = "409.7 .. 410.3 mm"` | the same as a range |
| `length = "410 mm by ruler"` | what it was measured with: {", ".join(source.word for source in Source)} |
| `length = "~ 410 mm"` | a guess, 20 % either way |
| `length = "?"` | not measured yet; the same as leaving the line out |
| `scale = "1:10"` | a ratio |
| `hub-face = [0, 63.5, "20 ± 0.2 mm"]` | a point: x forward, y to the left, z up (ISO 8855); each may be `"?"` |

Decimals take a point, never a comma. `[measuring]` says how exact your own instruments are.

## The tables

In the tables below, *until then* is what studies go on with while you have not measured the number: wide on purpose.
*Usual* is the span in which such a number lies on most vehicles; outside it you are asked to look again, nothing more.
{NAME} stands for a name of your own.
"""


def page() -> str:
    """The whole page."""
    lines = [_FOREWORD]
    seen: dict[tuple[tuple[str, str], ...], str] = {}
    for outer in file_tables():
        for table in outer.walk():
            keys = tuple((field.name, field.how) for field in table.fields)
            lines += _table(table, seen.get(keys))
            if keys:
                seen.setdefault(keys, table.header)
    return "\n".join(lines).rstrip() + "\n"


def _table(table: Table, same_as: str | None) -> Iterator[str]:
    yield f"{'###' if '.' not in table.header else '####'} `[{table.header}]`\n"
    yield f"{table.about}\n"
    if same_as is not None:
        yield f"The keys are those of `[{same_as}]`.\n"
    elif table.fields:
        yield "| key | what it is | in | until then | usual |"
        yield "|---|---|---|---|---|"
        yield from (_row(field) for field in table.fields)
        yield ""


def _row(field: Field) -> str:
    how = f"{field.how[:1].upper()}{field.how[1:]}"
    how += f": {', '.join(f'`{choice}`' for choice in field.choices)}" if field.note and field.choices else ""
    code = f" ({field.ask.code})" if field.ask is not None and field.ask.code else ""
    required = " **Needed.**" if field.required else ""
    unit = field.entry.KIND.bare_unit or field.entry.KIND.name if field.entry is not None else field.holds
    unit = f"point, {unit}" if field.holds == "point" else unit
    cells = (f"`{field.name}`", f"{how}{code}{required}", unit, _until_then(field), _usual(field))
    return f"| {' | '.join(cell.replace('|', '/') for cell in cells)} |"


def _until_then(field: Field) -> str:
    if field.ask is not None:
        return field.ask.guess or ""
    return (
        ""
        if field.default in (None, "")
        else f"`{str(field.default).lower() if field.holds == 'yes-or-no' else field.default}`"
    )


def _usual(field: Field) -> str:
    if field.ask is None or field.ask.usual is None or field.entry is None:
        return ""
    kind = field.entry.KIND
    if field.key == "build.scale":
        return " to ".join(f"1:{1 / bound:g}" for bound in field.ask.usual)
    scale = float(kind.bare_scale)
    low, high = (float(f"{bound / scale:.3g}") * scale for bound in field.ask.usual)
    return f"{brief(Measured(low, 0.0, kind.usual, kind))} to {brief(Measured(high, 0.0, kind.usual, kind))}"


if __name__ == "__main__":
    PAGE.parent.mkdir(exist_ok=True)
    PAGE.write_text(page(), encoding="utf-8")
    print(f"{PAGE} written")
