"""The server: it listens on the machine itself, and beyond it only when asked to serve the shop."""

from __future__ import annotations

import contextlib
import os
import platform
import socket
import threading
import webbrowser
from collections.abc import Callable, Sequence
from pathlib import Path

import uvicorn

from flatstock.errors import Fault, Refused
from flatstock.web.app import LOCAL, create_app
from flatstock.web.awake import Awake
from flatstock.web.copying import Copying
from flatstock.web.live import Live
from flatstock.web.workplace import Workplace

__all__ = ["PORT", "Ending", "own_addresses", "screen_is_there", "serve"]

PORT = 8765
GRACE = 3  # s that open streams are given to end when the server stops
TRIED = 20  # ports after the usual one, where that is taken


def serve(
    place: Workplace,
    *,
    port: int | None = None,
    beyond: bool = False,
    browser: bool = True,
    certificate: tuple[Path, Path] | None = None,
    say: Callable[[str], None] = lambda _: None,
) -> None:
    """Serve until stopped; `say` hears the address.

    `beyond`: listen to the shop's network too. `certificate`: a file of certificates and one with its key, for https.

    Raises
    ------
    Refused
        No port can be had.
    """
    addresses = own_addresses() if beyond else ()
    listening = _listen("0.0.0.0" if beyond else "127.0.0.1", port)
    number = listening.getsockname()[1]
    secure = "s" if certificate is not None else ""
    here = f"http{secure}://127.0.0.1:{number}/"

    def found() -> list[str]:
        """By now: a network may give the machine another address at any time."""
        return [f"http{secure}://{one}:{number}" for one in still_own(addresses)] if beyond else []

    awake = Awake(place)
    app = create_app(
        place,
        hosts=(*LOCAL, *addresses),
        addresses=found,
        by_address=beyond,
        silences=awake.silences(),
    )
    config = uvicorn.Config(
        app,
        log_level="warning",
        access_log=False,
        server_header=False,
        timeout_graceful_shutdown=GRACE,
        timeout_keep_alive=30,
        limit_concurrency=400,
        h11_max_incomplete_event_size=64 * 1024,
        ssl_certfile=certificate[0] if certificate else None,
        ssl_keyfile=certificate[1] if certificate else None,
    )
    server = Ending(config, app.state.live)
    say(f"The app is open at {here}\nCtrl-C ends it; nothing that was written is lost.")
    for one in found():
        say(f"In the shop's network: {one}/pair (the app's page 'Who may see and tap' makes the codes)")
    if browser and screen_is_there():
        threading.Timer(0.7, _open, (here,)).start()
    copying = Copying(place)
    copying.begin()
    awake.begin()
    try:
        with contextlib.suppress(KeyboardInterrupt):
            server.run(sockets=[listening])
    finally:
        app.state.rooms.stop()  # takes a moment, while the rest ends
        copying.end()
        awake.end()
        app.state.rooms.end()
        app.state.floor.close()
        place.close()


class Ending(uvicorn.Server):
    """A server that ends its open streams before it waits for them."""

    def __init__(self, config: uvicorn.Config, live: Live) -> None:
        super().__init__(config)
        self.live = live

    async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
        """See `uvicorn.Server.shutdown`."""
        self.live.end()
        await super().shutdown(sockets)


def _listen(address: str, port: int | None) -> socket.socket:
    """A socket on the port asked for, else on the first that is free."""
    tried = [port] if port is not None else [*range(PORT, PORT + TRIED), 0]
    for number in tried:
        try:
            return socket.create_server((address, number), reuse_port=False)
        except OSError:
            continue
    raise Refused(Fault("--port", f"port {port} can't be had", "name another, or leave --port out"))


def way_out() -> str:
    """The address at which this machine is in its network now; empty where it is in none. It asks nobody."""
    with contextlib.suppress(OSError), socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as out:
        out.connect(("192.0.2.1", 9))  # a datagram socket only looks up the way; nothing is sent
        return str(out.getsockname()[0])
    return ""


def own_addresses() -> tuple[str, ...]:
    """The addresses that this machine has in its networks, IPv4."""
    found = set()
    with contextlib.suppress(OSError):
        for entry in socket.getaddrinfo(socket.gethostname(), None, socket.AF_INET):
            found.add(str(entry[4][0]))
    if way := way_out():
        found.add(way)
    return tuple(sorted(one for one in found if not one.startswith("127.")))


def still_own(before: Sequence[str], way: Callable[[], str] = way_out) -> tuple[str, ...]:
    """Addresses that this machine had a while ago, and the one that it has now where that is another; that one first.

    >>> still_own(["192.0.2.7"], lambda: "192.0.2.9"), still_own(["192.0.2.7"], lambda: "192.0.2.7")
    (('192.0.2.9', '192.0.2.7'), ('192.0.2.7',))
    """
    now = way()
    return (*((now,) if now and now not in before and not now.startswith("127.") else ()), *before)


def screen_is_there() -> bool:
    """Whether a browser could show itself."""
    own_window = os.name == "nt" or platform.system() == "Darwin"
    return own_window or bool(os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY"))


def _open(address: str) -> None:
    with contextlib.suppress(webbrowser.Error, OSError):
        webbrowser.open(address)
