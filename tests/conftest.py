"""What all tests share: a clockless hypothesis, and two invented studies that are quick and can be checked by hand."""

from __future__ import annotations

import importlib.util
import os
import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from functools import wraps
from pathlib import Path
from types import ModuleType

import numpy as np
import pytest
from hypothesis import settings

from coachwork.build import Build, Length, Numbers, read_text, require
from coachwork.build.sections.about import About
from coachwork.build.sections.outline import Prototype, Shell
from coachwork.build.sections.running_gear import RunningGear
from coachwork.plan import Plan
from coachwork.studies.chart import Chart, Line
from coachwork.studies.finding import Finding, Place, judge
from coachwork.studies.parts import Missing, attempt, need
from coachwork.studies.study import Study

# No deadline: a machine that is busy is not a bug. In CI the same cases every time: a new one is found at a desk.
settings.register_profile("coachwork", deadline=None, derandomize=bool(os.environ.get("CI")))
settings.load_profile("coachwork")


@dataclass(frozen=True, kw_only=True, eq=False)
class Sized:
    """How far the shell is off; (samples,), mm."""

    length_mm: Numbers | Missing
    width_mm: Numbers | Missing


@dataclass(frozen=True, kw_only=True, eq=False)
class Stretched:
    """How much longer the running gear has to become; (samples,), mm."""

    stretch_mm: Numbers | Missing


def size(shell: Shell, prototype: Prototype, about: About) -> Sized:
    """Shell less prototype to scale."""

    def part(ours: Length, full_size: Length) -> Numbers:
        require(ours, full_size, about.scale)
        return ours.mm - full_size.mm * about.scale.ratio

    return Sized(
        length_mm=attempt(part, shell.length, prototype.length), width_mm=attempt(part, shell.width, prototype.width)
    )


def stretch(shell: Shell, running_gear: RunningGear, sized: Sized) -> Stretched:
    """Shell's wheelbase less the donor's, with half of the length error; a shaft cannot be stretched."""

    def part() -> Numbers:
        require(shell.wheelbase, running_gear.wheelbase)
        room = shell.wheelbase.mm - running_gear.wheelbase.mm + need(sized.length_mm) / 2
        return room * 2 if running_gear.drive == "shaft" else room

    return Stretched(stretch_mm=attempt(part))


def sized_findings(result: Sized) -> Iterator[Finding]:
    """One for each way."""
    for way, part in (("length", result.length_mm), ("width", result.width_mm)):
        yield judge(
            part,
            lambda mm, way=way: {
                "value": mm, "limit": np.array([2.0]), "sense": "within", "tight_within": 0.5, "unit": "mm",
                "why": f"the {way} is {mm[0]:+.1f} mm off", "do": f"take {mm[0]:.1f} mm off the {way}",
                "where": Place(part=f"shell {way}", point_mm=(0.0, 0.0, 10.0)), "source": "invented",
            },
            id=f"sized.{way}", question=f"Is the {way} right?",
        )  # fmt: skip


def stretched_findings(result: Stretched) -> Iterator[Finding]:
    """Whether the stretch is one that can be done."""
    yield judge(
        result.stretch_mm,
        lambda mm: {"value": mm, "limit": np.array([30.0]), "unit": "mm", "why": "a belt only comes so long",
                    "source": "invented"},
        id="stretched.amount", question="Can the running gear be stretched so far?",
    )  # fmt: skip


def sized_charts(result: Sized) -> Iterator[Chart]:
    """A straight line through the error."""
    if not isinstance(result.length_mm, Missing):
        x = np.linspace(0, 10, 21)
        bought = Line(name="as bought", variant="as bought", x=x, y=x * result.length_mm[0])
        changed = Line(name="left", variant="as changed", x=x, y=np.where(x > 5, np.nan, x))
        yield Chart(id="sized.error", title="Error along the shell", x_label="along the shell (mm)",
                    y_label="error (mm)", lines=(bought, changed), band=(-2.0, 2.0), note="Invented.")  # fmt: skip


SIZED = Study(
    name="sized", question="Is it the right size?", compute=size, findings=sized_findings, order=10,
    charts=sized_charts,
)  # fmt: skip
STRETCHED = Study(
    name="stretched", question="Does it fit?", compute=stretch, findings=stretched_findings, order=20
)  # fmt: skip

TINY_BUILD = """\
[build]
name = "Tiny"
scale = "1:10"

[prototype]
length = "4100 ± 9 mm"   # of the handbook
width = "1660 ± 9 mm"

[shell]
length = "411 ± 0.6 mm"
width = "166 ± 0.6 mm"
wheelbase = "290 ± 0.3 mm"

[running-gear]
wheelbase = "267 ± 0.3 mm"
drive = "belt"
"""


@dataclass(frozen=True)
class Tiny:
    """The invented studies and a build for them."""

    text: str = TINY_BUILD
    studies: tuple[Study, ...] = (SIZED, STRETCHED)
    ran: list[str] = field(default_factory=list)

    def plan(self) -> Plan:
        """A plan whose studies note in `ran` that they ran."""
        return Plan(studies=tuple(self._noting(study) for study in self.studies))

    def build(self, **changes: str) -> Build:
        """The build, its file's texts replaced: old words are the names, new ones their values."""
        text = self.text
        for old, new in changes.items():
            assert old in text
            text = text.replace(old, new)
        return read_text(text, Path("tiny/build.toml"))

    def _noting(self, study: Study) -> Study:
        @wraps(study.compute)  # keeps the signature by which the plan wires it
        def compute(*args: object, **kwargs: object) -> object:
            self.ran.append(study.name)
            return study.compute(*args, **kwargs)

        return replace(study, compute=compute)


@pytest.fixture
def tiny() -> Tiny:
    """The invented studies and a build for them."""
    return Tiny()


@pytest.fixture
def tiny_folder(tmp_path: Path, tiny: Tiny) -> Path:
    """The invented build on disk."""
    folder = tmp_path / "tiny"
    folder.mkdir()
    (folder / "build.toml").write_text(tiny.text, encoding="utf-8")
    return folder


@pytest.fixture
def examples() -> Path:
    """The example builds that ship with the package."""
    return Path(__file__).parents[1] / "examples" / "harbour-mail-van"


@pytest.fixture(scope="session")
def make_shell() -> ModuleType:
    """The script that makes the van's shell, as a module."""
    file = Path(__file__).parents[1] / "examples" / "harbour-mail-van" / "make_shell.py"
    spec = importlib.util.spec_from_file_location("make_shell", file)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules["make_shell"] = module  # dataclasses look their module up by name
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="session")
def coarse_stl(make_shell: ModuleType, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The van's shell as a coarse scan of 45,000 triangles, which is found in two seconds."""
    file = tmp_path_factory.mktemp("coarse") / "shell.stl"
    made = make_shell.make(step=5.0)
    make_shell.write_stl(file, made.vertices, made.faces)
    return file


@pytest.fixture(scope="session")
def made_van(tmp_path_factory: pytest.TempPathFactory, worker_id: str) -> Callable[[str], Path]:
    """The folder of a demonstration van with its parts made; to be left as it is."""
    base = tmp_path_factory.getbasetemp()
    shared = base if worker_id == "master" else base.parent

    def folder_of(state: str) -> Path:
        from tests.made_vans import made_once  # a test that makes nothing need not load what makes

        return made_once(shared, state)

    return folder_of
