"""What stands in the builder's file, as a text that the grammar can read and a sentence can quote."""

import datetime

from coachwork.quantity.errors import Unreadable
from coachwork.quantity.kinds import Kind

_LONGEST = 200  # characters; no measured number is longer, and huge integers are slow
_TYPEWRITTEN = str.maketrans(
    {"−": "-", "′": "'", "’": "'", "″": '"', "“": '"', "”": '"', "\N{NO-BREAK SPACE}": " ", "\N{THIN SPACE}": " "}
)


def as_text(read: object, kind: Kind) -> str:
    """Whatever the file holds as text, or Unreadable; repr() of a float gives it back exactly."""
    if isinstance(read, str):
        if len(read) <= _LONGEST:
            return read
        raise Unreadable(short(read), kind.wanted, f"{short(read)} is too long; {kind.wish}")
    if isinstance(read, bool) or not isinstance(read, int | float):
        what = _name(read)
        raise Unreadable(what, kind.wanted, f"{what} is no number; {kind.wish}")
    if isinstance(read, float):
        return repr(float(read))  # "nan" and "inf" as well: the grammar has the words for them
    if abs(read) < 10**_LONGEST:
        return str(int(read))
    what = f"a number of more than {_LONGEST} digits"
    raise Unreadable(what, kind.wanted, f"{what} is too large; {kind.wish}")


def _name(read: object) -> str:
    if read is None:
        return "an empty value"
    if isinstance(read, bool):
        return f"{str(read).lower()} (yes or no)"
    if isinstance(read, list | tuple | set | frozenset):
        return "a list"
    if isinstance(read, dict):
        return "a table"
    if isinstance(read, datetime.date | datetime.time):
        return f"{read} (a date or a time of day)"
    return f"a value of type {type(read).__name__}"


def typewritten(text: str) -> str:
    """The text with minus, quotes and blanks as a keyboard has them."""
    return text.translate(_TYPEWRITTEN).strip()


def short(text: str) -> str:
    """The text as it may stand in a sentence: one line, not too long."""
    line = " ".join("".join(c if c.isprintable() else " " for c in text).split())
    return line if len(line) <= 60 else line[:57] + "..."
