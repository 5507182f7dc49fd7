"""`coachwork open` in a process of its own, and those who visit its page in a browser."""

from __future__ import annotations

import os
import re
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import ClassVar

from playwright.sync_api import Browser, BrowserContext, Page

PATIENCE_S = 90  # for answers, on a machine that does other things, too


def until(true: Callable[[], bool], what: str, seconds: float = PATIENCE_S) -> None:
    """Wait for something outside the page."""
    end = time.monotonic() + seconds
    while not true():
        assert time.monotonic() < end, what
        time.sleep(0.1)


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
        until(lambda: self._link() is not None, "the command tells its link")
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


@dataclass
class Visits:
    """Contexts opened by a test, and all they asked for."""

    browser: Browser
    asked: list[str] = field(default_factory=list)
    broken: list[str] = field(default_factory=list)
    contexts: list[BrowserContext] = field(default_factory=list)
    passes: ClassVar[dict[str, object]] = {}  # by the link that each was given for, which works once

    def context(self, **options: object) -> BrowserContext:
        """A browser of somebody who was never here, or who was (`storage_state`)."""
        context = self.browser.new_context(**{"viewport": {"width": 1440, "height": 900}, **options})  # type: ignore[arg-type]
        context.set_default_timeout(PATIENCE_S * 1000)
        context.on("request", lambda request: self.asked.append(request.url))
        context.on("weberror", lambda fault: self.broken.append(str(fault.error)))
        self.contexts.append(context)
        return context

    def enter(self, opened: Opened, **options: object) -> Page:
        """A build's page with its first answers: by the link the first time, then with the pass it gave."""
        known = self.passes.get(opened.link)
        context = self.context(**({"storage_state": known} if known else {}), **options)
        page = context.new_page()
        page.goto(opened.home if known else opened.link)
        page.wait_for_url(opened.home)
        page.wait_for_selector(".verdict", state="attached")
        self.passes[opened.link] = context.storage_state()
        return page


@contextmanager
def visiting(browser: Browser) -> Iterator[Visits]:
    """Whatever is asked for stays on this machine, and no script of ours stumbles."""
    visits = Visits(browser)
    try:
        yield visits
    finally:
        for context in visits.contexts:
            context.close()
    away = [url for url in visits.asked if not url.startswith(("http://127.0.0.1:", "data:", "blob:http://127.0.0.1:"))]
    assert away == []
    assert visits.broken == []
