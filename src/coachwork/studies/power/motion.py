"""How the state of a drive moves: the lumps' heat in its modes, the slow overvoltage and the charge that is left.

    y' = decay y + n,  n = push (heat of the lumps, current of the pack)

Each component decays by itself, so a step of it is known exactly (`steps`). The state's last two are the pack's.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from coachwork.build import Numbers
from coachwork.studies.power.circuit import Flow
from coachwork.studies.power.heat import AIR, NODES, Draught, Modes, Network
from coachwork.studies.power.vehicle import Pack

SLOW, SHARE = NODES, NODES + 1  # behind the modes of heat


@dataclass(frozen=True, kw_only=True, eq=False)
class Motion:
    """Of some samples.

    decay_s      : (samples, nodes + 2), 1/s, not positive
    push         : (samples, nodes + 2, nodes + 1)
    rise         : (samples, nodes, nodes), takes modes to kelvin over the outside
    outside_degc : (samples, 1)
    """

    decay_s: Numbers
    push: Numbers
    rise: Numbers
    outside_degc: Numbers
    draught: Draught
    usual_w_k: Numbers

    def degc(self, y: Numbers) -> Numbers:
        """(samples, nodes), of the lumps."""
        return self.rise_k(y[:, :NODES]) + self.outside_degc

    def rise_k(self, modes: Numbers) -> Numbers:
        """(samples, nodes), over the outside."""
        return np.asarray(np.matmul(modes[:, None, :], self.rise)[:, 0, :])

    def beyond_usual_w(self, degc: Numbers) -> Numbers:
        """Heat that the air gains, (samples,), since the draught differs from the one taken as usual."""
        rise_k = degc[:, AIR] - self.outside_degc[:, 0]
        return (self.usual_w_k - self.draught.w_k(rise_k)) * rise_k

    def drive(self, now: Flow, beyond_usual_w: Numbers) -> Numbers:
        """What a moment does to the state: n, (samples, nodes + 2)."""
        given = np.empty((len(self.push), NODES + 1))
        given[:, :NODES] = now.heat_w
        given[:, AIR] += beyond_usual_w
        given[:, NODES] = now.current_a
        return np.asarray(np.matmul(self.push, given[:, :, None])[:, :, 0])


def motion(net: Network, modes: Modes, pack: Pack) -> Motion:
    """Of a network taken apart into its modes, and a pack."""
    n = pack.share.size
    push = np.zeros((n, NODES + 2, NODES + 1))
    push[:, :NODES, :NODES] = modes.forward
    push[:, SLOW, NODES] = pack.slow_ohm / pack.slow_s
    push[:, SHARE, NODES] = -1 / pack.charge_as
    decay = np.concatenate([modes.decay_s, -1 / pack.slow_s[:, None], np.zeros((n, 1))], axis=1)
    return Motion(
        decay_s=decay, push=push, rise=modes.forward, outside_degc=net.outside_degc[:, None], draught=net.draught,
        usual_w_k=net.usual_w_k,
    )  # fmt: skip
