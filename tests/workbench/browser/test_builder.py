"""What a builder does at the bench, done in a real browser."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from playwright.sync_api import Page, expect

PINION = "changes.pinion-teeth"
LOAD = "driveline.load"
CRANK = "clearance.front.steering"


def verdict(page: Page, id: str):
    return page.locator(f'[data-id="{id}"]')


def opened_verdict(page: Page, id: str):
    """A verdict with its numbers shown."""
    study = page.locator(f'[data-study="{id.partition(".")[0]}"] .question')
    if study.get_attribute("aria-expanded") == "false":
        study.click()
    line = verdict(page, id).locator(".line")
    if line.get_attribute("aria-expanded") == "false":
        line.click()
    return verdict(page, id)


def number(page: Page, id: str, key: str):
    return opened_verdict(page, id).locator(f'[data-key="{key}"] input')


def settled(page: Page) -> None:
    expect(page.locator("#working")).to_have_text("Saved", timeout=90_000)


def test_the_worst_verdict_is_found_cured_and_taken_back(van, enter):
    page = enter(van)
    settled(page)
    before = van.file.read_bytes()
    # What fails stands above what holds, and the question itself tells that something under it fails.
    states = page.locator('[data-study="driveline"] .verdict').evaluate_all("all => all.map(one => one.className)")
    order = ["verdict fails", "verdict tight", "verdict unmeasured", "verdict holds"]
    assert states == sorted(states, key=order.index)
    field = number(page, LOAD, PINION)
    expect(verdict(page, LOAD)).to_have_class(re.compile("fails"))
    expect(opened_verdict(page, LOAD).locator(".does")).to_contain_text("pinion of 18")

    field.fill("18")
    field.press("Enter")

    expect(verdict(page, LOAD)).to_have_class(re.compile("holds"))
    expect(verdict(page, LOAD)).to_contain_text("was: fails")
    expect(page.locator("#said")).to_contain_text("fails to holds")
    turned = page.locator(".turned")
    expect(turned).to_contain_text("Holds: Is the motor loaded about as in the donor?")
    expect(turned).to_contain_text("was: fails")
    assert re.search(rb"pinion-teeth = 18\b", van.file.read_bytes())
    page.locator("#undo").click()
    expect(verdict(page, LOAD)).to_have_class(re.compile("fails"))
    expect(field).to_have_value("29")
    assert van.file.read_bytes() == before


def test_edits_fetch_no_part_again_and_do_not_fill_the_memory(chassis, enter):
    """The drawing is made anew for each; what the old one held on the graphics card is let go."""
    van = chassis(long=100.0, wide=30.0, thick=5.0)
    page = enter(van)
    settled(page)
    drawn = page.locator("#drawing")
    expect(drawn).to_have_attribute("data-geometries", re.compile(r"[1-9]"))
    before, held = van.file.read_text(encoding="utf-8"), drawn.get_attribute("data-geometries")
    fetched: list[str] = []
    page.on("request", lambda request: fetched.append(request.url))
    for z in ("18.5", "19.0", "19.5"):
        moved = before.replace("tie-rod-inner = [-16.0, 24.0, 18.0]", f"tie-rod-inner = [-16.0, 24.0, {z}]")
        with page.expect_response(lambda answer: answer.url.endswith("/scene")):  # drawn after the words
            van.file.write_text(moved, encoding="utf-8")
        expect(page.locator('[data-notice="told"]').last).to_contain_text(z)
        settled(page)
    expect(drawn).to_have_attribute("data-geometries", held)
    assert not [url for url in fetched if "/made/" in url]


def test_what_is_typed_is_neither_clamped_nor_cut_up_and_is_checked_in_the_files_words(van, enter):
    page = enter(van)
    settled(page)
    field = number(page, LOAD, PINION)
    field.fill("")
    field.press_sequentially("118.25", delay=30)
    expect(field).to_have_value("118.25")
    fault = opened_verdict(page, LOAD).locator(f'[data-key="{PINION}"] .fault')
    expect(fault).not_to_be_empty()
    expect(field).to_have_attribute("aria-invalid", "true")
    field.press("Escape")
    expect(field).to_have_value("29")
    expect(fault).to_be_empty()
    assert b"118.25" not in van.file.read_bytes()


def test_lock_to_full_shows_the_rub_mark(van, enter):
    page = enter(van)
    page.wait_for_selector("#drawing[data-triangles]")
    marks = page.locator(f'.mark.touching[data-verdict="{CRANK}"][data-now="true"]')
    expect(marks).to_have_count(0)
    lock = page.locator("#slide-lock")
    lock.focus()
    lock.press("End")
    expect(marks).to_have_count(1)
    expect(page.locator("#told-lock")).to_have_text("full left")
    lock.press("Home")
    expect(marks).to_have_count(0)
    # and the verdict itself takes the sliders there
    opened_verdict(page, CRANK).get_by_role("button", name="Show where").click()
    expect(marks).to_have_count(1)
    expect(lock).to_have_value("1")


def test_the_wheel_in_the_drawing_is_where_the_study_puts_it(van, enter):
    """Poses are laid on a grid and gone straight between: at poses beside the grid they are the linkage's own.

    0.1 mm is a third of a pixel in the drawing; the steering's arc over one step of 5 deg is 0.04 mm high at 48 mm.
    """
    from coachwork.build import read
    from coachwork.plan import Plan

    page = enter(van)
    page.wait_for_selector("#drawing[data-triangles]")
    result = Plan().run(read(van.folder), only=["clearance"])["clearance"].result
    for end, side in (("front", "left"), ("front", "right"), ("rear", "right")):
        corner = result.scene.ends[end].sides[side].tyre.corner
        point = corner.hub[0][0]
        for travel, lock in ((0.0, 0.0), (0.43, -0.71), (-0.88, 0.29), (1.0, 1.0)):
            share = np.array([[travel, lock if corner.steered else 0.0, 0.0]])
            wanted = corner.bodies(share).at("knuckle", point[None])[0]
            found = page.evaluate(
                """async ([name, point, sliders]) => {
                    const { bodyAt, pointAt, sharesOf } = await import("/page/pose.js");
                    const scene = await (await fetch("/scene")).json();
                    const corner = scene.corners.find((one) => one.name === name);
                    return pointAt(corner, bodyAt(corner, "knuckle", sharesOf(corner, sliders)), point);
                }""",
                [f"{end} {side}", point.tolist(), {"travel": travel, "lock": lock, "roll": 0}],
            )
            assert np.linalg.norm(np.array(found) - wanted) < 0.1, (end, side, travel, lock)


def test_a_verdict_lights_its_part_and_a_part_lists_its_verdicts(van, enter):
    page = enter(van)
    page.wait_for_selector("#drawing[data-triangles]")
    page.locator("#parts").select_option("servo-post")
    page.get_by_role("button", name="Its numbers").click()
    expect(page.locator('#sheet-numbers [data-key="envelopes.servo-post.diameter"]')).to_be_visible()
    page.locator(".picked .link", has_text="Does the front steering clear everything?").click()
    expect(verdict(page, CRANK).locator(".line")).to_be_focused()
    expect(verdict(page, CRANK).locator(".body")).to_be_visible()


def test_a_verdict_under_the_pointer_or_the_focus_lights_its_place(van, enter):
    page = enter(van)
    page.wait_for_selector("#drawing[data-triangles]")
    page.locator('[data-view="side"]').click()
    row = opened_verdict(page, CRANK)
    row.hover()
    expect(page.locator("#drawing")).to_have_attribute("data-lit", re.compile("servo-post"))
    expect(page.locator(f'.mark.chosen[data-verdict="{CRANK}"]')).not_to_have_count(0)
    page.locator("h1").hover()  # the focus is in it still
    expect(page.locator("#drawing")).to_have_attribute("data-lit", re.compile("servo-post"))
    page.locator("#theme").focus()
    expect(page.locator("#drawing")).to_have_attribute("data-lit", "")
    row.locator(".line").focus()
    expect(page.locator("#drawing")).to_have_attribute("data-lit", re.compile("servo-post"))
    # a length is lit as its dimension line
    page.locator('[data-study="likeness"] .holding summary').click()
    page.locator('[data-id="likeness.length"]').hover()
    expect(page.locator('.dimension.lit[data-key="shell.length"]')).to_have_count(1)


def test_the_elevations_are_true_to_one_scale_and_the_wheels_go_where_the_sliders_say(van, enter, until):
    """Dimension lines against the bar of the scale, both as drawn: 0.5 pixel at each of four ends, of some 300."""
    page = enter(van)
    page.wait_for_selector("#drawing[data-triangles]")

    def seen(line: str) -> list[float]:
        """Pixels of a dimension line and of the scale's bar, and what each says, mm; of one picture."""
        return page.evaluate(
            """line => {
                const box = (one) => document.querySelector(one).getBBox();
                const long = (one) => Math.max(box(one).width, box(one).height);
                const says = (one) => parseFloat(document.querySelector(one).textContent);
                if (![line, ".scale"].every((one) => document.querySelector(`${one} text`))) return [0, 1, 0, 1];
                return [long(`${line} path:not(.witness)`), long(".scale path"),
                        says(`${line} text`), says(".scale text")];
            }""",
            line,
        )  # type: ignore[no-any-return]

    def is_true(line: str) -> bool:
        drawn, bar, told, bar_mm = seen(line)
        return bar > 0 and abs(drawn * bar_mm / bar - told) < 2 * bar_mm / bar  # arrow heads stand out by nothing

    for view, key in (("side", "shell.wheelbase"), ("plan", "shell.length"), ("end", "shell.width")):
        page.locator(f'[data-view="{view}"]').click()
        line = f'.dimension[data-key="{key}"]'
        expect(page.locator(line)).to_have_count(1)
        until(lambda line=line: is_true(line), f"seen from the {view}, lengths are as long as they say")
    page.locator("#true-scale").click()
    until(lambda: abs(seen(".scale")[1] / seen(".scale")[3] - 96 / 25.4) < 0.02, "96 pixels are an inch, as CSS has it")
    told = page.locator("#told-travel")
    for name, key, words in (("roll", "End", "left up"), ("roll", "Home", "left down"), ("lock", "Home", "full right")):
        page.locator(f"#slide-{name}").focus()
        page.keyboard.press(key)
        expect(page.locator(f"#told-{name}")).to_have_text(words)
    page.locator("#slide-travel").focus()
    page.keyboard.press("End")
    expect(told).to_contain_text(re.compile(r"^\+[\d.]+ / \+[\d.]+ mm$"))
    page.get_by_role("button", name="At rest").click()
    expect(told).to_have_text("+0.0 / +0.0 mm")
    dimensions = page.locator(".dimension")
    expect(dimensions).not_to_have_count(0)
    page.locator("#show-dimensions").uncheck()
    expect(dimensions).to_have_count(0)


