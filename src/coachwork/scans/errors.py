"""What a scan can be refused for, and what a finder says when it does not know."""

from __future__ import annotations

from coachwork.errors import CoachworkError


class ScanRefused(CoachworkError):
    """A mesh file that cannot be read, or holds nothing that could be a shell."""


class Unsure(CoachworkError):
    """The mesh was read, but not recognised; says what to give instead."""
