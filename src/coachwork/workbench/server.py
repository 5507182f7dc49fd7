"""The workbench's server: a desk shown to one browser on this machine.

Starlette on uvicorn, and plain ES modules on the page. What changes is pushed over one event stream a tab, as the parts
of the state that are new; what the builder does comes in as small POSTs. Meshes and curves are fetched by URL. There is
no state here: a tab that comes back, to this server or to one started anew, is sent everything once.
"""

from __future__ import annotations

import asyncio
import contextlib
import json
import os
import socket
import sys
from collections.abc import AsyncIterator, Callable
from importlib.resources import files
from pathlib import Path
from typing import TYPE_CHECKING, Any

import coachwork
from coachwork.build import write_whole
from coachwork.errors import CoachworkError
from coachwork.workbench.desk import Desk, changes
from coachwork.workbench.files import inside_of, listed, place_for
from coachwork.workbench.guard import LOOPBACK, UPLOAD, App, Guard, TooLarge
from coachwork.workbench.journal import FOLDER
from coachwork.workbench.session import Outcome
from coachwork.workbench.shown import draft_form

if TYPE_CHECKING:
    from starlette.requests import Request
    from starlette.responses import Response

CLOSING_S = 2  # for open requests when the server is told to end
SWITCH_S = 0.0005  # that a request waits for a study to let go of the interpreter; an edit changes threads ten times
COUNTING_S = 0.1  # before how far the work is, is told
BEAT_S = 15.0  # between two signs of life on a quiet stream
PAGE = Path(__file__).parent / "page"


def drawings() -> Path:
    """The drawings of where the callipers go: in the installed package, or beside the sources in a checkout."""
    packaged = Path(str(files("coachwork"))) / "drawings"
    return packaged if packaged.is_dir() else Path(coachwork.__file__).parents[2] / "docs" / "drawings"


def application(desk: Desk, closing: Callable[[], bool] = lambda: False) -> App:
    """The routes, without their guard. `closing` turns true when streams are to end."""
    from starlette.applications import Starlette
    from starlette.responses import FileResponse, JSONResponse, PlainTextResponse, Response, StreamingResponse
    from starlette.routing import Mount, Route
    from starlette.staticfiles import StaticFiles

    session = desk.session

    async def index(request: Request) -> Response:
        return FileResponse(PAGE / "index.html", headers={"cache-control": "no-store"})

    async def events(request: Request) -> Response:
        return StreamingResponse(
            _stream(desk, request, closing), media_type="text/event-stream", headers={"cache-control": "no-store"}
        )

    def state(request: Request) -> Response:
        return _json(desk.state())

    def scene(request: Request) -> Response:
        return _json(desk.scene())

    def charts(request: Request) -> Response:
        return _json(desk.charts())

    def beside(request: Request) -> Response:
        ask = desk.comparison.scene if request.url.path.endswith("/scene") else desk.comparison.told
        found = ask(request.path_params["id"])
        return PlainTextResponse("There is no such build.", 404) if found is None else _json(found)

    def mesh_beside(request: Request) -> Response:
        asked, kind = request.path_params, request.url.path.split("/")[3]
        raw = {"shell": desk.comparison.shell, "made": desk.comparison.made}[kind](asked["id"], asked["thing"])
        if raw is None:
            return PlainTextResponse("There is nothing of this name to draw.", 404)
        return Response(raw, media_type="application/octet-stream", headers={"cache-control": "no-store"})

    def room(request: Request) -> Response:
        found = desk.room()
        return PlainTextResponse("The room is not known.", 404) if found is None else _json(found.told)

    def room_surface(thing: str) -> bytes | None:
        found = desk.room()
        return None if found is None else found.surfaces.get(thing)

    def mesh(request: Request) -> Response:
        kind, wanted = request.url.path.split("/")[1], request.path_params["thing"]
        raw = {"sweep": desk.sweep, "made": desk.made, "room": room_surface, "stress": desk.stress}[kind](wanted)
        if raw is None:
            return PlainTextResponse("There is nothing of this name to draw.", 404)
        return Response(raw, media_type="application/octet-stream", headers={"cache-control": "no-store"})

    def chart(request: Request) -> Response:
        found = desk.chart(request.path_params["id"])
        if found is None:
            return PlainTextResponse("There is no curve of this name.", 404)
        from coachwork.papers.charts import svg

        name = f'attachment; filename="{found.id}.svg"'
        return Response(svg(found), media_type="image/svg+xml", headers={"content-disposition": name})

    def shell(request: Request) -> Response:
        raw = desk.shell(request.path_params["part"])
        if raw is None:
            return PlainTextResponse("There is no scan of the shell.", 404)
        return Response(raw, media_type="application/octet-stream", headers={"cache-control": "private, max-age=3600"})

    def file_list(request: Request) -> Response:
        return _json(listed(session.folder))

    def file(request: Request) -> Response:
        path = inside_of(session.folder, request.path_params["path"])
        if path is None:
            return PlainTextResponse("There is no such file in the build's folder.", 404)
        return FileResponse(path, filename=path.name, headers={"cache-control": "no-store"})

    async def command(request: Request) -> Response:
        try:
            told = json.loads(await request.body())
            work = _commands(desk)[request.path_params["name"]]
            answer = await asyncio.to_thread(work, **told)
        except KeyError as fault:
            return JSONResponse({"error": f"there is nothing called {fault}"}, 404)
        except (ValueError, TypeError) as fault:
            return JSONResponse({"error": str(fault)}, 400)
        return _json(answer)

    async def upload(request: Request) -> Response:
        try:
            place = place_for(session.folder, request.query_params.get("name", ""))
        except CoachworkError as fault:
            return JSONResponse({"error": str(fault)}, 400)
        beside = place.with_name(f".{place.name}.part")
        try:
            with beside.open("wb") as file:
                async for chunk in request.stream():
                    await asyncio.to_thread(file.write, chunk)
            beside.replace(place)
        finally:
            beside.unlink(missing_ok=True)
        return _json({"name": place.name})

    async def too_large(request: Request, fault: Exception) -> Response:
        return PlainTextResponse(str(fault), 413, headers={"connection": "close"})

    return Starlette(
        exception_handlers={TooLarge: too_large},
        routes=[
            Route("/", index), Route("/events", events), Route("/state", state), Route("/scene", scene),
            Route("/charts", charts), Route("/chart/{id}.svg", chart), Route("/shell/{part}", shell),
            Route("/beside/{id}", beside), Route("/beside/{id}/scene", beside),
            Route("/beside/{id}/shell/{thing}", mesh_beside), Route("/beside/{id}/made/{thing}", mesh_beside),
            Route("/sweep/{thing}", mesh), Route("/made/{thing}", mesh),
            Route("/room", room), Route("/room/{thing}", mesh), Route("/stress/{thing}", mesh),
            Route("/files", file_list), Route("/files/{path:path}", file),
            Route("/do/{name}", command, methods=["POST"]), Route(UPLOAD, upload, methods=["POST"]),
            Mount("/page", StaticFiles(directory=PAGE)), Mount("/drawings", StaticFiles(directory=drawings())),
        ],
    )  # fmt: skip


