"""Telling every open page that something has happened: one stream a page, by server-sent events."""

from __future__ import annotations

import asyncio
import contextlib
from collections.abc import AsyncIterator, Awaitable, Callable
from datetime import datetime

__all__ = ["Live"]

BEAT = 5.0  # s between two signs of life; a page that hears none for 12 s says so


class Live:
    """Who listens, and the number of the newest event."""

    def __init__(
        self, last: Callable[[], int], now: Callable[[], datetime], mark: Callable[[], str] = lambda: ""
    ) -> None:
        self._last, self._now, self._mark = last, now, mark
        self._woken: set[asyncio.Event] = set()
        self._loop: asyncio.AbstractEventLoop | None = None
        self._ending = False

    def end(self) -> None:
        """The server stops: every stream ends by itself, so that none has to be cut off."""
        self._ending = True
        self.tell()

    def tell(self) -> None:
        """Something has happened; may be called from any thread."""
        if self._loop is not None and not self._loop.is_closed():
            self._loop.call_soon_threadsafe(self._wake)

    def _wake(self) -> None:
        for one in self._woken:
            one.set()

    @property
    def listeners(self) -> int:
        """How many pages listen."""
        return len(self._woken)

    async def stream(
        self, heard: int | None, gone: Callable[[], Awaitable[bool]], mark: str | None = None
    ) -> AsyncIterator[str]:
        """What one page is sent. `heard`, `mark`: the last number and mark that it has seen, by its own word.

        A number that moves on, or another mark, is an event `floor`; between them a `beat` tells the time.
        What came between a page and its stream is told first; a page that names no mark has seen that of now.
        Another process may write to the records too, so each beat looks.
        """
        self._loop = asyncio.get_running_loop()
        woken = asyncio.Event()
        self._woken.add(woken)
        try:
            sent = (heard, mark or await asyncio.to_thread(self._mark))
            while not self._ending:
                last = await asyncio.to_thread(self._last)
                stands = (last, await asyncio.to_thread(self._mark))
                time = round(self._now().timestamp() * 1000)
                if stands != sent:
                    yield f"id: {last}\nevent: floor\nretry: 2000\ndata: {time}\n\n"
                    sent = stands
                else:
                    yield f"event: beat\ndata: {time}\n\n"
                with contextlib.suppress(TimeoutError):
                    await asyncio.wait_for(woken.wait(), BEAT)
                woken.clear()
                if await gone():
                    return
        finally:
            self._woken.discard(woken)
