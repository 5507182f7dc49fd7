"""The same drive by another route: one sample, lump by lump, with scipy's Radau and its event detection.

Written apart from the code under test: the controller is solved for its duty ratio instead of its power, the network
is written out lump by lump instead of in modes, guards stop the integration instead of being looked for in steps.
It only shares the case's numbers and the pack's curve of open-circuit voltage.
"""

import math

import numpy as np
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from coachwork.studies.power.duty import GAIN_M_S2
from coachwork.studies.power.pack import cell_v

LUMPS = ("pack", "controller", "regulator", "windings", "can", "air", "shell")


def parts_of(legs):
    """(seconds, mean speed, gain, gradient, loads) with changes of speed at the head of each leg."""
    for before, leg in zip((legs[-1], *legs[:-1]), legs, strict=True):
        change = min(abs(leg.speed_m_s - before.speed_m_s) / GAIN_M_S2, leg.seconds)
        if change:
            yield change, (leg.speed_m_s + before.speed_m_s) / 2, (leg.speed_m_s - before.speed_m_s) / change, leg
        if leg.seconds > change:
            yield leg.seconds - change, leg.speed_m_s, 0.0, leg


def moment(c, state, speed, gain, leg, on, chemistry="lipo"):
    """Currents, voltages and heats at one moment; c: the case's numbers, on: what is switched on."""
    degc = dict(zip(LUMPS, state[:7], strict=True))
    slow_v, share = state[7], state[8]
    angle = math.atan(leg.gradient)
    moving = speed > 0 or gain != 0
    force = c["mass_kg"] * (9.80665 * (c["rolling"] * math.cos(angle) * moving + math.sin(angle)) + gain)
    torque = force / c["rad_m"] * (1 / c["gears"] if force >= 0 else c["gears"])
    amps = (torque / c["constant_vs"] + c["no_load_a"]) if moving and on["motor"] else 0.0
    omega = speed * c["rad_m"] if on["motor"] else 0.0
    r_motor = c["ohm"] * (1 + 0.00393 * (degc["windings"] - 25))
    r_switch = c["on_ohm"] * (1 + 0.005 * (degc["controller"] - 25))
    rail = c[leg.loads] if on["rail"] else 0.0
    fed = min(rail, c["limit_a"])
    sag = fed / rail if rail else 1.0
    idle = c["idle_a"] if on["controller"] else 0.0
    open_v = c["cells"] * float(cell_v(chemistry, np.array(share)))
    source, ohm = open_v - slow_v, c["resistance_ohm"] + c["lead_ohm"]
    rail_w = 0.0 if c["linear"] else c["out_v"] * sag * fed / c["efficiency"]

    def bus(amps_at_bus):
        """Volts with this much drawn besides a switching regulator's power."""
        v = source - ohm * amps_at_bus
        for _ in range(60 if rail_w else 1):
            v = source - ohm * (amps_at_bus + rail_w / v)
        return v

    base = idle + (fed if c["linear"] else 0.0)
    duty, edge = 0.0, 0.0
    if amps > 0:

        def short(d):  # of volts over the motor at duty ratio d
            edges = 0.5 * c["beat"] * amps if d < 1 else 0.0
            return d * bus(base + d * amps + edges) - c["constant_vs"] * omega - amps * (r_motor + r_switch)

        if short(1 - 1e-12) > 0:
            duty = brentq(short, 0.0, 1 - 1e-12, xtol=1e-14)
            edge = 0.5 * c["beat"] * amps
        else:
            duty = 1.0
            v = bus(base + amps)
            omega = (v - amps * (r_motor + r_switch)) / c["constant_vs"]
            if omega < 0:
                omega = 0.0
                amps = (source - ohm * base) / (ohm + r_motor + r_switch)
    v = bus(base + duty * max(amps, 0.0) + edge)
    current = base + duty * max(amps, 0.0) + edge + (rail_w / v if rail_w else 0.0)
    end_v = max(0.0, max(0.0, min(c["out_v"], v - (c["dropout_v"] if c["linear"] else 0.0))) * sag - c["own_ohm"] * fed)
    rail_v = max(0.0, end_v - c["rail_ohm"] * fed)
    lights = end_v * fed  # with what their leads take
    heat = dict.fromkeys(LUMPS, 0.0)
    heat["pack"] = current**2 * c["resistance_ohm"] + slow_v**2 / c["slow_ohm"]
    heat["air"] = current**2 * c["lead_ohm"] + lights
    heat["regulator"] = max((v * fed if c["linear"] else rail_w) - lights, 0.0)
    heat["controller"] = v * (idle + edge)
    shaft = 0.0
    if amps > 0:
        friction = c["constant_vs"] * omega * min(c["no_load_a"], amps)
        heat["windings"] = amps**2 * r_motor
        heat["controller"] += amps**2 * r_switch
        heat["can"] = friction
        shaft = c["constant_vs"] * omega * amps - friction
    elif amps < 0:
        slowed = c["constant_vs"] * omega * -amps
        heat["windings"] = slowed * r_motor / (r_motor + r_switch)
        heat["controller"] += slowed * r_switch / (r_motor + r_switch)
        shaft = -slowed
    return {"current": current, "bus": v, "rail": rail_v if on["rail"] else 0.0, "heat": heat, "shaft": shaft,
            "chemical": open_v * current, "wants": rail}  # fmt: skip


