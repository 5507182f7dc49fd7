"""Donors ranked by the parts that would have to be made to put their wheels under this shell's arches."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from coachwork.build import NotMeasured, Numbers, require
from coachwork.build.sections.candidates import Candidate
from coachwork.build.sections.changes import Changes
from coachwork.build.sections.corner import EndName
from coachwork.build.sections.running_gear import RunningGear
from coachwork.studies.parts import Part
from coachwork.studies.result import Result
from coachwork.studies.stance.across import hub_face_mm, wanted_track_mm
from coachwork.studies.stance.along import DriveKind, more_teeth
from coachwork.studies.stance.axle import ENDS, Axle, or_nothing
from coachwork.studies.wording import first

# Closer than this a wheel stands right as it is; common practice, no source.
NEAR_ENOUGH_MM = 1.0
# Wheels and spacers to be bought move a wheel this far; more needs arms. Common practice, no source.
WHEELS_REACH_MM = 5.0
# Two arms, two drive shafts, two camber links, two tie-rods (or toe links).
PARTS_OF_NEW_ARMS = 8


@dataclass(frozen=True, kw_only=True, eq=False)
class Offer(Result):
    """A donor's few numbers."""

    name: str
    wheelbase_mm: Numbers
    hub_faces_mm: Mapping[EndName, Numbers]  # left mounting face to right
    drive: DriveKind
    belt_pitch_mm: Numbers | None


@dataclass(frozen=True, kw_only=True, eq=False)
class Work(Result):
    """What a donor would need; arrays (samples,).

    stretch_mm : of the wheelbase       outward_mm : of each wheel, by end
    parts      : to make or have made   total_mm   : all moves added up, to rank donors with as many parts
    """

    offer: Offer
    stretch_mm: Numbers
    outward_mm: Mapping[EndName, Numbers]

    @property
    def stretched(self) -> Numbers:
        """Whether the wheelbase has to change, 1 or 0."""
        return np.where(np.abs(self.stretch_mm) > NEAR_ENOUGH_MM, 1.0, 0.0)

    @property
    def parts(self) -> Numbers:
        """The spine, shaft or belt with it, and a set for each axle that needs arms."""
        between = 1.0 if self.offer.drive == "none" else 2.0
        armed = [np.where(np.abs(outward) > WHEELS_REACH_MM, 1.0, 0.0) for outward in self.outward_mm.values()]
        return np.asarray(between * self.stretched + PARTS_OF_NEW_ARMS * np.sum(np.broadcast_arrays(*armed), axis=0))

    @property
    def total_mm(self) -> Numbers:
        """Moves of axles and wheels."""
        wheels = [2 * np.abs(outward) for outward in self.outward_mm.values()]
        return np.asarray(np.abs(self.stretch_mm) + np.sum(np.broadcast_arrays(*wheels), axis=0))

    def jobs(self) -> Iterator[str]:
        """The first sample's work, a phrase a job."""
        stretch = float(self.stretch_mm.flat[0])
        if self.stretched.flat[0]:
            yield f"{'stretch' if stretch > 0 else 'shorten'} the wheelbase by {abs(stretch):.1f} mm: a new spine"
            if self.offer.drive == "shaft":
                yield f"a centre shaft {abs(stretch):.1f} mm {'longer' if stretch > 0 else 'shorter'}"
            if self.offer.drive == "belt":
                yield _belt(self.stretch_mm, self.offer.belt_pitch_mm)
        for end, outward in self.outward_mm.items():
            by = float(outward.flat[0])
            way = "further out" if by > 0 else "further in"
            if abs(by) > WHEELS_REACH_MM:
                how = f"arms, shafts, camber links and tie-rods ({PARTS_OF_NEW_ARMS} parts)"
                yield f"{end} wheels {abs(by):.1f} mm {way}: {how}"
            elif abs(by) > NEAR_ENOUGH_MM:
                how = "wheels of less inset, or spacers" if by > 0 else "wheels of more inset"
                yield f"{end} wheels {abs(by):.1f} mm {way}: {how}"


