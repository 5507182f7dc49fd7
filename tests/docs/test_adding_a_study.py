"""The study that docs/adding-a-study.md builds is taken off the page and run as written, and the page's claims hold."""

from __future__ import annotations

import dataclasses
import importlib
import math
import re
import sys
from pathlib import Path

import pytest

from coachwork import studies
from coachwork.build import read, read_text, with_entry
from coachwork.confidence import examine
from coachwork.confidence.json_form import json_form
from coachwork.plan import Plan, discovery

ROOT = Path(__file__).parents[2]
PAGE = ROOT / "docs" / "adding-a-study.md"
FILE = re.compile(r"<!-- file: (?P<path>\S+) -->\n```python\n(?P<code>.*?)^```$", re.DOTALL | re.MULTILINE)
BUILD = """
[running-gear]
wheelbase = 260.0
[running-gear.front]
ride-height = 6.0
[wheels.front]
tyre-diameter = 74.0
[changes]
stretch = 10.0
[changes.front]
ride-height = "8.2 ± 0.5"
"""


@pytest.fixture
def folder(tmp_path, monkeypatch):
    """The page's files in a folder that the package of studies looks into."""
    for match in FILE.finditer(PAGE.read_text(encoding="utf-8")):
        path = tmp_path / match["path"]
        path.parent.mkdir(exist_ok=True)
        path.write_text(match["code"], encoding="utf-8")
    monkeypatch.setattr(studies, "__path__", [*studies.__path__, str(tmp_path)])
    importlib.invalidate_caches()
    discovery.discover.cache_clear()
    yield tmp_path
    for name in [name for name in sys.modules if name.startswith("coachwork.studies.ramp")]:
        del sys.modules[name]
    vars(studies).pop("ramp", None)
    discovery.discover.cache_clear()


@pytest.fixture
def plan(folder):
    """A plan that finds its studies by itself."""
    return Plan()


def build(text=BUILD):
    return read_text(text, Path("build.toml"))


def test_the_page_holds_the_files_it_speaks_of():
    assert [match["path"] for match in FILE.finditer(PAGE.read_text(encoding="utf-8"))] == [
        "ramp/__init__.py",
        "ramp/compute.py",
        "test_ramp.py",
    ]


def test_the_plan_finds_it_between_sit_and_move(plan):
    names = [study.name for study in plan.studies]

    assert names.index("stance") < names.index("ramp") < names.index("linkage")


def test_it_answers_with_a_chance_and_names_the_readings_behind_it(plan):
    """The value by another route: the angle at which a tangent from P leaves, by coordinates of the touching point."""
    (verdict,) = examine(build(), plan=plan, only=["ramp"]).verdicts

    half, rise, radius = 270 / 2, 37 - 8.2, 37
    along = math.sqrt(half**2 + rise**2 - radius**2)  # from P to the point where the plane touches
    touch_x = (along**2 * half + along * radius * rise) / (along**2 + radius**2)
    touch_z = (along**2 * rise - along * radius * half) / (along**2 + radius**2)
    assert verdict.value == pytest.approx(2 * math.degrees(math.atan2(-touch_z, touch_x)), rel=1e-12)
    assert verdict.id == "ramp.belly"
    assert 0 < verdict.chance < 1
    assert verdict.leads[0].key == "changes.front.ride-height"


@pytest.mark.parametrize(
    ("gone", "key"),
    [("wheelbase = 260.0\n", "running-gear.wheelbase"), ("tyre-diameter = 74.0\n", "wheels.front.tyre-diameter")],
)
def test_a_number_left_out_is_the_next_thing_to_measure(plan, gone, key):
    report = examine(build(BUILD.replace(gone, "")), plan=plan, only=["ramp"])

    (verdict,) = report.verdicts
    assert verdict.state == "unmeasured"
    assert report.next_steps[0].key == key


def test_without_any_ride_height_that_is_asked_for(plan):
    text = BUILD.replace("ride-height = 6.0\n", "").replace('ride-height = "8.2 ± 0.5"\n', "")

    assert examine(build(text), plan=plan, only=["ramp"]).next_steps[0].key == "running-gear.front.ride-height"


def test_its_answer_is_reused_after_an_edit_it_did_not_read(plan):
    before = plan.run(build(), only=["ramp"])["ramp"]
    elsewhere = plan.run(build(with_entry(BUILD, "shell.width", "180")), only=["ramp"])["ramp"]
    changed = plan.run(build(with_entry(BUILD, "changes.stretch", "12")), only=["ramp"])["ramp"]

    assert elsewhere is before
    assert changed is not before


def test_its_result_is_in_the_json(plan):
    form = json_form(examine(build(), plan=plan, only=["ramp"]))

    assert form["results"]["ramp"]["angle_rad"] == pytest.approx(math.radians(form["verdicts"][0]["value"]))


def test_the_page_s_own_tests_pass(folder):
    """Its test file is run function by function; pytest inside pytest would hide what failed."""
    importlib.import_module("coachwork.studies.ramp")
    names = {}
    exec(compile((folder / "test_ramp.py").read_text(encoding="utf-8"), "test_ramp.py", "exec"), names)
    tests = [test for name, test in names.items() if name.startswith("test_")]

    assert len(tests) == 2
    for test in tests:
        test()


@pytest.mark.parametrize("van", ["as-found", "as-finished"])
def test_pasted_as_it_is_it_answers_for_both_vans(plan, van):
    (verdict,) = examine(read(ROOT / "examples" / "harbour-mail-van" / van), plan=plan, only=["ramp"]).verdicts

    assert verdict.state in ("holds", "tight")


def test_nothing_of_it_stays_behind():
    """The fixture cleans up: other tests see the folders of the package and no others."""
    folders = {path.parent.name for path in (ROOT / "src" / "coachwork" / "studies").glob("*/__init__.py")}

    assert {study.name for study in Plan().studies} == folders
    assert all(dataclasses.is_dataclass(study) for study in Plan().studies)