def test_a_section_is_outlined_where_it_says_it_cuts(van, enter):
    """Of a ball the outline is a circle, which Pythagoras knows."""
    page = enter(van)
    page.wait_for_selector("#drawing[data-triangles]")
    cut = page.locator("#cut")
    for way, words in (("along", "on the centreline"), ("across", "front axle"), ("level", "the underside")):
        page.locator("#cut-way").select_option(way)
        cut.fill("0.5")
        expect(page.locator("#cut-at")).to_contain_text(words)
        expect(cut).to_have_attribute("aria-valuetext", re.compile(words))
    found = page.evaluate(
        """async () => {
            const THREE = await import("/page/vendor/three.module.min.js");
            const { cutOf } = await import("/page/section.js");
            const ball = new THREE.Mesh(new THREE.SphereGeometry(10, 64, 48));
            ball.position.set(3, 4, 5);
            ball.updateMatrixWorld();
            return [...cutOf([ball], new THREE.Plane(new THREE.Vector3(0, 0, 1), -11))];
        }"""
    )
    points = np.array(found).reshape(-1, 3)
    # A ball of 10 round (3, 4, 5), cut at z = 11: a circle of 8. 64 by 48 facets lie within 0.05 of the ball.
    assert len(points) > 60
    assert points[:, 2] == pytest.approx(11.0, abs=1e-4)
    assert np.linalg.norm(points[:, :2] - [3, 4], axis=1) == pytest.approx(8.0, abs=0.07)
    cut.fill("1")
    expect(page.locator("#cut-at")).to_have_text("nothing is cut")


