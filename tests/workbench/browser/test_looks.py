"""How the page looks and reads: three widths, light and dark, and what an accessibility engine says of it.

The engine is axe-core 4.14.1 (MPL 2.0), kept beside this file; its rules follow WCAG 2.2. It cannot judge everything:
the screenshots are there to be looked at.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

AXE = Path(__file__).parent / "vendor" / "axe.min.js"
SHEETS = ("questions", "next", "curves", "numbers", "work")


def faults(page: Page) -> list[str]:
    """What the engine finds serious or worse."""
    page.evaluate(AXE.read_text(encoding="utf-8"))
    found = page.evaluate("axe.run(document, {resultTypes: ['violations']})")
    return [
        f"{one['id']}: {one['help']}: {[node['html'][:160] for node in one['nodes'][:3]]}"
        for one in found["violations"]
        if one["impact"] in ("serious", "critical")
    ]


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_no_sheet_has_a_serious_fault_of_access(van, enter, theme: str):
    page = enter(van, color_scheme=theme)
    expect(page.locator("#working")).to_have_text("Saved")
    assert page.evaluate("document.documentElement.dataset.theme") == theme
    page.locator('[data-id="likeness.windscreen-height"] .line').click()
    page.locator('[data-study="radio"] .question').click()
    page.locator('[data-id="radio.wish.buzzer-warns"] .line').click()
    page.locator("#parts").select_option("shell")
    page.locator("#colours").select_option("room")
    expect(page.locator(".legend-box")).to_contain_text("Room left, mm", timeout=90_000)
    page.locator(".legend-box summary").click()
    page.locator("#beside").select_option("opened")
    expect(page.locator("#differences")).not_to_be_empty()
    for sheet in SHEETS:
        page.locator(f"#tab-{sheet}").click()
        page.wait_for_timeout(400)
        assert faults(page) == [], f"{sheet}, {theme}"


def test_the_engine_can_find_a_fault(van, enter):
    page = enter(van)
    page.evaluate(
        "const find = document.getElementById('find');find.labels.forEach(one => one.remove()); find.placeholder = ''"
    )
    page.locator("#tab-numbers").click()
    assert any("label" in fault for fault in faults(page))


@pytest.mark.parametrize("theme", ["light", "dark"])
@pytest.mark.parametrize("width", [768, 1024, 1440])
def test_nothing_sticks_out_at_any_width(van, enter, shots: Path, width: int, theme: str):
    page = enter(van, color_scheme=theme, viewport={"width": width, "height": 1024 if width < 900 else 800})
    expect(page.locator("#working")).to_have_text("Saved")
    page.wait_for_selector("#drawing[data-triangles]")
    page.locator('[data-id="likeness.windscreen-height"] .line').click()
    page.wait_for_timeout(700)
    page.screenshot(path=shots / f"{width}-{theme}.png")
    page.locator("#colours").select_option("room")
    expect(page.locator(".legend-box")).to_contain_text("Room left, mm", timeout=90_000)
    page.wait_for_timeout(400)
    page.screenshot(path=shots / f"{width}-{theme}-room.png")
    for sheet in SHEETS:
        page.locator(f"#tab-{sheet}").click()
        page.wait_for_timeout(250)
        wide, seen = page.evaluate("[document.documentElement.scrollWidth, innerWidth]")
        assert wide <= seen, sheet
        if width != 1440:
            page.screenshot(path=shots / f"{width}-{theme}-{sheet}.png")
    box = page.locator(".frame").bounding_box()
    assert box is not None
    assert box["width"] > 300
    assert box["height"] > 120
