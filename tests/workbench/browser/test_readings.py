"""What is read off the page is what the studies found: curves and pulses under the pointer, a vehicle that rolls."""

from __future__ import annotations

import re
from collections.abc import Iterable

import numpy as np
import pytest
from playwright.sync_api import Page, expect

from coachwork.build import read
from coachwork.plan import Plan
from coachwork.studies.parts import is_missing
from coachwork.studies.power.heat import CAN, CONTROLLER, PACK, REGULATOR

LUMPS = {"regulator": REGULATOR, "controller": CONTROLLER, "motor's can": CAN, "pack": PACK}


def settled(page: Page) -> None:
    expect(page.locator("#working")).to_have_text("Saved", timeout=90_000)


def answered(van, study: str):
    """A study's result, worked out here."""
    return Plan().run(read(van.folder), only=[study])[study].result


def numbers_of(page: Page, id: str) -> list[float]:
    """Value and limit of a verdict, as they stand on the page."""
    told = page.locator(f'[data-id="{id}"] .numbers').text_content()
    assert told is not None
    return [float(number) for number in re.findall(r"-?\d+(?:\.\d+)?", told)]


def shown(page: Page, id: str) -> None:
    """A curve of the power question, brought into view."""
    page.locator("#tab-curves").click()
    question = page.locator("summary", has_text="What stops it by the roadside?")
    expect(question).to_be_visible(timeout=90_000)
    question.click()
    page.locator(f'[data-chart="{id}"] svg').first.scroll_into_view_if_needed()


def opened(page: Page, id: str) -> str:
    """All that a verdict says when it is opened."""
    question = page.locator(f'[data-study="{id.partition(".")[0]}"] .question')
    if question.get_attribute("aria-expanded") == "false":
        question.click()
    row = page.locator(f'[data-id="{id}"]')
    if not row.locator(".line").is_visible():  # it holds, and is folded away
        page.locator("details.holding", has=row).locator("summary").click()
    row.locator(".line").click()
    expect(row.locator(".why")).not_to_be_empty()
    return row.inner_text()


Reading = tuple[float, dict[str, float]]  # where along x, and every line's value there
SWEPT = """async ([chart, shares]) => {
    const place = document.querySelector(`[data-chart="${chart}"]`);
    const svg = place.querySelector("svg[tabindex]");
    const flat = [...svg.querySelectorAll(".grid")].find((one) => one.getAttribute("y1") === one.getAttribute("y2"));
    const { left, right, top } = flat.getBoundingClientRect();
    return shares.map((share) => {
        const at = { clientX: left + share * (right - left), clientY: top, bubbles: true };
        svg.dispatchEvent(new PointerEvent("pointermove", at));
        return [at.clientX, top, place.querySelector(".reading").textContent];
    });
}"""


def swept(page: Page, id: str, shares: Iterable[float]) -> list[Reading]:
    """What a chart tells as a pointer goes over shares of its plot's width."""
    return [told(text) for _, _, text in page.evaluate(SWEPT, [id, list(shares)])]


def told(text: str) -> Reading:
    where, _, values = text.partition(": ")
    found = re.findall(r"(?:^|, )([^,]*?) (-?\d+(?:\.\d+)?)(?: [^\d,]+)?(?=,|$)", values)
    return float(where.split()[1]), {name: float(value) for name, value in found}


def hovered(page: Page, id: str, share: float) -> Reading:
    """The same under the mouse itself, which may stand on whole pixels only."""
    x, y, _ = page.evaluate(SWEPT, [id, [share]])[0]
    page.mouse.move(x - 40, y + 20)
    elsewhere = page.locator(f'[data-chart="{id}"] .reading').text_content()
    page.mouse.move(x, y + 20)
    expect(page.locator(f'[data-chart="{id}"] .reading')).not_to_have_text(str(elsewhere))
    return told(str(page.locator(f'[data-chart="{id}"] .reading').text_content()))


