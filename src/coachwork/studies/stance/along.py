"""Along the vehicle: axles under arches, and what a stretch asks of shaft or belt. Lengths in mm, arrays (samples,)."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from coachwork.build import NotMeasured, Numbers, require
from coachwork.build.sections.changes import Changes
from coachwork.build.sections.outline import Arch, Shell
from coachwork.build.sections.running_gear import RunningGear
from coachwork.studies.result import Result
from coachwork.studies.stance.axle import Axle, or_nothing


@dataclass(frozen=True, kw_only=True, eq=False)
class Wheelbase(Result):
    """The donor's wheelbase, stretched, against the shell's arches."""

    bought_mm: Numbers
    stretch_mm: Numbers
    arches_mm: Numbers

    @property
    def axles_mm(self) -> Numbers:
        """Axle line to axle line, as changed."""
        return self.bought_mm + self.stretch_mm

    @property
    def off_mm(self) -> Numbers:
        """Positive: the axles are further apart than the arches."""
        return self.axles_mm - self.arches_mm

    @property
    def needed_stretch_mm(self) -> Numbers:
        """The stretch that puts both axles under their arches."""
        return self.arches_mm - self.bought_mm


def wheelbase(shell: Shell, gear: RunningGear, changes: Changes) -> Wheelbase:
    """Raises NotMeasured."""
    require(gear.wheelbase, *(() if shell.wheelbase.known else (shell.wheelbase,)))
    return Wheelbase(bought_mm=gear.wheelbase.mm, stretch_mm=or_nothing(changes.stretch), arches_mm=shell.wheelbase.mm)


@dataclass(frozen=True, kw_only=True, eq=False)
class ArchPair(Result):
    """The two arches over one axle, from the shell's nose."""

    left_mm: Numbers
    right_mm: Numbers

    @property
    def off_mm(self) -> Numbers:
        """Positive: the left one is further back."""
        return self.left_mm - self.right_mm


def arch_pair(arch: Arch) -> ArchPair:
    """Raises NotMeasured."""
    require(arch.from_nose_left, arch.from_nose_right)
    return ArchPair(left_mm=arch.from_nose_left.mm, right_mm=arch.from_nose_right.mm)


@dataclass(frozen=True, kw_only=True, eq=False)
class ArchesApart(Result):
    """Front to rear arch on each side against the wheelbase measured on the shell: three readings of one distance."""

    front: ArchPair
    rear: ArchPair
    wheelbase_mm: Numbers

    @property
    def off_left_mm(self) -> Numbers:
        """Positive: the left arches are further apart than the wheelbase."""
        return self.rear.left_mm - self.front.left_mm - self.wheelbase_mm

    @property
    def off_right_mm(self) -> Numbers:
        """Positive: the right arches are further apart than the wheelbase."""
        return self.rear.right_mm - self.front.right_mm - self.wheelbase_mm

    @property
    def off_mm(self) -> Numbers:
        """The worse side's."""
        left, right = np.broadcast_arrays(self.off_left_mm, self.off_right_mm)
        return np.where(np.abs(left) >= np.abs(right), left, right)


def arches_apart(front: ArchPair, rear: ArchPair, shell: Shell) -> ArchesApart:
    """Raises NotMeasured."""
    return ArchesApart(front=front, rear=rear, wheelbase_mm=shell.wheelbase.mm)


@dataclass(frozen=True, kw_only=True, eq=False)
class InArch(Result):
    """An axle under its arches; the gaps fore and aft of the tyre at the height of the wheel's centre."""

    off_mm: Numbers  # positive: the axle is ahead of the arch's centre

    def gap_mm(self, *, opening_mm: Numbers, tyre_mm: Numbers) -> Numbers:
        """The smaller of the two gaps."""
        return opening_mm / 2 - np.abs(self.off_mm) - tyre_mm / 2


def front_in_arch(changes: Changes) -> InArch:
    """The front axle is where the chassis frame begins; the body is set over it."""
    return InArch(off_mm=0.0 - changes.front_arch_from_axle.mm)


def rear_in_arch(base: Wheelbase, front: InArch) -> InArch:
    """Front to rear, axles and arches part company by what the wheelbases differ."""
    return InArch(off_mm=front.off_mm - base.off_mm)


@dataclass(frozen=True, kw_only=True, eq=False)
class ForeAft(Result):
    """Room for the tyre in its arch's opening."""

    gap_mm: Numbers
    opening_mm: Numbers
    tyre_mm: Numbers
    off_mm: Numbers


