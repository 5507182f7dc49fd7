"""The report: a first page for a friend, then every question with its verdicts and curves, then what it stands on."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from coachwork.build.sections.about import About
from coachwork.confidence.words import chance, listed, points_joined, sentence, value_and_limit
from coachwork.papers import cautions
from coachwork.papers.charts import svg
from coachwork.papers.sheet import Block, Caution, Cell, Figure, Gap, Heading, NewPage, Sheet, Table, Words
from coachwork.papers.side_view import side_view
from coachwork.papers.subject import Subject
from coachwork.quantity import Source
from coachwork.studies.finding import STATES, State, Verdict
from coachwork.studies.wording import count

ANSWERS: dict[State, str] = {"fails": "No", "tight": "Barely", "unmeasured": "Not known yet", "holds": "Yes"}
SHORT = 170  # letters on the first page for each question
MOST_QUESTIONS = 6  # of one group that is not answered yet
CHART_MM = 122.0  # three a page, letters of 7.5 points


def report_paper(of: Subject) -> Sheet:
    """All that `coachwork check` says, and more."""
    blocks: list[Block] = [*_first_page(of), NewPage()]
    sources = _numbered_sources(of)
    for study in _in_order(of):
        blocks += _question(of, study, sources)
    blocks += [*_sources(sources), *_doubts(of), *_numbers(of), Heading("Cautions")]
    blocks += [Caution(f"{cautions.PACK} {cautions.SPINNING}"), Caution(cautions.FAST)]
    blocks += [Caution(f"{cautions.BLADES} {cautions.PAINT} {cautions.LOCK}")]
    return Sheet(
        name="report", title=f"Report: {of.name}", about="Whether it looks, fits, moves, pulls and obeys as it should.",
        blocks=tuple(blocks),
    )  # fmt: skip


def _in_order(of: Subject) -> list[str]:
    """The studies that say anything, in the builder's order."""
    return list(dict.fromkeys(verdict.study for verdict in of.report.verdicts))


def _first_page(of: Subject) -> Iterator[Block]:
    verdicts = of.report.verdicts
    tally = {state: sum(one.state == state for one in verdicts) for state in STATES}
    told = [f"{tally['holds']} hold", f"{tally['tight']} hold barely", f"{tally['fails']} do not",
            f"{tally['unmeasured']} are not known yet"]  # fmt: skip
    yield Words(f"{count(len(verdicts), 'question')} were asked of this build: {', '.join(told)}. {_what_it_is(of)}")
    view = side_view(of)
    if view is None:
        yield Gap("No drawing yet.", "It wants the shell's length, height, wheelbase and front overhang.")
    else:
        yield Figure(svg=view, alt=f"{of.name} from its left side, drawn from its numbers.",
                     caption="From its left, drawn from its numbers. Dashed: what is stowed inside.",
                     width_mm=122.0)  # fmt: skip
    rows: list[tuple[Cell, ...]] = []
    for study in _in_order(of):
        own = of.report.of(study)
        worst = own[0]
        rows.append((of.report.answers[study].study.question, ANSWERS[worst.state], _in_short(of, own)))
    yield Table(heads=("question", "answer", "why, and what next"), rows=tuple(rows), widths=(2.6, 1.2, 6.2))


def _what_it_is(of: Subject) -> str:
    return of.build[About].note.strip()


def _in_short(of: Subject, own: Sequence[Verdict]) -> str:
    """In a line or two; all of it stands in the question's own section."""
    fails, worst = [one for one in own if one.state == "fails"], own[0]
    if worst.state in ("fails", "tight"):
        lead = f"{len(fails)} of {len(own)} fail. " if len(fails) > 1 else ""
        return of.units.sentence(lead + _first_words(sentence(worst.do or worst.why)))
    if worst.state == "holds":
        return f"All {len(own)} hold."
    waits = [one for one in own if one.state == "unmeasured"]
    missing = {key for one in waits for key in one.missing}
    if not missing:
        return of.units.sentence(_first_words(sentence(worst.why)))
    waiting = count(len(waits), "question waits", "questions wait")
    return f"{waiting} for {count(len(missing), 'number')}: see the measuring sheet."


def _first_words(text: str) -> str:
    """The text, or as much of it as two lines take.

    >>> _first_words("short"), _first_words("word " * 60)[-5:]
    ('short', 'ord …')
    """
    return text if len(text) <= SHORT else f"{text[:SHORT].rpartition(' ')[0]} …"


