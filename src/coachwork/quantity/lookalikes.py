"""Texts with digits in them that are no single number: lists, dates, decimal commas, thousands."""

import re

from coachwork.quantity.kinds import Kind
from coachwork.quantity.texts import short

_DATE = re.compile(r"\b\d{4}-\d{1,2}-\d{1,2}\b|\b\d{1,2}:\d{2}:\d{2}\b|\b\d{1,2}([./])\d{1,2}\1\d{2,4}\b", re.ASCII)
_WITH_COMMA = re.compile(r"[+-]?\d[\d.,]*,\d[\d.,]*", re.ASCII)


def something_else(body: str, kind: Kind) -> tuple[str, str | None] | None:
    """The complaint and, where there is one, what to write instead; None where nothing speaks against a number."""
    number = _WITH_COMMA.search(body)
    if number and (found := _comma(number[0])):
        return found
    if "," in body or ";" in body or body[0] in "[({":
        return f"{short(body)} looks like a list; {kind.wish}", None
    if _DATE.search(body):
        return f"{short(body)} looks like a date or a time of day; {kind.wish}", None
    if "''" in body:
        return f"{short(body)} has two single quotes; write in (or \") for inches, ft (or ') for feet", None
    return None


def _comma(number: str) -> tuple[str, str | None] | None:
    sign, digits = ("-" if number[0] == "-" else ""), number.lstrip("+-")
    if re.fullmatch(r"[1-9]\d{0,2},\d{3}", digits):
        thousand, decimal = sign + digits.replace(",", ""), sign + digits.replace(",", ".")
        return f"{number} can be {thousand} or {decimal}; write the one that is meant, without a comma", None
    if re.fullmatch(r"\d+,\d+|\d{1,3}(\.\d{3})+,\d+", digits):
        plain = sign + digits.replace(".", "").replace(",", ".")
    elif re.fullmatch(r"[1-9]\d{0,2}(,\d{3})+(\.\d+)?", digits):
        plain = sign + digits.replace(",", "")
    else:
        return None
    return f"write {number} as {plain}: a point before the decimals, nothing between thousands", plain
