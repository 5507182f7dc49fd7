"""Each kind of sample is worked out once, whatever holds its numbers."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from coachwork.build import Numbers
from coachwork.studies.alike import once_each


@dataclass(frozen=True)
class Held:
    """Numbers in all that may hold them; `curve` is the same for all samples."""

    one: Numbers
    named: dict[str, tuple[Numbers, float]]
    curve: Numbers


def test_whatever_holds_them_only_samples_that_differ_are_given_and_all_are_told():
    given = list[Held]()
    whole = Held(np.array([1.0, 1.0, 2.0, 1.0]), {"b": (np.array([5.0, 6.0, 5.0, 6.0]), 7.0)}, np.ones((2, 3)))

    def made(some: Held) -> tuple[Numbers, dict[str, Numbers]]:
        given.append(some)
        return some.one + some.named["b"][0], {"curves": some.one[:, None] * some.curve[0]}

    total, more = once_each(4, whole, made)

    assert given[0].one.tolist() == [1, 1, 2]
    assert given[0].named["b"][0].tolist() == [5, 6, 5]
    assert given[0].curve.shape == (2, 3)
    assert total.tolist() == [6, 7, 7, 7]
    np.testing.assert_array_equal(more["curves"], whole.one[:, None] * np.ones(3))
