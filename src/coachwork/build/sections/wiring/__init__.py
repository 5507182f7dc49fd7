"""`[wiring]`: leads with their plugs, switches and fuses; loads; light strings."""

from coachwork.build.sections.wiring.leads import PLUG_STYLES, Lead, Switch
from coachwork.build.sections.wiring.lights import LightString
from coachwork.build.sections.wiring.loads import Load
from coachwork.build.sections.wiring.table import Wiring

__all__ = ["PLUG_STYLES", "Lead", "LightString", "Load", "Switch", "Wiring"]