def test_a_temperature_under_the_pointer_is_the_studys_and_the_verdicts(van, enter):
    """At a place on the axis that the page itself tells, to 0.01 min; values are told to 0.1 degC."""
    page = enter(van)
    settled(page)
    trace = answered(van, "power").answer.watched.trace
    end = trace.seconds[-1] / 60
    hottest, limit = numbers_of(page, "power.regulator-heat")
    found = re.search(r"after ([\d.]+) min the regulator shuts off", opened(page, "power.regulator-heat"))
    assert found is not None
    shown(page, "power.temperatures")
    places = [hovered(page, "power.temperatures", share) for share in (0.31, 0.77)]
    assert [minute for minute, _ in places] == pytest.approx([0.31 * end, 0.77 * end], abs=0.1)
    every = swept(page, "power.temperatures", np.linspace(0.001, 0.999, 6000))
    for minute, read_off in (*places, *every):
        for name, lump in LUMPS.items():
            low, high = around(60 * minute, trace.seconds, trace.degc[:, 0, lump])
            assert low - 0.06 < read_off[name] < high + 0.06, (name, minute)
        assert read_off["regulator shuts off"] == pytest.approx(limit, abs=0.06)
    # the hottest moment is the verdict's value, and its limit is first passed when the verdict says
    assert max(read_off["regulator"] for _, read_off in every) == pytest.approx(
        hottest, abs=0.2
    )  # it falls by 0.7 degC a second
    passed = next(minute for minute, read_off in every if read_off["regulator"] > limit)
    assert passed == pytest.approx(float(found[1]), abs=0.6)  # it tells whole minutes


def test_the_current_under_the_pointer_adds_up_to_what_the_pack_is_said_to_give(van, enter):
    """The pointer drawn over all of the curve: its mean is the charge that the run-time's verdict says is gone, which
    it rounds to a percent of the pack's.
    """
    page = enter(van)
    settled(page)
    trace = answered(van, "power").answer.watched.trace
    left = re.search(r"leaves (\d+)% of the pack", opened(page, "power.run-time"))
    assert left is not None
    shown(page, "power.currents")
    place = hovered(page, "power.currents", 0.31)
    every = swept(page, "power.currents", np.linspace(0, 1, 3001))
    read_off = np.array([(minute, amperes["out of the pack"]) for minute, amperes in (place, *every)])
    jumps = trace.seconds[:-1][np.diff(trace.seconds) == 0] / 60
    calm = np.abs(read_off[:, :1] - jumps).min(axis=1) > 0.02  # the told minute is rounded to 0.01
    assert calm.sum() > 2000
    low, high = around(60 * read_off[calm, 0], trace.seconds, trace.current_a[:, 0])
    assert (low - 0.006 < read_off[calm, 1]).all()
    assert (read_off[calm, 1] < high + 0.006).all()
    gone = read_off[1:, 1].mean() * trace.seconds[-1] / 3.6
    capacity = float(re.match(r"[\d.]+", read_capacity(van))[0])
    assert gone == pytest.approx((1 - int(left[1]) / 100) * capacity, abs=0.0075 * capacity)
    note = page.locator('[data-chart="power.currents"] .note').inner_text()
    assert gone == pytest.approx(float(note.split()[0]), rel=0.01)


def around(second, seconds, values):
    """Least and most of a curve within the 0.3 s that a told minute may be off."""
    every = np.array([np.interp(second + way, seconds, values) for way in np.linspace(-0.3, 0.3, 13)])
    return every.min(axis=0), every.max(axis=0)


def read_capacity(van) -> str:
    """Of the pack, as the build file has it, mAh."""
    import tomllib

    return str(tomllib.loads(van.file.read_text("utf-8"))["pack"]["capacity"])


def test_the_radios_way_tells_the_pulses_that_the_study_found(van, enter):
    """Every column of every broken wish: in the cells, and in one line under the pointer."""
    page = enter(van)
    settled(page)
    wishes = {
        name: wish for name, wish in answered(van, "radio").wishes.items() if not is_missing(wish) and wish.refuted
    }
    assert len(wishes) >= 3
    page.locator('[data-study="radio"] .question').click()
    moved = 0
    for name, wish in wishes.items():
        row = page.locator(f'[data-id="radio.wish.{name}"]')
        row.locator(".line").click()
        heads = row.locator("thead th[data-step]")
        expect(heads).to_have_count(len(wish.steps))
        for i, step in enumerate(wish.steps):
            heads.nth(i).hover()
            told = row.locator(".reading").inner_text()
            assert told.startswith(f"After {i + 1}. {step.action}: ")
            pulses = dict(part.split(" ", 1) for part in told.partition(": ")[2].split(", "))
            assert pulses == {
                channel: "no pulse" if pulse is None else f"{pulse:.0f} us" for channel, pulse in step.pulses_us.items()
            }
            for channel, pulse in step.pulses_us.items():
                cell = row.locator("tr.pulse", has=page.get_by_role("rowheader", name=f"{channel} (us)", exact=True))
                expect(cell.locator("td").nth(i)).to_have_text("none" if pulse is None else f"{pulse:.0f}")
            moved += step.pulses_us != wish.steps[0].pulses_us
        row.locator(".line").click()
    assert moved > 0  # else every column would read the same, and a wrong one would not be found out


