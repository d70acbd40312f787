"""The order book: what was promised for when, and why."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, Response

from flatstock.actions.kept import Document, kept_plan
from flatstock.actions.promise_reasons import promise_reasons
from flatstock.errors import Fault, Refused
from flatstock.times import lasting, weekday_clock
from flatstock.web.page import place_of, show
from flatstock.web.reasons import reasons_of
from flatstock.workshop.shop import Order

__all__ = ["Promise", "promise_of", "router"]

router = APIRouter()


@dataclass(frozen=True, slots=True)
class Promise:
    """When an order will be there by the kept plan."""

    word: str  #: "in time", "late", "left out", "not planned"
    ready: datetime | None  #: of its last sheet
    spare: timedelta | None  #: before it is due; negative: late
    planned: int  #: sheets with a time
    because: tuple[str, ...]
    helps: tuple[str, ...]


@router.get("/orders", response_class=HTMLResponse)
def orders(request: Request) -> Response:
    """Every order with its promise."""
    place = place_of(request)
    shop, plan = place.shop(), kept_plan(place.folder)
    rows = [(one, promise_of(one, plan)) for one in shop.orders.values()]
    rows.sort(key=lambda row: (row[0].due is None, row[0].due.timestamp() if row[0].due else 0.0, row[0].id))
    return show(request, "orders.html", rows=rows, plan=plan, lasting=lasting)


@router.get("/orders/why/{order}", response_class=HTMLResponse)
def why(request: Request, order: str) -> Response:
    """The way of its last sheet, step by step, and what it is held against."""
    place = place_of(request)
    shop, plan = place.shop(), kept_plan(place.folder)
    known = shop.orders.get(order)
    if known is None:
        raise Refused(Fault("order", f"no order is called {order!r}", "pick one of the book"))
    return show(
        request,
        "why_order.html",
        order=known,
        promise=promise_of(known, plan),
        offcuts=[one for one in (plan or {}).get("offcuts", ()) if one["order"] == order],
        reasons=reasons_of(promise_reasons(known, plan), place.shown()),
    )


def promise_of(order: Order, plan: Document | None) -> Promise:
    """What the kept plan promises for an order, and the reason."""
    if plan is None:
        return Promise("not planned", None, None, 0, ("no week is planned yet",), ())
    left = next((one for one in plan["left_out"] if one["order"] == order.id), None)
    if left is not None:
        because = left["because"] if isinstance(left["because"], str) else "; ".join(left["because"])
        return Promise("left out", None, None, 0, (because,), ())
    sheets = [one for one in plan["sheets"] if one["order"] == order.id]
    if not sheets:
        return Promise("not planned", None, None, 0, ("it is not in the plan that is kept: plan again",), ())
    last = max(sheets, key=lambda one: datetime.fromisoformat(one["ready"]))
    ready = datetime.fromisoformat(last["ready"])
    spare = None if order.due is None else order.due - ready
    late = next((one for one in plan["late"] if one["order"] == order.id), None)
    if late is not None:
        helps = tuple(
            one["what"] + (f" ({lasting(one['saves_min'])} less)" if one["saves_min"] is not None else "")
            for one in late["would_help"]
        )
        return Promise("late", ready, spare, len(sheets), tuple(late["because"]), helps)
    return Promise("in time", ready, spare, len(sheets), (_reason(last, plan),), ())


def _reason(last: Document, plan: Document) -> str:
    """What its last sheet goes through, and what it waits for longest."""
    said = []
    for step, words in (("load", "loaded"), ("demould", "demoulded"), ("trim", "sawn")):
        task = next(
            (one for one in plan["tasks"] if one["sheet"] == last["id"] and one["step"] == step), None
        )
        if task is not None:
            at = datetime.fromisoformat(task["end" if step == "trim" else "start"])
            said.append(f"{words} {weekday_clock(at)}")
    rest = f", {last['condition_h']:g} h flat" if last["condition_h"] else ""
    return f"{last['id']} is the last: {', '.join(said) or 'no time'}{rest}"
