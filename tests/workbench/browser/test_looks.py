"""How the page looks and reads: three widths, light and dark, and what an accessibility engine says of it.

The engine is axe-core 4.14.1 (MPL 2.0), kept beside this file; its rules follow WCAG 2.2. It cannot judge everything:
the screenshots are there to be looked at.
"""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
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
    expect(page.locator("#working")).to_have_text("Saved", timeout=90_000)
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


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_an_empty_build_has_no_serious_fault_of_access_either(new, enter, shots: Path, theme: str):
    page = enter(new, color_scheme=theme)
    expect(page.locator("#working")).to_have_text("Saved", timeout=90_000)
    expect(page.locator(".callipers text.lit").first).to_be_visible()
    assert faults(page) == []
    # a number that is wrong, then what the right ones turn
    for key, text in (("prototype.wheelbase", "27l2"), ("running-gear.wheelbase", "257"), ("shell.wheelbase", "272.1")):
        page.locator(f'#sheet-next [data-key="{key}"] input').fill(text)
        page.locator(f'#sheet-next [data-key="{key}"] input').press("Enter")
    expect(page.locator(".turned li").first).to_be_visible(timeout=90_000)
    expect(page.locator('[data-key="prototype.wheelbase"] .fault').first).to_contain_text("27l2")
    page.wait_for_timeout(400)
    page.screenshot(path=shots / f"empty-{theme}.png")
    assert faults(page) == []


PINION = "changes.pinion-teeth"


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_what_is_told_of_a_file_that_changed_elsewhere_has_no_serious_fault_of_access(
    van, enter, shots: Path, theme: str
):
    """Both sides changed one number; then the file is broken, with the question still open. Read out at once, and the
    answers to it can be reached by keys.
    """
    page = enter(van, color_scheme=theme)
    expect(page.locator("#working")).to_have_text("Saved", timeout=90_000)
    before = van.file.read_text(encoding="utf-8")
    try:
        page.locator("#tab-numbers").click()
        page.locator("#find").fill("pinion teeth")
        field = page.locator(f'#sheet-numbers [data-key="{PINION}"] input')
        field.fill("20")
        page.wait_for_timeout(600)  # the draft is with the server now
        van.file.write_text(re.sub(r"pinion-teeth = 29\b", "pinion-teeth = 24", before), encoding="utf-8")
        clash = page.locator('[data-notice="clash"]')
        expect(clash).to_have_attribute("role", "alert")
        expect(clash).to_contain_text("It was 29, in the file now stands 24, you typed 20.")
        expect(clash.get_by_role("button")).to_have_text(["Take mine: 20", "Leave theirs: 24"])
        assert faults(page) == []
        page.screenshot(path=shots / f"clash-{theme}.png")
        van.file.write_text(before.replace("[prototype]", "[prototype"), encoding="utf-8")
        broken = page.locator('[data-notice="broken"]')
        expect(broken).to_have_attribute("role", "alert")
        expect(broken.locator("li")).to_contain_text(["line "])
        expect(clash).to_be_visible()
        assert faults(page) == []
        page.screenshot(path=shots / f"broken-{theme}.png")
        van.file.write_text(re.sub(r"pinion-teeth = 29\b", "pinion-teeth = 24", before), encoding="utf-8")
        expect(broken).to_have_count(0)
        clash.get_by_role("button", name="Leave theirs").focus()
        page.keyboard.press("Enter")
        expect(clash).to_have_count(0)
        expect(field).to_have_value("24")
    finally:
        van.file.write_text(before, encoding="utf-8")
        expect(page.locator("#working")).to_have_text("Saved", timeout=90_000)


def test_no_number_that_rounds_to_zero_has_a_minus(van, enter):
    page = enter(van)
    found = page.evaluate(
        """async () => {
            const { fixed, plain, readOff, signed } = await import("/page/figures.js");
            return [fixed(-0.04, 1), fixed(-0.06, 1), plain(-0.001), plain(-1.5), plain(120.4), readOff(-0.0004, 3),
                    readOff(68.8614, 86), readOff(-3, 15), readOff(123456, 2e6), signed(-0.04), signed(0.06)];
        }"""
    )
    assert found == ["0.0", "-0.1", "0", "\u22121.5", "120", "0", "68.9", "-3", "123000", "+0.0", "+0.1"]


