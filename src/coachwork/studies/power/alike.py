"""Samples that are alike in all that a drive hangs on are driven once: of the numbers a build is weighed by, most are
none of the drive's.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np

from coachwork.studies.alike import kinds_of
from coachwork.studies.power.driven import Drive, Happening
from coachwork.studies.power.setup import Setup
from coachwork.studies.power.vehicle import taken


def once_each(setup: Setup, drive: Callable[[Setup], Drive]) -> Drive:
    """The drive of all samples, of which only those are driven that differ."""
    firsts, whose = kinds_of(setup.samples, setup)
    some = drive(taken(setup, firsts))
    happenings = tuple(
        Happening(second=one.second, sample=sample, trip=one.trip, resets=one.resets)
        for one in some.happenings
        for sample in np.flatnonzero(whose == one.sample).tolist()
    )
    return replace(taken(replace(some, happenings=(), trace=None), whose), happenings=happenings)
