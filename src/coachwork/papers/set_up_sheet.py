"""The set-up sheet: lengths, angles and heights as planned or computed, each with room for what is measured."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from coachwork.build.sections.changes import ChangedEnd, Changes
from coachwork.build.sections.corner import End, EndName
from coachwork.build.sections.gearing import Gearing
from coachwork.build.sections.pack import Pack
from coachwork.build.sections.running_gear import RunningGear
from coachwork.build.sections.springing import fitted_damper, fitted_spring
from coachwork.papers import cautions
from coachwork.papers.rods import ENDS, rods_of
from coachwork.papers.sheet import Block, Caution, Cell, Gap, Heading, Sheet, Table, Words, WriteIn
from coachwork.papers.subject import Subject
from coachwork.studies.balance.result import BalanceResult
from coachwork.studies.driveline.result import DrivelineResult
from coachwork.studies.linkage.result import EndResult, Variant
from coachwork.studies.parts import Blocked, Missing, Part, is_missing
from coachwork.studies.stance.result import StanceResult

NOT_YET = "not known yet"


@dataclass(frozen=True, kw_only=True)
class Setting:
    """One line: what, what it should be, and where that comes from."""

    what: str
    value: str
    origin: str
    unit: str
    sides: bool = True  # one reading a side


def set_up_sheet(of: Subject) -> Sheet:
    """End by end, then what is common to both."""
    blocks: list[Block] = [
        Words(
            "Set it on a flat board, ready to drive, pack in. Press each end down and let it come up before you read. "
            "Left and right are the vehicle's own. Camber: positive when the top leans out. Toe: of one wheel, "
            "positive when its front edge points in (ISO 8855)."
        ),
        Caution(f"{cautions.SPINNING} {cautions.SPRINGS}"),
    ]
    for end in ENDS:
        blocks.append(Heading(f"{end.capitalize()} end"))
        settings = list(_end(of, end))
        if not any(one.origin.startswith("computed") and one.value != NOT_YET for one in settings):
            blocks.append(Gap(f"The {end} end is not known yet.", "See the measuring sheet for what it lacks."))
        blocks.append(_table(of, settings))
    blocks += [Heading("The whole vehicle"), _table(of, list(_whole(of)))]
    return Sheet(
        name="set-up-sheet",
        title=f"Set-up sheet: {of.name}",
        about="What everything should be set to, and what it came to.",
        blocks=tuple(blocks),
    )


def _table(of: Subject, settings: list[Setting]) -> Table:
    rows: list[tuple[Cell, ...]] = [
        (one.what, one.value, one.origin, WriteIn(unit=one.unit), WriteIn(unit=one.unit) if one.sides else "")
        for one in settings
    ]
    return Table(
        heads=("setting", "should be", "from", "left, or only", "right"),
        rows=tuple(rows),
        widths=(2.7, 1.9, 2.2, 1.6, 1.6),
    )


def _end(of: Subject, end: EndName) -> Iterator[Setting]:
    yield from _heights(of, end)
    yield from _angles(of, end)
    yield from _lengths(of, end)
    yield from _springs(of, end)


def _length(
    of: Subject, what: str, part: Part[np.ndarray], origin: str, *, sides: bool = True, decimals: int = 1
) -> Setting:
    value = NOT_YET if is_missing(part) else of.units.length(float(part.flat[0]), decimals=decimals)
    return Setting(what=what, value=value, origin=origin, unit=of.units.unit, sides=sides)


def _lacking(part: Missing | Blocked) -> str:
    return "cannot be: see the report" if isinstance(part, Blocked) else "wants numbers: see the measuring sheet"


def _heights(of: Subject, end: EndName) -> Iterator[Setting]:
    stance: StanceResult = of.result("stance")
    balance: BalanceResult = of.result("balance")
    one = stance.ends[end]
    yield _length(of, "ride height, ground to underside", one.ride_height_mm, "planned")
    ride = balance.ride[end]
    if not is_missing(ride):
        yield _length(of, "where its springs let it stand", ride.stands_mm, "computed: balance")
    yield _length(of, "wheel centre over the ground", one.axle_height_mm, "computed: stance")
    yield _length(of, "sill over the ground", one.sill if is_missing(one.sill) else one.sill.over_ground_mm, "stance")
    yield _length(
        of,
        "track, tyre middle to tyre middle",
        one.track if is_missing(one.track) else one.track.model_mm,
        "computed: stance",
        sides=False,
    )
    yield _length(of, "tyre diameter", one.tyre if is_missing(one.tyre) else one.tyre.model_mm, f"wheels {one.wheel}")


def _angles(of: Subject, end: EndName) -> Iterator[Setting]:
    found = getattr(of.result("linkage"), end)
    if not isinstance(found, EndResult):
        yield Setting(what="camber and toe", value="fixed by the axle", origin="live axle", unit="deg")
        return
    wanted = found.wanted
    yield _degrees("camber wanted", float(wanted.camber_rad.flat[0]), "planned")
    yield _degrees("toe wanted", float(wanted.toe_rad.flat[0]), "planned")
    if is_missing(found.changed):
        yield Setting(
            what="camber, toe and kingpin as built", value=NOT_YET, origin=_lacking(found.changed), unit="deg"
        )
        return
    variant: Variant = found.changed
    left = variant.left
    at = (0, left.ride, left.straight)
    yield _degrees("camber as its links give it", float(left.camber_rad[at]), "computed: linkage")
    yield _degrees("toe as its rods give it", -float(left.steer_rad[at]), "computed: linkage")
    if not is_missing(variant.ground) and variant.ground.kingpin is not None:
        kingpin = variant.ground.kingpin
        yield _degrees("caster", float(kingpin.caster_rad[at]), "computed: linkage")
        yield _degrees("kingpin inclination", float(kingpin.inclination_rad[at]), "computed: linkage")
        yield _length(of, "scrub radius", kingpin.scrub_radius_mm[at].reshape(1), "computed: linkage")
        yield _length(of, "trail", kingpin.trail_mm[at].reshape(1), "computed: linkage")
    if found.steered and not is_missing(variant.lock):
        inner, outer = (
            abs(float(np.degrees(angle.flat[0]))) for angle in (variant.lock.inner_rad, variant.lock.outer_rad)
        )
        yield Setting(
            what="full lock, inner and outer wheel",
            value=f"{inner:z.1f} and {outer:z.1f} deg",
            origin="computed: linkage",
            unit="deg",
        )
    if found.steered and not is_missing(variant.turn):
        yield _length(
            of,
            "turning circle, kerb to kerb",
            variant.turn.kerb_to_kerb_mm,
            "computed: linkage",
            sides=False,
            decimals=0,
        )


def _degrees(what: str, rad: float, origin: str) -> Setting:
    value = f"{float(np.degrees(rad)):z.1f} deg" if np.isfinite(rad) else NOT_YET
    return Setting(what=what, value=value, origin=origin, unit="deg")


def _lengths(of: Subject, end: EndName) -> Iterator[Setting]:
    planned = {rod.key: rod for rod in rods_of(of)}
    bought: End = getattr(of.build[RunningGear], end)
    for what, name in (
        ("camber link", "camber-link-length"),
        ("tie-rod", "tie-rod-length"),
        ("drive shaft", "shaft-length"),
    ):
        old = getattr(bought, name.replace("-", "_"))
        rod = planned.get(f"changes.{end}.{name}")
        between = "pin to pin" if what == "drive shaft" else "ball to ball"
        if rod is not None and rod.length_mm is not None:
            proposed = (
                f"; the study would have {of.units.length(rod.proposed_mm, decimals=2)}"
                if (rod.proposed_mm is not None)
                else ""
            )
            yield Setting(
                what=f"{what}, {between}",
                value=of.units.length(rod.length_mm, decimals=2),
                origin=f"planned{proposed}",
                unit=of.units.unit,
            )
        elif old.given:
            yield Setting(
                what=f"{what}, {between}",
                value=of.units.length(float(old.mm[0]), decimals=2),
                origin="as bought",
                unit=of.units.unit,
            )


def _springs(of: Subject, end: EndName) -> Iterator[Setting]:
    bought: End = getattr(of.build[RunningGear], end)
    change: ChangedEnd = getattr(of.build[Changes], end)
    balance: BalanceResult = of.result("balance")
    spring = fitted_spring(planned=change.spring, bought=bought.spring)
    damper = fitted_damper(planned=change.damper, bought=bought.damper)
    if spring.rate.measured is not None:
        yield Setting(
            what="spring rate", value=of.units.rating(spring.rate.measured), origin="planned or as bought", unit="N/mm"
        )
    if spring.fitted_length.given:
        ride = balance.ride[end]
        more = ""
        if not is_missing(ride) and abs(float(ride.collar_mm[0])) >= 0.2:
            by = float(ride.collar_mm[0])
            more = f"; for the wanted height {of.units.length(abs(by))} {'more' if by > 0 else 'less'} preload"
        yield Setting(
            what="spring as fitted, rod right out",
            origin=f"planned or as bought{more}",
            unit=of.units.unit,
            value=of.units.length(float(spring.fitted_length.mm[0])),
        )
    if damper.length_out.given:
        yield Setting(
            what="damper eye to eye, rod right out",
            origin="planned or as bought",
            unit=of.units.unit,
            value=of.units.length(float(damper.length_out.mm[0])),
        )
    if damper.oil.measured is not None:
        yield Setting(
            what="damper oil", value=f"{damper.oil.measured.value:.0f} cSt", origin="planned or as bought", unit="cSt"
        )


def _whole(of: Subject) -> Iterator[Setting]:
    stance: StanceResult = of.result("stance")
    balance: BalanceResult = of.result("balance")
    driveline: DrivelineResult = of.result("driveline")
    bases = stance.wheelbase
    yield _length(
        of, "wheelbase, axle line to axle line", bases if is_missing(bases) else bases.axles_mm, "computed: stance"
    )
    stood = balance.stood
    if is_missing(stood):
        yield Setting(what="weight on each wheel", value=NOT_YET, origin=_lacking(stood), unit="g")
    else:
        yield from _corners(of, balance)
    if not is_missing(driveline.mesh):
        mesh = driveline.mesh
        yield _length(
            of, "pinion to spur, shaft to shaft", mesh.centres_mm, "computed: driveline", sides=False, decimals=2
        )
    changes, gearing = of.build[Changes], of.build[Gearing]
    for what, new, old in (
        ("pinion", changes.pinion_teeth, gearing.pinion_teeth),
        ("spur", changes.spur_teeth, gearing.spur_teeth),
    ):
        teeth = new if new.given else old
        if teeth.given:
            yield Setting(
                what=f"{what}, teeth",
                value=f"{float(teeth.count[0]):.0f}",
                unit="teeth",
                sides=False,
                origin="planned" if new.given else "as bought",
            )
    pack = of.build[Pack]
    if pack.voltage.measured is not None:
        yield Setting(
            what="pack at rest, charged",
            value=of.units.rating(pack.voltage.measured),
            origin="measured",
            unit="V",
            sides=False,
        )


def _corners(of: Subject, balance: BalanceResult) -> Iterator[Setting]:
    stood = balance.stood
    assert not is_missing(stood)
    mass = float(stood.weight.mass_g[0])
    front, left = float(stood.front_share[0]), float(stood.left_share[0])
    for end, share in (("front", front), ("rear", 1 - front)):
        sides = [mass * share * left, mass * share * (1 - left)]
        value = " and ".join(of.units.value(one, "g", f"{one:.0f} g") for one in sides)
        yield Setting(
            what=f"weight on the {end} wheels, left and right", value=value, origin="computed: balance", unit="g"
        )
