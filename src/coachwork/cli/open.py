"""`coachwork open`: the build in a page of the browser, until Ctrl-C."""

from __future__ import annotations

import argparse
import contextlib
import gc
import threading
import webbrowser
from typing import TYPE_CHECKING

from coachwork.build import find
from coachwork.cli.screen import Screen
from coachwork.plan import Plan

if TYPE_CHECKING:
    from coachwork.workbench.answering import News
    from coachwork.workbench.session import Session


def run(options: argparse.Namespace, screen: Screen, plan: Plan | None) -> int:
    """Serve the page and open it."""
    for place in (options.place, options.beside):
        if place is not None:
            find(place)  # said before anything else
    from coachwork.workbench.desk import Desk
    from coachwork.workbench.server import Server
    from coachwork.workbench.session import Session

    beside = None if options.beside is None else Session(options.beside)
    session = Session(options.place, plan=plan)
    leave_alone_what_stays(session)
    server = Server(Desk(session, beside), port=options.port)

    def started() -> None:
        screen.say(f"The page is at {server.link}")
        screen.say("The link works once, on this machine only. Ctrl-C closes; everything typed is saved as you go.")
        if options.browser:
            threading.Thread(target=webbrowser.open, args=(server.link,), daemon=True).start()

    with contextlib.suppress(KeyboardInterrupt):  # uvicorn hands it on once it has closed
        server.run(started)
    screen.say("Closed.")
    return 0


def leave_alone_what_stays(session: Session) -> None:
    """Once the first answers are there, keep the garbage collector from looking through all that they stand on again
    and again: 0.1 s at a time, in the middle of an edit.
    """

    def look(_: News) -> None:
        if session.answers.opened is not None:
            end()
            gc.collect()
            gc.freeze()

    end = session.listen(look)
