"""One finding for each wish: how many states break it, the shortest way there, the cheapest cure."""

from __future__ import annotations

from collections.abc import Iterator

from coachwork.studies.finding import Finding, Place, Told, judge
from coachwork.studies.parts import Part
from coachwork.studies.radio.cure import Tried
from coachwork.studies.radio.result import RadioResult, WishAnswer
from coachwork.studies.radio.traces import Step
from coachwork.studies.wording import count

SOURCE = "your own wish, against every state that can be reached"
LOCAL_RULES = "Where you run it, local rules on failsafes come first"


def findings(result: RadioResult) -> Iterator[Finding]:
    """In the order of the file."""
    for name, answer in result.wishes.items():
        yield _of(name, result.wished[name], answer)


def _of(name: str, words: str, part: Part[WishAnswer]) -> Finding:
    id, question = f"radio.wish.{name}", f"Wish {name}: {words}?"
    if isinstance(part, WishAnswer) and part.form == "can be reached" and not part.complete and not part.count[0]:
        seen = f"{count(part.depth, 'action')} ({count(part.states, 'state')})"
        why = f"not seen within {seen}; there are more, not looked at"
        return Finding(id=id, question=question, why=why)
    return judge(part, _told, id=id, question=question)


def _told(answer: WishAnswer) -> Told:
    reach = answer.form == "can be reached"
    return {
        "value": answer.count,
        "limit": 1.0 if reach else 0.0,
        "sense": "at least" if reach else "at most",
        "bounded": not (answer.proved or answer.refuted),
        "unit": "states",
        "why": f"{_why(answer)}{_caveats(answer)}",
        "do": _do(answer),
        "where": Place(part=", ".join(answer.devices)),
        "source": SOURCE,
    }


def _why(answer: WishAnswer) -> str:
    if answer.form == "can be reached":
        if answer.refuted:
            return f"true in none of the {count(answer.states, 'state')} that there are"
        return f"true after {_way(answer.steps)}"
    if answer.proved:
        far = count(answer.depth, "action")
        return f"true in all of the {count(answer.states, 'state')} that it hangs on, up to {far} from power-up"
    if not answer.refuted:
        return (
            f"no counter-example within {count(answer.depth, 'action')} ({count(answer.states, 'state')}); "
            "there are more, which were not looked at"
        )
    broken = f"in {answer.count[0]:.0f} of {count(answer.states, 'state')}"
    if answer.form in ("from anywhere", "can always be reached"):
        return f"cannot be had {broken}, such as after {_way(answer.steps)}: {_doing(answer)}"
    return f"untrue {broken}; the shortest way there is {_way(answer.steps)}: {_doing(answer)}"


def _way(steps: tuple[Step, ...]) -> str:
    """The actions behind the first, which is power-up."""
    actions = [step.action for step in steps[1:]]
    return "switching on, nothing more" if not actions else f"{count(len(actions), 'action')} ({'; '.join(actions)})"


def _doing(answer: WishAnswer) -> str:
    """What the wish's devices do at the end of its way."""
    modes = answer.steps[-1].modes
    told = [f"{name} {modes[name]}" for name in answer.breaking or answer.devices if name in modes]
    others = len(told) - 4
    return f"then {', '.join(told[:4])}{f' and {others} more' if others > 0 else ''}"


def _caveats(answer: WishAnswer) -> str:
    told = ""
    if answer.coarse:
        told += f"; time is counted in steps of {answer.tick_s:.2g} s, shorter times stretched to one"
    if not answer.exact:
        told += "; two swept controls are mixed on one channel, and only some of their positions were tried"
    return told


def _do(answer: WishAnswer) -> str | None:
    if not answer.refuted:
        return None
    if not answer.searched:
        do = "there are too many states to try changes on; wish it of fewer devices at a time"
    elif answer.cure is not None:
        do = f"{', and '.join(answer.cure.changes)} ({answer.cure.effort})"
    elif answer.tried is not None:
        do = _to_no_avail(answer.tried)
    else:
        do = "think the wish or the device over"
    return f"{do}. {LOCAL_RULES}" if answer.form == "on signal loss" else do


def _to_no_avail(tried: Tried) -> str:
    """Exactly what was tried, so that nobody takes it for all that can be done."""
    pairs = f"nor any of their {tried.pairs} pairs"
    if tried.pairs < tried.all_pairs:
        pairs = f"nor any of the {tried.pairs} cheapest of their {tried.all_pairs} pairs"
    told = (
        f"think the wish or the device over: none of {count(tried.singles, 'change')}, {pairs}, cures it and breaks no "
        f"other wish. Tried: {', '.join(tried.kinds)}"
    )
    return f"{told}. Not tried: free outputs, for {tried.no_output}" if tried.no_output else told
