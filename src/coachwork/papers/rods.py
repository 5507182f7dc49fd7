"""Links, shafts and tubes to cut for the build's changes, with what the studies would rather have."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

import numpy as np

from coachwork.build import Length
from coachwork.build.sections.changes import ChangedEnd, Changes
from coachwork.build.sections.corner import End, EndName
from coachwork.build.sections.envelopes import FIXED, Envelopes
from coachwork.build.sections.keep_outs import KeepOuts
from coachwork.build.sections.parts import Parts
from coachwork.build.sections.running_gear import RunningGear
from coachwork.papers.subject import Subject
from coachwork.papers.told import called
from coachwork.studies.linkage.result import Cure, EndResult, LinkageResult
from coachwork.studies.parts import Part, is_missing
from coachwork.studies.stance.along import CentreShaft
from coachwork.studies.stance.result import StanceResult

ENDS: tuple[EndName, ...] = ("front", "rear")
WORTH_MM = 0.3  # a proposal that differs by less is the same length at the bench
What = Literal["link", "shaft", "tube"]


@dataclass(frozen=True, kw_only=True)
class Rod:
    """One thing to cut, with its twins.

    key         : of the build file, where its length stands or would stand
    length_mm   : as planned, None where nothing is planned and only the study asks for it
    proposed_mm : what the study would rather have, None where it is content or cannot tell
    across_mm   : diameter, where it is known
    measured    : between what
    """

    what: What
    name: str
    key: str
    number: int
    length_mm: float | None
    proposed_mm: float | None = None
    across_mm: float | None = None
    measured: str = ""

    @property
    def told_mm(self) -> float | None:
        """As planned, else as proposed."""
        return self.length_mm if self.length_mm is not None else self.proposed_mm


def rods_of(of: Subject) -> tuple[Rod, ...]:
    """Links, then shafts, then tubes and posts."""
    found = [*_links_and_shafts(of), *_centre_shaft(of), *_tubes(of)]
    order: list[What] = ["link", "shaft", "tube"]
    return tuple(sorted(found, key=lambda rod: order.index(rod.what)))


def _links_and_shafts(of: Subject) -> Iterator[Rod]:
    gear, changes, linkage = of.build[RunningGear], of.build[Changes], of.result("linkage")
    for name in ENDS:
        bought: End = getattr(gear, name)
        changed: ChangedEnd = getattr(changes, name)
        cure = _cure(linkage, name)
        for what, told, field, longer, across, measured in (
            ("link", "camber link", "camber_link_length", "camber_link_longer_mm", bought.link_diameter, "balls"),
            ("link", "tie-rod", "tie_rod_length", "tie_rod_longer_mm", bought.link_diameter, "balls"),
            ("shaft", "drive shaft", "shaft_length", "shaft_longer_mm", bought.shaft_diameter, "pins"),
        ):
            planned: Length = getattr(changed, field)
            old: Length = getattr(bought, field)
            now = _mm(planned) if planned.given else _mm(old) if old.given else None
            by = None if cure is None else _plain(getattr(cure, longer))
            proposed = now + by if now is not None and by is not None and abs(by) >= WORTH_MM else None
            if not planned.given and proposed is None:
                continue
            yield Rod(
                what=what, name=f"{name} {told}", key=f"changes.{name}.{field.replace('_', '-')}", number=2,  # type: ignore[arg-type]
                length_mm=_mm(planned) if planned.given else None, proposed_mm=proposed,
                across_mm=_mm(across) if across.given else None, measured=f"between the centres of its {measured}",
            )  # fmt: skip
        for link, held in changed.links.items():
            if held.length.given:
                yield Rod(
                    what="link", name=f"{name} {called(link)}", key=f"changes.{name}.links.{link}.length", number=1,
                    length_mm=_mm(held.length), measured="between its pivots",
                )  # fmt: skip


def _cure(linkage: LinkageResult, name: EndName) -> Cure | None:
    end = getattr(linkage, name)
    return end.cure if isinstance(end, EndResult) and not is_missing(end.cure) else None


def _plain(part: Part[np.ndarray]) -> float | None:
    return None if is_missing(part) else float(part.flat[0])


def _mm(entry: Length) -> float:
    return float(entry.mm[0])


def _centre_shaft(of: Subject) -> Iterator[Rod]:
    drive, planned = _drive(of), of.build[Changes].centre_shaft_length
    if not isinstance(drive, CentreShaft):
        return
    needed, now = float(drive.needed_mm[0]), float(drive.length_mm[0])
    off = abs(needed - now) >= WORTH_MM
    if planned.given or off:
        yield Rod(
            what="shaft", name="centre shaft", key="changes.centre-shaft-length", number=1,
            length_mm=now if planned.given else None, proposed_mm=needed if off else None,
            measured="between the centres of its pins",
        )  # fmt: skip


def _drive(of: Subject) -> object:
    stance: StanceResult = of.result("stance")
    return stance.drive


def _tubes(of: Subject) -> Iterator[Rod]:
    """But for those that come with the made parts."""
    changes, parts = of.build[Changes], of.build[Parts]
    made_posts = set(parts.posts) if "posts" in parts.made else set()
    for name in ENDS:
        spacer: Length = getattr(changes, name).hub_spacer
        if spacer.given and _mm(spacer) > 0 and f"{name}-hub-spacer" not in parts.made:
            yield Rod(what="tube", name=f"{name} hub spacer", key=f"changes.{name}.hub-spacer", number=2,
                      length_mm=_mm(spacer), measured="thickness")  # fmt: skip
    for post, held in of.build[KeepOuts].each.items():
        if post in made_posts or held.what != "post":
            continue
        if held.z_from.known and held.z_to.known and held.goes_on is None:
            across = min(_mm(held.x_to) - _mm(held.x_from), _mm(held.y_to) - _mm(held.y_from)) if (
                held.x_from.known and held.x_to.known and held.y_from.known and held.y_to.known) else None  # fmt: skip
            yield Rod(what="tube", name=called(post), key=f"keep-outs.{post}", number=1,
                      length_mm=_mm(held.z_to) - _mm(held.z_from), across_mm=across,
                      measured="end to end, its nut included where the keep-out holds it")  # fmt: skip
    for post, part in of.build[Envelopes].each.items():
        if part.kind == "cylinder" and part.on in FIXED and part.axis_from.known and part.axis_to.known:
            along = part.axis_to.mm[0] - part.axis_from.mm[0]
            yield Rod(what="tube", name=called(post), key=f"envelopes.{post}", number=2 if part.mirrored else 1,
                      length_mm=float(np.linalg.norm(along)),
                      across_mm=_mm(part.diameter) if part.diameter.known else None, measured="end to end")  # fmt: skip
