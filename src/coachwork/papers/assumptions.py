"""The index of assumptions: everything still guessed, by how much it matters, then readings that leave a doubt."""

from __future__ import annotations

from collections.abc import Iterable

from coachwork.build import Entry
from coachwork.confidence import NextStep
from coachwork.confidence.words import sentence
from coachwork.papers.sheet import Block, Gap, Heading, Sheet, Table, Words
from coachwork.papers.subject import Subject
from coachwork.quantity import Source
from coachwork.studies.wording import count


def assumptions(of: Subject) -> Sheet:
    """Guesses first, each with what hangs on it; then readings worth taking better."""
    guesses = [step for step in of.report.next_steps if step.reason == "guessed"]
    guesses.sort(key=lambda step: (-step.weight, -len(of.report.read_for(step.key)), step.key))
    uncertain = [step for step in of.report.next_steps if step.reason == "uncertain"]
    blocks: list[Block] = [
        Words(
            "How much it matters: the doubt in all answers that hangs on the number, summed up; 1 is an answer as open "
            "as a tossed coin. 0 moves no answer that is in doubt: it can wait."
        ),
        Heading("Still guessed"),
    ]
    if guesses:
        blocks.append(_table(of, guesses))
    else:
        blocks.append(Gap("Nothing is guessed.", "Every number that an answer stands on was measured or chosen."))
    blocks.append(Heading("Measured, but leaving an answer in doubt"))
    if uncertain:
        blocks.append(_table(of, uncertain))
    else:
        blocks.append(Gap("None.", "No answer that is in doubt hangs on a reading that could be better."))
    lacking = {key for verdict in of.report.verdicts for key in verdict.missing}
    if lacking:
        blocks.append(
            Words(f"{count(len(lacking), 'number')} not assumed but lacking altogether: see the measuring sheet.")
        )
    return Sheet(
        name="assumptions", title=f"Assumptions: {of.name}",
        about="What was taken for granted, and how much hangs on it.", blocks=tuple(blocks),
    )  # fmt: skip


def _table(of: Subject, steps: Iterable[NextStep]) -> Table:
    entries = {entry.key: entry for entry in of.build.entries()}
    questions = {verdict.id: verdict.question for verdict in of.report.verdicts}
    rows = tuple(_row(of, step, entries[step.key], questions) for step in steps)
    heads = ("number", "taken as", "matters", "what hangs on it", "how to take it")
    return Table(heads=heads, rows=rows, widths=(2.4, 1.9, 0.9, 2.8, 3.4))


def _row(of: Subject, step: NextStep, entry: Entry, questions: dict[str, str]) -> tuple[str, ...]:
    best = entry.best
    assert best is not None  # else it would be lacking, not guessed
    own = "" if best.source is not Source.GUESS else ", your guess" if entry.measured is not None else ", our stand-in"
    hanging = [questions[id] for id in step.verdicts if id in questions]
    if hanging:
        told = hanging[0] + (f" and {len(hanging) - 1} more" if len(hanging) > 1 else "")
    else:
        told = "nothing in doubt yet. Read for: " + ", ".join(of.report.read_for(step.key)).replace("?,", ",")
    return (step.key, of.units.entry(best) + own, f"{step.weight:.2f}", told, sentence(step.how))