def test_a_click_on_the_drawing_picks_what_is_there(van, enter):
    page = enter(van)
    page.wait_for_selector("#drawing[data-triangles]")
    page.locator('[data-view="side"]').click()
    page.wait_for_timeout(500)
    box = page.locator(".frame canvas").bounding_box()
    assert box is not None
    # Somewhere in the lower half of the picture, within a wheel: look for it as a hand would.
    for share in (0.2, 0.22, 0.24, 0.26, 0.28, 0.3, 0.68, 0.7, 0.72, 0.75, 0.78, 0.8):
        page.mouse.click(box["x"] + share * box["width"], box["y"] + 0.66 * box["height"])
        page.wait_for_timeout(200)  # what was picked is shown in the next frame
        if page.locator(".picked h2").count() and "tyre" in page.locator(".picked h2").inner_text():
            break
    expect(page.locator(".picked h2")).to_contain_text("tyre")


def test_work_runs_beside_editing_tells_how_far_it_is_and_stops(van, enter, until):
    page = enter(van)
    settled(page)
    page.locator("#tab-work").click()
    page.locator('[data-work="trim"]').click()
    job = page.locator('[data-job="trim"]').first
    expect(job).to_have_attribute("data-state", "running")
    # The job gives way to whatever else this machine does.
    expect(job.locator("progress")).to_have_attribute("value", re.compile(r"0\.\d+"), timeout=90_000)
    expect(job.locator(".told")).to_contain_text("clearance")
    page.locator("#tab-questions").click()  # typing goes on meanwhile
    field = number(page, LOAD, PINION)
    field.fill("17")
    expect(field).to_have_value("17")
    field.press("Escape")
    page.locator("#tab-work").click()
    job.get_by_role("button", name="Stop").click()
    expect(job).to_have_attribute("data-state", "stopped")
    until(lambda: not running(van, "trim"), "the job's process has ended")


