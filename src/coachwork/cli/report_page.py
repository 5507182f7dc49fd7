"""A report on the screen: questions in the builder's order, what to do, what looks mistyped, what to measure next."""

from __future__ import annotations

from collections.abc import Iterable

from coachwork.cli.screen import Screen, Tone
from coachwork.confidence import NextStep, Report
from coachwork.confidence.needs import FAR
from coachwork.confidence.words import chance, listed, numbers_of, points_joined, sentence, tally
from coachwork.studies.finding import STATES, State, Verdict
from coachwork.studies.wording import count

_MARKS: dict[State, tuple[str, Tone]] = {
    "fails": ("FAILS", "bad"),
    "tight": ("TIGHT", "warning"),
    "unmeasured": ("not yet", "faint"),
    "holds": ("holds", "good"),
}
_MARK_WIDTH = max(len(mark) for mark, _ in _MARKS.values())
_INDENT = 2
_TEXT = _INDENT + _MARK_WIDTH + 1  # column in which the words of a verdict begin
_GROUPS = 4  # of unmeasured verdicts, for each question
_STEPS = 5  # groups of numbers to measure next
_NUMBERS = 8  # in all of them, and of one group
_IDLE = 4  # guesses that nothing hangs on, by name


def show_report(screen: Screen, report: Report, *, everything: bool) -> None:
    """The whole page; `everything` lists what holds instead of counting it."""
    _heading(screen, report)
    studies = {answer.study.name: answer.study.question for answer in report.answers.values()}
    for name in dict.fromkeys(verdict.study for verdict in report.verdicts):
        _question(screen, studies[name], report.of(name), everything=everything)
    if report.build.doubts:
        screen.gap()
        screen.say("Numbers that look wrong", tone="strong")
        for doubt in report.build.doubts:
            screen.say(str(doubt), mark="?", tone="warning", indent=_INDENT)
    show_next(screen, report)


def show_next(screen: Screen, report: Report) -> None:
    """What is most worth measuring now."""
    idle = [step for step in report.next_steps if step.idle]
    groups = list(_together(step for step in report.next_steps if not step.idle))
    if groups or idle:
        screen.gap()
        # What a later group answers, it answers with those before it.
        screen.say("Measure next, in this order" if len(groups) > 1 else "Measure next", tone="strong")
    questions = {verdict.id: verdict.question for verdict in report.verdicts}
    shown = 0
    for number, steps in enumerate(groups, start=1):
        points = list(_whole_points(steps))
        if number > 1 and (number > _STEPS or shown + len(points) > _NUMBERS):
            break
        _step(screen, number, points, questions)
        shown += len(points)
    if idle:
        told, which = listed([key for key, _ in _whole_points(idle)], most=_IDLE), "it" if len(idle) == 1 else "them"
        guessed, be = "Also guessed" if groups else "Guessed", "It is" if len(idle) == 1 else "They are"
        screen.say(
            f"{guessed}, though no answer in doubt hangs on {which}: {told}. {be} to be taken before parts are ordered "
            "that are drawn with what was guessed.",
            indent=_INDENT,
        )


def _heading(screen: Screen, report: Report) -> None:
    screen.say(report.build.name, tone="strong")
    read = {key for answer in report.answers.values() for key in answer.read}
    entries = [entry for entry in report.build.entries() if entry.key in read]
    measured = [entry for entry in entries if entry.measured is not None]
    assumed = [entry for entry in entries if entry.measured is None and entry.stand_in is not None]
    waiting = {key for verdict in report.verdicts for key in verdict.missing}
    told = [count(len(measured), "number") + " measured"]
    told += [f"{len(assumed)} at their usual value until you measure them"] if assumed else []
    told += [f"{len(waiting)} still to measure"] if waiting else []
    screen.say(f"{', '.join(told)}. {tally(report.verdicts).capitalize()}.")


def _question(screen: Screen, question: str, verdicts: tuple[Verdict, ...], *, everything: bool) -> None:
    screen.gap()
    screen.say(f"{question}  {tally(verdicts)}", mark="", tone="strong")
    by_state = {state: [verdict for verdict in verdicts if verdict.state == state] for state in STATES}
    for verdict in (*by_state["fails"], *by_state["tight"]):
        _in_full(screen, verdict)
    _unmeasured(screen, by_state["unmeasured"], everything=everything)
    if by_state["holds"] and everything:
        for verdict in by_state["holds"]:
            _marked(screen, "holds", f"{verdict.question} {numbers_of(verdict)}")
    elif by_state["holds"]:
        _marked(screen, "holds", f"{len(by_state['holds'])} of {len(verdicts)}; --all lists them")


