"""What every answer and every request is held to before a page sees it.

No script, picture or font from anywhere else; no frame around a page; requests that change something only
from the app's own pages; no more bytes than a page may need; no host name but those the server answers to
(a page elsewhere could otherwise point its own name here).
"""

from __future__ import annotations

from collections.abc import Awaitable, Callable, Iterable, MutableMapping
from typing import Any
from urllib.parse import urlsplit

__all__ = ["POLICY", "Guard"]

Scope = MutableMapping[str, Any]
Message = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[Message]]
Send = Callable[[Message], Awaitable[None]]
App = Callable[[Scope, Receive, Send], Awaitable[None]]

POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; font-src 'self';"
    " connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
_HEADERS = (
    (b"content-security-policy", POLICY.encode()),
    (b"x-content-type-options", b"nosniff"),
    (b"referrer-policy", b"same-origin"),
    (b"cross-origin-opener-policy", b"same-origin"),
    (b"cross-origin-resource-policy", b"same-origin"),
    (b"permissions-policy", b"camera=(), microphone=(), geolocation=()"),
)
_READING = ("GET", "HEAD", "OPTIONS")
MOST_BYTES = 16 * 2**20  #: of one request: a photograph of a phone


class Guard:
    """Wraps the app; `hosts` are the names that it may be asked by, without port.

    `by_address`: also by the very address at which this machine was reached, which a network may change at any time. No
    other site's name leads a browser to send that.
    """

    def __init__(self, app: App, hosts: Iterable[str], *, by_address: bool = False) -> None:
        self.app = app
        self.hosts = frozenset(hosts)
        self.by_address = by_address

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Refuse, or pass on with the headers added."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        heads = {name.decode("latin-1"): value.decode("latin-1") for name, value in scope["headers"]}
        reached = (scope.get("server") or ("",))[0] if self.by_address else ""
        refused = self._refused(scope["method"], heads, reached)
        if refused is not None:
            await _say(send, *refused)
            return

        async def with_headers(message: Message) -> None:
            if message["type"] == "http.response.start":
                message["headers"] = [*message.get("headers", ()), *_HEADERS]
            await send(message)

        await self.app(scope, _counted(receive), with_headers)

    def _refused(self, method: str, heads: MutableMapping[str, str], reached: str) -> tuple[int, str] | None:
        host = heads.get("host", "")
        if _name(host) not in self.hosts and (not reached or _name(host) != reached):
            return 421, f"This server does not answer to the name {_name(host)[:80]!r}."
        length = heads.get("content-length", "0")
        if not length.isdigit() or int(length) > MOST_BYTES:
            return 413, "That is more than this server takes at once."
        if method in _READING:
            return None
        origin = heads.get("origin")
        if origin is not None and urlsplit(origin).netloc != host:
            return 403, "This request came from another site's page."
        if heads.get("sec-fetch-site", "same-origin") not in ("same-origin", "none"):
            return 403, "This request came from another site's page."
        return None


def _name(host: str) -> str:
    """A host without its port.

    >>> _name("[::1]:8765"), _name("localhost:1"), _name("")
    ('[::1]', 'localhost', '')
    """
    if host.startswith("["):
        return host.partition("]")[0].lower() + "]"
    return host.partition(":")[0].lower()


def _counted(receive: Receive) -> Receive:
    """Ends a body that goes on longer than it may, whatever length was named."""
    taken = 0

    async def bounded() -> Message:
        nonlocal taken
        message = await receive()
        taken += len(message.get("body", b""))
        if taken > MOST_BYTES:
            return {"type": "http.disconnect"}
        return message

    return bounded


async def _say(send: Send, status: int, words: str) -> None:
    heads = [(b"content-type", b"text/plain; charset=utf-8"), *_HEADERS]
    await send({"type": "http.response.start", "status": status, "headers": heads})
    await send({"type": "http.response.body", "body": words.encode()})
