"""Does a part fit into the build volume, however it is turned?"""

from __future__ import annotations

import numpy as np

from coachwork.build import Numbers
from coachwork.studies.makeability.result import Roomed
from coachwork.studies.solids import Vector

STEP_DEG = 5.0
STARTS = 24  # of the finer search: the best of the coarse one
ROUNDS = 30
FINEST_DEG = 0.005  # 0.03 mm over 300 mm
MIDDLE = 13  # of the 27 neighbours, the place itself


def best_turn(points_mm: Numbers, room_mm: Numbers) -> Roomed:
    """The turn that leaves most room on the tightest side.

    points_mm : (n, 3), whose hull is the part's; room_mm : (3,)
    Method    : every turn in steps of 5 degrees about three axes, then on from the best 24 by ever smaller steps
    """
    room = np.sort(room_mm)[::-1]
    yaw = np.arange(0, 180, STEP_DEG)
    tilt = np.arange(0, 90.1, STEP_DEG)
    grid = np.stack(np.meshgrid(yaw, tilt, np.array([0.0, 45.0, 90.0]), indexing="ij"), axis=-1).reshape(-1, 3)
    left, _ = _left(points_mm, room, grid)
    near = np.stack(np.meshgrid(*[[-1.0, 0.0, 1.0]] * 3, indexing="ij"), axis=-1).reshape(-1, 3)
    starts = grid[np.argsort(left)[-STARTS:]]
    steps = np.full(len(starts), STEP_DEG)
    for _ in range(ROUNDS):  # all starts at once: each goes to the best of its neighbours, or halves its step
        around = starts[:, None, :] + steps[:, None, None] * near
        left, _ = _left(points_mm, room, around.reshape(-1, 3))
        left = left.reshape(len(starts), -1)
        best = left.argmax(axis=1)
        stays = left[np.arange(len(starts)), best] <= left[:, MIDDLE] + 1e-9
        starts = np.where(stays[:, None], starts, around[np.arange(len(starts)), best])
        steps = np.where(stays, steps / 2, steps)
        if steps.max() < FINEST_DEG:
            break
    left, _ = _left(points_mm, room, starts)
    angles, best_left = starts[int(left.argmax())], float(left.max())
    _, sizes = _left(points_mm, room, angles[None])
    a, b, c = (float(v) for v in sizes[0])
    ends = _ends(points_mm, room, angles)
    return Roomed(left_mm=best_left, size_mm=(a, b, c), room_mm=(float(room[0]), float(room[1]), float(room[2])),
                  ends_mm=ends)  # fmt: skip


def _ends(points: Numbers, room: Numbers, angles_deg: Numbers) -> tuple[Vector, Vector]:
    """The two points that are farthest apart along the tightest side."""
    along = _turns(np.radians(angles_deg[None]))[0] @ points.T
    size = along.max(axis=1) - along.min(axis=1)
    longest = np.argsort(size)[::-1]
    tightest = along[longest[int((room - size[longest]).argmin())]]
    one, other = points[int(tightest.argmin())], points[int(tightest.argmax())]
    return (float(one[0]), float(one[1]), float(one[2])), (float(other[0]), float(other[1]), float(other[2]))


def _left(points: Numbers, room: Numbers, angles_deg: Numbers) -> tuple[Numbers, Numbers]:
    """(turns,) room on the tightest side, and (turns, 3) sizes, longest first."""
    along = (
        _turns(np.radians(angles_deg)).reshape(-1, 3) @ points.T
    )  # a row for each turn's x, y, z: quick to look over
    sizes = np.sort((along.max(axis=1) - along.min(axis=1)).reshape(-1, 3), axis=1)[:, ::-1]
    return (room - sizes).min(axis=1), sizes


def _turns(angles: Numbers) -> Numbers:
    """(turns, 3, 3): about z, then y, then x."""
    (a, b, c), zero, one = angles.T, np.zeros(len(angles)), np.ones(len(angles))
    z = np.stack([np.cos(a), -np.sin(a), zero, np.sin(a), np.cos(a), zero, zero, zero, one], -1).reshape(-1, 3, 3)
    y = np.stack([np.cos(b), zero, np.sin(b), zero, one, zero, -np.sin(b), zero, np.cos(b)], -1).reshape(-1, 3, 3)
    x = np.stack([one, zero, zero, zero, np.cos(c), -np.sin(c), zero, np.sin(c), np.cos(c)], -1).reshape(-1, 3, 3)
    return np.asarray(x @ y @ z)