def fore_aft(axle: Axle, place: InArch) -> ForeAft:
    """Raises NotMeasured."""
    require(axle.opening, axle.wheel.tyre_diameter)
    opening, tyre = axle.opening.mm, axle.wheel.tyre_diameter.mm
    gap = place.gap_mm(opening_mm=opening, tyre_mm=tyre)
    return ForeAft(gap_mm=gap, opening_mm=opening, tyre_mm=tyre, off_mm=place.off_mm)


@dataclass(frozen=True, kw_only=True, eq=False)
class CentreShaft(Result):
    """The centre shaft between the two ends."""

    bought_mm: Numbers
    length_mm: Numbers  # as changed
    stretch_mm: Numbers
    plunge_mm: Numbers  # end to end

    @property
    def needed_mm(self) -> Numbers:
        """The ends move apart by the stretch, and the shaft's joints with them."""
        return self.bought_mm + self.stretch_mm

    @property
    def off_mm(self) -> Numbers:
        """Positive: the shaft is too long."""
        return self.length_mm - self.needed_mm


def more_teeth(*, stretch_mm: Numbers, pitch_mm: Numbers) -> Numbers:
    """The whole number of teeth that comes nearest to a stretch; both runs of a belt grow with it."""
    return np.asarray(np.round(2 * stretch_mm / pitch_mm))


@dataclass(frozen=True, kw_only=True, eq=False)
class Belt(Result):
    """The centre belt: it only comes in whole teeth."""

    pitch_mm: Numbers
    bought_teeth: Numbers
    teeth: Numbers  # as changed
    stretch_mm: Numbers
    take_up_mm: Numbers  # of the tensioner, end to end, axle to axle

    @property
    def off_mm(self) -> Numbers:
        """What the tensioner has to make up, axle to axle; positive: the belt is too short.

        Both runs of a belt grow with the stretch, so one tooth more is worth half a pitch. Exact for pulleys of one
        size; a difference of sizes changes the share of a stretch by the cosine of a few degrees.
        """
        return self.stretch_mm - (self.teeth - self.bought_teeth) * self.pitch_mm / 2

    @property
    def nearest_teeth(self) -> Numbers:
        """The whole number of teeth that comes nearest to the stretch."""
        return self.bought_teeth + more_teeth(stretch_mm=self.stretch_mm, pitch_mm=self.pitch_mm)

    @property
    def left_over_mm(self) -> Numbers:
        """What the tensioner has to make up with that belt."""
        return self.stretch_mm - (self.nearest_teeth - self.bought_teeth) * self.pitch_mm / 2

    def even_stretches_mm(self, *, even_teeth_only: bool = False) -> tuple[Numbers, Numbers]:
        """The stretches next below and above that come out in whole teeth, or in even numbers of teeth."""
        step = 2 if even_teeth_only else 1
        wanted = self.bought_teeth + 2 * self.stretch_mm / self.pitch_mm
        below, above = step * np.floor(wanted / step), step * np.ceil(wanted / step)
        return (below - self.bought_teeth) * self.pitch_mm / 2, (above - self.bought_teeth) * self.pitch_mm / 2


DriveKind = Literal["shaft", "belt", "none"]


def drive(gear: RunningGear, changes: Changes) -> CentreShaft | Belt | None:
    """What carries the drive from end to end, stretched; None where nothing does. Raises NotMeasured."""
    if gear.drive is None:
        raise NotMeasured(["running-gear.drive"])
    if gear.drive == "none":
        return None
    stretch = or_nothing(changes.stretch)
    if gear.drive == "belt":
        require(gear.belt_pitch, gear.belt_teeth, gear.belt_take_up)
        teeth = changes.belt_teeth if changes.belt_teeth.given else gear.belt_teeth
        return Belt(pitch_mm=gear.belt_pitch.mm, bought_teeth=gear.belt_teeth.count, teeth=teeth.count,
                    stretch_mm=stretch, take_up_mm=gear.belt_take_up.mm)  # fmt: skip
    require(gear.centre_shaft_length, gear.centre_shaft_plunge)
    length = changes.centre_shaft_length if changes.centre_shaft_length.given else gear.centre_shaft_length
    return CentreShaft(bought_mm=gear.centre_shaft_length.mm, length_mm=length.mm, stretch_mm=stretch,
                       plunge_mm=gear.centre_shaft_plunge.mm)  # fmt: skip