def _question(of: Subject, study: str, sources: dict[str, int]) -> Iterator[Block]:
    answer, own = of.report.answers[study], of.report.of(study)
    yield Heading(answer.study.question)
    bad = [one for one in own if one.state in ("fails", "tight")]
    if bad:
        rows: tuple[tuple[Cell, ...], ...] = tuple(
            (ANSWERS[one.state], one.question, _numbers_of(of, one), _advice(of, one), _source(one, sources))
            for one in bad
        )
        yield Table(heads=("", "question", "value and limit", "why, and what to do", "limit"), rows=rows,
                    widths=(0, 2.6, 2.2, 5.2, 0))  # fmt: skip
    yield from _unmeasured([one for one in own if one.state == "unmeasured"])
    holds = [one for one in own if one.state == "holds"]
    if holds:
        rows = tuple((one.question, _numbers_of(of, one), _source(one, sources)) for one in holds)
        yield Table(heads=("holds", "value and limit", "limit"), rows=rows, widths=(6, 3, 0))
    for chart in answer.study.charts(answer.result):
        yield Figure(svg=svg(chart), alt=f"{chart.title}. {chart.note}".strip(), width_mm=CHART_MM)


def _numbers_of(of: Subject, verdict: Verdict) -> str:
    if verdict.value is None or verdict.limit is None:
        return ""
    told = value_and_limit(verdict.value, verdict.limit, verdict.unit, verdict.sense)
    return of.units.sentence(told)


def _advice(of: Subject, verdict: Verdict) -> str:
    sure = ""
    if verdict.chance is not None and 0.01 <= verdict.chance < 0.99:
        sure = f" That it holds is {chance(verdict.chance)}."
    do = f" {sentence(verdict.do)}" if verdict.do else ""
    return of.units.sentence(f"{sentence(verdict.why)}{do}{sure}")


def _unmeasured(verdicts: list[Verdict]) -> Iterator[Block]:
    """Grouped by what they wait for."""
    groups: dict[str, list[str]] = {}
    for one in verdicts:
        lack = f"needs {listed(points_joined(one.missing), most=8)}" if one.missing else one.why
        groups.setdefault(lack, []).append(one.question)
    if groups:
        ranked = sorted(groups.items(), key=lambda group: -len(group[1]))
        rows = tuple((_some(questions), sentence(lack)) for lack, questions in ranked)
        yield Table(heads=("not known yet", "why"), rows=rows, widths=(5, 5))


def _some(questions: list[str]) -> str:
    """The first of many that wait for the same."""
    told = " ".join(questions[:MOST_QUESTIONS])
    return told if len(questions) <= MOST_QUESTIONS else f"{told} And {len(questions) - MOST_QUESTIONS} more."


def _doubts(of: Subject) -> Iterator[Block]:
    if of.build.doubts:
        yield Heading("Numbers that look wrong")
        rows = tuple((one.key, of.units.sentence(f"{sentence(one.what)} {sentence(one.suggestion)}"))
                     for one in of.build.doubts)  # fmt: skip
        yield Table(heads=("number", "what is odd about it"), rows=rows, widths=(3, 7))


def _numbers(of: Subject) -> Iterator[Block]:
    """Every number that an answer read, with its spread and where it came from, two columns of them."""
    read = {key for answer in of.report.answers.values() for key in answer.read}
    known = [entry for entry in of.build.entries() if entry.key in read and entry.best is not None]
    yield Heading("The numbers it stands on")
    if not known:
        yield Gap("None yet.", "No answer has read a number so far.")
        return
    cells: list[tuple[str, str]] = []
    for entry in known:
        best = entry.best
        assert best is not None
        source = best.source.value.removeprefix("by ").removeprefix("from ")
        mark = "assumed" if entry.measured is None else "guess" if best.source is Source.GUESS else source
        cells.append((entry.key, f"{of.units.entry(best)}, {mark}"))
    half = (len(cells) + 1) // 2
    rows = tuple((*cells[i], *(cells[i + half] if i + half < len(cells) else ("", ""))) for i in range(half))
    yield Table(heads=("number", "value", "number", "value"), rows=rows, widths=(3.2, 2.3, 3.2, 2.3), small=True,
                note="± is how far it may be off each way, all values within alike. Assumed: taken until it is "
                "measured; what hangs on each stands on the sheet of assumptions.")  # fmt: skip


def _numbered_sources(of: Subject) -> dict[str, int]:
    """{where a limit comes from: its number}, in the order of the questions."""
    told = dict.fromkeys(verdict.source for verdict in of.report.verdicts if verdict.source)
    return {source: number for number, source in enumerate(told, start=1)}


def _source(verdict: Verdict, sources: dict[str, int]) -> str:
    return f"[{sources[verdict.source]}]" if verdict.source else ""


def _sources(sources: dict[str, int]) -> Iterator[Block]:
    if sources:
        yield Heading("Where the limits come from")
        rows = tuple((f"[{number}]", source) for source, number in sources.items())
        yield Table(heads=("limit", "its source"), rows=rows, widths=(0, 8))