def _marked(screen: Screen, state: State, text: str) -> None:
    mark, tone = _MARKS[state]
    screen.say(text, mark=mark.ljust(_MARK_WIDTH), tone=tone, indent=_INDENT)


def _in_full(screen: Screen, verdict: Verdict) -> None:
    _marked(screen, verdict.state, verdict.question)
    numbers = numbers_of(verdict)
    if verdict.chance is not None and 0.01 <= verdict.chance < 0.99:  # beyond, the state says it
        numbers += f"; that it holds is {chance(verdict.chance)}"
    numbers += "." if numbers else ""
    screen.say(numbers, indent=_TEXT)
    if verdict.why:
        screen.say(sentence(verdict.why), mark="Why", tone="faint", indent=_TEXT)
    if verdict.do is not None:
        screen.say(sentence(verdict.do), mark="Do ", tone="strong", indent=_TEXT)


def _unmeasured(screen: Screen, verdicts: list[Verdict], *, everything: bool) -> None:
    """Grouped by what they wait for; most questions for one lack first."""
    groups: dict[str, list[str]] = {}
    for verdict in verdicts:
        lack = f"needs {listed(points_joined(verdict.missing))}" if verdict.missing else verdict.why
        groups.setdefault(lack, []).append(verdict.question)
    ranked = sorted(groups.items(), key=lambda group: -len(group[1]))
    shown = ranked if everything else ranked[:_GROUPS]
    for lack, questions in shown:
        told = listed(questions, most=len(questions) if everything else 1)
        _marked(screen, "unmeasured", f"{told}{'' if told.endswith('?') else '.'} {sentence(lack)}")
    if left := sum(len(questions) for _, questions in ranked[len(shown) :]):
        _marked(screen, "unmeasured", f"{count(left, 'more question')}; --all lists {'it' if left == 1 else 'them'}")


def _together(steps: Iterable[NextStep]) -> Iterable[tuple[NextStep, ...]]:
    """Steps in their groups: those to take together, and the coordinates of one point."""
    groups: dict[tuple[str, ...], list[NextStep]] = {}
    for step in steps:
        group = step.together if len(step.together) > 1 else (_point(step.key), step.reason)
        groups.setdefault(group, []).append(step)
    return map(tuple, groups.values())


def _whole_points(steps: Iterable[NextStep]) -> Iterable[tuple[str, NextStep]]:
    """Steps with the coordinates of one point as one step, where its first coordinate stood."""
    points: dict[str, list[NextStep]] = {}
    for step in steps:
        points.setdefault(_point(step.key), []).append(step)
    for together in points.values():
        yield points_joined(step.key for step in together)[0], together[0]


def _point(key: str) -> str:
    point, _, axis = key.rpartition(".")
    return point if axis in ("x", "y", "z") else key


def _step(screen: Screen, number: int, points: list[tuple[str, NextStep]], questions: dict[str, str]) -> None:
    """One group of numbers, each with how to take it, and what they are good for together."""
    first = points[0][1]
    served = [questions[id] for id in first.verdicts if id in questions]
    answers = "Answers" if len(points) == 1 else "Together they answer"
    why = {
        "not measured": answers if len(first.together) <= FAR else "Begin with these for",
        "guessed": "A guess so far; a reading would make surer",
        "uncertain": "A better reading would make surer",
    }[first.reason]
    mark = f"{number}."
    indent = _INDENT + len(mark) + 1
    for i, (key, step) in enumerate(points[:_NUMBERS]):
        if i == 0:
            screen.say(key, mark=mark, indent=_INDENT, tone="strong")
        else:
            screen.say(key, indent=indent, tone="strong")
        screen.say(sentence(step.how), indent=indent + (2 if len(points) > 1 else 0))
    if len(points) > _NUMBERS:
        screen.say(f"and {len(points) - _NUMBERS} more of {_table_of(points)}", indent=indent)
    if served:
        screen.say(f"{why}: {listed(served, most=2)}", indent=indent)


def _table_of(points: list[tuple[str, NextStep]]) -> str:
    """The table that most of the keys stand in."""
    tables = [_point(step.key).rpartition(".")[0] for _, step in points]
    return f"[{max(tables, key=tables.count)}]"
