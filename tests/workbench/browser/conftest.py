"""A real browser on a real server: the demonstration van copied out, `coachwork open` in a process of its own.

Debian's chromium, drawing in software. Every request that any page makes is logged, and one that leaves this machine
fails the run. Screenshots go to the folder COACHWORK_SHOTS names, else to pytest's own.
"""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect, sync_playwright
from tests.workbench.browser.opened import Opened, Visits, until, visiting
from tests.workbench.browser.plates import plate_made

FLAGS = (
    "--no-sandbox", "--disable-quic", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync", "--use-angle=swiftshader-webgl", "--enable-unsafe-swiftshader",
)  # fmt: skip
expect.set_options(timeout=20_000)


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


@pytest.fixture
def visits(browser: Browser) -> Iterator[Visits]:
    """Those who visit pages in one test."""
    with visiting(browser) as visits:
        yield visits


@pytest.fixture
def enter(visits: Visits) -> Callable[..., Page]:
    """Open a build's page and wait for its first answers."""
    return visits.enter


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


@pytest.fixture(name="until")
def waits() -> Callable[..., None]:
    """Wait for something outside the page."""
    return until
