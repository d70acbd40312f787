"""The date that was promised last, with the plan in which it holds: kept beside plan.json.

Once the order is written down with that date a plan made anew begins from that plan, and is never later with it.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import replace
from datetime import datetime
from typing import Any, NamedTuple

from flatstock.actions.remembered import digest_of
from flatstock.errors import Refused
from flatstock.planning.problem.begun import schedule_of
from flatstock.planning.problem.schedule import Run, Schedule
from flatstock.planning.problem.week import Sheet, Week
from flatstock.workshop.folder import write_file
from flatstock.workshop.shop import Order, Workshop

__all__ = ["FILE", "Promised", "as_promised", "keep_promise"]

FILE = "plan-promised.json"


class Promised(NamedTuple):
    """A week with a promise in it, and the plan that keeps it."""

    week: Week
    like: Schedule


def keep_promise(shop: Workshop, new: Order, plan: Mapping[str, Any], ready: str) -> None:
    """Write down what was promised of `new`, which is not on file yet, with the plan that has it ready then.

    A folder that can't be written to gets its answer all the same.
    """
    kept = {
        "order": new.id, "recipe": _recipe(new), "count": new.sheets, "ready": ready, "digest": digest_of(shop),
        "sheets": [{"id": one["id"], "order": one["order"], "ready": one["ready"]} for one in plan["sheets"]],
        "tasks": plan["tasks"],
        "settings": plan["settings"],
    }  # fmt: skip
    with suppress(Refused):
        write_file(shop.folder / FILE, json.dumps(kept, ensure_ascii=False) + "\n")


def as_promised(shop: Workshop, week: Week) -> Promised | None:
    """The week in which the order that was promised last is ready by that date, and the plan that has it so.

    None where nothing was, its order is not on file with a date no sooner than that, or files and time have moved on
    from what the promise rests on.
    """
    try:
        kept = json.loads((shop.folder / FILE).read_text("utf-8"))
        if kept["digest"] != digest_of(shop):
            return None
        ready = week.clock.minute(datetime.fromisoformat(kept["ready"]), up=True)
        name = _ordered(shop, week, kept, ready)
        if name is None:
            return None
        like = schedule_of(week, _renamed(kept, name))
    except (OSError, ValueError, LookupError, TypeError, AttributeError):
        return None  # none, or nothing that a promise wrote
    sheets = {sheet.id: sheet for sheet in week.sheets}
    new = [one for one in week.sheets if one.order == name]
    in_time = all(
        one.id in like.runs and _ready(week, one, like.runs[one.id]) <= (one.due or 0) for one in new
    )
    if not in_time or not all(_within(week, run) for run in like.runs.values()):
        return None
    runs = {one: run for one, run in like.runs.items() if one in sheets}
    by = tuple(replace(one, promised=one.due) if one.order == name else one for one in week.sheets)
    return Promised(replace(week, sheets=by), replace(like, runs=runs))


def _ready(week: Week, sheet: Sheet, run: Run) -> int:
    t = week.times
    return (run.demould + t.demould if run.trim is None else run.trim + t.trim) + sheet.condition


def _within(week: Week, run: Run) -> bool:
    """Whether nothing of it is behind already, and all of it lies in the weeks that are planned."""
    first = run.weigh if run.dry is None else min(run.dry, run.weigh)
    return first >= week.now and max(run.demould, run.trim or 0) < week.end


def _recipe(order: Order) -> list[Any]:
    """As it is read back from a file."""
    read: list[Any] = json.loads(json.dumps(order.recipe))
    return read


def _ordered(shop: Workshop, week: Week, kept: Mapping[str, Any], ready: int) -> str | None:
    """The order that was asked for, as it is on file now: one that the plan of the promise doesn't know."""
    known = {one["order"] for one in kept["sheets"]} - {kept["order"]}
    for order in shop.orders.values():
        due = next((one.due for one in week.sheets if one.order == order.id), None)
        alike = _recipe(order) == kept["recipe"] and order.sheets == kept["count"]
        if order.id not in known and alike and due is not None and due >= ready:
            return order.id
    return None


def _renamed(kept: Mapping[str, Any], name: str) -> Mapping[str, Any]:
    """The plan with the sheets of the order that was asked for under the name that it has now."""

    def now(sheet: str) -> str:
        old = str(kept["order"])
        return f"{name}{sheet.removeprefix(old)}" if sheet.startswith(f"{old}-") else sheet

    return {
        **kept,
        "sheets": [{**one, "id": now(one["id"])} for one in kept["sheets"]],
        "tasks": [{**one, "sheet": now(one["sheet"])} for one in kept["tasks"]],
    }