def lost_and_rates(c, degc, heat):
    """(heat to the outside, dT/dt by lump)."""
    t = dict(zip(LUMPS, degc, strict=True))
    outside, film_out = c["outside_degc"], 4 + 4 * c["speed_m_s"] + 5.5
    film = 8.0 if c["closed"] else film_out
    gain = dict(heat)

    def join(a, b, w_k):
        flow = w_k * (t[a] - t[b])
        gain[a] -= flow
        gain[b] += flow

    join("pack", "air", film * c["pack_m2"])
    join("controller", "air", film * c["controller_m2"])
    if c["built_in"]:
        join("regulator", "controller", 1 / c["board_k_w"])
    else:
        join("regulator", "air", 1 / (c["board_k_w"] + 1 / film / c["separate_m2"]))
    join("windings", "can", 1 / c["windings_k_w"])
    join("can", "air", film * c["can_m2"])
    wall = c["wall_m2kw"] / 2
    if c["closed"]:
        join("air", "shell", c["shell_m2"] / (1 / 8.0 + wall))
        rise = max(t["air"] - outside, 0.0)
        by_height = 0.65 * math.sqrt(2 * 9.80665 * c["opening_m"] * rise / (outside + 273.15))
        through = 1190 * c["opening_m2"] / 2 / math.sqrt(2) * math.sqrt(by_height**2 + (0.3 * c["speed_m_s"]) ** 2)
    else:
        through = 1e3
    gone = {
        "air": through * (t["air"] - outside),
        "can": c["mount_w_k"] * (t["can"] - outside),
        "shell": c["shell_m2"] / (1 / film_out + wall) * (t["shell"] - outside),
    }
    for lump, watts in gone.items():
        gain[lump] -= watts
    capacity = {
        "pack": c["pack_j_k"], "controller": c["controller_j_k"], "regulator": c["regulator_j_k"],
        "windings": c["windings_j_k"], "can": c["can_j_k"], "air": c["room_m3"] * 1190, "shell": c["shell_j_k"],
    }  # fmt: skip
    return sum(gone.values()), [gain[lump] / capacity[lump] for lump in LUMPS]


WATCHED = {"controller": 1, "regulator": 2, "windings": 3, "can": 4}


def excess(guard, now, state, leg, moving, on):
    watches, limit = guard[1], guard[2]
    if watches == "bus":
        return limit - now["bus"]
    if watches == "rail":
        return limit - now["rail"] if on["rail"] and now["wants"] else -1.0
    if watches == "still":
        return -1.0 if moving else 1.0
    if watches == "share":
        return limit - state[8]
    return state[WATCHED[watches]] - limit


