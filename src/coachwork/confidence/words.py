"""Numbers of a verdict in words: the same in the terminal and on the page."""

from __future__ import annotations

from collections.abc import Iterable

from coachwork.studies.finding import STATES, Sense, Verdict
from coachwork.studies.wording import count

# The words and bounds of the IPCC's "Guidance Note on Consistent Treatment of Uncertainties" (2010), table 1; cited
# from memory. Its "exceptionally unlikely" and "virtually certain" in plainer words, to follow "that it holds is".
_CHANCES = (
    (0.01, "all but impossible"),
    (0.10, "very unlikely"),
    (0.33, "unlikely"),
    (0.66, "about as likely as not"),
    (0.90, "likely"),
    (0.99, "very likely"),
)


def chance(probability: float) -> str:
    """A chance in words and percent.

    >>> chance(0.5), chance(0.9999), chance(0.0)
    ('about as likely as not (50 %)', 'all but certain (over 99 %)', 'all but impossible (under 1 %)')
    """
    words = next((words for bound, words in _CHANCES if probability < bound), "all but certain")
    percent = round(100 * probability)
    told = "under 1 %" if probability < 0.01 else "over 99 %" if probability >= 0.99 else f"{percent} %"
    return f"{words} ({told})"


def value_and_limit(value: float, limit: float, unit: str, sense: Sense) -> str:
    """Both numbers with just enough decimals to tell them apart.

    >>> value_and_limit(22.04, 22.0, "deg", "at most")
    '22.04 deg, at most 22.00 deg'
    >>> value_and_limit(-0.7, 0.5, "mm", "within")
    '-0.700 mm, within ± 0.500 mm'
    >>> value_and_limit(12.0, 0.0, "states", "at most")
    '12 states, at most 0 states'
    >>> value_and_limit(1.0, 0.0, "states", "at most")
    '1 state, at most 0 states'
    >>> value_and_limit(-0.0002, 0.5, "deg", "within")
    '0.000 deg, within ± 0.500 deg'
    """
    size = max(abs(value), abs(limit))
    counted = len(unit) > 2 and unit.endswith("s")  # a plural: states, parts; "us" is a unit
    decimals = 0 if counted or size >= 1000 else 1 if size >= 10 else 2 if size >= 1 else 3
    near = abs(value) if sense == "within" else value
    while decimals < 6 and near != limit and f"{near:z.{decimals}f}" == f"{limit:z.{decimals}f}":
        decimals += 1
    behind = f" {unit}" if unit else ""
    told = [f"{number:z.{decimals}f}" for number in (value, limit)]
    one, other = (f"{number} {unit[:-1]}" if counted and number == "1" else f"{number}{behind}" for number in told)
    return f"{one}, {'within ±' if sense == 'within' else sense} {other}"


def numbers_of(verdict: Verdict) -> str:
    """Value against limit, or nothing while unmeasured."""
    if verdict.value is None or verdict.limit is None:
        return ""
    return value_and_limit(verdict.value, verdict.limit, verdict.unit, verdict.sense)


def listed(items: Iterable[str], *, most: int = 4) -> str:
    """A list as in a sentence, its tail only counted.

    >>> listed(["a", "b", "c"]), listed(["a"]), listed("abcdef", most=2)
    ('a, b and c', 'a', 'a, b and 4 more')
    """
    items = list(items)
    if len(items) > most + 1:
        return f"{', '.join(items[:most])} and {len(items) - most} more"
    return items[0] if len(items) == 1 else f"{', '.join(items[:-1])} and {items[-1]}"


def points_joined(keys: Iterable[str]) -> list[str]:
    """Keys with the coordinates of one point drawn together.

    >>> points_joined(["shell.mass", "front.hub-face.x", "front.hub-face.z"])
    ['shell.mass', 'front.hub-face (x, z)']
    """
    axes: dict[str, list[str]] = {}
    for key in keys:
        point, _, axis = key.rpartition(".")
        if axis in ("x", "y", "z"):
            axes.setdefault(point, []).append(axis)
        else:
            axes.setdefault(key, [])
    return [f"{key} ({', '.join(sorted(found))})" if found else key for key, found in axes.items()]


def sentence(text: str) -> str:
    """A text that begins with a capital and ends with a full stop.

    >>> sentence("the arm is short"), sentence(""), sentence("mAh on its label")
    ('The arm is short.', '', 'mAh on its label.')
    """
    unit = text[1:2].isupper()
    return f"{text[:1] if unit else text[:1].upper()}{text[1:]}{'' if text[-1:] in ('', '.', '?', '!') else '.'}"


def tally(verdicts: Iterable[Verdict]) -> str:
    """How many of each state, worst first.

    >>> tally(())
    'nothing asked'
    """
    found = [verdict.state for verdict in verdicts]
    words = {"fails": ("fails", "fail"), "tight": ("is tight", "are tight"),
             "unmeasured": ("is not known yet", "are not known yet"), "holds": ("holds", "hold")}  # fmt: skip
    told = [count(found.count(state), *words[state]) for state in STATES if state in found]
    return ", ".join(told) or "nothing asked"