def test_the_worst_places_leave_what_the_probe_reads_in_sight(van, enter):
    for width in (768, 1440):
        page = enter(van, viewport={"width": width, "height": 900})
        page.wait_for_selector("#drawing[data-triangles]")
        expect(page.locator("#working")).to_have_text("Saved", timeout=90_000)
        page.locator("#colours").select_option("room")
        legend = page.locator(".legend-box")
        expect(legend).to_contain_text("Room left, mm", timeout=90_000)
        legend.locator("summary").click()
        legend.locator("ol button").nth(1).click()
        expect(page.locator("#probe strong")).to_be_visible()
        seen = page.evaluate(
            """() => {
                const box = document.getElementById("probe").getBoundingClientRect();
                const at = (x, y) => document.elementFromPoint(x, y)?.closest("#probe, ol")?.id;
                return [0.02, 0.5, 0.98].map((share) => at(box.left + share * box.width, box.top + box.height / 2));
            }"""
        )
        assert seen == ["probe"] * 3, width


@pytest.mark.parametrize("width", [768, 1024, 1440])
def test_the_section_slider_stands_level_with_its_choices_and_counts_stand_apart(van, enter, width: int):
    page = enter(van, viewport={"width": width, "height": 900})
    expect(page.locator("#working")).to_have_text("Saved", timeout=90_000)
    middles = page.evaluate(
        """() => ["cut", "cut-way", "parts"].map((id) => {
            const box = document.getElementById(id).getBoundingClientRect();
            return box.top + box.height / 2;
        })"""
    )
    assert middles[1] == pytest.approx(middles[2], abs=1)
    # beside its choices where there is room, else below them
    assert middles[0] == pytest.approx(middles[1], abs=1) or middles[0] > middles[1] + 20
    over = page.evaluate(
        """() => [...document.querySelectorAll(".question .tally")].filter((tally) => {
            const all = [...tally.querySelectorAll(".count:not(:empty)")];
            const ends = (one) => {
                const range = new Range();
                range.selectNodeContents(one);
                return range.getBoundingClientRect();
            };
            return all.some((one, i) => i && ends(all[i - 1]).right > ends(one).left - 2);
        }).map((one) => one.textContent)"""
    )
    assert over == []


def test_a_way_with_many_actions_is_scrolled_and_not_hidden_under_the_drawing(van, enter):
    page = enter(van, viewport={"width": 1024, "height": 900})
    expect(page.locator("#working")).to_have_text("Saved", timeout=90_000)
    page.locator('[data-study="radio"] .question').click()
    row = page.locator('[data-id="radio.wish.cab-lamp-with-beacons"]')
    row.locator(".line").click()
    last = row.locator("thead th").last
    last.hover()  # it can be scrolled to
    left, frame = last.bounding_box(), page.locator("#drawing").bounding_box()
    assert left is not None
    assert frame is not None
    assert left["x"] + left["width"] / 2 < frame["x"]
    expect(row.locator(".reading")).to_contain_text(last.inner_text())


def test_an_empty_build_has_no_dead_end(new, enter):
    """What is not filled in yet can be shown from where it is looked for; a sheet without curves leads to its cure."""
    page = enter(new)
    expect(page.locator("#working")).to_have_text("Saved", timeout=90_000)
    page.locator("#tab-numbers").click()
    page.locator("#sheet-numbers .others button").click()
    expect(page.locator("#measured")).to_be_focused()
    expect(page.locator("#measured")).not_to_be_checked()
    expect(page.locator("#sheet-numbers summary", has_text="Prototype")).to_be_visible()
    page.locator("#tab-curves").click()
    page.get_by_role("button", name="See what to measure next").click()
    expect(page.locator("#tab-next")).to_have_attribute("aria-selected", "true")
    expect(page.locator("#sheet-next .field").first).to_be_visible()


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
    expect(page.locator("#working")).to_have_text("Saved", timeout=90_000)
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


