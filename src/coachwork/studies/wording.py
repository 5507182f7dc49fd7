"""Numbers in sentences: the first sample, rounded the way a builder says it."""

from __future__ import annotations

from coachwork.build import Numbers

COMMON_PRACTICE = "common practice, no source"  # of a limit that the trade keeps to and no standard gives


def first(numbers: Numbers) -> float:
    """The sample that sentences are about."""
    return float(numbers.flat[0])


def mm(numbers: Numbers | float, *, sign: bool = False) -> str:
    """A length to a tenth of a millimetre; never a minus before a zero.

    >>> mm(-0.04), mm(2.96, sign=True)
    ('0.0 mm', '+3.0 mm')
    """
    value = numbers if isinstance(numbers, float) else first(numbers)
    return f"{value:+z.1f} mm" if sign else f"{value:z.1f} mm"


def one_to(ratio: Numbers | float) -> str:
    """A scale, shell over prototype, the way it stands on a box.

    >>> one_to(0.1), one_to(0.10638)
    ('1:10', '1:9.4')
    """
    times = 1 / (ratio if isinstance(ratio, float) else first(ratio))
    return f"1:{f'{times:.2f}'.rstrip('0').rstrip('.')}"


def called(name: str) -> str:
    """A name of the build file in a sentence.

    >>> called("speed-controller")
    'speed controller'
    """
    return name.replace("-", " ")


def count(number: int, one: str, many: str | None = None) -> str:
    """A number of things.

    >>> count(1, "question"), count(3, "question")
    ('1 question', '3 questions')
    """
    return f"{number} {one if number == 1 else many or one + 's'}"
