"""Scanned shells: read a mesh, find the vehicle in it, seat it on the chassis.

Studies take `SeatedShell`, or the `Ceiling` over its deck, as plain types; the plan reads the file and supplies them.
"""

from coachwork.scans.ceiling import Ceiling
from coachwork.scans.seated import WHEELS, Residual, SeatedArch, SeatedShell, Wheel

__all__ = ["WHEELS", "Ceiling", "Residual", "SeatedArch", "SeatedShell", "Wheel"]