WORDS = """() => {
    const box = (one) => one.getBoundingClientRect();
    const frame = box(document.querySelector(".frame"));
    const all = [...document.querySelectorAll(".overlay text")].map((one) => [one.textContent, box(one)]);
    const inside = (b) =>
        b.left >= frame.left && b.right <= frame.right && b.top >= frame.top && b.bottom <= frame.bottom;
    // A line's box is higher than its letters: two pixels into each other are none yet.
    const apart = (a, b) =>
        a.left + 2 >= b.right || b.left + 2 >= a.right || a.top + 2 >= b.bottom || b.top + 2 >= a.bottom;
    const cut = all.filter(([, b]) => !inside(b)).map(([words]) => `cut: ${words}`);
    const over = all.flatMap(([words, a], i) =>
        all.slice(i + 1).filter(([, b]) => !apart(a, b)).map(([other]) => `${words} / ${other}`));
    return [...cut, ...over];
}"""


@pytest.mark.parametrize("width", [1024, 1440])
def test_no_words_on_the_drawing_lie_over_others_or_are_cut_off(van, enter, width: int):
    page = enter(van, viewport={"width": width, "height": 800})
    page.wait_for_selector("#drawing[data-triangles]")
    expect(page.locator("#working")).to_have_text("Saved", timeout=90_000)
    seen = 0
    for view in ("side", "plan", "end"):
        page.locator(f'[data-view="{view}"]').click()
        for lock in ("0", "1"):
            page.locator("#slide-lock").fill(lock)
            page.wait_for_timeout(300)
            assert page.evaluate(WORDS) == [], f"{view}, lock {lock}"
            seen += page.locator(".overlay text").count()
    assert seen > 30


# Linear light as eyes without one kind of cone have it: Vienot, Brettel and Mollon 1999, from memory.
EYES = {
    "all cones": np.eye(3),
    "no red ones": np.array([[0.11238, 0.88762, 0.0], [0.11238, 0.88762, 0.0], [0.00401, -0.00401, 1.0]]),
    "no green ones": np.array([[0.29275, 0.70725, 0.0], [0.29275, 0.70725, 0.0], [-0.02234, 0.02234, 1.0]]),
}


def lab(rgb: np.ndarray, eye: np.ndarray) -> np.ndarray:
    """CIE L*a*b* of sRGB colours (n, 3), 0 to 255, as an eye has them; IEC 61966-2-1 and CIE 15."""
    part = rgb / 255
    linear = np.where(part <= 0.04045, part / 12.92, ((part + 0.055) / 1.055) ** 2.4) @ eye.T
    to_xyz = np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]])
    share = np.clip(linear, 0, 1) @ to_xyz.T / to_xyz.sum(axis=1)
    root = np.where(share > (6 / 29) ** 3, np.cbrt(share), share * (29 / 6) ** 2 / 3 + 4 / 29)
    return np.stack([116 * root[:, 1] - 16, 500 * (root[:, 0] - root[:, 1]), 200 * (root[:, 1] - root[:, 2])], axis=-1)


def test_enough_and_too_little_room_are_told_apart_by_every_eye(van, enter):
    """Every colour below the gap against every one above it. A difference of 2.3 is just seen (CIE 1976); 20 is plain.

    Stress: lightness never falls, so that a grey print tells the same.
    """
    page = enter(van)
    found = page.evaluate(
        """async () => {
            const { roomScale, stressScale } = await import("/page/scale.js");
            const [room, stress] = [roomScale(0.5, 12), stressScale(40)];
            const thirty = Array.from({ length: 30 }, (_, i) => (i + 0.5) / 30);
            const all = (from, to, scale) => thirty.map((share) => scale.colour(from + (to - from) * share));
            const gap = room.place(0.5);
            const places = [-2, 0, 0.5, 2, 5, 12, 99, -9, NaN].map(room.place);
            return { little: all(0, gap, room), enough: all(gap, 1, room), stress: all(0, 1, stress), places };
        }"""
    )
    assert found["places"] == pytest.approx([0, 0.2, 0.4, 0.6, 0.8, 1, 1, 0, 1])
    for name, eye in EYES.items():
        little, enough, stress = (lab(np.array(found[which]), eye) for which in ("little", "enough", "stress"))
        apart = np.linalg.norm(little[:, None] - enough[None], axis=-1)
        assert apart.min() > 20, name
        assert (np.diff(stress[:, 0]) > 0).all(), name
