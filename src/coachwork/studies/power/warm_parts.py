"""From the tables to what stores heat and what lets it out."""

from __future__ import annotations

import numpy as np

from coachwork.build import Numbers
from coachwork.studies.driveline.gather import motor_of
from coachwork.studies.power.heat import STILL, Body
from coachwork.studies.power.tables import Tables
from coachwork.studies.power.vehicle import many

CONTROLLER_J_GK, PACK_J_GK, SHELL_J_GK = 0.8, 1.0, 1.4  # board and aluminium; lithium cells; styrene: from memory
CHIP_J_K = 3.0  # a chip with its tab and the copper round it; common practice, no source
WALL_W_MK = 0.2  # unfilled plastics, handbook value from memory
PACK_G_CM3 = 2.0  # of a lithium pack in its case; common practice, no source
ROOM_SHARE = 0.6  # of length x width x height, that air fills


def body_from(t: Tables, n: int, *, built_in: bool, sink_k_w: Numbers, speed_m_s: float) -> Body:
    """sink_k_w : of the receiver's regulator to still, open air; speed_m_s : the round's mean. Raises NotMeasured."""
    heat, motor = t.heat, motor_of(t.motor)
    length, width, height = (entry.mm / 1000 for entry in (t.shell.length, t.shell.width, t.shell.height))
    brick = (heat.pack_mass.g / PACK_G_CM3 / 1.65) ** (2 / 3) * 1e-4  # a pack's sides are about as 3 to 1 to 0.55
    case_k_w = sink_k_w if built_in else heat.controller_to_air.k_per_w
    return Body(
        closed=np.full(n, heat.shell == "closed"), built_in=np.full(n, built_in),
        outside_degc=many(n, heat.outside.degc),
        pack_j_k=many(n, PACK_J_GK * heat.pack_mass.g), pack_m2=many(n, 10.4 * brick),
        controller_j_k=many(n, CONTROLLER_J_GK * heat.controller_mass.g),
        controller_m2=many(n, 1 / (STILL * case_k_w)), regulator_j_k=many(n, CHIP_J_K),
        board_k_w=many(n, heat.chip_to_case.k_per_w), separate_m2=many(n, 1 / (STILL * sink_k_w)),
        windings_j_k=many(n, motor.winding_j_per_k), can_j_k=many(n, motor.case_j_per_k),
        windings_k_w=many(n, motor.winding_to_case_k_per_w), can_m2=many(n, 1 / (STILL * motor.case_to_air_k_per_w)),
        mount_w_k=np.zeros(n), shell_j_k=many(n, SHELL_J_GK * heat.shell_mass.g),
        shell_m2=many(n, 2 * (length + width) * height + length * width),
        wall_m2kw=many(n, heat.wall.mm / 1000 / WALL_W_MK), room_m3=many(n, ROOM_SHARE * length * width * height),
        opening_m2=many(n, (heat.gaps.mm2 + heat.vents.mm2) * 1e-6), opening_m=many(n, heat.opening_height.mm / 1000),
        speed_m_s=many(n, speed_m_s),
    )  # fmt: skip
