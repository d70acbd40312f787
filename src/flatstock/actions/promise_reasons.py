"""Why an order is promised for when it is: the way of its last sheet, and what it is held against."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from flatstock.errors import Fault, Refused
from flatstock.prints.words import clock
from flatstock.times import lasting, weekday_clock
from flatstock.workshop.shop import Order

__all__ = ["promise_reasons"]

Document = Mapping[str, Any]
STEPS = {
    "dry": "dried",
    "weigh": "weighed",
    "prepare": "prepared",
    "load": "laid into the press",
    "dwell": "in the hot press",
    "transfer": "transferred",
    "press_cool": "in the cooling press",
    "move": "moved",
    "stack": "in the stack",
    "rack": "in the rack",
    "demould": "taken out",
    "trim": "sawn",
    "condition": "flat, at rest",
}


def promise_reasons(order: Order, plan: Document | None) -> dict[str, Any]:
    """A document with the promise and a `why` of it. Raises `Refused` where the plan has no time for the order."""
    sheets = [] if plan is None else [one for one in plan["sheets"] if one["order"] == order.id]
    if plan is None or not sheets:
        raise Refused(Fault(order.id, "no plan has a time for it", "plan the week"))
    last = max(sheets, key=lambda one: datetime.fromisoformat(one["ready"]))
    ready = datetime.fromisoformat(last["ready"])
    found: dict[str, Any] = {"ready": _said(ready), "why": [_ready(order, last, sheets, plan)]}
    if order.due is not None:
        minutes = (order.due - ready).total_seconds() / 60
        found["spare"] = f"{lasting(abs(minutes))}{'' if minutes >= 0 else ' late'}"
        found["why"].append(_spare(order.due, ready, plan, order))
    return found


def _ready(order: Order, last: Document, sheets: list[Document], plan: Document) -> dict[str, Any]:
    inputs = []
    tasks = sorted((one for one in plan["tasks"] if one["sheet"] == last["id"]), key=lambda one: one["start"])
    for one in tasks:
        start, end = datetime.fromisoformat(one["start"]), datetime.fromisoformat(one["end"])
        where = ", ".join(one["places"])
        who = f" by {' + '.join(one['people'])}" if one["people"] else ""
        inputs.append(
            {"name": STEPS.get(one["step"], one["step"]), "value": f"{_said(start)} to {clock(end, beside=start)}",
             "kind": "computed", "source": f"{where}{who}" or "not sized before"}
        )  # fmt: skip
    if last["condition_h"] and not any(one["step"] == "condition" for one in tasks):
        inputs.append(
            {"name": "flat, at rest", "value": f"{last['condition_h']:g} h", "kind": "assumed",
             "source": "the shop's practice: not sized before"}
        )  # fmt: skip
    inputs.append(
        {"name": "sheets of the order", "value": f"{len(sheets)} of {order.sheets} planned", "kind": "computed",
         "source": "this plan"}
    )  # fmt: skip
    return {
        "of": "ready",
        "title": f"Ready: {last['id']}, its last sheet",
        "formula": "the end of its last step + the hours it lies flat; the order is ready with its last sheet",
        "source": "docs/planning.md",
        "note": f"by the plan made {_said(datetime.fromisoformat(plan['made_at']))}",
        "inputs": inputs,
    }


def _spare(due: datetime, ready: datetime, plan: Document, order: Order) -> dict[str, Any]:
    late = next((one for one in plan["late"] if one["order"] == order.id), None)
    note = "; ".join(late["because"]) if late else ""
    return {
        "of": "spare",
        "title": "To spare",
        "formula": "due - ready",
        "source": "docs/planning.md",
        "note": note,
        "inputs": [
            {"name": "due", "value": _said(due), "kind": "measured", "source": "the order book"},
            {"name": "ready", "value": _said(ready), "kind": "computed", "source": "this plan"},
        ],
    }


def _said(at: datetime) -> str:
    return weekday_clock(at)
