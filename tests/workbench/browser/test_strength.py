"""Finite elements run from the page: how far they are, stopped half way, run to the end, and the stress looked at.

Their part is a plate that netgen cut for the test, named a chassis by its holes as `coachwork make` would name one.
"""

from __future__ import annotations

import json
import re
import shutil
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from playwright.sync_api import expect

from coachwork.build import read
from coachwork.plan.asked import wanted_parts
from coachwork.studies.solids import MADE_FILE, MADE_FOLDER, Hole, Measured, PartSolid

CUT = """
import sys, netgen.occ as occ
long, wide, thick = map(float, sys.argv[2:])
plate = occ.Box((-long, -wide / 2, 0), (0, wide / 2, thick))
for x in (-8, 8 - long):
    for y in (-wide / 4, wide / 4):
        plate -= occ.Cylinder(occ.Pnt(x, y, -1), occ.Z, r=1.6, h=thick + 2)
plate.WriteStep(sys.argv[1])
"""


def plate_made(folder: Path, *, long: float, wide: float, thick: float) -> None:
    """A flat chassis, as made, in a build's folder."""
    made = folder / MADE_FOLDER
    made.mkdir(parents=True)
    size = [str(number) for number in (long, wide, thick)]
    subprocess.run([sys.executable, "-c", CUT, str(made / "chassis.step"), *size], check=True, capture_output=True)
    ends = {"front-bolts": -8.0, "rear-bolts": 8.0 - long}
    holes = tuple(
        Hole(name=f"{end}.{side:+d}", centre_mm=(x, side * wide / 4, thick), axis=(0.0, 0.0, -1.0), diameter_mm=3.2,
             drawn_mm=3.2, depth_mm=thick, screw="M3")
        for end, x in ends.items() for side in (-1, 1)
    )  # fmt: skip
    measured = Measured(
        solids=1, valid=True, watertight=True, volume_mm3=long * wide * thick, area_mm2=2 * long * wide,
        centre_mm=(-long / 2, 0.0, thick / 2), low_mm=(-long, -wide / 2, 0.0), size_mm=(long, wide, thick), hull_mm=(),
        thin=(), narrow=(), holes=(), trapped_cm3=0.0, overhang_mm2={},
    )  # fmt: skip
    asked = {each.name: each.fingerprint for each in wanted_parts(read(folder))}
    part = PartSolid(name="chassis", number="P-1", step="chassis.step", mesh="chassis.stl", content="",
                     spec=asked["chassis"] or "", process="powder-bed nylon", material="PA12", holes=holes,
                     measured=measured)  # fmt: skip
    (made / MADE_FILE).write_text(json.dumps({"format": 1, "parts": [part.to_json()]}), "utf-8")


@pytest.fixture
def chassis(tmp_path: Path, open_folder):
    """The van as found with a plate for its chassis, opened: by size."""

    def opened(**size: float):
        folder = tmp_path / "van"
        source = Path(__file__).parents[3] / "examples" / "harbour-mail-van" / "as-found"
        shutil.copytree(source, folder, ignore=shutil.ignore_patterns("results", "*.stl"))
        plate_made(folder, **size)
        return open_folder(folder)

    return opened


def solvers(folder: Path) -> int:
    """How many processes of the finite elements work for a folder."""
    found = 0
    for process in Path("/proc").glob("[0-9]*/cmdline"):
        try:
            words = process.read_bytes()
        except OSError:
            continue
        found += b"coachwork.elasticity.worker" in words and str(folder).encode() in words
    return found


def test_finite_elements_tell_how_far_they_are_and_stop_with_all_their_processes(chassis, enter, until):
    """A plate so thin that it asks for some hundred thousand unknowns: no machine is through before Stop is pressed."""
    van = chassis(long=300.0, wide=110.0, thick=1.0)
    page = enter(van)
    page.locator("#tab-work").click()
    page.locator('[data-work="strength"]').click()
    job = page.locator('[data-job="strength"]').first
    expect(job).to_have_attribute("data-state", "running")
    expect(job.locator(".told")).to_contain_text(re.compile(r"chassis: (meshing|[\d,]+ elements)"), timeout=60_000)
    until(lambda: solvers(van.folder) == 1, "the solver works")
    job.get_by_role("button", name="Stop").click()
    expect(job).to_have_attribute("data-state", "stopped")
    until(lambda: solvers(van.folder) == 0, "the solver has ended")
    assert not list((van.folder / ".coachwork" / "strength").glob("*"))
    # and it can be had again
    page.locator('[data-work="strength"]').click()
    again = page.locator('[data-job="strength"]').first
    expect(again).to_have_attribute("data-state", "running")
    again.get_by_role("button", name="Stop").click()
    expect(again).to_have_attribute("data-state", "stopped")


def test_a_part_is_coloured_by_the_stress_that_was_found(chassis, enter):
    """Bent by couples about y a plate bears 6 M / (w t^2) all over but for its ends (Euler and Bernoulli).

    A wide plate does not curve across as a narrow beam does, and the stress that holds it flat is Poisson's share:
    von Mises 4 to 12 % less than the beam's. So within 15 %.
    """
    van = chassis(long=100.0, wide=30.0, thick=5.0)
    page = enter(van)
    colours = page.locator("#colours")
    expect(colours.locator("option", has_text="then try their strength")).to_be_attached()
    page.locator("#tab-work").click()
    page.locator('[data-work="strength"]').click()
    expect(page.locator('[data-job="strength"]').first).to_have_attribute("data-state", "done", timeout=240_000)
    expect(colours.locator('option[value="stress chassis bending"]')).to_be_attached(timeout=120_000)

    colours.select_option("stress chassis bending")

    legend = page.locator(".legend-box")
    expect(legend).to_contain_text("Stress in the chassis, MPa")
    expect(legend).to_contain_text("as the middle is when it stands")
    couple = float(re.search(r"Bent by (\d+) N mm", legend.inner_text())[1])
    ticks = [float(text) for text in legend.locator(".ramp text").all_text_contents()]
    assert ticks[0] == 0
    assert ticks == sorted(ticks)
    page.locator('[data-view="plan"]').click()
    page.locator(".frame canvas").focus()
    page.keyboard.press("0")
    found = page.evaluate(
        """async () => {
            const { fetchSurface } = await import("/page/surface.js");
            const { vertices, rows } = await fetchSurface("/stress/chassis");
            return [...rows[1]].filter((_, i) => Math.abs(vertices[3 * i] + 50) < 20);
        }"""
    )
    beam = 6 / (30 * 5**2)
    assert np.max(found) == pytest.approx(beam, rel=0.15)
    # P reads the worst place, as the list does; the keys move on from there.
    page.locator(".frame canvas").focus()
    page.keyboard.press("p")
    probe = page.locator("#probe strong")
    worst = float(probe.inner_text().removesuffix(" MPa"))
    assert worst >= 0.9 * couple * beam
    legend.locator("summary").click()
    expect(legend.locator("ol strong").first).to_have_text(f"{worst:g} MPa")
    legend.locator("summary").click()
    expect(page.locator(".probe text")).to_have_text(f"{worst:g} MPa")
    page.locator(".frame canvas").focus()
    for _ in range(40):
        page.keyboard.press("Alt+ArrowUp")
    expect(probe).to_have_count(0)  # beside the plate there is nothing to read
    colours.select_option("")
    expect(legend).to_be_hidden()
