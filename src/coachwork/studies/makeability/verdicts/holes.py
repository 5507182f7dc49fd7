"""Holes and seats: where they are, how wide they come out, whether a driver reaches them."""

from __future__ import annotations

from coachwork.studies.finding import Place, Told
from coachwork.studies.makeability.result import Checked, Spot
from coachwork.studies.makeability.seats import LEFT_TO_REAM_MM, Seat
from coachwork.studies.makeability.verdicts.spots import where

GEOMETRY = "geometry: two bodies cannot be in one place"
ISO_273 = "ISO 273:1979, fine series (from memory)"
ISO_286 = "ISO 286-1:2010, H7; ISO 492:2014, class Normal; the process's spread is common practice"


def places(spot: Spot, checked: Checked, it: str) -> Told:
    """The hole that is farthest from its place."""
    lost = spot.value >= 2.0
    off = "no round hole is found within 2 mm of where" if lost else f"the hole is {spot.value:.2f} mm off where"
    return {
        "value": spot.value, "limit": spot.limit, "tight_within": 0.02, "unit": "mm",
        "why": f"{off} {spot.name} should be; its screw or pin has {spot.limit:.2f} mm to spare",
        "do": (f"move the hole in your drawing by {spot.value:.2f} mm, or the entry in the build file"
               if spot.value > spot.limit else None),
        "where": where(checked, spot), "source": "ISO 273:1979, medium series (from memory): half of hole less screw",
    }  # fmt: skip


def smallest(spot: Spot, checked: Checked, it: str) -> Told:
    """The narrowest hole."""
    return {
        "value": spot.value, "limit": spot.limit, "sense": "at least", "tight_within": 0.05, "unit": "mm",
        "why": f"the smallest hole of {it}, {spot.name}, is drawn {spot.value:.2f} mm; {checked.process.name} keeps "
               f"{spot.limit:.1f} mm open",
        "do": f"draw it {spot.limit:.1f} mm, or drill it afterwards" if spot.value < spot.limit else None,
        "where": where(checked, spot), "source": checked.process.source,
    }  # fmt: skip


def passes(spot: Spot, checked: Checked, it: str) -> Told:
    """The hole that is tightest on its screw."""
    short = spot.limit - spot.value
    return {
        "value": spot.value, "limit": spot.limit, "sense": "at least", "tight_within": 0.02, "unit": "mm",
        "why": f"the hole {spot.name} comes out {spot.value:.2f} mm; its screw needs {spot.limit:.1f} mm",
        "do": f"draw it {short:.2f} mm larger, or drill it to {spot.limit:.1f} mm" if short > 0 else None,
        "where": where(checked, spot), "source": ISO_273,
    }  # fmt: skip


def driver(spot: Spot, checked: Checked, it: str) -> Told:
    """The shortest way before a screw, past the part itself."""
    return {
        "value": spot.value, "limit": spot.limit, "sense": "at least", "unit": "mm",
        "why": f"straight before {spot.name} a driver meets nothing of {it} for {spot.value:.0f} mm; its straight part "
               f"is {spot.limit:.0f} mm long",
        "do": f"turn the screw in from the other side, or move it, until {spot.limit:.0f} mm are free"
              if spot.value < spot.limit else None,
        "where": where(checked, spot), "source": GEOMETRY,
    }  # fmt: skip


def seated(seat: Seat, checked: Checked, it: str) -> Told:
    """Reamed: what is left to ream. As made: half the fit's zone against what the process scatters by."""
    low, high = seat.comes_mm - seat.spread_mm, seat.comes_mm + seat.spread_mm
    fit = (
        f"H7 goes from {seat.ring_mm:.3f} to {seat.ring_mm + seat.zone_mm:.3f} mm, in which the ring has at most "
        f"{1000 * seat.loosest_mm:.0f} thousandths of a mm of play"
    )
    told: Told = {
        "why": f"{it}'s seat {seat.name} comes out {low:.2f} to {high:.2f} mm wide in {checked.process.name}; {fit}",
        "where": Place(part=checked.wanted.name, point_mm=seat.point_mm), "source": ISO_286,
    }  # fmt: skip
    if seat.reamed:
        short = LEFT_TO_REAM_MM - seat.left_mm
        return told | {
            "value": seat.left_mm, "limit": LEFT_TO_REAM_MM, "sense": "at least", "tight_within": 0.02, "unit": "mm",
            "do": f"draw the seat {short:.2f} mm narrower, and ream it to {seat.ring_mm:g} H7" if short > 0 else None,
        }  # fmt: skip
    return told | {
        "value": seat.spread_mm, "limit": seat.zone_mm / 2, "sense": "at most", "tight_within": 0.0, "unit": "mm",
        "do": f'making.seats = "reamed": drawn too narrow, and reamed to {seat.ring_mm:g} H7 by hand'
              if seat.margin_mm < 0 else None,
    }  # fmt: skip
