"""What a tab is told: everything at first, then what is new, as it comes."""

from __future__ import annotations

import asyncio
import contextlib
import json
from collections.abc import AsyncIterator, Callable
from typing import Any

from coachwork.workbench.desk import Desk, changes

COUNTING_S = 0.1  # before how far the work is, is told
BEAT_S = 15.0  # between two signs of life on a quiet stream
LOOK_S = 0.25  # between two looks whether the server is ending


async def stream(desk: Desk, closing: Callable[[], bool]) -> AsyncIterator[str]:
    """Events of one tab, until it goes or `closing` turns true."""
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
                await asyncio.wait_for(fresh.wait(), LOOK_S)
            except TimeoutError:
                quiet += LOOK_S
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