def _belt(stretch_mm: Numbers, pitch_mm: Numbers | None) -> str:
    assert pitch_mm is not None  # a belt's pitch is asked for with it
    teeth = round(first(more_teeth(stretch_mm=stretch_mm, pitch_mm=pitch_mm)))
    left_over = first(stretch_mm) - teeth * first(pitch_mm) / 2
    return f"a belt of {abs(teeth)} teeth {'more' if teeth > 0 else 'less'} ({left_over:+z.1f} mm left over)"


def of_candidate(name: str, candidate: Candidate) -> Offer:
    """Raises NotMeasured."""
    _require_drive(candidate.drive, f"candidates.{name}.drive")
    belt = [candidate.belt_pitch] if candidate.drive == "belt" else []
    require(candidate.wheelbase, candidate.hub_faces_front, candidate.hub_faces_rear, *belt)
    return Offer(
        name=name, wheelbase_mm=candidate.wheelbase.mm, drive=candidate.drive or "none",
        hub_faces_mm={"front": candidate.hub_faces_front.mm, "rear": candidate.hub_faces_rear.mm},
        belt_pitch_mm=candidate.belt_pitch.mm if belt else None,
    )  # fmt: skip


def of_running_gear(gear: RunningGear, changes: Changes, axles: Mapping[EndName, Axle]) -> Offer:
    """The donor at hand, with the changes already planned for it, which count as decided. Raises NotMeasured."""
    _require_drive(gear.drive, "running-gear.drive")
    belt = [gear.belt_pitch] if gear.drive == "belt" else []
    require(gear.wheelbase, *belt)
    faces = {end: 2 * (hub_face_mm(one) + or_nothing(one.changed.hub_spacer)) for end, one in axles.items()}
    return Offer(
        name="the running gear you have", wheelbase_mm=gear.wheelbase.mm + or_nothing(changes.stretch),
        drive=gear.drive or "none", hub_faces_mm=faces,
        belt_pitch_mm=gear.belt_pitch.mm if belt else None,
    )  # fmt: skip


def _require_drive(kind: DriveKind | None, key: str) -> None:
    if kind is None:
        raise NotMeasured([key])


def wanted_hub_faces_mm(axle: Axle) -> Numbers:
    """Mounting face to mounting face that would put these wheels right under this shell. Raises NotMeasured."""
    require(axle.arch.across, axle.wheel.tyre_width, axle.tuck)
    track = wanted_track_mm(
        lip_mm=axle.arch.across.mm / 2, tuck_mm=axle.tuck.mm, tyre_width_mm=axle.wheel.tyre_width.mm
    )
    return track + 2 * axle.wheel.inset_mm()


def work(offer: Offer, arches_mm: Numbers, hub_faces_mm: Mapping[EndName, Numbers]) -> Work:
    """From a donor's numbers and what the shell wants."""
    outward: dict[EndName, Numbers] = {end: (hub_faces_mm[end] - offer.hub_faces_mm[end]) / 2 for end in ENDS}
    return Work(offer=offer, stretch_mm=arches_mm - offer.wheelbase_mm, outward_mm=outward)


@dataclass(frozen=True, kw_only=True, eq=False)
class Ranking(Result):
    """Donors, least work first (by the first sample); those that lack a number are not ranked.

    own : the running gear at hand
    """

    ranked: tuple[Work, ...]
    own: Part[Work]
    unranked: Mapping[str, tuple[str, ...]]  # name -> keys it lacks

    @property
    def parts_saved(self) -> Numbers:
        """Parts that the best candidate saves over the running gear at hand; nought where none is better."""
        assert isinstance(self.own, Work)
        fewest = np.min(np.stack(np.broadcast_arrays(*(one.parts for one in self.ranked))), axis=0)
        return np.asarray(np.maximum(self.own.parts - fewest, 0.0))
