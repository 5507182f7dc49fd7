"""Somebody who begins: an empty build, the first five numbers, a slip of the finger, inches beside millimetres."""

from __future__ import annotations

import re
from pathlib import Path

from playwright.sync_api import Page, expect

FIVE = ("prototype.wheelbase", "prototype.width", "shell.wheelbase", "shell.width", "running-gear.wheelbase")


def settled(page: Page) -> None:
    expect(page.locator("#working")).to_have_text("Saved", timeout=90_000)


def field(page: Page, key: str):
    return page.locator(f'#sheet-next [data-key="{key}"]')


def test_an_empty_build_leads_by_what_to_measure_with_its_drawing(new, enter):
    page = enter(new)
    settled(page)
    expect(page.locator("#tab-next")).to_have_attribute("aria-selected", "true")
    first = page.locator(".step").first.locator(".field").evaluate_all("all => all.map(one => one.dataset.key)")
    assert tuple(first) == FIVE
    # The drawing of where the callipers go stands where the vehicle will, and goes with the field.
    lit = page.locator(".callipers text.lit")
    for key, drawing in (("shell.wheelbase", "from the left"), ("shell.width", "from the front")):
        field(page, key).locator("input").focus()
        expect(page.locator(".callipers figcaption")).to_contain_text(drawing)
        expect(lit.first).to_have_text(key.partition(".")[2])
    field(page, "prototype.width").locator("input").focus()
    expect(page.locator(".callipers figcaption")).to_contain_text("full-size vehicle")
    # and makes room for the vehicle once its numbers allow
    page.locator("#tab-numbers").click()
    page.locator("#measured").uncheck()
    page.locator("#find").fill("shell length")
    length = page.locator('#sheet-numbers [data-key="shell.length"] input')
    length.fill("448")
    length.press("Enter")
    page.locator("#find").fill("shell width")
    width = page.locator('#sheet-numbers [data-key="shell.width"] input')
    width.fill("182")
    width.press("Enter")
    expect(page.locator(".callipers")).to_be_hidden()
    expect(page.locator("#slide-travel")).to_be_visible()


def test_five_numbers_with_a_slip_and_mixed_units_tell_something_and_can_be_taken_back(new, enter):
    page = enter(new)
    settled(page)
    first = field(page, FIVE[0])
    first.locator("input").press_sequentially("27l2", delay=20)
    expect(first.locator(".fault")).to_contain_text("27l2 is not a length")
    first.locator("input").press("Enter")
    expect(first.locator("input")).to_have_value("27l2")  # nothing typed is thrown away
    assert "27l2" not in new.file.read_text("utf-8")
    for key, text, told in zip(
        FIVE, ("2720", "68 7/8 in", "272.1", "18.24 cm", "257"),
        ("2720 ", "1749 ", "272.1 ", "182.4 ", "257.0 "), strict=True,
    ):  # fmt: skip
        before = new.file.read_text("utf-8")
        one = field(page, key)
        one.locator("input").fill(text)
        one.locator("input").press("Enter")
        expect(one.locator(".told")).to_contain_text(told)
        expect(one.locator(".fault")).to_be_empty()
    # What that told stands beside the numbers: 2720 mm against 272.1, 1749.4 against 182.4.
    turned = page.locator(".turned")
    expect(turned).to_contain_text("Do the axles stand as far apart as the arches?", timeout=90_000)
    settled(page)
    page.locator("#tab-questions").click()
    scale = page.locator(".verdict", has_text="Are the shell's widths to the same scale as its lengths?")
    expect(scale.locator(".numbers")).to_contain_text(re.compile(r"^4\.\d+ %"))
    page.locator("#undo").click()
    expect(page.locator("#redo")).to_have_attribute("aria-label", re.compile(r"wheelbase \(running gear\)"))
    settled(page)
    assert new.file.read_text("utf-8") == before
    # a choice that is asked for can be made where it is asked
    page.locator("#tab-next").click()
    choice = page.locator("#sheet-next select").first
    key = choice.locator("xpath=ancestor::*[@data-key]").get_attribute("data-key")
    wanted = choice.locator("option").nth(1).inner_text()
    choice.select_option(wanted)
    expect(page.locator("#undo")).to_have_attribute("title", re.compile(re.escape(key)))
    assert f'"{wanted}"' in new.file.read_text("utf-8")


def test_a_scan_is_put_into_the_folder_and_drawn_and_another_file_is_refused_in_words(
    new, enter, coarse_stl: Path, tmp_path: Path
):
    page = enter(new)
    settled(page)
    page.locator("#tab-work").click()
    wrong = tmp_path / "shell.exe"
    wrong.write_bytes(b"MZ")
    page.locator("#scan").set_input_files(wrong)
    expect(page.locator("#sheet-work > .fault")).to_contain_text("a scan is one of")
    page.locator("#scan").set_input_files(coarse_stl)
    expect(page.locator("#said")).to_contain_text("shell.stl is in the folder", timeout=60_000)
    assert (new.folder / "shell.stl").read_bytes() == coarse_stl.read_bytes()
    assert re.search(r'(?m)^mesh = "shell.stl"', new.file.read_text("utf-8"))
