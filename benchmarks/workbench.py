"""From a number typed on the workbench's page to its new verdicts on the screen, a scan of 230,000 triangles drawn.

The clock runs in the page: from the Enter key to the frame after the verdict that the number drives is new, and to the
one after all are.
Fifty edits, there and back, of numbers that studies without finite elements hang on; then the same while a program of
somebody else's burns a core, and while a job of the workbench's does. The ratio is of working everything out anew to
working out what the edit touches, both without a page. COACHWORK_EDITS sets another number of edits, to look at the
page's own share on a busy machine.
"""

import contextlib
import os
import shutil
import signal
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from benchmarks.rows import Row
from coachwork.build import read_text, with_entry
from coachwork.cli.demo import make_scans
from coachwork.confidence import examine
from coachwork.plan import Plan

VAN = Path(__file__).parents[1] / "examples" / "harbour-mail-van"
EDITS = int(os.environ.get("COACHWORK_EDITS", "50"))
# What a builder turns: (verdict that shows the number, the number, two values for it).
TURNED = (
    ("likeness.windscreen-height", "shell.windscreen-height", ("57.6", "60.1")),
    ("driveline.load", "changes.pinion-teeth", ("29", "18")),
    ("linkage.front.bump-steer", "changes.front.hardpoints.tie-rod-inner.z", ("23.0", "18.0")),
)
FLAGS = (
    "--no-sandbox", "--disable-quic", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync", "--use-angle=swiftshader-webgl", "--enable-unsafe-swiftshader",
)  # fmt: skip
# Milliseconds from Enter to the frame after the verdict that the number drives is new, and after all of them are.
CLOCK = """
async ([verdict, key, text]) => {
  const { listen, state } = await import("/page/store.js");
  window.__heard ??= (listen(["verdicts", "stamp"], () => window.__look?.()), true);
  const input = document.querySelector(`[data-id] .body:not([hidden]) [data-key="${key}"] input`);
  input.focus();
  input.value = text;
  input.dispatchEvent(new Event("input", { bubbles: true }));
  const before = state.version;
  const old = JSON.stringify(state.verdicts[verdict]);
  const painted = () => new Promise((done) => requestAnimationFrame(() => setTimeout(done)));
  const until = (true_) => new Promise((done) => {  // looked at when there is news: looking all the time takes a core
    window.__look = () => true_() && done();
    window.__look();
  });
  const begun = performance.now();
  input.dispatchEvent(new KeyboardEvent("keydown", { key: "Enter", bubbles: true, cancelable: true }));
  await until(() => JSON.stringify(state.verdicts[verdict]) !== old);
  await painted();
  const first = performance.now() - begun;
  await until(() => state.version > before && state.stamp === state.version);
  await painted();
  return [first, performance.now() - begun];
}
"""
# Keeps a job of the workbench's own going, one that works for some 15 s.
WORK = """
async () => {
  const { ask, state } = await import("/page/store.js");
  if (!state.jobs.some((job) => job.state === "running")) await ask("start", { name: "trim" });
}
"""


@dataclass(frozen=True)
class Times:
    """Of fifty edits, told as the table's rows are not: a median and a tail, in milliseconds."""

    name: str
    milliseconds: list[float]

    def __str__(self) -> str:
        """The row."""
        ordered = sorted(self.milliseconds)
        late = ordered[int(0.95 * (len(ordered) - 1))]
        return (
            f"{self.name:<58}median {statistics.median(ordered):6.0f} ms, 95th percentile {late:6.0f} ms, "
            f"worst {ordered[-1]:6.0f} ms of {len(ordered)}"
        )


def rows() -> Iterator[Row | Times]:
    """Edits on the page, idle and beside a burning core, one number at a time; then the plan alone."""
    with tempfile.TemporaryDirectory() as place:
        demo = Path(place) / "demo"
        shutil.copytree(VAN, demo)
        make_scans(demo)
        yield from _on_the_page(demo / "as-found")
        yield from _without_a_page(demo / "as-found")


def _on_the_page(folder: Path) -> Iterator[Times]:
    from playwright.sync_api import sync_playwright

    with _served(folder) as link, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=shutil.which("chromium"), args=list(FLAGS))
        page = browser.new_page(viewport={"width": 1440, "height": 900})
        page.set_default_timeout(240_000)
        page.goto(link)
        page.wait_for_selector("#drawing[data-triangles]")
        for verdict, key, _ in TURNED:
            question = page.locator(f'[data-study="{verdict.partition(".")[0]}"] .question')
            if question.get_attribute("aria-expanded") == "false":
                question.click()
            page.locator(f'[data-id="{verdict}"] .line').click()
            page.locator(f'[data-id="{verdict}"] [data-key="{key}"] input').wait_for()  # once it is a lever

        def edits(turned: tuple[str, str, tuple[str, str]], told: str, *, job: bool = False) -> Iterator[Times]:
            verdict, key, values = turned
            times = []
            for i in range(EDITS + 2):
                if job:
                    page.evaluate(WORK)
                times.append(page.evaluate(CLOCK, [verdict, key, values[(i + 1) % 2]]))
                page.wait_for_timeout(250)  # a hand is slower still
            first, whole = zip(*times[2:], strict=True)  # the first two warm up
            name = key.removeprefix("changes.").removeprefix("front.hardpoints.")
            yield Times(f"{name} to its verdict{told}", list(first))
            yield Times(f"{name} to all verdicts{told}", list(whole))

        for turned in TURNED:
            yield from edits(turned, "")
        with _greedy_program():
            for turned in TURNED:
                yield from edits(turned, ", beside a program")
        for turned in TURNED:
            yield from edits(turned, ", beside a job", job=True)
        browser.close()


@contextlib.contextmanager
def _served(folder: Path) -> Iterator[str]:
    """The link to the page, served as the builder has it served: by a process of its own."""
    command = [sys.executable, "-m", "coachwork", "open", str(folder), "--no-browser"]
    unbuffered = {**os.environ, "PYTHONUNBUFFERED": "1"}
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True, env=unbuffered) as server:
        try:
            assert server.stdout is not None
            yield next(word for line in server.stdout for word in line.split() if word.startswith("http"))
        finally:
            server.send_signal(signal.SIGINT)


@contextlib.contextmanager
def _greedy_program() -> Iterator[None]:
    """Somebody else's, in a session of its own, that burns a core."""
    with subprocess.Popen([sys.executable, "-c", "while True: sum(range(10_000))"], start_new_session=True) as process:
        try:
            yield
        finally:
            process.terminate()


def _without_a_page(folder: Path) -> Iterator[Row]:
    path = folder / "build.toml"
    text = path.read_text(encoding="utf-8")
    examine(read_text(text, path))  # compilers and the scan's finder warm up
    begun = time.perf_counter()
    examine(read_text(text, path), plan=Plan())
    whole = time.perf_counter() - begun
    for _, key, values in TURNED:
        plan = Plan()
        examine(read_text(text, path), plan=plan)
        times = []
        for i in range(6):
            new = with_entry(text, key, values[(i + 1) % 2])
            begun = time.perf_counter()
            examine(read_text(new, path), plan=plan)
            times.append(time.perf_counter() - begun)
        yield Row(
            name=f"again, {key.removeprefix('changes.')}", per_second=1 / statistics.median(times),
            baseline="working everything out anew", baseline_per_second=1 / whole, wanted_ratio=10,
        )  # fmt: skip
