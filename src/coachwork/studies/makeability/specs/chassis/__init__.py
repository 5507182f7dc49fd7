r"""The chassis: what it is drawn from.

            rear tub      neck          deck, its walls, the bay      neck     front tub
             ______     ________________________________________     ______     ___
      |tower|      \___/        _________________________        \___/      |tower|
      |     |       ___        |      battery bay        |        ___       |     |
      |_____|______/   \_______|_________________________|_______/   \______|_____|

All in the chassis frame, mm.
"""

from coachwork.studies.makeability.specs.chassis.fill import chassis_spec
from coachwork.studies.makeability.specs.chassis.spec import WAY_MM, Bay, ChassisSpec, Tub

__all__ = ["WAY_MM", "Bay", "ChassisSpec", "Tub", "chassis_spec"]
