"""A server on the invented build, and a client that is as well or ill behaved as a test wants it."""

from __future__ import annotations

import http.client
import json
import threading
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest

from coachwork.workbench.desk import Desk
from coachwork.workbench.server import Server
from coachwork.workbench.session import Session


@dataclass
class Served:
    """A running server, its folder, and the pass that its link was exchanged for."""

    server: Server
    thread: threading.Thread
    cookie: str = ""
    last: dict[str, str] = field(default_factory=dict)

    @property
    def folder(self) -> Path:
        return self.server.desk.session.folder

    def ask(self, method: str, path: str, body: bytes | None = None, **headers: str | None) -> tuple[int, bytes]:
        """Status and body; the headers a good client sends unless others are given, None leaving one out."""
        host = f"127.0.0.1:{self.server.port}"
        sent: dict[str, str | None] = {"host": host, "cookie": self.cookie}
        if method == "POST":
            sent |= {"origin": f"http://{host}", "content-type": "application/json"}
        sent |= {name.replace("_", "-"): value for name, value in headers.items()}
        connection = http.client.HTTPConnection("127.0.0.1", self.server.port, timeout=30)
        try:
            connection.putrequest(method, path, skip_host=True, skip_accept_encoding=True)
            for name, value in sent.items():
                if value is not None:
                    connection.putheader(name, value)
            if body is not None and "content-length" not in sent:
                connection.putheader("content-length", str(len(body)))
            connection.endheaders()
            if body:
                connection.send(body)
            answer = connection.getresponse()
            self.last = {name.lower(): value for name, value in answer.getheaders()}
            return answer.status, answer.read()
        finally:
            connection.close()

    def do(self, name: str, **given: Any) -> Any:
        """What the page sends."""
        status, body = self.ask("POST", f"/do/{name}", json.dumps(given).encode())
        assert status == 200, body
        return json.loads(body)

    def enter(self) -> None:
        """Exchange the link."""
        path = self.server.link.partition(str(self.server.port))[2]
        status, _ = self.ask("GET", path)
        assert status == 200
        self.cookie = self.last["set-cookie"].partition(";")[0]


@pytest.fixture
def served(tiny_folder: Path, tiny) -> Iterator[Served]:
    """The invented build, served and entered."""
    server = Server(Desk(Session(tiny_folder, plan=tiny.plan())))
    ready = threading.Event()
    thread = threading.Thread(target=server.run, args=(ready.set,))
    thread.start()
    assert ready.wait(20)
    one = Served(server, thread)
    one.enter()
    yield one
    server.end()
    thread.join(timeout=20)
    assert not thread.is_alive()
