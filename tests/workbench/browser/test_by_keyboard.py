"""All that a builder does, in one sitting and by keys alone: no click, no pointer, no focus given by a script."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

from playwright.sync_api import Page, expect
from tests.workbench.browser.plates import solvers

LOAD, PINION, CRANK = "driveline.load", "changes.pinion-teeth", "clearance.front.steering"
READ = (
    "import sys; from build123d import import_step; part = import_step(sys.argv[1]);"
    "size = part.bounding_box().size; print(len(part.solids()), size.X, size.Y, size.Z)"
)
HERE = "wanted => (one => one.matches(wanted) && getComputedStyle(one).outlineStyle)(document.activeElement)"


class Hands:
    """On the keyboard; every place that is come to must show that it has the focus."""

    def __init__(self, page: Page) -> None:
        self.page, self.press = page, page.keyboard.press

    def go_to(self, wanted: str, most: int = 700) -> None:
        """Tab on, round the page where need be."""
        for _ in range(most):
            self.press("Tab")
            seen = self.page.evaluate(HERE, wanted)
            if seen:
                assert seen != "none", f"the focus on {wanted} cannot be seen"
                return
        raise AssertionError(f"Tab never came to {wanted}")

    def choose(self, wanted: str) -> None:
        """Go there and press it."""
        self.go_to(wanted)
        self.press("Enter")

    def sheet(self, key: str) -> None:
        """The first or the last of the sheets, by the keys Home and End."""
        self.go_to('[role="tab"][aria-selected="true"]')
        self.press(key)

    def write(self, text: str) -> None:
        """In place of what stands in the field."""
        self.press("Control+A")
        self.page.keyboard.type(text)


def test_a_whole_evening_by_keys_alone(chassis, enter, until, tmp_path: Path):
    """The part to be computed is a plate so thin that no machine is through before it is stopped."""
    van = chassis(long=300.0, wide=110.0, thick=1.0)
    page = enter(van)
    expect(page.locator("#working")).to_have_text("Saved", timeout=90_000)
    before = van.file.read_text("utf-8")
    hands = Hands(page)
    load, field = page.locator(f'[data-id="{LOAD}"]'), page.locator(f'[data-id="{LOAD}"] [data-key="{PINION}"] input')

    # straight to the questions, to those that fail, and to one that a number mends
    hands.press("Tab")
    expect(page.locator(".skip")).to_be_focused()
    hands.press("Enter")
    hands.choose('[data-filter="fails"]')
    hands.choose(f'[data-id="{LOAD}"] .line')
    expect(load).to_have_class(re.compile("fails"))
    expect(load.locator(".does")).to_contain_text("pinion of 18")
    expect(page.locator("#drawing")).not_to_have_attribute("data-lit", "")
    expect(field).to_be_attached()  # what can be turned comes a moment after the answers
    hands.go_to(f'[data-key="{PINION}"] input')
    hands.write("18")
    hands.press("Enter")
    expect(load).to_have_class(re.compile("holds"))
    expect(page.locator(".turned")).to_contain_text("Holds: Is the motor loaded about as in the donor?")
    until(lambda: re.search(r"pinion-teeth = 18\b", van.file.read_text("utf-8")) is not None, "it is in the file")
    hands.press("Tab")  # in a field the keys take back what is typed there
    hands.go_to("button")
    hands.press("Control+z")
    until(lambda: van.file.read_text("utf-8") == before, "it is taken back")
    expect(load).to_have_class(re.compile("fails"))

    # lock to full: the rub mark
    marks = page.locator(f'.mark.touching[data-verdict="{CRANK}"][data-now="true"]')
    expect(marks).to_have_count(0)
    hands.go_to("#slide-lock")
    hands.press("End")
    expect(marks).to_have_count(1)

    # finite elements: how far they are, and stopped
    hands.sheet("End")
    hands.choose('[data-work="strength"]')
    job = page.locator('[data-job="strength"]')
    expect(job.locator(".told")).to_contain_text(re.compile(r"chassis: (meshing|[\d,]+ elements)"), timeout=90_000)
    hands.choose('[data-job="strength"] button')
    expect(job).to_have_attribute("data-state", "stopped")
    until(lambda: solvers(van.folder) == 0, "the solver has ended")

    # a part, the one that is quickest to draw: made, shown, taken away, and read again by the CAD kernel
    told = page.locator('[data-notice="told"]')
    text = van.file.read_text("utf-8")
    van.file.write_text(re.sub(r'(?m)^make = ".*"$', 'make = "battery-door"', text), "utf-8")
    expect(told).to_contain_text("is battery-door")
    hands.choose('[data-work="make"]')
    expect(page.locator('[data-job="make"]')).to_have_attribute("data-state", "done", timeout=240_000)
    expect(page.locator('#parts option[value="part battery-door"]')).to_be_attached(timeout=90_000)
    with page.expect_download() as download:
        hands.choose('a[download="battery-door.step"]')
    download.value.save_as(tmp_path / "taken.step")
    done = subprocess.run(
        [sys.executable, "-c", READ, str(tmp_path / "taken.step")], capture_output=True, text=True, check=True
    )
    solids, *size = map(float, done.stdout.split())
    assert solids == 1
    assert min(size) > 0

    # another program writes the file
    text = van.file.read_text("utf-8")
    van.file.write_text(text.replace("windscreen-height = 57.6", "windscreen-height = 60.1"), encoding="utf-8")
    expect(told).to_contain_text("shell.windscreen-height was 57.6, is 60.1")
    hands.choose('[data-notice="told"] button')
    expect(told).to_have_count(0)

    # the server is killed in the middle of a number
    hands.sheet("Home")
    hands.go_to(f'[data-key="{PINION}"] input')
    hands.write("2")
    page.wait_for_timeout(600)
    van.kill()
    expect(page.locator(".notice.bad")).to_contain_text("The server has stopped")
    page.keyboard.type("2")
    van.start()
    expect(page.locator(".notice.bad")).to_have_count(0)
    expect(field).to_have_value("22")
    hands.press("Enter")
    until(lambda: re.search(r"pinion-teeth = 22\b", van.file.read_text("utf-8")) is not None, "it is saved")
    assert "windscreen-height = 60.1" in van.file.read_text("utf-8")
