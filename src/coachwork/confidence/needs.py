"""All that a question lacks, and which numbers to take together.

A study names the numbers it stumbles over first; behind them may stand others. So the blanks are filled with made-up
numbers, the study is run again, and what it then lacks is added, until it lacks nothing: the needs of a verdict. Only
what is *named* is used of those runs, never their answers.
"""

from __future__ import annotations

import math
import warnings
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from coachwork.build import Build
from coachwork.build.fields import field_of
from coachwork.build.starters import FIRST_FIVE
from coachwork.plan import Answer, Plan
from coachwork.quantity import Measured, Source
from coachwork.studies.finding import Verdict

FAR = 12  # numbers; a question that needs more is not looked into further, an evening away as it is


@dataclass(frozen=True, kw_only=True)
class Group:
    """Numbers to take together.

    verdicts : ids of those that have all they need with these and those of the groups before
    """

    keys: tuple[str, ...]
    verdicts: tuple[str, ...]

    @property
    def worth(self) -> float:
        """Verdicts for each number."""
        return len(self.verdicts) / len(self.keys)


Lack = tuple[str, str, tuple[str, ...]]  # a study, its verdict's id, the keys that it names


def needs_of(plan: Plan, build: Build, verdicts: Iterable[Verdict]) -> dict[str, tuple[str, ...]]:
    """{verdict's id: every key it waits for, those it names itself first}, of the verdicts that wait."""
    return _needs(plan, build, [(verdict.study, verdict.id, verdict.missing) for verdict in verdicts])


def _needs(plan: Plan, build: Build, lacks: Iterable[Lack]) -> dict[str, tuple[str, ...]]:
    needs: dict[str, tuple[str, ...]] = {}
    waiting: dict[tuple[str, tuple[str, ...]], list[str]] = {}  # those of one study that name the same: one run serves
    for study, id, missing in lacks:
        if missing:
            needs[id] = missing
            waiting.setdefault((study, missing), []).append(id)
    for (study, lack), ids in waiting.items():
        _deepen(plan, build, study, lack, ids, needs)
    return needs


def _deepen(
    plan: Plan, build: Build, study: str, lack: tuple[str, ...], ids: list[str], needs: dict[str, tuple[str, ...]]
) -> None:
    """Fill in what these verdicts lack, and nothing else, and see what each lacks then."""
    values = {key: held for i, key in enumerate(lack) if (held := _made_up(key, i)) is not None}
    if len(lack) > FAR or len(values) < len(lack):
        return
    further = _lacking(plan, _with(build, values), [study], lack)
    deeper: dict[tuple[str, ...], list[str]] = {}
    for id in ids:
        if fresh := tuple(key for key in further.get(id, ()) if key not in lack):
            needs[id] = (*lack, *fresh)
            deeper.setdefault(needs[id], []).append(id)
    for more, same in deeper.items():
        _deepen(plan, build, study, more, same, needs)


def what_to_take(
    plan: Plan, build: Build, answers: Mapping[str, Answer], needs: Mapping[str, tuple[str, ...]]
) -> tuple[Group, ...]:
    """Numbers in the groups to take them in, most useful first.

    On a build that holds nothing but numbers to begin with, or none, those of them that are left come first, and the
    rest is ranked as if they were there: of two ways to an answer a study names only one.
    """
    entries = {entry.key: entry for entry in build.entries()}
    given = {key for key, entry in entries.items() if entry.given} - {"build.scale"}
    asked = {key for answer in answers.values() for key in answer.read}
    left = tuple(key for key in FIRST_FIVE if key in asked and key not in given)
    if not left or not given <= set(FIRST_FIVE):
        return groups(entries, needs)
    begun = _with(build, {key: held for i, key in enumerate(left) if (held := _made_up(key, i)) is not None})
    lacking = _lacking(plan, begun, answers, left)
    starters = Group(keys=left, verdicts=tuple(id for id in needs if lacking.get(id) == ()))
    later = [(id.partition(".")[0], id, keys) for id, keys in lacking.items()]  # an id begins with its study's name
    return (starters, *groups(entries, _needs(plan, begun, later)))


def _lacking(
    plan: Plan, build: Build, studies: Iterable[str], made_up: tuple[str, ...]
) -> Mapping[str, tuple[str, ...]]:
    """{finding's id: what it lacks}, on made-up numbers, which may well make no vehicle at all."""
    wanted = tuple(studies)
    try:
        with warnings.catch_warnings(), np.errstate(all="ignore"):
            warnings.simplefilter("ignore")
            answers = plan.run_beside(build, wanted, purpose=(wanted, made_up))
    except Exception:  # numbers that make no vehicle may break anything; the builder's own were run before, unguarded
        return {}
    return {finding.id: finding.missing for answer in answers.values() for finding in answer.findings}


def _with(build: Build, values: Mapping[str, Measured | str]) -> Build:
    tables = {key.partition(".")[0] for key in values}
    changed = {kind: s.with_values(kind.TABLE, values) for kind, s in build.sections.items() if kind.TABLE in tables}
    return replace(build, sections={**build.sections, **changed})


def _made_up(key: str, number: int) -> Measured | str | None:
    """Something of the right kind; None for a key that holds neither a number nor a choice."""
    field = field_of(key)
    if field is None:
        return None
    if field.entry is None:
        return field.choices[0] if field.choices else None
    low, high = field.ask.usual if field.ask is not None and field.ask.usual is not None else (0.0, 0.0)
    middle = math.sqrt(low * high) if low > 0 else (low + high) / 2
    kind = field.entry.KIND
    # No two points at one place, and no two dimensions that agree: an answer that hangs on luck is not promised.
    value = (middle or 10.0) * (1 + number**2 / 100)
    return Measured(float(round(value)) if kind.whole else value, 0.0, Source.GUESS, kind)


def groups(entries: Iterable[str], needs: Mapping[str, Sequence[str]]) -> tuple[Group, ...]:
    """What to take, group by group: each time the numbers that bring the most verdicts for each number; far ones last.

    entries : keys of the build, in the order of the file
    needs   : of the verdicts, in the order of the page

    >>> [group.keys for group in groups("abc", {"one": "ab", "two": "b", "three": "bc"})]
    [('b',), ('a',), ('c',)]
    """
    order = {key: i for i, key in enumerate(entries)}
    found: list[Group] = []
    taken: set[str] = set()
    for far in (False, True):  # what has not been looked into would promise too much beside what has
        left = {id: frozenset(keys) - taken for id, keys in needs.items() if (len(keys) > FAR) is far}
        while left := {id: lacks for id, lacks in left.items() if lacks}:
            # Of two as good the smaller: it is sooner taken.
            best = max(left.values(), key=lambda keys: (sum(k <= keys for k in left.values()) / len(keys), -len(keys)))
            opened = tuple(id for id, lacks in left.items() if lacks <= best)
            found.append(Group(keys=tuple(sorted(best, key=lambda key: order.get(key, -1))), verdicts=opened))
            taken |= best
            left = {id: lacks - best for id, lacks in left.items()}
    return tuple(found)
