"""From any spec to its solid."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from coachwork.parts.drawn import DrawnPart, PartRefused
from coachwork.studies.makeability.specs.arm import ArmSpec
from coachwork.studies.makeability.specs.carrier import CarrierSpec
from coachwork.studies.makeability.specs.chassis import ChassisSpec
from coachwork.studies.makeability.specs.door import DoorSpec
from coachwork.studies.makeability.specs.own import OwnSpec
from coachwork.studies.makeability.specs.post import BracketSpec, PostSpec
from coachwork.studies.makeability.specs.settings import Settings
from coachwork.studies.makeability.specs.small import HousingSpec, JigSpec, MarkerSpec, SpacerSpec


def draw(spec: Any, settings: Settings, folder: Path) -> DrawnPart:
    """The solid of a spec; the builder's own is read from the folder. Raises PartRefused, also for the kernel."""
    from OCP.Standard import Standard_Failure

    try:
        return _drawn(spec, settings, folder)
    except (ValueError, RuntimeError, Standard_Failure) as fault:
        raise PartRefused(
            f"{spec.name}: the CAD kernel cannot draw these measures; change the one made last ({fault})"
        ) from fault


def _drawn(spec: Any, settings: Settings, folder: Path) -> DrawnPart:
    from coachwork.parts.arm import arm
    from coachwork.parts.carrier import carrier
    from coachwork.parts.chassis import chassis
    from coachwork.parts.door import battery_door
    from coachwork.parts.own import own_part
    from coachwork.parts.post import bracket, post
    from coachwork.parts.small import hub_spacer, jig, light_housing, post_marker

    match spec:
        case ChassisSpec():
            return chassis(spec, settings)
        case DoorSpec():
            return battery_door(spec, settings)
        case PostSpec():
            return post(spec, settings)
        case BracketSpec():
            return bracket(spec, settings)
        case ArmSpec():
            return arm(spec, settings)
        case CarrierSpec():
            return carrier(spec, settings)
        case SpacerSpec():
            return hub_spacer(spec, settings)
        case HousingSpec():
            return light_housing(spec, settings)
        case JigSpec():
            return jig(spec, settings)
        case MarkerSpec():
            return post_marker(spec, settings)
        case OwnSpec():
            return own_part(spec, settings, folder)
    raise TypeError(f"no drawing for {type(spec).__name__}")
