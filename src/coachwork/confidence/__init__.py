"""Spreads through the plan: the chance that each verdict holds, and what to measure next."""

from coachwork.confidence.next_step import NextStep, next_steps
from coachwork.confidence.report import Report, examine, first_look

__all__ = ["NextStep", "Report", "examine", "first_look", "next_steps"]