def radau(case, seconds, *, restart_s=math.inf, rtol=1e-8):
    """Events [(second, trip, resets)], and a trace of (second, state, moment); a state is 9 numbers and 3 energies."""
    c = {name: (value if isinstance(value, bool) else float(value)) for name, value in case.numbers.items()}
    guards = [tuple(g) + ("off-on", 0.0, 0.0)[len(g) - 4 :] for g in case.guards]
    state = np.array([c["outside_degc"]] * 7 + [0.0, c["share"], 0.0, 0.0, 0.0])
    now, events, trace = 0.0, [], []
    tripped, since, last = [False] * len(guards), [math.inf] * len(guards), [math.inf] * len(guards)
    parts = list(parts_of(case.legs))
    turn, fresh = 0, set()
    while now < seconds - 1e-9:
        length, speed, gain, leg = parts[turn % len(parts)]
        turn += 1
        end = min(now + length, seconds)
        while now < end - 1e-9:
            off = {g[3] for g, down in zip(guards, tripped, strict=True) if down}
            on = {"rail": not off & {"supply", "all"}, "controller": "all" not in off}
            on["motor"] = on["rail"] and "motor" not in off

            def rates(_, y, on=on, speed=speed, gain=gain, leg=leg):
                at = moment(c, y, speed, gain, leg, on, case.chemistry)
                lost, warming = lost_and_rates(c, y[:7], at["heat"])
                slow = (at["current"] * c["slow_ohm"] - y[7]) / c["slow_s"]
                return [*warming, slow, -at["current"] / c["charge_as"], at["chemical"], at["shaft"], lost]

            def beyond(y, j, on=on, speed=speed, gain=gain, leg=leg):
                at = moment(c, y, speed, gain, leg, on, case.chemistry)
                return excess(guards[j], at, y, leg, speed > 0 or gain != 0, on)

            until, watched = end, []
            for j, (_, _, limit, _, resets, back, hold) in enumerate(guards):
                g = beyond(state, j)
                if tripped[j]:
                    if resets == "off-on":
                        until = min(until, last[j] + restart_s)
                    elif resets == "by itself":
                        until = min(until, last[j] + back)
                    elif resets == "cooler":
                        watched.append((j, limit - back, -1))
                    continue
                if j not in fresh:  # what was found a moment ago lies on its limit: rounding would decide
                    since[j] = min(since[j], now) if g > 0 else math.inf
                if math.isfinite(since[j]):
                    until = min(until, since[j] + hold)
                    watched.append((j, 0.0, -1))
                else:
                    watched.append((j, 0.0, 1))
            until, fresh = max(until, now), set()
            if until > now:
                marks = []
                for j, shift, way in watched:
                    mark = lambda _, y, j=j, shift=shift: beyond(y, j) + shift  # noqa: E731
                    mark.terminal, mark.direction = True, way
                    marks.append(mark)
                solved = solve_ivp(rates, (now, until), state, method="Radau", rtol=rtol, atol=1e-8, events=marks)
                assert solved.success, solved.message
                hit = [k for k, times in enumerate(solved.t_events) if times.size]
                now, state = float(solved.t[-1]), solved.y[:, -1]
                trace.append((now, state.copy(), moment(c, state, speed, gain, leg, on, case.chemistry)))
                for k in hit:
                    j, _, way = watched[k]
                    if tripped[j]:
                        tripped[j] = False
                        events.append((now, guards[j][0], True))
                    else:
                        since[j] = now if way > 0 else math.inf
                        fresh.add(j)
            for j, (name, _, _, _, resets, back, hold) in enumerate(guards):
                if tripped[j]:
                    wait = {"off-on": restart_s, "by itself": back}.get(resets, math.inf)
                    if now >= last[j] + wait - 1e-9:
                        if resets == "off-on":  # one switch for everything
                            tripped[:] = [t and g[4] == "never" for t, g in zip(tripped, guards, strict=True)]
                        tripped[j], since[j] = False, math.inf
                        events.append((now, name, True))
                elif now >= since[j] + hold - 1e-9:
                    tripped[j], last[j], since[j] = True, now, math.inf
                    events.append((now, name, False))
    return events, trace
