"""`[radio]`: one module for each of its tables, the wishes' grammar, and the table as a whole."""

from coachwork.build.sections.radio.channels import Channel, Mix
from coachwork.build.sections.radio.controls import Control
from coachwork.build.sections.radio.devices import Device
from coachwork.build.sections.radio.receiver import Receiver
from coachwork.build.sections.radio.table import Radio

__all__ = ["Channel", "Control", "Device", "Mix", "Radio", "Receiver"]
