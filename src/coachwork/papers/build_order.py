"""The build order: the steps of this build, each after all that it needs."""

from __future__ import annotations

from coachwork.confidence.words import numbers_of
from coachwork.papers import cautions
from coachwork.papers.build_steps import in_order, steps_of
from coachwork.papers.sheet import Block, Caution, Cell, Gap, Sheet, Table, Tick, Words
from coachwork.papers.subject import Subject
from coachwork.studies.wording import count


def build_order(of: Subject) -> Sheet:
    """One table, to be ticked off."""
    steps = in_order(steps_of(of))
    blocks: list[Block] = []
    fails = [verdict for verdict in of.report.verdicts if verdict.state == "fails"]
    if fails:
        worst = "; ".join(f"{one.question} ({numbers_of(one)})" for one in fails[:4])
        more = f" and {len(fails) - 4} more, in the report" if len(fails) > 4 else ""
        blocks.append(Words(f"Not yet: {count(len(fails), 'answer')} of the report says no. {worst}{more}.", "strong"))
    cautions_told = " ".join((cautions.PACK, cautions.SPINNING, cautions.BLADES, cautions.LOCK, cautions.PAINT))
    blocks.append(Caution(cautions_told))
    if steps:
        number = {step.key: str(place) for place, step in enumerate(steps, start=1)}
        rows: list[tuple[Cell, ...]] = [
            (
                number[step.key],
                step.what,
                _after([number[key] for key in step.after if key in number], number[step.key]),
                step.fastener,
                Tick(),
            )
            for step in steps
        ]
        blocks.append(
            Table(
                heads=("", "step", "after", "held by (common practice)", "done"),
                rows=tuple(rows),
                widths=(0, 5.2, 1.3, 3.8, 0),
                note="Fasteners, thread-lock and torques: common practice, no source; what a part's maker says comes "
                "first. Steps that do not wait for one another may change places.",
            )
        )
    else:
        blocks.append(
            Gap("No steps yet.", "They follow from what the build file holds: changes, decks, boxes, leads, a shell.")
        )
    return Sheet(
        name="build-order",
        title=f"Build order: {of.name}",
        about="What has to be fitted before what.",
        blocks=tuple(blocks),
    )


def _after(before: list[str], own: str) -> str:
    """The steps it waits for; consecutive ones drawn together.

    >>> _after(["1", "2", "3", "7"], "9")
    '1-3, 7'
    """
    numbers = sorted({int(one) for one in before if int(one) < int(own)})
    runs: list[list[int]] = []
    for one in numbers:
        if runs and one == runs[-1][-1] + 1:
            runs[-1].append(one)
        else:
            runs.append([one])
    return ", ".join(f"{run[0]}-{run[-1]}" if len(run) > 1 else str(run[0]) for run in runs)
