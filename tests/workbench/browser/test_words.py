"""Numbers by their words: a key of the build file stands small beside them, and nowhere alone."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Page, expect

from coachwork.build import with_entry
from coachwork.workbench.merging import held

# Every key in the page's text that is not set apart as one; of what is shown, and of what is read out.
BARE = """async () => {
    const { state } = await import("/page/store.js");
    const keys = (text) => [...text.matchAll(/[a-z][\\w-]*(?:\\.[\\w-]+)+/g)]
        .map(([key]) => key).filter((key) => key in state.entries).map((key) => `${key}: ${text}`);
    const found = [];
    const all = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    for (let node = all.nextNode(); node; node = all.nextNode()) {
        if (!node.parentElement.closest("code, pre, .sheet-of-paper")) found.push(...keys(node.textContent));
    }
    for (const one of document.querySelectorAll("[aria-label]")) found.push(...keys(one.getAttribute("aria-label")));
    return found;
}"""
SHEETS = ("questions", "next", "curves", "numbers", "work")


def bare(page: Page) -> list[str]:
    """On every sheet, with every verdict open and every number listed."""
    found: list[str] = []
    for sheet in SHEETS:
        page.locator(f"#tab-{sheet}").click()
        if sheet == "questions":
            page.evaluate("document.querySelectorAll('.verdict .line').forEach((line) => line.click())")
        if sheet == "numbers":
            page.locator("#measured").uncheck()
            page.evaluate("document.querySelectorAll('.tables details').forEach((one) => { one.open = true; })")
        page.wait_for_timeout(300)
        found += page.evaluate(BARE)
    return found


def test_what_is_not_measured_yet_is_told_in_words_with_its_key_small_beside(new, enter):
    page = enter(new)
    expect(page.locator("#working")).to_have_text("Saved", timeout=90_000)
    page.locator("#tab-questions").click()
    height = page.locator('[data-id="likeness.height"]')
    expect(height.locator(".numbers")).to_have_text(
        "Not measured yet: height (full-size vehicle) prototype.height, height (shell) shell.height, scale build.scale"
    )
    expect(height.locator(".numbers .key")).to_have_text(["prototype.height", "shell.height", "build.scale"])
    sizes = height.evaluate(
        """(row) => ['.numbers', '.numbers .key'].map(
            (one) => parseFloat(getComputedStyle(row.querySelector(one)).fontSize))"""
    )
    assert sizes[1] < 0.9 * sizes[0]
    toe = page.locator('[data-id="linkage.front.toe"]')
    expect(toe.locator(".numbers")).to_have_text(
        "Not chosen yet: kind of suspension (running gear / front) running-gear.front.kind"
    )
    # many are counted; opened, each has its field, and is not listed once more
    tips = page.locator('[data-id="balance.tips-or-slides"]')
    page.locator('[data-study="balance"] .question').click()
    expect(tips.locator(".numbers")).to_contain_text(
        re.compile(r"front left \(scales\) scales\.front-left, .* and \d+ more$")
    )
    tips.locator(".line").click()
    expect(tips.locator(".why")).to_be_empty()
    expect(tips.locator(".field .name").first).to_have_text("front left")
    assert tips.locator(".field").count() > 10


@pytest.mark.parametrize("build", ["van", "new"])
def test_no_key_of_the_file_stands_alone_on_the_page(build: str, enter, request: pytest.FixtureRequest):
    page = enter(request.getfixturevalue(build))
    expect(page.locator("#working")).to_have_text("Saved", timeout=90_000)
    assert bare(page) == []
    page.evaluate("document.getElementById('name').textContent = 'shell.width'")
    assert page.evaluate(BARE) == ["shell.width: shell.width"], "or this test would find nothing"


def test_changes_are_told_in_words(van, enter):
    """What another program did, and what undo would take back."""
    page = enter(van)
    expect(page.locator("#working")).to_have_text("Saved", timeout=90_000)
    before = van.file.read_text(encoding="utf-8")
    try:
        stood = held(before, "changes.pinion-teeth")  # what the test before this one left there
        van.file.write_text(with_entry(before, "changes.pinion-teeth", "24"), encoding="utf-8")
        told = page.locator('[data-notice="told"]')
        expect(told).to_contain_text(f"pinion teeth (as changed) changes.pinion-teeth was {stood}, is 24")
        expect(told.locator(".key")).to_have_text("changes.pinion-teeth")
        told.get_by_role("button", name="Close").click()
        expect(told).to_have_count(0)
        page.locator("#tab-numbers").click()
        page.locator("#find").fill("pinion teeth as changed")
        field = page.locator('#sheet-numbers [data-key="changes.pinion-teeth"] input')
        field.fill("23")
        field.press("Enter")
        undo = page.get_by_role("button", name="Undo pinion teeth (as changed): 24 to 23")
        undo.click()
        expect(page.locator("#said")).to_contain_text("Taken back: pinion teeth (as changed): 24 to 23")
        expect(field).to_have_value("24")
    finally:
        van.file.write_text(before, encoding="utf-8")
        expect(page.locator("#working")).to_have_text("Saved", timeout=90_000)


def test_guesses_that_no_answer_hangs_on_say_so_and_what_they_are_read_for(van, enter):
    page = enter(van)
    expect(page.locator("#working")).to_have_text("Saved", timeout=90_000)
    page.locator("#tab-next").click()
    cards = page.locator("#sheet-next .step")
    expect(cards.last.locator("h3")).to_have_text("Guesses that no answer hangs on")
    expect(cards.last).to_contain_text("take them before you order parts")
    pin = cards.last.locator('[data-key="parts.front-arms.pin"] .note')
    expect(pin).to_have_text(
        re.compile("^Diameter of its hinge pins, at both ends. Read for: .*Can its parts be made?")
    )
    for card in cards.all()[:-1]:
        expect(card.locator(":scope > p").first).to_have_text(re.compile("^(Answers|A guess so far|A better reading)"))


def test_what_waits_for_work_offers_that_work(van, enter):
    """In the terminal the words name a command; here there is a button for it."""
    page = enter(van)
    expect(page.locator("#working")).to_have_text("Saved", timeout=90_000)
    page.locator('[data-study="stowage"] .question').click()
    row = page.locator('[data-id="stowage.pack.air"]')
    row.locator(".line").click()
    expect(row.locator(".why")).to_contain_text("coachwork stow looks for one")
    buttons = row.locator(".answers button")
    expect(buttons).to_have_text(["Find a place for every box"])
    jobs = page.locator('[data-job="stow"]')
    before = jobs.count()
    buttons.click()
    expect(page.locator("#tab-work")).to_be_focused()
    expect(jobs).to_have_count(before + 1)
    expect(jobs.first).to_be_in_viewport()
    jobs.first.get_by_role("button", name="Stop").click()
    expect(jobs.first).to_have_attribute("data-state", "stopped")
