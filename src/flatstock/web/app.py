"""The app on one folder: every page, and what each request is held to."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from importlib.resources import files

from fastapi import Depends, FastAPI, Form, Request
from fastapi.responses import RedirectResponse, Response
from starlette.exceptions import HTTPException

from flatstock.running.silence import Silence
from flatstock.web.access.door import Door
from flatstock.web.access.keys import Keys
from flatstock.web.answers import Answers
from flatstock.web.asking import Asking
from flatstock.web.failing import answer_failures
from flatstock.web.floorwork import Floorwork
from flatstock.web.guard import Guard
from flatstock.web.live import Live
from flatstock.web.pages import (
    access,
    asking,
    before,
    by_hand,
    card,
    checks,
    corrections,
    explaining,
    faults,
    floating,
    frame_sizes,
    handover,
    happened,
    looking,
    lot_labels,
    lots,
    measuring,
    orders,
    photographs,
    power,
    records,
    room,
    sheets,
    shop,
    stack,
    start,
    store,
    today,
    tracing,
    week,
    week_papers,
    whys,
)
from flatstock.web.planner import Planner
from flatstock.web.room_search import RoomSearch
from flatstock.web.tokens import sent_by_own_page
from flatstock.web.workplace import Workplace

__all__ = ["LOCAL", "create_app"]

LOCAL = ("localhost", "127.0.0.1", "[::1]")
TYPES = {".css": "text/css", ".js": "text/javascript", ".svg": "image/svg+xml", ".txt": "text/plain"}
Addresses = Callable[[], Sequence[str]]
FOREVER = "public, max-age=31536000, immutable"


def create_app(
    place: Workplace,
    *,
    hosts: Iterable[str] = LOCAL,
    addresses: Iterable[str] | Addresses = (),
    by_address: bool = False,
    replans: bool = True,
    silences: Sequence[Silence] = (),
) -> FastAPI:
    """The app; `hosts` are the names that it answers to, `addresses` where the shop's other devices find it, or who
    knows that at any time. `by_address`: it answers to the address at which it is reached too.

    `replans`: a step that happens well beside its time plans the rest of the week on. `silences`: when the app was not
    running; the board asks what the presses' heat did then.

    The pages that describe an interface are off: they would fetch scripts from outside.
    """
    app = FastAPI(
        title="flatstock",
        docs_url=None,
        redoc_url=None,
        openapi_url=None,
        dependencies=[Depends(sent_by_own_page)],
    )
    keys = Keys(place.folder)
    app.state.keys = keys
    app.state.addresses = addresses if callable(addresses) else tuple(addresses)
    app.state.place = place
    app.state.answers = Answers()
    app.state.floor = Floorwork(place, silences=silences)
    app.state.live = Live(app.state.floor.last, place.instant, app.state.floor.mark)
    app.state.floor.told = app.state.live.tell
    app.state.planner = Planner(told=app.state.live.tell)
    app.state.replans = replans
    app.state.asking = Asking()
    app.state.rooms = RoomSearch()
    answer_failures(app)
    for page in (
        today,
        by_hand,
        card,
        frame_sizes,
        stack,
        week,
        week_papers,
        orders,
        store,
        sheets,
        before,
        room,
        shop,
        start,
        access,
        records,
        corrections,
        handover,
        happened,
        measuring,
        faults,
        floating,
        looking,
        lot_labels,
        lots,
        tracing,
        photographs,
        checks,
        power,
        whys,
        explaining,
        asking,
    ):
        app.include_router(page.router)
    app.add_api_route("/look/type/{weight}", _type, methods=["GET"], include_in_schema=False)
    app.add_api_route("/look/{name:path}", _look, methods=["GET"], include_in_schema=False)
    app.add_api_route("/ground", _ground, methods=["POST"])
    app.add_middleware(Door, keys=keys)
    app.add_middleware(Guard, hosts=tuple(hosts), by_address=by_address)
    return app


def _look(name: str) -> Response:
    """A style, a script or a picture of the app's own."""
    root = files("flatstock.web") / "look"
    known = {
        (f"{folder}/{one.name}" if folder else one.name): one
        for folder, where in (("", root), ("vendor", root / "vendor"))
        for one in where.iterdir()
        if one.is_file()
    }
    if name not in known:
        raise HTTPException(404)
    kind = TYPES.get(f".{name.rpartition('.')[2]}", "application/octet-stream")
    return Response(known[name].read_bytes(), media_type=kind, headers={"cache-control": FOREVER})


def _type(weight: str) -> Response:
    """The typeface that the prints have too."""
    name = {"regular": "Inter-Regular.otf", "bold": "Inter-Bold.otf"}.get(weight)
    if name is None:
        raise HTTPException(404)
    data = (files("flatstock.prints.pdf") / "fonts" / name).read_bytes()
    return Response(data, media_type="font/otf", headers={"cache-control": FOREVER})


def _ground(request: Request, ground: str = Form("auto", max_length=10)) -> Response:
    """Light or dim pages on this device, from now on."""
    back = request.headers.get("referer", "/")
    answer = RedirectResponse(back if back.startswith(str(request.base_url)) else "/", 303)
    if ground in ("auto", "light", "dim"):
        answer.set_cookie("ground", ground, max_age=31536000, samesite="strict", httponly=True)
    return answer
