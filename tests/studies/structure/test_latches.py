"""Latches strained too far are told from the build alone: nothing is made, no finite elements are run."""

from __future__ import annotations

import json
import re
import shutil
from pathlib import Path

import pytest

from coachwork.build import Build, read, read_text, with_entry
from coachwork.plan import Plan, discover
from coachwork.plan.strengths import strengths
from coachwork.studies.finding import Finding, margin_of
from coachwork.studies.solids import MADE_FILE, MADE_FOLDER, PartSolid

ROW = re.compile(r"^\| [^|]+ \| structure\.latch\.battery-door\.left \| (?P<value>[\d.]+) \| % \|$", re.MULTILINE)


@pytest.fixture(scope="module")
def plan() -> Plan:
    return Plan(studies=tuple(study for study in discover() if study.name not in ("clearance", "stowage")))


def latches(build: Build, plan: Plan) -> dict[str, Finding]:
    found = plan.run(build, only=["structure"])["structure"].findings
    return {each.id.rpartition(".")[2]: each for each in found if each.id.startswith("structure.latch.")}


def plain(latch: Finding) -> tuple[float, float]:
    """(value, margin) by the plain numbers."""
    assert latch.value is not None
    assert latch.limit is not None
    return float(latch.value[0]), float(margin_of(latch.value, latch.limit, latch.sense).flat[0])


def test_the_planted_latches_fail_with_their_number_cure_and_place(examples: Path, plan: Plan):
    """By hand: 3/2 x (1.2 - 0.25) x 2.0 / 9.0^2 = 3.52 %. Roots: half the beam behind the door's front edge, which lies
    a gap behind the bay's at x = -76; 2 mm either side of the middle between 58.5 and the post, 16 + 1.6 x 3.55.
    """
    found = latches(read(examples / "as-found"), plan)
    row = ROW.search((examples / "README.md").read_text(encoding="utf-8"))
    middle = (16 + 1.6 * 3.55 + 58.5) / 2

    assert row is not None
    for side, way in (("left", 1), ("right", -1)):
        value, margin = plain(found[side])
        assert margin < 0
        assert value == pytest.approx(3.52, abs=0.005)
        assert value == pytest.approx(float(row["value"]), abs=0.005)
        assert found[side].do is not None
        assert found[side].where is not None
        assert found[side].where.part == "battery-door"
        assert found[side].where.point_mm == pytest.approx((-76 - 0.25 - 1.0, middle + 2.0 * way, 2.0), abs=1e-3)


def test_the_same_door_with_the_cure_that_the_verdict_names_is_left_alone(examples: Path, plan: Plan):
    """There is no room for the 16.9 mm that the length alone would take: it has to become thinner, too."""
    found = read(examples / "as-found")
    cure = re.search(r"latch ([\d.]+) mm long, which .* and ([\d.]+) mm thick", latches(found, plan)["left"].do or "")
    assert cure is not None
    text = with_entry(found.text, "parts.battery-door.latch-length", cure[1])
    text = with_entry(text, "parts.battery-door.latch-thickness", cure[2])

    both = latches(read_text(text, found.path), plan)

    assert len(both) == 2
    assert all(0 < plain(latch)[1] < 0.1 for latch in both.values())


def test_the_finished_van_s_latches_hold(examples: Path, plan: Plan):
    both = latches(read(examples / "as-finished"), plan)

    assert set(both) == {"left", "right"}
    assert all(plain(latch)[1] > 0 for latch in both.values())


def test_latches_follow_the_build_before_the_door_is_made_again(tmp_path: Path, examples: Path, tray_part):
    """What stands made has latches of the old length, and is not what the build asks for any more."""
    folder = tmp_path / "van"
    shutil.copytree(examples / "as-found", folder)
    old: PartSolid = tray_part(tmp_path, name="battery-door", file="door.step")
    (folder / MADE_FOLDER).mkdir(parents=True)
    (folder / MADE_FOLDER / MADE_FILE).write_text(json.dumps({"format": 1, "parts": [old.to_json()]}), "utf-8")
    build = read(folder)

    before = strengths(build).latches
    after = strengths(read_text(with_entry(build.text, "parts.battery-door.latch-length", "15.0"), build.path)).latches

    assert before["battery-door.left"].latch.length_mm == 9.0
    assert after["battery-door.left"].latch.length_mm == 15.0
    assert old.latches[0].name == "front"
    assert "battery-door.front" not in after
