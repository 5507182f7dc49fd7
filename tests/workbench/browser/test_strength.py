"""Finite elements run from the page: how far they are, stopped half way, run to the end, and the stress looked at."""

from __future__ import annotations

import re

import numpy as np
import pytest
from playwright.sync_api import expect
from tests.workbench.browser.plates import solvers


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
    # Dropped, the worst bead reads what the verdict says of all of it.
    colours.select_option("stress chassis drop")
    expect(legend).to_contain_text("Off a kerb, front axle first")
    page.locator(".frame canvas").focus()
    page.keyboard.press("p")
    told = page.locator('[data-id="structure.drop"] .numbers').first.text_content()
    assert told is not None
    assert float(probe.inner_text().removesuffix(" MPa")) == pytest.approx(float(told.split()[0]), rel=0.01)
    colours.select_option("")
    expect(legend).to_be_hidden()
