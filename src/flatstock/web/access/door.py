"""The door: who asks, as what, and whether that role may have the page or do the act."""

from __future__ import annotations

import hmac
import secrets
from collections.abc import Awaitable, Callable, MutableMapping
from dataclasses import dataclass
from hashlib import sha256
from http.cookies import CookieError, SimpleCookie
from typing import Any

from flatstock.web.access.keys import Keys, Role
from flatstock.web.access.limits import Limit

__all__ = ["COOKIE", "DESK", "Door", "Visitor", "may", "token_of"]

COOKIE, DESK = "flatstock_device", "flatstock_desk"
YEAR = 31_536_000
_DEVICES: dict[Role, str] = {"lead": "a lead's", "operator": "an operator's", "visitor": "a visitor's"}
OPEN = ("/look/", "/pair")  #: for anybody
#: what a role may not have: pages (reading) and acts (anything else) by the start of their address
NOT_READ: dict[Role, tuple[str, ...]] = {
    "lead": (),
    "operator": ("/access", "/shop/files", "/shop/part/outlay", "/before/purchases"),
    "visitor": (
        "/access",
        "/shop",
        "/before/purchases",
        "/store/new",
        "/checks/",
        "/handover",
        "/demould",
        "/happened/",
        "/fault/new",
    ),
}
ACTS: dict[Role, tuple[str, ...]] = {
    "lead": ("/",),
    "operator": (
        "/floor/taps",
        "/happened/",
        "/handover",
        "/record/",
        "/ground",
        "/unlock",
        "/leave",
        "/week/plan",
        "/orders/ask",
        "/before/room/",
        "/store/",
        "/checks/",
        "/demould",
        "/fault/",
    ),
    "visitor": ("/ground", "/leave"),
}

Scope = MutableMapping[str, Any]
Message = MutableMapping[str, Any]
App = Callable[
    [Scope, Callable[[], Awaitable[Message]], Callable[[Message], Awaitable[None]]], Awaitable[None]
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Visitor:
    """Who asks."""

    role: Role | None  #: None: not paired
    here: bool  #: on the machine itself
    name: str
    session: str  #: what its cookie shows; empty: it has none yet
    device: str  #: id


def may(visitor: Visitor, method: str, path: str, *, open_records: bool) -> bool:
    """Whether a visitor may have a page or do an act.

    >>> tablet = Visitor(role="operator", here=False, name="wall", session="x", device="d")
    >>> may(tablet, "POST", "/floor/taps", open_records=False), may(tablet, "POST", "/shop/files", open_records=False)
    (True, False)
    """
    if path.startswith(OPEN):
        return True
    reading = method in ("GET", "HEAD", "OPTIONS")
    measures = path.startswith("/record/") and path.endswith("/measure")  # a form, with everybody's name
    if reading and open_records and path.startswith("/record/") and not measures:
        return True
    if visitor.role is None:
        return False
    if reading:
        return not (measures and visitor.role == "visitor") and not path.startswith(NOT_READ[visitor.role])
    return path.startswith(ACTS[visitor.role])


def token_of(secret: bytes, session: str) -> str:
    """What a form of this session carries, so that no other page can send it."""
    return hmac.new(secret, session.encode(), sha256).hexdigest()


class Door:
    """Wraps the app; sets `visitor`, `token` and `device` of each request's state."""

    def __init__(self, app: App, keys: Keys) -> None:
        self.app, self.keys = app, keys
        self.asking = Limit(
            burst=240, every=0.1
        )  # of one address: a tablet that wakes up asks for much at once

    async def __call__(
        self,
        scope: Scope,
        receive: Callable[[], Awaitable[Message]],
        send: Callable[[Message], Awaitable[None]],
    ) -> None:
        """Let in, send to the pairing page, or refuse."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        cookies = _cookies(scope)
        address = scope["client"][0] if scope.get("client") else ""
        visitor = self._visitor(cookies, address)
        fresh = ""
        if visitor.here and not visitor.session:
            fresh = secrets.token_urlsafe(24)
        elif not visitor.here and not self.asking.allows(address):
            await _answer(send, 429, "Too much at once; wait a few seconds.")
            return
        session = visitor.session or fresh
        state = scope.setdefault("state", {})
        state["visitor"] = visitor
        state["device"] = visitor.device
        state["token"] = token_of(self.keys.secret(), session) if session else ""
        if not may(visitor, scope["method"], scope["path"], open_records=self.keys.records_are_open):
            if visitor.role is None and scope["method"] == "GET":
                await _answer(send, 303, "", location="/pair")
            else:
                await _refuse(send, visitor.role, page=scope["method"] == "GET")
            return

        async def with_cookie(message: Message) -> None:
            if fresh and message["type"] == "http.response.start":
                kept = f"{DESK}={fresh}; Path=/; Max-Age={YEAR}; HttpOnly; SameSite=Strict"
                message["headers"] = [*message.get("headers", ()), (b"set-cookie", kept.encode())]
            await send(message)

        await self.app(scope, receive, with_cookie)

    def _visitor(self, cookies: dict[str, str], address: str) -> Visitor:
        if address.startswith("127.") or address in ("::1", "testclient"):
            return Visitor(
                role="lead", here=True, name="this machine", session=cookies.get(DESK, ""), device="desk"
            )
        shown = cookies.get(COOKIE, "")
        device = self.keys.device_of(shown) if shown else None
        if device is None:
            return Visitor(role=None, here=False, name="", session="", device="")
        return Visitor(role=device.role, here=False, name=device.name, session=shown, device=device.id)


def _cookies(scope: Scope) -> dict[str, str]:
    jar: SimpleCookie = SimpleCookie()
    for name, value in scope["headers"]:
        if name == b"cookie":
            try:
                jar.load(value.decode("latin-1"))
            except CookieError:
                continue
    return {name: morsel.value for name, morsel in jar.items()}


async def _refuse(send: Callable[[Message], Awaitable[None]], role: Role | None, *, page: bool) -> None:
    """In plain words, and for who came by a link with a way back."""
    if role is None:
        await _answer(send, 401, "This device is not paired.")
        return
    words = f"Not for {_DEVICES[role]} device."
    if not page:
        await _answer(send, 403, words)
        return
    body = (
        '<!doctype html><html lang="en"><head><meta charset="utf-8">'
        '<meta name="viewport" content="width=device-width, initial-scale=1"><title>Not for this device</title>'
        f"</head><body><main><h1>{words}</h1><p>A lead's device, or the shop's machine itself, has it.</p>"
        '<p><a href="/">Today</a></p></main></body></html>'
    )
    await _answer(send, 403, body, kind=b"text/html")


async def _answer(
    send: Callable[[Message], Awaitable[None]],
    status: int,
    words: str,
    location: str = "",
    kind: bytes = b"text/plain",
) -> None:
    heads = [(b"content-type", kind + b"; charset=utf-8"), (b"cache-control", b"no-store")]
    if location:
        heads.append((b"location", location.encode()))
    await send({"type": "http.response.start", "status": status, "headers": heads})
    await send({"type": "http.response.body", "body": words.encode()})