def running(van, command: str) -> bool:
    wanted = f"coachwork\0{command}\0{van.folder}".encode()
    for process in Path("/proc").glob("[0-9]*/cmdline"):
        try:
            if wanted in process.read_bytes():
                return True
        except OSError:
            continue
    return False


def test_work_that_is_done_says_so_and_its_files_can_be_taken_away(van, enter, tmp_path: Path):
    page = enter(van)
    settled(page)
    page.locator("#tab-work").click()
    page.locator('[data-work="trim"]').click()
    job = page.locator('[data-job="trim"]').first
    expect(job).to_have_attribute("data-state", "done", timeout=90_000)
    expect(job.locator("pre")).to_contain_text("Cut out")
    link = page.locator('a[download="front-right.dxf"]')
    with page.expect_download() as download:
        link.click()
    taken = tmp_path / "taken.dxf"
    download.value.save_as(taken)
    import ezdxf

    assert ezdxf.readfile(taken).modelspace().query('*[layer=="CUT"]')


def test_a_curve_can_be_read_off_and_saved(van, enter):
    page = enter(van)
    settled(page)
    page.locator("#tab-curves").click()
    chart = page.locator('[data-chart="linkage.front.toe"]')
    expect(chart.locator(".legend")).to_contain_text("as bought")
    chart.locator("svg").first.hover()
    expect(chart.locator(".reading")).to_contain_text(re.compile(r"^At .* mm: .*as bought -?[\d.]+ deg"))
    chart.locator("svg").first.focus()
    page.keyboard.press("ArrowRight")
    expect(chart.locator(".reading")).to_contain_text(re.compile(r"At .*as changed -?\d"))
    with page.expect_download() as download:
        chart.locator("a").click()
    assert "<svg" in Path(download.value.path()).read_text(encoding="utf-8")


def test_another_programs_edit_is_merged_and_a_clash_is_asked_about(van, enter, until):
    page = enter(van)
    settled(page)
    before = van.file.read_text(encoding="utf-8")
    try:
        field = number(page, LOAD, PINION)
        field.fill("20")
        page.wait_for_timeout(600)  # the draft is with the server now
        # another number: taken over and told
        van.file.write_text(before.replace("windscreen-height = 57.6", "windscreen-height = 60.1"), encoding="utf-8")
        expect(page.locator('[data-notice="told"]')).to_contain_text("shell.windscreen-height was 57.6, is 60.1")
        expect(field).to_have_value("20")
        # the same number: asked
        text = van.file.read_text(encoding="utf-8")
        van.file.write_text(re.sub(r"pinion-teeth = 29\b", "pinion-teeth = 24", text), encoding="utf-8")
        clash = page.locator('[data-notice="clash"]')
        expect(clash).to_contain_text("24")
        clash.get_by_role("button", name="Take mine").click()
        expect(clash).to_have_count(0)
        until(lambda: re.search(r"pinion-teeth = 20\b", van.file.read_text("utf-8")) is not None, "mine is in the file")
        assert "windscreen-height = 60.1" in van.file.read_text(encoding="utf-8")
    finally:
        van.file.write_text(before, encoding="utf-8")
        settled(page)


