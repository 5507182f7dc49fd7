"""`coachwork open`: the build in a page of the browser, until Ctrl-C."""

from __future__ import annotations

import argparse
import contextlib
import threading
import webbrowser

from coachwork.build import find
from coachwork.cli.screen import Screen
from coachwork.plan import Plan


def run(options: argparse.Namespace, screen: Screen, plan: Plan | None) -> int:
    """Serve the page and open it."""
    for place in (options.place, options.beside):
        if place is not None:
            find(place)  # said before anything else
    from coachwork.workbench.desk import Desk
    from coachwork.workbench.server import Server
    from coachwork.workbench.session import Session

    beside = None if options.beside is None else Session(options.beside)
    server = Server(Desk(Session(options.place, plan=plan), beside), port=options.port)

    def started() -> None:
        screen.say(f"The page is at {server.link}")
        screen.say("The link works once, on this machine only. Ctrl-C closes; everything typed is saved as you go.")
        if options.browser:
            threading.Thread(target=webbrowser.open, args=(server.link,), daemon=True).start()

    with contextlib.suppress(KeyboardInterrupt):  # uvicorn hands it on once it has closed
        server.run(started)
    screen.say("Closed.")
    return 0
