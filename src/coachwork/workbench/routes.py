"""What the server answers to which address: the page, the state, meshes and curves, files, and what is to be done.

Behind its guard: nothing here asks who is asking. Only what takes long, or may, runs in a thread of its own.
"""

from __future__ import annotations

import asyncio
import json
from collections.abc import Callable
from importlib.resources import files
from pathlib import Path
from typing import TYPE_CHECKING, Any

import coachwork
from coachwork.errors import CoachworkError
from coachwork.workbench.desk import Desk
from coachwork.workbench.files import inside_of, listed, place_for
from coachwork.workbench.guard import UPLOAD, App, TooLarge
from coachwork.workbench.numbers_in import Outcome
from coachwork.workbench.shown import draft_form
from coachwork.workbench.stream import stream

if TYPE_CHECKING:
    from starlette.requests import Request
    from starlette.responses import Response

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
            stream(desk, closing), media_type="text/event-stream", headers={"cache-control": "no-store"}
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
