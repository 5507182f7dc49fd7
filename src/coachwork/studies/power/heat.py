"""Where the heat goes: seven lumps of one temperature each, and the air that passes through the shell's openings.

    pack ----------.                      .---- shell ---- outside
    controller ----+---- air under it ----+
    regulator -----+     (the outside,    '---- openings -- outside
    windings - can +      if open)
               '------- chassis --------------------------- outside

Conductances between lumps are constant, so the network is linear and its motion under a heat that changes linearly in
time is known exactly (`Modes`). What is not linear, the draught through the openings, is a heat like any other.

Sources: film coefficients 4 + 4 v (moving air) and about 5.5 (radiation near 40 degC) after ISO 6946:2007 annex A,
still air inside 2.5 + 5.5; draught through an opening 0.65 A sqrt(2 g H dT / T) by height and 0.3 A v by wind after
ASHRAE's handbook of fundamentals, added as squares. All from memory.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from coachwork.build import Numbers
from coachwork.studies.power.vehicle import Flags
from coachwork.studies.result import Result

PACK, CONTROLLER, REGULATOR, WINDING, CAN, AIR, SHELL = range(7)
LUMPS = ("pack", "controller", "regulator", "windings", "motor can", "air", "shell")
NODES = len(LUMPS)

RADIATION = 5.5  # W/(m2 K), a dull surface near 40 degC
STILL = 2.5 + RADIATION  # air that only its warmth moves
AIR_J_M3K = 1190.0  # density times specific heat of air at 22 degC
AIR_J_GK = 1.006
GRAVITY_M_S2 = 9.80665
ZERO_K = 273.15
USUAL_RISE_K = 10.0  # at which the draught is put into the linear part; the difference is computed as it comes
OUTDOORS_W_K = 1e3  # from the air lump to the outside where there is no shell: as good as one


def film_w_m2k(speed_m_s: Numbers | float) -> Numbers:
    """What a surface passes on to moving air, W/(m2 K).

    >>> float(film_w_m2k(1.0))
    13.5
    """
    return np.asarray(4.0 + 4.0 * np.asarray(speed_m_s) + RADIATION)


@dataclass(frozen=True, kw_only=True, eq=False)
class Body(Result):
    """What is heated and how it passes its heat on, (samples,); J/K, m2, K/W.

    closed        : whether there is a shell over it
    built_in      : whether the regulator sits on the controller's board
    board_k_w     : from the regulator's chip to the controller's case, or, of a separate one, to its own surface
    separate_m2   : surface of a separate regulator
    mount_w_k     : from the motor's can through its mount into the chassis
    wall_m2kw     : resistance of the shell's wall, thickness over conductivity
    opening_m2    : all gaps and vents of the shell together; half of them let air in, half out
    opening_m     : how high the upper ones stand over the lower
    speed_m_s     : mean, for the air outside
    """

    closed: Flags
    built_in: Flags
    outside_degc: Numbers
    pack_j_k: Numbers
    pack_m2: Numbers
    controller_j_k: Numbers
    controller_m2: Numbers
    regulator_j_k: Numbers
    board_k_w: Numbers
    separate_m2: Numbers
    windings_j_k: Numbers
    can_j_k: Numbers
    windings_k_w: Numbers
    can_m2: Numbers
    mount_w_k: Numbers
    shell_j_k: Numbers
    shell_m2: Numbers
    wall_m2kw: Numbers
    room_m3: Numbers
    opening_m2: Numbers
    opening_m: Numbers
    speed_m_s: Numbers


@dataclass(frozen=True, kw_only=True, eq=False)
class Draught(Result):
    """What passes through the openings, (samples,): by wind, and by height for each kelvin that it is warmer inside;
    both as squares of what it carries off, in (W/K)^2.
    """

    by_wind: Numbers
    by_height: Numbers

    def w_k(self, rise_k: Numbers) -> Numbers:
        """Heat that it carries off for each kelvin."""
        return np.sqrt(self.by_wind + self.by_height * np.maximum(rise_k, 0.0))


def draught(*, area_m2: Numbers, height_m: Numbers, wind_m_s: Numbers, outside_degc: Numbers) -> Draught:
    """Through openings of an area, of which the upper ones stand so high over the lower ones.

    Half of the area lets air in and half lets it out, so that both in series count as area / (2 sqrt 2).
    """
    squared = (AIR_J_M3K * area_m2) ** 2 / 8
    return Draught(
        by_wind=squared * (0.3 * wind_m_s) ** 2,
        by_height=squared * 0.65**2 * 2 * GRAVITY_M_S2 * height_m / (outside_degc + ZERO_K),
    )


@dataclass(frozen=True, kw_only=True, eq=False)
class Network(Result):
    """capacity_j_k, outside_w_k (samples, nodes); between_w_k (samples, nodes, nodes), symmetric, empty diagonal.

    usual_w_k : the share of the draught that is in outside_w_k
    """

    capacity_j_k: Numbers
    between_w_k: Numbers
    outside_w_k: Numbers
    outside_degc: Numbers
    draught: Draught
    usual_w_k: Numbers


def network(body: Body) -> Network:
    """The lumps and what joins them."""
    n = body.closed.size
    moving = film_w_m2k(body.speed_m_s)
    film = np.where(body.closed, STILL, moving)
    between, outside = np.zeros((n, NODES, NODES)), np.zeros((n, NODES))

    def join(a: int, b: int, w_k: Numbers) -> None:
        between[:, a, b] += w_k
        between[:, b, a] += w_k

    join(PACK, AIR, film * body.pack_m2)
    join(CONTROLLER, AIR, film * body.controller_m2)
    join(REGULATOR, CONTROLLER, np.where(body.built_in, 1 / body.board_k_w, 0.0))
    join(REGULATOR, AIR, np.where(body.built_in, 0.0, 1 / (body.board_k_w + 1 / (film * body.separate_m2))))
    join(WINDING, CAN, 1 / body.windings_k_w)
    join(CAN, AIR, film * body.can_m2)
    outside[:, CAN] = body.mount_w_k
    inner, outer = 1 / (STILL * body.shell_m2), 1 / (moving * body.shell_m2)
    half_wall = body.wall_m2kw / body.shell_m2 / 2
    join(AIR, SHELL, np.where(body.closed, 1 / (inner + half_wall), 0.0))
    outside[:, SHELL] = 1 / (outer + half_wall)
    opening = np.where(body.closed, body.opening_m2, 0.0)
    through = draught(area_m2=opening, height_m=body.opening_m, wind_m_s=body.speed_m_s, outside_degc=body.outside_degc)
    usual = through.w_k(np.full(n, USUAL_RISE_K))
    outside[:, AIR] = np.where(body.closed, usual, OUTDOORS_W_K)
    air = body.room_m3 * AIR_J_M3K
    capacity = np.stack(
        np.broadcast_arrays(
            body.pack_j_k, body.controller_j_k, body.regulator_j_k, body.windings_j_k, body.can_j_k, air, body.shell_j_k
        ),
        axis=1,
    )  # fmt: skip
    return Network(
        capacity_j_k=capacity, between_w_k=between, outside_w_k=outside, outside_degc=body.outside_degc,
        draught=through, usual_w_k=usual,
    )  # fmt: skip


@dataclass(frozen=True, kw_only=True, eq=False)
class Modes(Result):
    """The network in its own modes, which decay each by itself.

    decay_s  : (samples, nodes), 1/s, not positive
    forward  : (samples, nodes, nodes): heat in W to the modes' drive; `forward.T` takes modes to kelvin over outside
    """

    decay_s: Numbers
    forward: Numbers
    capacity_j_k: Numbers

    def drive(self, heat_w: Numbers) -> Numbers:
        """(samples, nodes), what a heat does to the modes."""
        return np.asarray(np.matmul(self.forward, heat_w[..., None])[..., 0])

    def rise_k(self, modes: Numbers) -> Numbers:
        """(samples, nodes), kelvin over the outside."""
        return np.asarray(np.matmul(modes[:, None, :], self.forward)[:, 0, :])

    def modes(self, rise_k: Numbers) -> Numbers:
        """(samples, nodes), the inverse of `rise_k`."""
        return self.drive(self.capacity_j_k * rise_k)


def modes_of(net: Network) -> Modes:
    """Symmetric after scaling by the roots of the capacities, so its modes are real and orthogonal."""
    root = 1 / np.sqrt(net.capacity_j_k)
    total = np.sum(net.between_w_k, axis=2) + net.outside_w_k
    conductance = -net.between_w_k.copy()
    i = np.arange(NODES)
    conductance[:, i, i] = total
    decay, vectors = np.linalg.eigh(root[:, :, None] * conductance * root[:, None, :])
    return Modes(
        decay_s=-np.maximum(decay, 0.0),
        forward=np.swapaxes(vectors, 1, 2) * root[:, None, :],
        capacity_j_k=net.capacity_j_k,
    )
