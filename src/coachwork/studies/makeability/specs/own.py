"""A part that the builder drew: where its file is, how it lies in the chassis frame, and which holes it should have."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from coachwork.build import Numbers, require
from coachwork.build.sections.parts.own import Drawn
from coachwork.studies.makeability.specs.axles import rear_axle_x
from coachwork.studies.makeability.specs.holes import WAYS, HoleSpec, drilled, screw_of
from coachwork.studies.makeability.specs.plain import number, round_all
from coachwork.studies.makeability.specs.tables import PartTables
from coachwork.studies.parts import CannotBe
from coachwork.studies.solids import Latch, Pad, Vector

AXES = {"x": (1.0, 0.0, 0.0), "-x": (-1.0, 0.0, 0.0), "y": (0.0, 1.0, 0.0), "-y": (0.0, -1.0, 0.0),
        "z": (0.0, 0.0, 1.0)}  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class OwnSpec:
    """The file, and rows (x, y, z, shift) that carry its points to the part's frame: the chassis frame.

    mirrored : the file shows its fellow on the left, and this is that one's mirror image
    """

    name: str
    step: str
    chassis_from_file: tuple[tuple[float, ...], ...]
    holes: tuple[HoleSpec, ...]
    pads: tuple[Pad, ...] = ()
    latches: tuple[Latch, ...] = ()
    mirrored: bool = False

    def mirror(self) -> OwnSpec:
        """The same on the right: all that is named of it, y turned round; the solid follows."""
        return replace(
            self, mirrored=True,
            holes=tuple(replace(h, at_mm=_across(h.at_mm), axis=_across(h.axis)) for h in self.holes),
            pads=tuple(replace(p, centre_mm=_across(p.centre_mm), normal=_across(p.normal), along=_across(p.along))
                       for p in self.pads),
            latches=tuple(replace(each, root_mm=_across(each.root_mm), along=_across(each.along),
                                  bends=_across(each.bends)) for each in self.latches),
        )  # fmt: skip


def _across(values: Vector) -> Vector:
    x, y, z = values
    return x, -y + 0.0, z


BOTH_SIDES = ("-arms", "-carriers")
BEARS_ON = {"chassis": "battery-door", "battery-door": "chassis"}
ALONG: dict[str, Vector] = {"x": (1.0, 0.0, 0.0), "y": (0.0, 1.0, 0.0), "z": (0.0, 0.0, 1.0)}


def _pads(name: str, key: str, own: Drawn) -> Iterator[Pad]:
    for label, pad in own.pads.items():
        require(pad.at, pad.length, pad.width)
        normal, along = WAYS[pad.faces], ALONG[pad.along]
        if any(a * b for a, b in zip(normal, along, strict=True)):
            raise CannotBe(f"{key}.pads.{label}: its length lies along {pad.along}, the way that its face looks")
        yield Pad(
            name=label, against=BEARS_ON.get(name, ""), centre_mm=_v(pad.at.mm[0]), normal=normal, along=along,
            length_mm=number(pad.length), width_mm=number(pad.width), carries="shear" if pad.held else "normal",
        )  # fmt: skip


def _latches(key: str, own: Drawn) -> Iterator[Latch]:
    for label, latch in own.latches.items():
        require(latch.root, latch.length, latch.thickness, latch.width, latch.pushed)
        along, bends = WAYS[latch.runs], WAYS[latch.bends]
        if any(a * b for a, b in zip(along, bends, strict=True)):
            raise CannotBe(f"{key}.latches.{label}: it cannot bend along its own length")
        yield Latch(
            name=label, root_mm=_v(latch.root.mm[0]), along=along, bends=bends, length_mm=number(latch.length),
            thickness_mm=number(latch.thickness), width_mm=number(latch.width), deflection_mm=number(latch.pushed),
        )  # fmt: skip


def _v(values: Numbers) -> Vector:
    x, y, z = (round(float(value), 4) for value in values)
    return x, y, z


def own_spec(tables: PartTables, name: str, key: str, own: Drawn) -> OwnSpec:
    """Where one drawing serves both sides, such as arms, it is the left one. Raises NotMeasured and CannotBe."""
    require(own.datum)
    forward, up = np.array(AXES[own.file_forward]), np.array(AXES[own.file_up])
    if abs(float(forward @ up)) > 0.5:
        raise CannotBe(f"{key}.file-up and file-forward name the same axis")
    turn = np.array([forward, np.cross(up, forward), up])
    shift = -turn @ own.datum.mm[0]
    holes = [drilled(hole, held, f"{key}.holes.{hole}") for hole, held in own.holes.items()]
    if name == "chassis":
        chassis = tables.parts.chassis
        screw = screw_of(chassis.bolt_screw, "parts.chassis.bolt-screw")
        for end, bolts, axle in (
            ("front", chassis.front_bolts, 0.0),
            ("rear", chassis.rear_bolts, rear_axle_x(tables) if chassis.rear_bolts else 0.0),
        ):
            for bolt, at in bolts.items():
                require(at.x, at.y)
                holes.append(
                    HoleSpec(name=f"{end}-bolts.{bolt}", at_mm=(round(axle + number(at.x), 4), number(at.y), 0.0),
                             axis=(0.0, 0.0, 1.0), diameter_mm=screw.medium_mm, purpose="clearance", screw=screw.name)
                )  # fmt: skip
    rows = np.column_stack([turn, shift])
    spec = OwnSpec(name=name, step=own.step.strip(), chassis_from_file=round_all(rows), holes=tuple(holes),
                   pads=tuple(_pads(name, key, own)), latches=tuple(_latches(key, own)))  # fmt: skip
    return spec.mirror() if key.endswith(BOTH_SIDES) and name.endswith("-right") else spec
