"""Who may ask the server what: one browser on this machine, which got in with a link that works once.

Asked in this order, each a refusal of its own: is the server called by its own loopback name (a page elsewhere cannot
reach it under another name); does a request that a page made come from our page; does it carry the pass that the link
was exchanged for; is its body no larger than anything we take. Nothing of a refused request is looked at.
"""

from __future__ import annotations

import hmac
import secrets
from collections.abc import Awaitable, Callable, MutableMapping
from http.cookies import CookieError, SimpleCookie
from typing import Any

Scope = MutableMapping[str, Any]
Message = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[Message]]
Send = Callable[[Message], Awaitable[None]]
App = Callable[[Scope, Receive, Send], Awaitable[None]]

LOOPBACK = "127.0.0.1"
MOST_BYTES = 200_000  # of what is typed
MOST_UPLOADED = 300_000_000  # a scan of two million triangles is a third of it
UPLOAD = "/upload"
OPEN = "/open"
_READS = ("GET", "HEAD")
_POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; connect-src 'self'; "
    "font-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
)
_ALWAYS = (
    (b"content-security-policy", _POLICY.encode()),
    (b"x-content-type-options", b"nosniff"),
    (b"referrer-policy", b"no-referrer"),
    (b"cross-origin-opener-policy", b"same-origin"),
    (b"cross-origin-resource-policy", b"same-origin"),
)


class TooLarge(Exception):
    """A body that goes on beyond what is taken; the application answers it with 413."""


class Guard:
    """Stands in front of an application.

    token : works once, in the link that opens the page
    kept  : the pass that the browser holds from then on; a server started again takes the same
    """

    def __init__(self, app: App, *, port: int, kept: str | None = None) -> None:
        self._app = app
        self._hosts = (f"{LOOPBACK}:{port}", f"localhost:{port}")
        self._cookie = f"coachwork-{port}"  # cookies are not told apart by port
        self._token: str | None = secrets.token_urlsafe(24)
        self.kept = kept or secrets.token_urlsafe(32)
        self.link = f"http://{LOOPBACK}:{port}{OPEN}?token={self._token}"

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """One request. A web socket is nothing we speak."""
        if scope["type"] == "lifespan":
            await self._app(scope, receive, send)
            return
        if scope["type"] != "http":
            return
        headers = {name.decode("latin-1").lower(): value.decode("latin-1") for name, value in scope["headers"]}
        if headers.get("host") not in self._hosts:
            await _refuse(send, 421, "This server answers to its own loopback address only.")
        elif not self._from_here(scope["method"], headers):
            await _refuse(send, 403, "This request was not made by the workbench's page.")
        elif scope["path"] == OPEN:
            await self._let_in(scope, send)
        elif not self._has_pass(headers):
            await _refuse(send, 403, "The link works once, in one browser. Start again with: coachwork open")
        else:
            await self._hand_on(scope, receive, send, headers)

    def _from_here(self, method: str, headers: dict[str, str]) -> bool:
        origin = headers.get("origin")
        if method not in _READS or origin is not None:
            return origin is not None and origin == f"http://{headers['host']}"
        # Another page's picture, script or frame; a link that was followed says "none" or "same-origin".
        site = headers.get("sec-fetch-site", "none")
        return site in ("none", "same-origin") or headers.get("sec-fetch-mode") == "navigate"

    def _has_pass(self, headers: dict[str, str]) -> bool:
        try:
            held = SimpleCookie(headers.get("cookie", "")).get(self._cookie)
        except CookieError:
            return False
        return held is not None and hmac.compare_digest(held.value.encode(), self.kept.encode())

    async def _let_in(self, scope: Scope, send: Send) -> None:
        given = scope["query_string"].decode("latin-1").removeprefix("token=")
        if self._token is None or not hmac.compare_digest(given.encode(), self._token.encode()):
            await _refuse(send, 403, "The link works once. Start again with: coachwork open")
            return
        self._token = None
        cookie = f"{self._cookie}={self.kept}; HttpOnly; SameSite=Strict; Path=/"
        # No redirect by status: with SameSite=Strict, a browser that came from elsewhere would not send the cookie yet.
        body = (
            b'<!doctype html><html lang="en"><link rel="icon" href="data:,">'
            b'<meta http-equiv="refresh" content="0;url=/"><title>Coachwork</title>'
        )
        await _answer(send, 200, body, b"text/html; charset=utf-8", ((b"set-cookie", cookie.encode()),))

    async def _hand_on(self, scope: Scope, receive: Receive, send: Send, headers: dict[str, str]) -> None:
        most = MOST_UPLOADED if scope["path"] == UPLOAD else MOST_BYTES
        told = headers.get("content-length", "0")
        if not told.isdigit() or int(told) > most:
            await _refuse(send, 413, f"More than {most} bytes are not taken.")
            return
        taken = 0

        async def counted() -> Message:
            nonlocal taken
            message = await receive()
            if message["type"] == "http.request":
                taken += len(message.get("body", b""))
                if taken > most:
                    raise TooLarge(f"More than {most} bytes are not taken.")
            return message

        async def guarded(message: Message) -> None:
            if message["type"] == "http.response.start":
                message["headers"] = [*message.get("headers", []), *_ALWAYS]
            await send(message)

        await self._app(scope, counted, guarded)


async def _refuse(send: Send, status: int, why: str) -> None:
    await _answer(send, status, why.encode(), b"text/plain; charset=utf-8", ((b"connection", b"close"),))


async def _answer(
    send: Send, status: int, body: bytes, kind: bytes, more: tuple[tuple[bytes, bytes], ...] = ()
) -> None:
    headers = [(b"content-type", kind), (b"content-length", str(len(body)).encode()), (b"cache-control", b"no-store")]
    await send({"type": "http.response.start", "status": status, "headers": [*headers, *more, *_ALWAYS]})
    await send({"type": "http.response.body", "body": body})