def test_a_file_broken_in_an_editor_is_told_with_its_line_and_mends(van, enter):
    page = enter(van)
    settled(page)
    before = van.file.read_text(encoding="utf-8")
    try:
        van.file.write_text(before.replace("[prototype]", "[prototype"), encoding="utf-8")
        notice = page.locator('[data-notice="broken"]')
        expect(notice).to_contain_text("line ")
        assert verdict(page, LOAD).count() == 1
    finally:
        van.file.write_text(before, encoding="utf-8")
    expect(notice).to_have_count(0)


def test_a_killed_server_loses_nothing_that_was_typed(van, enter, until):
    page = enter(van)
    settled(page)
    before = van.file.read_text(encoding="utf-8")
    field = number(page, LOAD, PINION)
    field.fill("2")
    page.wait_for_timeout(600)
    van.kill()
    expect(page.locator(".notice.bad")).to_contain_text("The server has stopped")
    field.press_sequentially("2")  # typed while nobody listens
    van.start()
    expect(page.locator(".notice.bad")).to_have_count(0)
    expect(field).to_have_value("22")
    until(lambda: '"22"' in (van.folder / ".coachwork" / "session.json").read_text("utf-8"), "the draft came in")
    other = enter(van)  # by the new link, in a browser that knows nothing
    settled(other)
    expect(number(other, LOAD, PINION)).to_have_value("22", timeout=90_000)  # once it is known to be a lever
    field.press("Enter")
    until(lambda: re.search(r"pinion-teeth = 22\b", van.file.read_text("utf-8")) is not None, "it is saved")
    settled(page)
    page.locator("#undo").click()
    until(lambda: van.file.read_text("utf-8") == before, "and taken back")


def test_a_part_is_chosen_by_keys_and_leads_to_its_verdicts(van, enter):
    page = enter(van)
    page.wait_for_selector("#drawing[data-triangles]")
    page.locator("#parts").focus()
    page.keyboard.type("servo post")
    expect(page.locator(".picked h2")).to_have_text("servo post")
    page.keyboard.press("Tab")
    for _ in range(20):
        if page.evaluate("document.activeElement.matches('.picked .link')"):
            break
        page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    expect(page.locator(".verdict .line:focus")).to_have_count(1)


def test_the_link_lets_one_browser_in(van, enter, visits):
    enter(van)
    stranger = visits.context().new_page()
    answer = stranger.goto(van.link)
    assert answer is not None
    assert answer.status == 403
    assert "works once" in stranger.inner_text("body")


def test_another_version_stands_beside_this_one(van, enter):
    page = enter(van)
    settled(page)
    page.locator("#beside").select_option("opened")
    opened_verdict(page, LOAD)
    expect(verdict(page, LOAD).locator(".other")).to_contain_text("as it was opened: fails")
    page.locator("#tab-curves").click()
    expect(page.locator('[data-chart="linkage.front.toe"] .legend')).to_contain_text("as it was opened")


def test_another_build_stands_beside_this_one_with_its_numbers_and_its_drawing(
    enter, open_folder, until, tmp_path: Path
):
    source = Path(__file__).parents[3] / "examples" / "harbour-mail-van" / "as-found"
    for name in ("ours", "theirs"):
        shutil.copytree(source, tmp_path / name, ignore=shutil.ignore_patterns("results", "*.stl"))
    file = tmp_path / "theirs" / "build.toml"
    text = file.read_text("utf-8").replace('"Harbour mail van, as found"', '"The other van"')
    text = re.sub(r"pinion-teeth = 29\b", "pinion-teeth = 18", text)
    file.write_text(text.replace("windscreen-height = 57.6", "windscreen-height = 61.8"), "utf-8")
    opened = open_folder(tmp_path / "ours", tmp_path / "theirs")
    page = enter(opened)
    settled(page)
    expect(page.locator('#beside option[value="other"]')).to_have_text("The other van", timeout=90_000)
    page.locator("#beside").select_option("other")
    expect(page.locator("#differences")).to_contain_text("better there", timeout=90_000)
    # only what differs
    page.locator('[data-filter="differs"]').click()
    expect(verdict(page, LOAD).locator(".other")).to_contain_text("The other van: holds")
    expect(verdict(page, "linkage.front.toe")).to_have_count(0)
    # its drawing in place of ours, and back
    page.locator("#draw-other").click()
    expect(page.locator(".banner")).to_contain_text("Drawn: The other van")
    expect(page.locator("#parts option", has_text="servo post")).to_be_attached()
    page.locator("#draw-other").click()
    expect(page.locator(".banner")).to_be_hidden()
    # the numbers, of which one is taken over
    differing = page.locator(".differing")
    expect(differing.locator("summary")).to_have_text("3 numbers differ")
    differing.locator("summary").click()
    row = differing.locator(f'[data-key="{PINION}"]')
    expect(row.locator(".note")).to_contain_text("The other van: 18")
    row.get_by_role("button", name="Take 18").click()
    until(lambda: re.search(r"pinion-teeth = 18\b", opened.file.read_text("utf-8")) is not None, "it is taken over")
    expect(differing.locator("summary")).to_have_text("2 numbers differ")
    settled(page)
    page.locator('[data-filter="all"]').click()
    expect(verdict(page, LOAD)).to_have_class(re.compile("holds"))


