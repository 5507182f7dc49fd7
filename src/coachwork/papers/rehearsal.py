"""A rehearsal drawn against time: pulses above, devices in the middle, the supply's current below; one SVG file."""

from __future__ import annotations

import io
import math
from collections.abc import Sequence
from itertools import pairwise
from typing import TYPE_CHECKING, Any

import numpy as np

from coachwork.papers.charts import SETTINGS
from coachwork.studies.radio.rehearsal import HAND_S, Beat

if TYPE_CHECKING:
    from matplotlib.axes import Axes

WIDTH_IN = 7.2
_NARROWEST_IN = 0.42  # of an action: room for the name of a mode
_SHADES = ("#ffffff", "#b9c7d6", "#5f7f9f", "#0b3866")  # quiet mode first; they differ in lightness
_DARK = "#e3e0d8"


def rehearsal_svg(beats: Sequence[Beat], title: str, quiet: dict[str, str]) -> str:
    """The drawing; the same bytes for the same beats. Long waits are drawn shorter, so that actions can be read.

    quiet : device -> the name of its quiet mode, which stays white
    """
    import matplotlib as mpl
    from matplotlib.figure import Figure

    channels, devices = list(beats[0].step.pulses_us), list(beats[0].step.modes)
    known = all(beat.current_a is not None for beat in beats)
    heights = [0.5 * len(channels) + 0.6, 0.3 * len(devices) + 0.4, 1.3]
    settings: Any = {**SETTINGS, "svg.hashsalt": title, "font.size": 8}
    with mpl.rc_context(settings):
        at = _places(beats)
        figure = Figure(figsize=(max(WIDTH_IN, 1.5 + _NARROWEST_IN * at[-1]), sum(heights) + 1.6), layout="constrained")
        pulses, modes, current = figure.subplots(3, 1, sharex=True, height_ratios=heights)
        pulses.set_title(title, loc="left", fontsize=11, fontweight="bold")
        _draw_pulses(pulses, beats, at, channels)
        _draw_modes(modes, beats, at, devices, quiet)
        if known:
            current.step(at, [*(beat.current_a for beat in beats), beats[-1].current_a], where="post", color="#0b3866")
            current.set_ylim(bottom=0)
        else:
            current.text(0.5, 0.5, "not every current is known", transform=current.transAxes, ha="center")
        current.set_ylabel("supply (A)")
        current.set_xticks(at[:-1], [f"{beat.time_s:.1f}" for beat in beats], fontsize=6)
        current.set_xlabel(f"time (s); an action takes {HAND_S:g} s, waits are drawn shorter than they are")
        _mark_actions(pulses, beats, at)
        for axes in (pulses, modes, current):
            for place in at[:-1]:
                axes.axvline(place, color="#cccccc", linewidth=0.5, zorder=0)
            for side in ("top", "right"):
                axes.spines[side].set_visible(False)
        out = io.StringIO()
        figure.savefig(out, format="svg", metadata={"Title": title, "Creator": "coachwork", "Date": None})
    return out.getvalue()


def _places(beats: Sequence[Beat]) -> list[float]:
    """Where each beat is drawn, in widths of an action, and an end behind the last; a wait by its logarithm."""
    places = [0.0]
    for before, beat in pairwise(beats):
        places.append(places[-1] + 1 + 0.5 * math.log2(max(1.0, (beat.time_s - before.time_s) / HAND_S)))
    return [*places, places[-1] + 1.0]


def _draw_pulses(axes: Axes, beats: Sequence[Beat], times: list[float], channels: list[str]) -> None:
    """One row for each channel, 1000 to 2000 us from its lower to its upper edge."""
    for row, channel in enumerate(channels):
        sent = [beat.step.pulses_us[channel] for beat in beats]
        height = np.array([np.nan if pulse is None else (pulse - 1000) / 1250 for pulse in [*sent, sent[-1]]])
        axes.step(times, len(channels) - 1 - row + height, where="post", color="#0b3866", linewidth=1.6)
        for i, pulse in enumerate(sent):
            if i == 0 or pulse != sent[i - 1]:
                told = "no pulse" if pulse is None else f"{pulse:.0f}"
                at = 0.1 if pulse is None else float(height[i])
                axes.annotate(told, (times[i], len(channels) - 1 - row + at), fontsize=6, xytext=(2, 1.5),
                              textcoords="offset points")  # fmt: skip
    axes.set_yticks([len(channels) - 1 - row + 0.4 for row in range(len(channels))], channels)
    axes.set_ylim(-0.15, len(channels) + 0.1)
    axes.set_ylabel("pulses (us)")


def _draw_modes(
    axes: Axes, beats: Sequence[Beat], times: list[float], devices: list[str], quiet: dict[str, str]
) -> None:
    """One bar for each device, shaded and lettered by its mode."""
    for row, device in enumerate(devices):
        seen = [quiet.get(device, "")]
        y = len(devices) - 1 - row
        start = 0
        for i in range(1, len(beats) + 1):
            mode = beats[start].step.modes[device]
            if i < len(beats) and beats[i].step.modes[device] == mode:
                continue
            if mode not in seen and mode != "dark":
                seen.append(mode)
            number = 0 if mode == "dark" else min(seen.index(mode), len(_SHADES) - 1)
            shade = _DARK if mode == "dark" else _SHADES[number]
            axes.barh(y, times[i] - times[start], left=times[start], height=0.7, color=shade, edgecolor="#888888",
                      linewidth=0.4)  # fmt: skip
            axes.annotate(mode, (times[start], y), xytext=(2, -2), textcoords="offset points", fontsize=6,
                          color="#ffffff" if number >= 2 else "#000000")  # fmt: skip
            start = i
    axes.set_yticks([len(devices) - 1 - row for row in range(len(devices))], devices)
    axes.set_ylabel("devices")


def _mark_actions(axes: Axes, beats: Sequence[Beat], at: list[float]) -> None:
    """A wait over its middle, everything else where it happens."""
    for i, beat in enumerate(beats):
        place = (at[i - 1] + at[i]) / 2 if beat.step.action.startswith("wait") else at[i]
        axes.annotate(beat.step.action, (place, 1.0), xycoords=("data", "axes fraction"), rotation=35, fontsize=6,
                      xytext=(0, 2), textcoords="offset points")  # fmt: skip
    axes.set_title(axes.get_title(loc="left"), loc="left", pad=58, fontsize=11, fontweight="bold")
