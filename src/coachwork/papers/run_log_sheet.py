"""The run log on paper: what to write down beside the track, under the keys that `coachwork log` takes at home."""

from __future__ import annotations

from coachwork.build.run_log import choices_of, how_to, run_keys
from coachwork.confidence.words import sentence
from coachwork.papers import cautions
from coachwork.papers.sheet import Block, Caution, Cell, Sheet, Table, Words, WriteIn
from coachwork.papers.subject import Subject

RUNS = 3  # columns to write in
_UNITS = {"minutes": "min", "volts-before": "V", "volts-after": "V", "controller": "degC", "motor-can": "degC",
          "regulator": "degC", "pack": "degC"}  # fmt: skip
_FAHRENHEIT = {"degC": "degF"}


def run_log_sheet(of: Subject) -> Sheet:
    """Every key a run can have, a row each; a column a run."""
    blocks: tuple[Block, ...] = (
        Words(
            "One column a run. At home, coachwork log takes these readings by the keys at the left, and coachwork why "
            "says what most likely stopped it. Anything not looked at stays blank."
            + (" Type degF behind a temperature: a bare number means degC." if of.units.lengths == "in" else "")
        ),
        Caution(f"{cautions.FAST} A pack that is hot, swollen or smells: leave it unplugged, outside, and keep away."),
        Table(
            heads=("key", "what", *(f"run {number}" for number in range(1, RUNS + 1))),
            rows=tuple(_row(key, inches=of.units.lengths == "in") for key in run_keys()),
            widths=(1.6, 5.0, *([1.5] * RUNS)),
        ),
    )
    return Sheet(
        name="run-log", title=f"Run log: {of.name}", about="What to write down when it stops, while it is still warm.",
        blocks=blocks,
    )  # fmt: skip


def _row(key: str, *, inches: bool) -> tuple[Cell, ...]:
    unit = _UNITS.get(key, "")
    unit = _FAHRENHEIT.get(unit, unit) if inches else unit
    choices = choices_of(key)
    what = sentence(how_to(key)) + (f" ({', '.join(choices)})" if choices else "")
    return (key, what, *(WriteIn(unit=unit) for _ in range(RUNS)))
