"""Every part that the build wants made, with what it is drawn from."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial
from typing import Any, Literal

from coachwork.build.sections.corner import EndName
from coachwork.build.sections.parts.own import Drawn
from coachwork.catalogue.processes import PROCESSES
from coachwork.studies.makeability.specs.arm import arm_spec
from coachwork.studies.makeability.specs.carrier import carrier_spec
from coachwork.studies.makeability.specs.chassis import chassis_spec
from coachwork.studies.makeability.specs.door import door_spec
from coachwork.studies.makeability.specs.own import OwnSpec, own_spec
from coachwork.studies.makeability.specs.plain import fingerprint
from coachwork.studies.makeability.specs.post import bracket_spec, post_spec
from coachwork.studies.makeability.specs.settings import Settings, settings_of
from coachwork.studies.makeability.specs.small import SpacerSpec, housing_spec, jig_spec, marker_spec, spacer_spec
from coachwork.studies.makeability.specs.tables import PartTables
from coachwork.studies.parts import CannotBe, Part, attempt, is_missing, need
from coachwork.studies.wording import called


@dataclass(frozen=True, kw_only=True)
class Wanted:
    """One part to be made. `key` is its table in the build file."""

    name: str
    key: str
    number: str
    spec: Part[Any]
    settings: Part[Settings]

    @property
    def pieces(self) -> int:
        """How many of it the vehicle takes: a hub spacer goes on either side."""
        return 2 if self.name.endswith("-hub-spacer") else 1

    @property
    def fingerprint(self) -> str | None:
        """Of all that the solid follows from; None where it cannot be drawn."""
        if is_missing(self.spec) or is_missing(self.settings):
            return None
        return fingerprint(self.name, type(self.spec).__name__, self.spec, self.settings)


def every_part(tables: PartTables) -> tuple[Wanted, ...]:
    """In the order of the table; numbers run on in that order."""
    wanted = []
    for i, (name, key, own, draw) in enumerate(_asked(tables), start=1):
        number = f"{tables.making.number}-{i:02d}"
        spec: Part[Any] = attempt(own_spec, tables, name, key, own) if own is not None and own.step else attempt(draw)
        settings = attempt(settings_of, tables.making, own, number)
        spec = attempt(_of_process, spec, settings, name)
        wanted.append(Wanted(name=name, key=key, number=number, spec=spec, settings=settings))
    return tuple(wanted)


def _of_process(spec: Part[Any], settings: Part[Settings], name: str) -> Any:
    """The spec, if its process can make such a shape: of what we draw, only a ring is flat. Raises CannotBe."""
    drawn = need(spec)
    process = None if is_missing(settings) else PROCESSES[settings.process]
    if process is not None and process.flat and not isinstance(drawn, SpacerSpec | OwnSpec):
        raise CannotBe(
            f"the {called(name)} is no flat part, and {process.name} makes only flat ones; give it a process"
        )
    return drawn


HANDS: tuple[Literal["left", "right"], ...] = ("left", "right")
PATTERNS: tuple[Literal["front-bolts", "rear-bolts"], ...] = ("front-bolts", "rear-bolts")
Asked = tuple[str, str, Drawn | None, Callable[[], Any]]


def _asked(tables: PartTables) -> Iterator[Asked]:
    parts = tables.parts
    for kind in parts.made:
        match kind:
            case "chassis":
                yield "chassis", "parts.chassis", parts.chassis, partial(chassis_spec, tables)
            case "battery-door":
                yield "battery-door", "parts.battery-door", parts.battery_door, partial(door_spec, tables)
            case "posts":
                for name, post in parts.posts.items():
                    yield f"post-{name}", f"parts.posts.{name}", post, partial(post_spec, tables, name)
                    yield f"bracket-{name}", f"parts.posts.{name}", None, partial(bracket_spec, tables, name)
            case "front-arms" | "rear-arms":
                end: EndName = "front" if kind == "front-arms" else "rear"
                arms = parts.front_arms if end == "front" else parts.rear_arms
                for hand in HANDS:
                    yield (
                        f"{end}-arm-{hand}", f"parts.{kind}", arms,
                        partial(arm_spec, tables, end, hand),
                    )  # fmt: skip
            case "rear-carriers":
                for hand in HANDS:
                    yield (
                        f"rear-carrier-{hand}",
                        "parts.rear-carriers",
                        parts.rear_carriers,
                        partial(carrier_spec, tables, hand),
                    )
            case "front-hub-spacer" | "rear-hub-spacer":
                end = "front" if kind == "front-hub-spacer" else "rear"
                spacer = parts.front_hub_spacer if end == "front" else parts.rear_hub_spacer
                yield kind, f"parts.{kind}", spacer, partial(spacer_spec, tables, end)
            case "light-housings":
                for name, housing in parts.light_housings.items():
                    yield (
                        f"housing-{name}", f"parts.light-housings.{name}", housing,
                        partial(housing_spec, tables, name),
                    )  # fmt: skip
            case _:
                for pattern in PATTERNS:
                    if pattern in {word.strip() for word in parts.jigs.of.split(",")}:
                        yield f"jig-{pattern}", "parts.jigs", None, partial(jig_spec, tables, pattern)
                if "posts" in {word.strip() for word in parts.jigs.of.split(",")}:
                    yield "jig-posts", "parts.jigs", None, partial(marker_spec, tables)


__all__ = ["OwnSpec", "Wanted", "every_part"]