def test_sweeps_are_drawn_when_asked_for(van, enter):
    page = enter(van)
    page.wait_for_selector("#drawing[data-triangles]")
    with page.expect_response(lambda answer: "/sweep/" in answer.url) as got:
        page.locator("#show-sweep").check()
    assert got.value.status == 200


def test_a_part_is_made_beside_the_page_drawn_in_it_and_its_step_can_be_read_again(enter, open_folder, tmp_path: Path):
    """The door's size comes from the CAD kernel reading the file that was downloaded."""
    source = Path(__file__).parents[3] / "examples" / "harbour-mail-van" / "as-finished"
    folder = tmp_path / "finished"
    shutil.copytree(source, folder, ignore=shutil.ignore_patterns("*.stl", "results"))
    file = folder / "build.toml"
    text = file.read_text(encoding="utf-8")
    file.write_text(re.sub(r'(?m)^make = ".*"$', 'make = "battery-door"', text), encoding="utf-8")
    page = enter(open_folder(folder))
    page.locator("#tab-work").click()
    page.locator('[data-work="make"]').click()
    job = page.locator('[data-job="make"]').first
    expect(job).to_have_attribute("data-state", "done", timeout=240_000)
    expect(page.locator('#parts option[value="part battery-door"]')).to_be_attached(timeout=120_000)
    with page.expect_download() as download:
        page.locator('a[download="battery-door.step"]').click()
    taken = tmp_path / "taken.step"
    download.value.save_as(taken)
    script = (
        "import sys; from build123d import import_step; part = import_step(sys.argv[1]);"
        "size = part.bounding_box().size; print(len(part.solids()), size.X, size.Y, size.Z)"
    )
    done = subprocess.run([sys.executable, "-c", script, str(taken)], capture_output=True, text=True, check=True)
    solids, *size = map(float, done.stdout.split())
    assert solids == 1
    told = json.loads((folder / ".coachwork" / "parts" / "made.json").read_text("utf-8"))["parts"][0]["measured"]
    assert size == pytest.approx(told["size_mm"], abs=0.01)


def test_the_room_left_is_coloured_and_can_be_read_off(van, enter):
    """The worst place is the verdict's own, and its pose is the one the sliders go to."""
    page = enter(van)
    page.wait_for_selector("#drawing[data-triangles]")
    settled(page)
    page.locator("#colours").select_option("room")
    legend = page.locator(".legend-box")
    expect(legend).to_contain_text("Room left, mm", timeout=90_000)
    expect(legend.locator(".ramp text").nth(2)).to_have_text("0.5")  # the gap that is wanted
    told = opened_verdict(page, "clearance.front.tyre-shell").locator(".numbers").inner_text()
    worst = float(re.search(r"-[\d.]+", told)[0])
    page.locator(".frame canvas").focus()
    page.keyboard.press("p")
    probe = page.locator("#probe")
    expect(probe).to_contain_text(re.compile(r"^[\d.]+ mm into front (left|right) tyre at full bump"))
    assert float(probe.inner_text().split()[0]) == pytest.approx(-worst, abs=0.06)  # two figures and the corners' share
    page.get_by_role("button", name="Take the wheels there").click()
    expect(page.locator("#slide-travel")).to_have_value("1")
    marks = page.locator('.mark.touching[data-verdict="clearance.front.tyre-shell"][data-now="true"]')
    expect(marks).not_to_have_count(0)


@pytest.fixture(autouse=True)
def _as_it_was(van):
    """Every test leaves the van as it found it."""
    before = van.file.read_bytes()
    yield
    if van.file.read_bytes() != before:
        van.file.write_bytes(before)
        pytest.fail("the test left another build behind")
    shutil.rmtree(van.folder / "trim", ignore_errors=True)
