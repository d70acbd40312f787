"""Today: the run board, its live stream, and the taps of gloves."""

from __future__ import annotations

import json
from collections.abc import Mapping
from datetime import datetime
from typing import Annotated, Any

from fastapi import APIRouter, Header, Query, Request
from fastapi.responses import HTMLResponse, JSONResponse, Response, StreamingResponse
from starlette.concurrency import run_in_threadpool

from flatstock.actions.board import Event, Floor
from flatstock.actions.moved import moved_in, moves_ahead
from flatstock.actions.plan_lacks import plan_lacks
from flatstock.actions.power_now import power_now, said_of_saw
from flatstock.actions.putting_right import telling_of
from flatstock.actions.weighings import Weighing, weighing_of
from flatstock.errors import Fault, NotNow, Refused
from flatstock.plastics.safety import rules
from flatstock.running.danger import words_of
from flatstock.running.view import MouldHere, Next, ToDo
from flatstock.running.words import minute_up
from flatstock.times import lasting
from flatstock.web.access.door import Visitor
from flatstock.web.access.keys import Keys
from flatstock.web.floorwork import Floorwork
from flatstock.web.instants import instants_said
from flatstock.web.page import in_units, place_of, show
from flatstock.web.planning_on import plan_on_after, plan_on_behind
from flatstock.workshop.shop import Workshop

__all__ = ["router"]

router = APIRouter()
STATE_WORDS = {
    "free": "free",
    "wait": "wait",
    "call": "soon",
    "act": "act now",
    "late": "late",
    "danger": "danger",
}
KIND_WORDS = {
    "hot_press": "hot press",
    "cooling_press": "cooling press",
    "stack": "stack",
    "rack": "rack",
}
MOST_TAPS = 200  #: in one request: what a tablet may have queued in a day without network
EARLIEST, LATEST = 2000, 2200  #: years in which a shop may note something
#: why a mould is laid in though its platens are not ready, or no cooling press will be free
ANYWAY = ("it is in there already", "the lead says so", "other")
#: why a charge is taken out of its mould again
ASIDE = ("its lot is held", "no time to press it", "something fell into it")
COMING = 4  #: sheets to be loaded that are shown, apart from what a press gets next


@router.get("/", response_class=HTMLResponse)
def today(request: Request) -> Response:
    """The whole page."""
    return show(request, "today.html", **_floor(request), dangers=words_of(), start_check=rules().start_check)


@router.get("/floor", response_class=HTMLResponse)
def floor(request: Request) -> Response:
    """The board alone, to be put in place of the one on the screen."""
    return show(request, "floor.html", **_floor(request))


@router.get("/floor/alive")
def alive() -> Response:
    """Nothing but that the server is there."""
    return Response(status_code=204, headers={"cache-control": "no-store"})


@router.get("/floor/live")
async def live(
    request: Request,
    last_event_id: Annotated[str | None, Header(max_length=20)] = None,
    seen: Annotated[str, Query(max_length=20)] = "",
    mark: Annotated[str, Query(max_length=100)] = "",
) -> StreamingResponse:
    """The stream that tells a page when to ask again; one a page."""
    said = last_event_id or seen
    heard = int(said) if said.isdecimal() else None

    async def over() -> bool:
        return await request.is_disconnected() or not _still_paired(request)

    stream = request.app.state.live.stream(heard, over, mark)
    return StreamingResponse(
        stream,
        media_type="text/event-stream",
        headers={"cache-control": "no-store", "x-accel-buffering": "no"},
    )


def _still_paired(request: Request) -> bool:
    """Whether the device that listens may: it may have been taken off the list meanwhile."""
    visitor: Visitor = request.state.visitor
    keys: Keys = request.app.state.keys
    return visitor.here or any(one.id == visitor.device for one in keys.devices())


@router.post("/floor/taps")
async def taps(request: Request) -> Response:
    """Taps of one device, in the order in which they happened; told again they change nothing."""
    events = _read(await request.body())
    work: Floorwork = request.app.state.floor
    if request.state.visitor.role != "lead" and any(_releases(work, one) for one in events):
        raise Refused(Fault("release", "this device may hold a lot, not release one", "ask a lead"))
    try:
        answers = await run_in_threadpool(work.tap, events)
    except NotNow as error:  # full, read-only, busy: nothing wrong with the taps, which the device keeps
        why = [fault.sentence() for fault in error.faults]
        return JSONResponse({"faults": why}, status_code=503, headers={"cache-control": "no-store"})
    request.app.state.live.tell()
    await run_in_threadpool(plan_on_after, request, [one.event for one in answers if one.keep])
    shown, words = place_of(request).shown(), place_of(request).saying().words
    return JSONResponse(
        [
            {
                "id": one.event.id,
                "outcome": one.outcome,
                "faults": [words(shown.fault(fault).sentence()) for fault in one.faults],
                "say": [words(shown.prose(said)) for said in one.say],
            }
            for one in answers
        ],
        headers={"cache-control": "no-store"},
    )


def _releases(work: Floorwork, event: Event) -> bool:
    """Whether it releases a lot, or puts another release right."""
    if event.kind != "corrected":
        return event.kind == "released"
    found = telling_of(work.board().store, event.corrects or "")
    return found is not None and found.first.kind == "released"


