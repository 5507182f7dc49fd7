"""Notices stay in view and take no control of the drawing out of it: it gives way, and more than two are counted."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from coachwork.workbench.merging import held

PINION = "changes.pinion-teeth"
# Controls that are not wholly in the window, or that something else lies over; and how high the drawing is.
LOOK = """(where) => {
    const out = [...document.querySelectorAll(where)].filter((one) => one.checkVisibility()).filter((one) => {
        const box = one.getBoundingClientRect();
        if (box.top < 0 || box.left < 0 || box.bottom > innerHeight || box.right > innerWidth) return true;
        const at = document.elementFromPoint(box.left + box.width / 2, box.top + box.height / 2);
        return at !== one && !one.contains(at);
    });
    const name = (one) => one.id || one.textContent || one.outerHTML;
    return [out.map(name), document.querySelectorAll(where).length];
}"""
CONTROLS = ", ".join(
    f"#drawing {part} {kind}"
    for part in (".toolbar", ".sizes", ".sliders", ".below")
    for kind in ("button", "input", "select", "output")
)


def all_in_view(page: Page) -> None:
    """Of the drawing every control, and of the notices every button and the first words."""
    page.wait_for_timeout(300)  # the drawing follows the notices' height
    out, count = page.evaluate(LOOK, CONTROLS)
    assert out == []
    assert count > 20
    out, count = page.evaluate(LOOK, "#notices button, #notices strong")
    assert out == []
    frame = page.locator(".frame").bounding_box()
    assert frame is not None
    assert frame["height"] > 130


@pytest.mark.parametrize("theme", ["light", "dark"])
@pytest.mark.parametrize(("width", "height"), [(768, 1024), (1024, 768), (1440, 900)])
def test_every_control_of_the_drawing_stays_in_view_under_notices(
    van, enter, shots: Path, width: int, height: int, theme: str
):
    page = enter(van, viewport={"width": width, "height": height}, color_scheme=theme)
    expect(page.locator("#working")).to_have_text("Saved", timeout=90_000)
    all_in_view(page)
    before = van.file.read_text(encoding="utf-8")
    notices = page.locator("#notices .notice")
    try:
        page.locator("#tab-numbers").click()
        page.locator("#find").fill("pinion teeth")
        page.locator(f'#sheet-numbers [data-key="{PINION}"] input').fill("20")
        page.wait_for_timeout(600)  # the draft is with the server now
        van.file.write_text(re.sub(r"pinion-teeth = 29\b", "pinion-teeth = 24", before), encoding="utf-8")
        expect(notices).to_have_count(2)  # which of the two, and what was taken over
        all_in_view(page)
        van.file.write_text(before.replace("[prototype]", "[prototype"), encoding="utf-8")
        expect(page.locator('[data-notice="broken"]')).to_be_visible()
        expect(notices).to_have_count(3)  # the third of them counts
        more = page.locator(".notice.more")
        expect(more).to_contain_text("1 more note")
        all_in_view(page)
        page.screenshot(path=shots / f"notices-{width}-{theme}.png")
        more.get_by_role("button", name="Show all").click()
        expect(page.locator('[data-notice="told"]')).to_be_visible()
        expect(more.get_by_role("button", name="Show fewer")).to_be_focused()
        all_in_view(page)
        page.locator("#tab-questions").click()
        page.evaluate("scrollTo(0, 700)")
        all_in_view(page)
    finally:
        van.file.write_text(before, encoding="utf-8")
        page.locator('[data-notice="clash"]').get_by_role("button", name="Leave theirs").click()
        expect(page.locator("#working")).to_have_text("Saved", timeout=90_000)


@pytest.mark.parametrize(("width", "height"), [(768, 1024), (1440, 900)])
def test_what_keys_reach_is_not_under_notices_or_drawing(van, enter, width: int, height: int):
    """Backwards through a long list, where what comes next lies above the window."""
    page = enter(van, viewport={"width": width, "height": height})
    expect(page.locator("#working")).to_have_text("Saved", timeout=90_000)
    before = van.file.read_text(encoding="utf-8")
    try:
        van.file.write_text(before.replace("[prototype]", "[prototype"), encoding="utf-8")
        expect(page.locator('[data-notice="broken"]')).to_be_visible()
        page.locator("#tab-numbers").click()
        page.locator("#find").fill("tyre")
        fields = page.locator("#sheet-numbers .field input")
        fields.nth(24).focus()
        for _ in range(20):
            page.keyboard.press("Shift+Tab")
            assert page.evaluate(LOOK, ":focus")[0] == []
    finally:
        van.file.write_text(before, encoding="utf-8")
        expect(page.locator("#working")).to_have_text("Saved", timeout=90_000)


def test_a_notice_that_stays_is_not_put_up_again(van, enter):
    """Else a screen reader would begin it anew with every number that is typed."""
    page = enter(van)
    expect(page.locator("#working")).to_have_text("Saved", timeout=90_000)
    before = van.file.read_text(encoding="utf-8")
    try:
        van.file.write_text(before.replace("[prototype]", "[prototype"), encoding="utf-8")
        broken = page.locator('[data-notice="broken"]')
        expect(broken).to_be_visible()
        broken.evaluate("(one) => { one.seen = true; }")
        page.locator("#tab-numbers").click()
        page.locator("#find").fill("pinion teeth")
        field = page.locator(f'#sheet-numbers [data-key="{PINION}"]')
        field.locator("input").fill("20")
        field.locator("input").press("Enter")
        expect(field.locator(".fault")).not_to_be_empty()  # it waits
        assert broken.evaluate("(one) => one.seen")
        field.locator("input").fill("29")
        field.locator("input").press("Enter")
        expect(field.locator(".fault")).to_be_empty()
        van.file.write_text(before.replace("[shell]", "[shell"), encoding="utf-8")
        expect(broken).to_contain_text("[shell")
        assert not broken.evaluate("(one) => one.seen ?? false")  # it says something else now
    finally:
        van.file.write_text(before, encoding="utf-8")
        expect(page.locator("#working")).to_have_text("Saved", timeout=90_000)


def test_a_number_typed_back_while_the_file_cannot_be_read_does_not_go_in_later(van, enter, until):
    page = enter(van)
    expect(page.locator("#working")).to_have_text("Saved", timeout=90_000)
    before = van.file.read_text(encoding="utf-8")
    stood, other = str(held(before, PINION)), "21"
    assert stood != other
    try:
        van.file.write_text(before.replace("[prototype]", "[prototype"), encoding="utf-8")
        expect(page.locator('[data-notice="broken"]')).to_be_visible()
        page.locator("#tab-numbers").click()
        page.locator("#find").fill("pinion teeth")
        field = page.locator(f'#sheet-numbers [data-key="{PINION}"]')
        field.locator("input").fill(other)
        field.locator("input").press("Enter")
        expect(field.locator(".fault")).not_to_be_empty()  # it waits
        field.locator("input").fill(stood)
        field.locator("input").press("Enter")
        journal = van.folder / ".coachwork" / "session.json"
        until(lambda: PINION not in str(json.loads(journal.read_text("utf-8"))["drafts"]), "what waited is forgotten")
    finally:
        van.file.write_text(before, encoding="utf-8")
        expect(page.locator('[data-notice="broken"]')).to_have_count(0)
        expect(page.locator("#working")).to_have_text("Saved", timeout=90_000)
    assert van.file.read_text(encoding="utf-8") == before
    expect(field.locator("input")).to_have_value(stood)
