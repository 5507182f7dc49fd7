"""What stands in the builder's file, as a text that the grammar can read and a sentence can quote."""

import datetime
import math

from coachwork.quantity.errors import Unreadable
from coachwork.quantity.kinds import Kind

_LONGEST = 200  # characters; no measured number is longer, and huge integers are slow
_TYPEWRITTEN = str.maketrans(
    {"−": "-", "′": "'", "’": "'", "″": '"', "“": '"', "”": '"', "\N{NO-BREAK SPACE}": " ", "\N{THIN SPACE}": " "}
)


def as_text(read: object, kind: Kind) -> str:
    """Whatever the file holds as text; repr() of a float gives it back exactly."""
    if isinstance(read, str):
        if len(read) > _LONGEST:
            raise Unreadable(short(read), kind.wanted, f"{short(read)} is too long; {kind.wanted} is wanted here")
        return read
    if isinstance(read, int | float) and not isinstance(read, bool):
        if isinstance(read, int) and abs(read) >= 10**_LONGEST:
            what = "a whole number of more than 200 digits"
        elif not math.isfinite(read):
            what = f"{read}"
            raise Unreadable(what, kind.wanted, f"{what} is not a number that can be measured; "
                             "leave the key out if it is not known")  # fmt: skip
        else:
            return repr(float(read)) if isinstance(read, float) else str(int(read))
    elif read is None:
        what = "nothing"
    elif isinstance(read, bool):
        what = f"{str(read).lower()} (yes or no)"
    elif isinstance(read, list | tuple | set | frozenset):
        what = "a list"
    elif isinstance(read, dict):
        what = "a table"
    elif isinstance(read, datetime.date | datetime.time):
        what = f"{read} (a date or a time of day)"
    else:
        what = f"a {type(read).__name__}"
    raise Unreadable(what, kind.wanted, f"{what} stands here; {kind.wanted} is wanted")


def typewritten(text: str) -> str:
    """The text with minus, quotes and blanks as a keyboard has them."""
    return text.translate(_TYPEWRITTEN).strip()


def short(text: str) -> str:
    """The text as it may stand in a sentence: one line, not too long."""
    line = " ".join("".join(c if c.isprintable() else " " for c in text).split())
    return line if len(line) <= 60 else line[:57] + "..."
