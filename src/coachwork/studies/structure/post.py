r"""Body posts when the vehicle is picked up by its body: the screw in the foot, and the column over it.

       | |  <- pull, or, carried on its side, push at the highest cross hole
       | |
    ___|_|___     The foot stands on the floor by the half that it leans on; pressure there grows with the way x from
       \!/        the screw, so that its middle lies at (sum of x^2) / (sum of x) = 3 pi / 16 of the radius. That is
        !         the lever by which a push at the top pulls at the screw.

Leaves out : the screw's own strength, steel in plastic; how far it was tightened; creep; bracket and shell
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from coachwork.build import Numbers
from coachwork.catalogue.screws import Screw

LEANS_AT = 3 * math.pi / 16  # of the foot's radius
SHEAR = 1 / math.sqrt(3)  # of the tensile strength; von Mises


@dataclass(frozen=True, kw_only=True)
class Column:
    """A post on its floor, mm.

    bite_mm  : of the screw in the post    reach_mm : from the floor to the highest cross hole
    crosses  : heights of all of them over the floor
    floor_mm : thickness that the countersunk head lies in
    """

    screw: Screw
    diameter_mm: float
    pilot_mm: float
    bite_mm: float
    floor_mm: float
    reach_mm: float
    cross_mm: float
    crosses: tuple[float, ...]

    @property
    def leans(self) -> float:
        """What a push at the top pulls at the screw with, times the push."""
        return self.reach_mm / (LEANS_AT * self.diameter_mm / 2)

    @property
    def thread_mm2(self) -> float:
        """The cylinder of the thread's pitch diameter, less the turn that the tip has cut only half."""
        return math.pi * self.screw.pitch_diameter_mm * max(self.bite_mm - self.screw.pitch_mm, 0.0)

    @property
    def under_head_mm2(self) -> float:
        """The cylinder halfway out under the cone of the head, through what is left of the floor below it."""
        head, hole = self.screw.countersunk_head_mm, self.screw.medium_mm
        return math.pi * (head + hole) / 2 * max(self.floor_mm - (head - hole) / 2, 0.0)

    @property
    def bends(self) -> float:
        """Largest stress in the column, MPa, by each newton pushed at the top.

        Where the screw is in it, it is counted as a tube; at a cross hole, as round bar less the hole's strip.

        >>> from coachwork.catalogue.screws import SCREWS
        >>> rod = Column(screw=SCREWS["M3"], diameter_mm=8.0, pilot_mm=2.55, bite_mm=8.0, floor_mm=4.0, reach_mm=40.0,
        ...              cross_mm=2.0, crosses=(36.0, 40.0))
        >>> round(rod.bends, 3)  # 40 N mm on pi / 32 x (8^4 - 2.55^4) / 8
        0.804
        """
        d, far = self.diameter_mm, self.diameter_mm / 2
        tube = math.pi / 64 * (d**4 - self.pilot_mm**4)
        crossed = math.pi / 64 * d**4 - self.cross_mm * d**3 / 12
        return max([self.reach_mm * far / tube, *((self.reach_mm - z) * far / crossed for z in self.crosses)])


def share_aside(column: Column, every: Sequence[Column]) -> float:
    """Of a push sideways on a stiff body: all tops move alike, each post carries as it is stiff, d^4 / reach^3.

    >>> from dataclasses import replace
    >>> from coachwork.catalogue.screws import SCREWS
    >>> low = Column(screw=SCREWS["M3"], diameter_mm=8.0, pilot_mm=2.55, bite_mm=8.0, floor_mm=4.0, reach_mm=30.0,
    ...              cross_mm=2.0, crosses=(30.0,))
    >>> round(share_aside(low, [low, replace(low, reach_mm=60.0)]), 4)  # eight times as stiff as the other
    0.8889
    """
    stiff = [each.diameter_mm**4 / each.reach_mm**3 for each in every]
    return column.diameter_mm**4 / column.reach_mm**3 / sum(stiff)


def pull_out_n(*, area_mm2: float, strength_mpa: Numbers) -> Numbers:
    """Force that shears a cylinder of material out: its area by the strength over the root of three.

    Source: screws in plastic bosses, in all plastics design guides: pi x pitch diameter x length x shear strength, with
    the shear strength by von Mises; from memory.

    >>> pull_out_n(area_mm2=math.pi * 2.675 * 7.5, strength_mpa=np.array([42.5])).round()
    array([1547.])
    """
    return np.asarray(area_mm2 * SHEAR * strength_mpa)
