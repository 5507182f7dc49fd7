"""Fields that a result keeps for other studies and not for readers of the JSON."""

from dataclasses import dataclass, field

import numpy as np

from coachwork.confidence.json_form import plain


@dataclass(frozen=True)
class Kept:
    """A result with something bulky beside its answer."""

    answer_mm: np.ndarray
    bulk: object = field(metadata={"json": False})


def test_a_field_marked_so_is_left_out_and_needs_no_plain_form():
    assert plain(Kept(answer_mm=np.array([2.5]), bulk=object())) == {"answer_mm": 2.5}
