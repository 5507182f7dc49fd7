"""The workbench's server: a desk shown to one browser on this machine, on a socket of its own.

Starlette on uvicorn, and plain ES modules on the page. What changes is pushed over one event stream a tab (`stream`),
as the parts of the state that are new; what the builder does comes in as small POSTs (`routes`). Meshes and curves are
fetched by URL. There is no state here: a tab that comes back, to this server or to one started anew, is sent everything
once.
"""

from __future__ import annotations

import json
import os
import socket
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

from coachwork.build import write_whole
from coachwork.errors import CoachworkError
from coachwork.workbench.desk import Desk
from coachwork.workbench.guard import LOOPBACK, Guard
from coachwork.workbench.journal import FOLDER
from coachwork.workbench.routes import application

CLOSING_S = 2  # for open requests when the server is told to end
SWITCH_S = 0.0005  # that a request waits for a study to let go of the interpreter; an edit changes threads ten times


class Server:
    """A desk, served until it is told to end.

    port : None takes the port of last time where that is free, else any; so that a tab left open finds its way back
    """

    def __init__(self, desk: Desk, *, port: int | None = None) -> None:
        self.desk = desk
        self._kept = desk.session.folder / FOLDER / "server.json"
        before = _before(self._kept)
        self._socket = _bound(port, before.get("port"))
        self.port: int = self._socket.getsockname()[1]
        self.guard = Guard(application(desk, self._closing), port=self.port, kept=before.get("pass"))
        self._uvicorn: Any = None
        self._keep()

    @property
    def link(self) -> str:
        """Opens the page, once."""
        return self.guard.link

    def _closing(self) -> bool:
        return self._uvicorn is not None and bool(self._uvicorn.should_exit)

    def _keep(self) -> None:
        """For the next server of this build; nobody else on this machine may read it."""
        kept = {"port": self.port, "pass": self.guard.kept}
        write_whole(self._kept, json.dumps(kept))
        os.chmod(self._kept, 0o600)
        ignore = self._kept.with_name(".gitignore")
        if not ignore.exists():
            write_whole(ignore, "*\n")

    def run(self, started: Callable[[], None] = lambda: None) -> None:
        """Serve until Ctrl-C or `end`; `started` is called once requests are answered."""
        import uvicorn

        class Started(uvicorn.Server):
            async def startup(self, sockets: list[socket.socket] | None = None) -> None:
                await super().startup(sockets)
                started()

        config = uvicorn.Config(
            self.guard, log_level="error", access_log=False, timeout_graceful_shutdown=CLOSING_S, lifespan="off",
            server_header=False, proxy_headers=False, ws="none",
        )  # fmt: skip
        self._uvicorn = Started(config)
        patience = sys.getswitchinterval()
        sys.setswitchinterval(SWITCH_S)
        try:
            self._uvicorn.run(sockets=[self._socket])
        finally:
            sys.setswitchinterval(patience)
            self._socket.close()
            self.desk.close()

    def end(self) -> None:
        """Tell it to end, from another thread."""
        if self._uvicorn is not None:
            self._uvicorn.should_exit = True


def _before(kept: Path) -> dict[str, Any]:
    try:
        found = json.loads(kept.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    good = isinstance(found, dict) and isinstance(found.get("port"), int) and isinstance(found.get("pass"), str)
    return found if good else {}


def _bound(wanted: int | None, last: int | None) -> socket.socket:
    """A socket on the loopback address. Raises CoachworkError where the port that was asked for is taken."""
    for port in (wanted,) if wanted is not None else (last, 0):
        if port is None:
            continue
        found = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
        found.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            found.bind((LOOPBACK, port))
            found.listen(64)
        except OSError:
            found.close()
            continue
        return found
    raise CoachworkError(f"--port {wanted}: another program uses it; leave --port out and a free one is taken")