def _read(body: bytes) -> list[Event]:
    """The events of a request. Raises `Refused` where it holds anything else."""
    try:
        said = json.loads(body)
        if not isinstance(said, list) or len(said) > MOST_TAPS:
            raise ValueError(f"a list of at most {MOST_TAPS} events is expected")
        if not all(isinstance(one, dict) for one in said):
            raise ValueError("each event is an object")
        events = [Event.of_json(one) for one in said]
        if any(not EARLIEST <= at.year <= LATEST for one in events for at in (one.at, one.noted_at)):
            raise ValueError(f"an instant lies outside {EARLIEST} to {LATEST}")
        return events
    except (ValueError, TypeError, RecursionError) as error:
        raise Refused(Fault("taps", str(error)[:200], "send them as the app's own pages do")) from None


def _floor(request: Request) -> dict[str, Any]:
    work: Floorwork = request.app.state.floor
    place = place_of(request)
    mark = work.mark()  # first: an answer that comes meanwhile is told again rather than not at all
    number, found = work.floor()
    plan_on_behind(request, found)
    shop = place.shop()
    shown, words = place.shown(), place.saying().words
    power = power_now(found, shop)
    waiting = _waiting(found)
    return {
        "number": number,
        "mark": mark,
        "floor": found,
        "say": in_units(place),
        "server_ms": round(place.instant().timestamp() * 1000),
        "state_words": STATE_WORDS,
        "place_words": KIND_WORDS,
        "ms": _ms,
        "up": minute_up,
        "doing": lambda step, sheet, point=None: json.dumps(
            _doing(step, sheet, point) | {"words": words(shown.prose(step.words))}
        ),
        "people": _people(shop, found),
        "lifts": [one.id for one in shop.places.values() if one.kind == "lift"],
        "coming": waiting[:COMING],
        "weighings": _weighings(work, shop),
        "moved": moved_in(work.plan()),
        "moves_ahead": moves_ahead,
        "late": (work.plan() or {}).get("late", ()),
        "lasting": lasting,
        "unplanned": [
            instants_said(one.sentence(), found.now) for one in request.app.state.planner.state().faults
        ],
        "planning": request.app.state.planner.state().going,
        "more_coming": max(0, len(waiting) - COMING),
        "planned": work.plan() is not None,
        "next_load": None if waiting else _next_load(work, found.now),
        "lacks": plan_lacks(shop),
        "points": _points(work.plan(), found.now),
        "power": power,
        "saw": said_of_saw(power),
        "latest_first": _latest_first,
        "tellings": _tellings(work, found),
    }


def _next_load(work: Floorwork, now: datetime) -> datetime | None:
    """When the plan has the next mould laid into a press, however far ahead; None: no more of them."""
    plan, begun = work.plan(), work.begun()
    ahead = [
        datetime.fromisoformat(one["start"])
        for one in (plan["tasks"] if plan else ())
        if one["step"] == "load" and one["sheet"] not in begun
    ]
    return min((at for at in ahead if at > now), default=None)


def _waiting(found: Floor) -> list[ToDo]:
    """What is to be loaded, but for what stands in the tile of the press that gets it next."""
    shown = {place.load.sheet for place in found.places if place.load is not None}
    return [one for one in found.to_do if one.sheet not in shown]


def _tellings(work: Floorwork, found: Floor) -> dict[str, Event]:
    """What is asked about, by its id: when it was told to have happened, and who was there."""
    asked = {name for one in found.questions for name in one.events}
    return {one.id: one for one in work.board().events(found.now) if one.id in asked} if asked else {}


def _weighings(work: Floorwork, shop: Workshop) -> dict[str, Weighing]:
    """What a script needs to tell each sheet's weighing as thickness, and whether it is near enough."""
    plan = work.plan()
    return {
        one["id"]: weighing_of(shop, one) for one in (plan["sheets"] if plan else ()) if one["thickness_mm"]
    }


def _points(plan: Mapping[str, Any] | None, now: datetime) -> dict[str, float]:
    """The set-point that the plan has for each press, now or next [°C]; offered where heaters go on."""
    found: dict[str, float] = {}
    for one in plan["settings"] if plan else ():
        if one["to_C"] is not None and datetime.fromisoformat(one["end"]) > now:
            found.setdefault(one["place"], one["to_C"])
    return found


def _ms(moment: datetime | None) -> str:
    """An instant for a script."""
    return "" if moment is None else str(round(moment.timestamp() * 1000))


def _doing(step: Next, sheet: str, point: float | None = None) -> dict[str, Any]:
    """What a script has to know to note a step; `point`: set-point of the press [°C], offered where heaters go on."""
    if step.kind == "heating_on":
        keyed = {"number": "set_point_C", "unit": "°C", "low": 50, "high": 300}
        offer = {} if point is None else {"offer": point}
        return keyed | offer | _who(step) | {"place": step.to[0], "to": []}
    whys: dict[str, Any] = {"whys": list(ASIDE)} if step.kind == "set_aside" else {}
    if step.caution is not None:
        whys = {"whys": list(ANYWAY), "facts": {**step.facts, **({"cold": True} if step.cold else {})}}
    return _who(step) | whys | {"sheet": sheet, "to": list(step.to)}


def _who(step: Next) -> dict[str, Any]:
    """What it is called, and who may do it."""
    return {
        "kind": step.kind,
        "people": step.people,
        "skill": step.skill,
        "who": list(step.who),
        "facts": dict(step.facts),
        "dry": step.dry,
    }


def _people(shop: Any, found: Floor) -> list[dict[str, Any]]:
    """Everybody, with what they may, and whether they are here."""
    return [
        {"id": one.id, "role": one.role, "skills": sorted(one.skills), "here": one.id in found.here}
        for one in shop.people.values()
    ]


def _latest_first(moulds: tuple[MouldHere, ...]) -> list[MouldHere]:
    """From the top down, as a stack is looked at."""
    return sorted(moulds, key=lambda one: -one.level)
