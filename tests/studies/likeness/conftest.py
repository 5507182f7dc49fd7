"""Small builds to look at, invented: a 1:10 panel van; and what the study says about one."""

from pathlib import Path

import numpy as np
import pytest

from coachwork.build import read_text
from coachwork.build.sections.outline import ALONG
from coachwork.confidence import examine
from coachwork.plan import Plan, Sampled
from coachwork.studies import likeness

# Full size, mm. Overhangs and wheelbase add up to the length, as SAE J1100 defines them.
VAN = {
    "length": 4320.0, "width": 1760.0, "height": 2160.0, "wheelbase": 2460.0, "front_overhang": 960.0,
    "rear_overhang": 900.0, "sill_height": 380.0, "arch_opening_front": 820.0, "arch_opening_rear": 820.0,
    "windscreen_width": 1420.0, "windscreen_height": 560.0, "cab_door_width": 860.0, "cab_door_height": 1480.0,
    "load_door_width": 1240.0, "load_door_height": 1390.0, "roof_width": 1610.0, "headlamp_spacing": 1180.0,
    "headlamp_height": 760.0, "bumper_width": 1690.0, "waist_height": 1230.0,
}  # fmt: skip


def table(title, numbers):
    return "\n".join([f"[{title}]", *(f"{name.replace('_', '-')} = {mm:.4f}" for name, mm in numbers.items())])


@pytest.fixture
def full_size():
    return dict(VAN)


@pytest.fixture
def van():
    """A build file: the van at a ratio; `axes` and `parts` multiply all of an axis, or one dimension of the shell."""

    def write(*, ratio=0.1, axes=None, parts=None, only=tuple(VAN), scale="1:10", more=""):
        axes, parts = axes or {}, parts or {}
        shell = {name: VAN[name] * ratio * axes.get(ALONG[name], 1.0) * parts.get(name, 1.0) for name in only}
        stated = f'[build]\nscale = "{scale}"\n' if scale else ""
        return "\n".join([stated, table("prototype", {name: VAN[name] for name in only}), table("shell", shell), more])

    return write


@pytest.fixture
def build_of():
    return lambda text: read_text(text, Path("build.toml"))


@pytest.fixture
def result_of(build_of):
    return lambda text: Plan((likeness.STUDY,)).run(build_of(text))["likeness"].result


@pytest.fixture
def findings_of(build_of):
    return lambda text: {f.id: f for f in Plan((likeness.STUDY,)).run(build_of(text))["likeness"].findings}


@pytest.fixture
def verdicts_of(build_of):
    return lambda text: {v.id: v for v in examine(build_of(text), plan=Plan((likeness.STUDY,))).verdicts}


@pytest.fixture
def sampled(build_of):
    """The study's answer over samples of some keys: {key: (samples,)}."""

    def run(text, columns: dict[str, np.ndarray]):
        view = Sampled(samples=len(next(iter(columns.values()))), columns=columns)
        return Plan((likeness.STUDY,)).run_sampled(build_of(text), "likeness", view)

    return run
