"""A real browser on a real server: the demonstration van copied out, `coachwork open` in a process of its own.

Debian's chromium, drawing in software. Every request that any page makes is logged, and one that leaves this machine
fails the run. Screenshots go to the folder COACHWORK_SHOTS names, else to pytest's own.
"""

from __future__ import annotations

import os
import re
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect, sync_playwright
from tests.workbench.browser.plates import plate_made

FLAGS = (
    "--no-sandbox", "--disable-quic", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync", "--use-angle=swiftshader-webgl", "--enable-unsafe-swiftshader",
)  # fmt: skip
PATIENCE_S = 90  # for answers, on a machine that does other things, too
expect.set_options(timeout=20_000)


@dataclass
class Opened:
    """`coachwork open` on a folder, perhaps beside another."""

    folder: Path
    beside: Path | None = None
    process: subprocess.Popen[bytes] | None = None
    link: str = ""
    log: Path = Path()

    def start(self) -> None:
        """Start it and read its link."""
        self.log = self.folder.parent / f"{self.folder.name}-{time.monotonic_ns()}.log"
        beside = [] if self.beside is None else ["--beside", str(self.beside)]
        with self.log.open("wb") as log:
            self.process = subprocess.Popen(
                [sys.executable, "-m", "coachwork", "open", str(self.folder), "--no-browser", *beside],
                stdout=log, stderr=subprocess.STDOUT, stdin=subprocess.DEVNULL,
                env={**os.environ, "PYTHONUNBUFFERED": "1", "COLUMNS": "200"},
            )  # fmt: skip
        _until(lambda: self._link() is not None, "the command tells its link")
        self.link = str(self._link())

    def _link(self) -> str | None:
        assert self.process is not None
        said = self.log.read_text(encoding="utf-8")
        assert self.process.poll() is None, said
        found = re.search(r"http://127\.0\.0\.1:\d+/open\?token=\S+", said)
        return None if found is None else found[0]

    @property
    def home(self) -> str:
        """The page, for a browser that has been let in."""
        return self.link.partition("/open")[0] + "/"

    @property
    def file(self) -> Path:
        return self.folder / "build.toml"

    def kill(self) -> None:
        """At once, as a power cut would."""
        assert self.process is not None
        self.process.kill()
        self.process.wait(10)

    def stop(self) -> None:
        """As Ctrl-C does."""
        if self.process is not None and self.process.poll() is None:
            self.process.send_signal(signal.SIGINT)
            try:
                self.process.wait(20)
            except subprocess.TimeoutExpired:
                self.process.kill()
                raise


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """Debian's chromium."""
    binary = shutil.which("chromium")
    assert binary, "the browser tests need chromium; scripts/system-packages installs it"
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=binary, args=list(FLAGS))
        yield browser
        browser.close()


@pytest.fixture(scope="session")
def van(tmp_path_factory: pytest.TempPathFactory, coarse_stl: Path) -> Iterator[Opened]:
    """The van as found, with a coarse scan of its shell, opened."""
    source = Path(__file__).parents[3] / "examples" / "harbour-mail-van"
    folder = tmp_path_factory.mktemp("browser") / "van"
    shutil.copytree(source / "as-found", folder, ignore=shutil.ignore_patterns("results", "*.stl"))
    shutil.copy(coarse_stl, folder / "shell.stl")
    opened = Opened(folder)
    opened.start()
    yield opened
    opened.stop()


@dataclass
class Visits:
    """Contexts opened by a test, and all they asked for."""

    browser: Browser
    asked: list[str] = field(default_factory=list)
    broken: list[str] = field(default_factory=list)
    contexts: list[BrowserContext] = field(default_factory=list)

    def context(self, **options: object) -> BrowserContext:
        """A browser of somebody who was never here, or who was (`storage_state`)."""
        context = self.browser.new_context(**{"viewport": {"width": 1440, "height": 900}, **options})  # type: ignore[arg-type]
        context.set_default_timeout(PATIENCE_S * 1000)
        context.on("request", lambda request: self.asked.append(request.url))
        context.on("weberror", lambda fault: self.broken.append(str(fault.error)))
        self.contexts.append(context)
        return context


PASSES: dict[str, object] = {}


@pytest.fixture
def visits(browser: Browser) -> Iterator[Visits]:
    """Whatever was asked for stays on this machine, and no script of ours stumbles."""
    visits = Visits(browser)
    yield visits
    for context in visits.contexts:
        context.close()
    away = [url for url in visits.asked if not url.startswith(("http://127.0.0.1:", "data:", "blob:http://127.0.0.1:"))]
    assert away == []
    assert visits.broken == []


@pytest.fixture
def enter(visits: Visits) -> Callable[..., Page]:
    """Open a build's page and wait for its first answers: by the link the first time, then with the pass it gave."""

    def open_page(opened: Opened, **options: object) -> Page:
        known = PASSES.get(opened.link)
        context = visits.context(**({"storage_state": known} if known else {}), **options)
        page = context.new_page()
        page.goto(opened.home if known else opened.link)
        page.wait_for_url(opened.home)
        page.wait_for_selector(".verdict", state="attached")
        PASSES[opened.link] = context.storage_state()
        return page

    return open_page


@pytest.fixture(scope="session")
def shots(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Where screenshots are kept."""
    named = os.environ.get("COACHWORK_SHOTS")
    folder = Path(named) if named else tmp_path_factory.mktemp("screenshots")
    folder.mkdir(parents=True, exist_ok=True)
    return folder


@pytest.fixture
def open_folder() -> Iterator[Callable[..., Opened]]:
    """Open another build; all are closed in the end."""
    all_opened: list[Opened] = []

    def start(folder: Path, beside: Path | None = None) -> Opened:
        opened = Opened(folder, beside)
        opened.start()
        all_opened.append(opened)
        return opened

    yield start
    for opened in all_opened:
        opened.stop()


@pytest.fixture
def chassis(tmp_path: Path, open_folder: Callable[..., Opened]) -> Callable[..., Opened]:
    """The van as found with a plate for its chassis, opened: by size."""

    def opened(**size: float) -> Opened:
        folder = tmp_path / "van"
        source = Path(__file__).parents[3] / "examples" / "harbour-mail-van" / "as-found"
        shutil.copytree(source, folder, ignore=shutil.ignore_patterns("results", "*.stl"))
        plate_made(folder, **size)
        return open_folder(folder)

    return opened


@pytest.fixture
def new(open_folder: Callable[..., Opened], tmp_path: Path) -> Opened:
    """A build in which nothing is measured, opened."""
    from coachwork.cli import main

    folder = tmp_path / "new"
    assert main(["new", str(folder), "--blank"]) == 0
    return open_folder(folder)


@pytest.fixture
def until() -> Callable[..., None]:
    """Wait for something outside the page."""
    return _until


def _until(true: Callable[[], bool], what: str, seconds: float = PATIENCE_S) -> None:
    """Wait for something outside the page."""
    end = time.monotonic() + seconds
    while not true():
        assert time.monotonic() < end, what
        time.sleep(0.1)