SIDES = ("left", "right")
WATCH = """async () => {
    const { Viewer } = await import("/page/viewer.js");
    const pose = Viewer.prototype.pose;
    Viewer.prototype.pose = function (sliders) {
        window.seenBy = this;
        return pose.call(this, sliders);
    };
}"""
DRAWN = """name => {
    const mesh = window.seenBy.meshOf(`${name} tyre ring`);
    const { shift } = window.seenBy.data.corners.find((one) => one.name === name);
    const { elements } = mesh.matrix;
    return { visible: mesh.visible, middle: elements.slice(12, 15), spin: elements.slice(4, 7), shift };
}"""


def test_rolled_by_its_slider_every_wheel_is_drawn_where_linkage_has_it(van, enter):
    """Place, camber and steer of all four wheels, from the meshes as they are drawn, against the linkage study's sweep.

    What lifts the left side lowers the right: travel and roll add up on the left. 0.1 mm and 0.1 deg are a third of a
    pixel; the shares are the sweep's own, an eighth of the travel apart.
    """
    page = enter(van)
    page.wait_for_selector("#drawing[data-triangles]")
    settled(page)
    linkage = answered(van, "linkage")
    page.evaluate(WATCH)

    def posed(travel: str, roll: str) -> dict[str, dict]:
        page.locator("#slide-travel").fill(travel)
        page.locator("#slide-roll").fill(roll)
        return {f"{end} {side}": page.evaluate(DRAWN, f"{end} {side}") for end in ("front", "rear") for side in SIDES}

    rest = posed("0", "0")
    for travel, roll in (("0", "1"), ("0", "-1"), ("0", "0.5"), ("0.5", "-0.5"), ("-0.5", "0.5")):
        drawn = posed(travel, roll)
        for name, wheel in drawn.items():
            end, _, side = name.partition(" ")
            variant = getattr(linkage, end).changed
            sweep = variant.left if side == "left" else variant.right
            mirror = np.array([1.0, 1.0 if side == "left" else -1.0, 1.0])  # the right side is told as a left one
            share = float(travel) + mirror[1] * float(roll)
            i = sweep.ride + round(share * sweep.ride)
            turned, moved = knuckle(sweep, i)
            turned_at_rest, moved_at_rest = knuckle(sweep, sweep.ride)
            # The tyre's middle, on the knuckle as it is drawn; then where the knuckle takes it.
            middle = turned_at_rest.T @ (
                (np.array(rest[name]["middle"]) - rest[name]["shift"]) * mirror - moved_at_rest
            )
            found = (np.array(wheel["middle"]) - wheel["shift"]) * mirror
            pose = (name, travel, roll)
            assert wheel["visible"], pose
            assert np.linalg.norm(found - (turned @ middle + moved)) < 0.1, pose
            if share:
                assert abs(found[2] - middle[2]) > 1, pose  # it does move
            axis = np.array(wheel["spin"]) / np.linalg.norm(wheel["spin"]) * mirror
            axis *= np.sign(axis[1])  # outboard
            straight = sweep.straight
            camber, steer = sweep.camber_rad[0, i, straight], sweep.steer_rad[0, i, straight]
            assert np.degrees(np.arcsin(-axis[2])) == pytest.approx(np.degrees(camber), abs=0.1), pose
            assert np.degrees(np.arctan2(-axis[0], axis[1])) == pytest.approx(np.degrees(steer), abs=0.1), pose


def knuckle(sweep, i: int) -> tuple[np.ndarray, np.ndarray]:
    """Of a sweep's first sample, at a travel, steered straight ahead: from as drawn to there."""
    motion, poses = sweep.poses.knuckle, sweep.camber_rad.shape
    turned = np.broadcast_to(motion.rotation, (*poses, 3, 3))[0, i, sweep.straight]
    return turned, np.broadcast_to(motion.shift, (*poses, 3))[0, i, sweep.straight]
