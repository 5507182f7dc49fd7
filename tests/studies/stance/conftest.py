"""A small build in which every number that the study asks for is given, and everything sits right; invented."""

import re
from pathlib import Path

import numpy as np
import pytest

from coachwork.build import read_text
from coachwork.confidence import examine
from coachwork.plan import Plan, Sampled
from coachwork.studies import likeness, stance

STUDIES = (likeness.STUDY, stance.STUDY)

# By hand: axles 240 + 6 = 246 = the arches. Front: hub face 74 + 6 (arms) = 80, inset 4, centre 76, half a tyre 11: 87
# against a lip at 177 / 2 = 88.5, tucked 1.5. Arch over tyre: ride 12 + sill 25 + top 44 = 81; tyre's top 66 - 1 = 65;
# gap 16, bump 8 + 1. Fore and aft: 82 / 2 - 66 / 2 = 8. Sill 37 over the ground, 370 at 1:10.
BUILD = """
[build]
scale = "1:10"
[prototype]
length = 4320
width = 1760
height = 2160
wheelbase = 2460
arch-opening-front = 820
arch-opening-rear = 820
sill-height = 370
track-front = 1520
track-rear = 1520
tyre-diameter = 660
[shell]
length = 432
width = 176
height = 216
wheelbase = 246
sill-height = 37
arch-opening-front = 82
arch-opening-rear = 82
[shell.front]
from-nose-left = 96
from-nose-right = 96
across = 177
top = 44
lip = 2
[shell.rear]
from-nose-left = 342
from-nose-right = 342
across = 177
top = 44
lip = 2
[running-gear]
wheelbase = 240
drive = "shaft"
centre-shaft-length = 128
centre-shaft-plunge = 2
[running-gear.front]
hub-face = { x = 0, y = 74, z = 20 }
ride-height = 12
bump-travel = 8
droop-travel = 5
[running-gear.front.wheel]
tyre-diameter = 64
tyre-squash = 1
[running-gear.rear]
hub-face = { x = 0, y = 74, z = 20 }
ride-height = 12
bump-travel = 8
droop-travel = 5
[running-gear.rear.wheel]
tyre-diameter = 64
tyre-squash = 1
[wheels.front]
tyre-diameter = 66
tyre-width = 22
tyre-squash = 1
rim-width = 24
inset = 4
seat-diameter = 42
bead-diameter = 41
seat-width = 20
bead-width = 20
[wheels.rear]
tyre-diameter = 66
tyre-width = 22
tyre-squash = 1
rim-width = 24
inset = 4
seat-diameter = 42
bead-diameter = 41
seat-width = 20
bead-width = 20
[changes]
stretch = 6
centre-shaft-length = 134
front-arch-from-axle = "0 ± 0.1"
sill-above-underside = 25
[changes.front]
arm-longer = 6
ride-height = 12
[changes.rear]
arm-longer = 6
ride-height = 12
[wanted.front]
tuck = 1.5
[wanted.rear]
tuck = 1.5
[candidates.longshore]
wheelbase = 246
hub-faces-front = 150
hub-faces-rear = 150
drive = "shaft"
"""


@pytest.fixture
def sits_right():
    return BUILD


@pytest.fixture
def with_():
    """Writes the build with some keys set anew: {"shell.wheelbase": 250}, None to delete."""

    def edit(changes, text=BUILD):
        for key, value in changes.items():
            text = _set(text, key, value)
        return text

    return edit


def _set(text, key, value):
    """One key of the text; a table that is not there yet is added. Coordinates stand in inline tables."""
    table, _, name = key.rpartition(".")
    if name in ("x", "y", "z"):
        return _set_coordinate(text, table, name, value)
    lines, here, at, last = text.splitlines(), None, None, None
    for i, line in enumerate(lines):
        if line.startswith("["):
            here = line.strip("[]")
        if here == table:
            last = i
            if line.split("=")[0].strip() == name:
                at = i
    written = [] if value is None else [f"{name} = {value if isinstance(value, (int, float)) else repr(value)}"]
    if at is not None:
        lines[at : at + 1] = written
    elif last is not None:
        lines[last + 1 : last + 1] = written
    else:
        lines += [f"[{table}]", *written]
    return "\n".join(lines)


def _set_coordinate(text, point, axis, value):
    table, _, name = point.rpartition(".")
    head, rest = text.split(f"[{table}]\n", 1) if f"[{table}]\n" in text else (f"{text}\n", "")
    if not re.search(rf"^{name} = ", rest.split("[")[0], re.MULTILINE):
        return f"{head}[{table}]\n{name} = {{ {axis} = {value} }}\n{rest}"
    line = next(line for line in rest.splitlines() if line.startswith(f"{name} = "))
    if value is None:
        new = re.sub(rf"{axis} = [-\d.]+(, )?", "", line).replace(", }", " }")
    else:
        new = re.sub(rf"{axis} = [-\d.]+", f"{axis} = {value}", line)
    return f"{head}[{table}]\n{rest.replace(line, new, 1)}"


@pytest.fixture
def build_of():
    return lambda text: read_text(text, Path("build.toml"))


@pytest.fixture
def result_of(build_of):
    return lambda text: Plan(STUDIES).run(build_of(text))["stance"].result


@pytest.fixture
def findings_of(build_of):
    return lambda text: {f.id: f for f in Plan(STUDIES).run(build_of(text))["stance"].findings}


@pytest.fixture
def verdicts_of(build_of):
    return lambda text: {v.id: v for v in examine(build_of(text), plan=Plan(STUDIES), only=["stance"]).verdicts}


@pytest.fixture
def sampled(build_of):
    """The study's findings over samples of some keys: {key: (samples,)}."""

    def run(text, columns: dict[str, np.ndarray]):
        view = Sampled(samples=len(next(iter(columns.values()))), columns=columns)
        return {f.id: f for f in Plan(STUDIES).run_sampled(build_of(text), "stance", view).findings}

    return run