def _json(value: Any) -> Response:
    from starlette.responses import Response

    raw = json.dumps(value, separators=(",", ":"), allow_nan=False)
    return Response(raw, media_type="application/json", headers={"cache-control": "no-store"})


def _commands(desk: Desk) -> dict[str, Callable[..., Any]]:
    """What the page can have done, by name; each takes what the page sends as keywords."""
    session = desk.session

    def edit(values: dict[str, str], seen: dict[str, str | None]) -> Any:
        if not (isinstance(values, dict) and isinstance(seen, dict)):
            raise ValueError("values and what was seen before are wanted, each by key")
        return _outcome(session.edit_all({str(key): str(text) for key, text in values.items()}, seen=seen))

    def note(key: str, text: str, seen: str | None) -> Any:
        return _outcome(session.note(key, text, seen=seen))

    def drop(key: str) -> Any:
        session.drop(key)
        return {}

    def settle(key: str, take: str) -> Any:
        if take not in ("mine", "theirs"):
            raise ValueError(f"{take}: mine or theirs is wanted")
        return _outcome(session.settle(key, take="mine" if take == "mine" else "theirs"))

    def stop(id: int) -> Any:
        desk.jobs.stop(id)
        return {}

    return {
        "edit": edit, "note": note, "drop": drop, "settle": settle,
        "undo": lambda: {"why": session.undo()}, "redo": lambda: {"why": session.redo()},
        "start": lambda name: desk.jobs.start(name).form(), "stop": stop,
    }  # fmt: skip


def _outcome(outcome: Outcome) -> dict[str, Any]:
    return {
        "saved": outcome.saved,
        "faults": list(outcome.faults),
        "drafts": {draft.key: draft_form(draft) for draft in outcome.drafts},
    }


async def _stream(desk: Desk, request: Request, closing: Callable[[], bool]) -> AsyncIterator[str]:
    """What is new, as it comes; everything at first."""
    loop, fresh = asyncio.get_running_loop(), asyncio.Event()

    def heard(news: str) -> None:
        with contextlib.suppress(RuntimeError):  # the loop has ended
            if news == "working":  # how far it is may come late; what is new may not wait for it
                loop.call_soon_threadsafe(loop.call_later, COUNTING_S, fresh.set)
            else:
                loop.call_soon_threadsafe(fresh.set)

    end = desk.session.listen(heard)
    old: dict[str, Any] = {}
    quiet = 0.0
    try:
        fresh.set()
        while not closing():
            try:
                await asyncio.wait_for(fresh.wait(), 0.25)
            except TimeoutError:
                quiet += 0.25
                if quiet >= BEAT_S:
                    quiet = 0.0
                    yield ": here\n\n"
                continue
            fresh.clear()
            new = await asyncio.to_thread(desk.state)
            if sent := changes(old, new):
                quiet = 0.0
                yield f"event: {'all' if not old else 'news'}\ndata: {json.dumps(sent, allow_nan=False)}\n\n"
            old = new
    finally:
        end()


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
