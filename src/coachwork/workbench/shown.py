"""A session as plain data for whoever shows it: the same words, numbers and order as in the terminal."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import lru_cache, partial
from typing import Any

from coachwork.build import Build, Entry, Section
from coachwork.build.fields import Field, field_of
from coachwork.confidence import NextStep, Report
from coachwork.confidence.json_form import Json, doubt_form, step_form, verdict_form
from coachwork.confidence.words import chance, numbers_of, sentence, tally
from coachwork.quantity import brief
from coachwork.studies.finding import Verdict
from coachwork.studies.parts import is_missing
from coachwork.workbench.journal import Draft
from coachwork.workbench.kept import Kept
from coachwork.workbench.levers import Lever
from coachwork.workbench.merging import all_held
from coachwork.workbench.pointing import Things, pointed_at
from coachwork.workbench.session import Session

TOLD = 3  # of what other programs did


def state_of(session: Session) -> dict[str, Json]:
    """How the file stands, what is typed and not in it, what can be undone."""
    build = session.build
    return {
        "name": session.folder.name if build is None else build.name,
        "file": str(session.file),
        "version": session.version,
        "broken": list(session.broken),
        "wrong": session.answers.wrong,
        "told": list(session.told[-TOLD:]),
        "toldCount": len(session.told),
        "undo": session.undoes,
        "redo": session.redoes,
        "drafts": {key: draft_form(draft) for key, draft in session.drafts.items()},
    }


def numbers_shown(build: Build | None, kept: Kept) -> dict[str, Json]:
    """Every number of the build, and those that look wrong."""
    if build is None:
        return {"entries": {}, "doubts": []}
    return {"entries": dict(_entries_of(build, kept)), "doubts": [doubt_form(doubt) for doubt in build.doubts]}


def draft_form(draft: Draft) -> dict[str, Json]:
    """A text that is not in the file, and why."""
    return {"text": draft.text, "seen": draft.seen, "why": draft.why, "faults": list(draft.faults),
            "theirs": draft.theirs}  # fmt: skip


def _entries_of(build: Build, kept: Kept) -> Iterable[tuple[str, dict[str, Json]]]:
    """Every key that can be edited and has a place: measured, blank, or a choice made; table by table, for an edit
    leaves most of them as they were.
    """
    typed = _by_table(all_held(build.text))
    doubts = _by_table({doubt.key: str(doubt.what) for doubt in build.doubts})
    for kind, section in build.sections.items():
        of = (section, typed.get(kind.TABLE, {}), doubts.get(kind.TABLE, {}))
        yield from kept.once(f"[{kind.TABLE}]", of, partial(_table, *of, kept)).items()  # type: ignore[misc]


def _by_table(by_key: Mapping[str, str]) -> dict[str, dict[str, str]]:
    tables: dict[str, dict[str, str]] = {}
    for key, held in by_key.items():
        tables.setdefault(key.partition(".")[0], {})[key] = held
    return tables


def _table(section: Section, typed: Mapping[str, str], doubts: Mapping[str, str], kept: Kept) -> dict[str, Json]:
    """The keys of one table."""
    found: dict[str, Json] = {}
    for entry in section.entries():
        field = _field(entry.key)
        if field is not None:
            of = (entry, typed.get(entry.key), doubts.get(entry.key))
            found[entry.key] = kept.once(entry.key, of, partial(_number, field, *of))
    for key, text in typed.items():
        field = None if key in found else _field(key)
        if field is not None and field.holds not in ("number", "point"):
            found[key] = kept.once(key, (text,), partial(_choice, field, text))
    return found


@lru_cache(maxsize=8192)
def _field(key: str) -> Field | None:
    return field_of(key)


def _choice(field: Field, text: str) -> dict[str, Json]:
    return {"text": text, "holds": field.holds, "how": field.how, "choices": list(field.choices)}


def _number(field: Field, entry: Entry, text: str | None, doubt: str | None) -> dict[str, Json]:
    """Only what is not nothing: there are a thousand of them."""
    form: dict[str, Json] = {"text": text, "how": entry.how}
    if entry.measured is not None:
        form |= {"told": brief(entry.measured), "source": entry.measured.source.value}
    elif entry.stand_in is not None:
        form |= {"guess": brief(entry.stand_in)}
    if entry.measured is None and field.entry is not None:
        form["unit"] = field.entry.KIND.bare_unit
    if doubt is not None:
        form["doubt"] = doubt
    return form


def answers_of(
    report: Report, levers: Mapping[str, Mapping[str, tuple[Lever, ...]]], things: Things, kept: Kept
) -> dict[str, Json]:
    """The questions with their verdicts, worst first, and what to measure next."""
    studies = {answer.study.name: answer.study.question for answer in report.answers.values()}
    verdicts: dict[str, Json] = {}
    ways = dict(ways_of(report))
    for verdict in report.verdicts:
        its = levers.get(verdict.study, {}).get(verdict.id, ())
        of = (verdict, its, things, ways.get(verdict.id))
        verdicts[verdict.id] = kept.once(verdict.id, of, partial(_verdict, *of))
    return {
        "tally": tally(report.verdicts),
        "questions": [
            {
                "study": name,
                "question": studies[name],
                "tally": tally(report.of(name)),
                "verdicts": [verdict.id for verdict in report.of(name)],
            }
            for name in dict.fromkeys(verdict.study for verdict in report.verdicts)
        ],
        "verdicts": verdicts,
        "next": [next_shown(step, report) for step in report.next_steps[:60]],
    }


def ways_of(report: Report) -> Iterable[tuple[str, Json]]:
    """{verdict on a wish: the shortest way to where it is broken}, action by action, with what each device does."""
    radio = report.answers.get("radio")
    for name, wish in {} if radio is None else radio.result.wishes.items():
        if not is_missing(wish) and wish.refuted:
            yield (
                f"radio.wish.{name}",
                [
                    {
                        "action": step.action,
                        "modes": dict(step.modes),
                        "pulses": {c: None if p is None else round(p) for c, p in step.pulses_us.items()},
                    }
                    for step in wish.steps
                ],
            )


def _verdict(verdict: Verdict, levers: tuple[Lever, ...], things: Things, way: Json) -> dict[str, Json]:
    """One verdict with its words, and the numbers to edit beside it."""
    form: dict[str, Any] = verdict_form(verdict)  # type: ignore[assignment]
    keys = [*verdict.missing, *(lever.key for lever in levers), *(lead.key for lead in verdict.leads if lead.share > 0)]
    known = {lever.key: lever for lever in levers}
    shares = {lead.key: lead.share for lead in verdict.leads}
    return {
        **{name: form[name] for name in ("id", "study", "question", "state", "where", "source")},
        "numbers": numbers_of(verdict),
        "chance": None if verdict.chance is None else chance(verdict.chance),
        "weighed": verdict.weighed,
        "sure": verdict.chance is None or not 0.01 <= verdict.chance < 0.99,
        "why": sentence(verdict.why),
        "do": None if verdict.do is None else sentence(verdict.do),
        "value": form["value"],
        "limit": form["limit"],
        "sense": verdict.sense,
        "margin": form["margin"],
        "unit": verdict.unit,
        "keys": [
            {
                "key": key,
                "share": shares.get(key),
                "step": known[key].step if key in known else None,
                "gain": known[key].gain if key in known else None,
                "missing": key in verdict.missing,
                **_chosen_from(key),
            }
            for key in dict.fromkeys(keys)
        ],
        "things": list(pointed_at(verdict, things)),
        **({} if way is None else {"way": way}),
    }


def next_shown(step: NextStep, report: Report) -> dict[str, Json]:
    """One number to take; of a guess that no answer hangs on just now, what it is read for."""
    form = step_form(step)
    assert isinstance(form, dict)
    idle: dict[str, Json] = {"readFor": list(report.read_for(step.key))} if step.idle else {}
    return {**form, "how": sentence(step.how), **idle, **_chosen_from(step.key)}


def _chosen_from(key: str) -> dict[str, Json]:
    """What a key may hold where it is one of a few words, so that it can be chosen before it stands in the file."""
    field = _field(key)
    return {} if field is None or not field.choices else {"choices": list(field.choices)}
