"""Scanned shells: read a mesh, find the vehicle in it, seat it on the chassis.

Studies take `SeatedShell` as a plain type and never read a file; the plan supplies it.
"""

from coachwork.scans.seated import WHEELS, Residual, SeatedArch, SeatedShell, Wheel

__all__ = ["WHEELS", "Residual", "SeatedArch", "SeatedShell", "Wheel"]
