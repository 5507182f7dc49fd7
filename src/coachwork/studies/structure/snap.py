"""A cantilever snap while it closes: the strain at its root."""

from __future__ import annotations


def closing_strain(*, deflection_mm: float, thickness_mm: float, length_mm: float) -> float:
    """Of a beam of even thickness whose tip is pushed aside: 3/2 x deflection x thickness / length^2.

    A root that gives bends less: this is on the safe side, by some 10 to 30 % on a wall of the beam's own thickness.
    Source: beam theory (Roark), as in all snap-fit design guides.

    >>> round(closing_strain(deflection_mm=1.2, thickness_mm=2.0, length_mm=20.0), 4)
    0.009
    """
    return 1.5 * deflection_mm * thickness_mm / length_mm**2


def length_for_mm(*, strain: float, deflection_mm: float, thickness_mm: float) -> float:
    """The beam that is strained so much.

    >>> round(length_for_mm(strain=0.009, deflection_mm=1.2, thickness_mm=2.0), 1)
    20.0
    """
    return float((1.5 * deflection_mm * thickness_mm / strain) ** 0.5)
