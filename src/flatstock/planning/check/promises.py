"""Ready, late, left out, proven: what the plan says of itself."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import timedelta
from typing import Any

from flatstock.planning.check.document import Plan, minutes
from flatstock.planning.check.finding import Finding

__all__ = ["late", "left_out", "proof", "ready", "rehearsed"]

_SAME = 1e-6


def ready(plan: Plan) -> Iterator[Finding]:
    """When each sheet is ready, and how late that is."""
    for sheet in plan.sheets.values():
        last = plan.step(sheet.id, "trim") or plan.step(sheet.id, "demould")
        if last is not None:
            true = last.end + timedelta(hours=sheet.condition_h)
            if abs(minutes(true, sheet.ready)) > _SAME:
                what = f"ready is {sheet.ready.isoformat()}"
                instead = f"{true.isoformat()}: {last.step} plus {sheet.condition_h:g} h"
                yield Finding(sheet.id, what, instead, "ready", sheet.ready)
            rest = plan.step(sheet.id, "condition")
            if rest is not None and (rest.start != last.end or abs(minutes(true, rest.end)) > _SAME):
                what = f"it lasts until {rest.end.isoformat()}"
                instead = f"from {last.end.isoformat()} to {true.isoformat()}"
                yield Finding(rest.where, what, instead, "condition", rest.start)
        true_late = 0.0 if sheet.due is None else max(0.0, minutes(sheet.due, sheet.ready))
        if abs(true_late - sheet.late) > _SAME:
            what = f"late_min is {sheet.late:g}"
            yield Finding(sheet.id, what, f"{true_late:g} min after due", "late_min", sheet.ready)


def late(document: Mapping[str, Any], plan: Plan) -> Iterator[Finding]:
    """Orders that are late, each with the sum over its sheets."""
    true: dict[str, float] = {}
    for sheet in plan.sheets.values():
        true[sheet.order] = true.get(sheet.order, 0.0) + sheet.late
    listed = {one["order"]: one for one in document["late"]}
    for order, sum_ in sorted(true.items()):
        if sum_ > _SAME and order not in listed:
            yield Finding(f"late, {order}", "it is not listed", f"{sum_:g} min late", "late")
        elif order in listed and abs(listed[order]["minutes"] - sum_) > _SAME:
            what = f"it says {listed[order]['minutes']:g} min"
            yield Finding(f"late, {order}", what, f"{sum_:g} min over its sheets", "late")
        elif order in listed and sum_ <= _SAME:
            yield Finding(f"late, {order}", "none of its sheets is late", "leave it out", "late")


def left_out(document: Mapping[str, Any]) -> Iterator[Finding]:
    """Orders that are left out without a reason, or a week that hides it."""
    for one in document["left_out"]:
        if not one["because"]:
            yield Finding(
                f"left_out, {one['order']}", "no reason is given", "say because of what", "left_out"
            )
    status = document["proof"]["status"]
    if bool(document["left_out"]) != (status == "impossible"):
        what = f"{len(document['left_out'])} orders are left out and the status is {status}"
        yield Finding("proof", what, "impossible where an order is left out, and only there", "left_out")


def proof(document: Mapping[str, Any]) -> Iterator[Finding]:
    """A proof that is none."""
    if document["proof"]["status"] != "optimal":
        return
    for one in document["proof"]["objective"]:
        value, bound = one["value"], one["bound"]
        if value is None or bound is None or abs(value - bound) > _SAME * max(1.0, abs(value)):
            what = f"{one['name']} is {value}, its bound {bound}"
            yield Finding("proof", what, "optimal only where they are equal", "proof")


def rehearsed(document: Mapping[str, Any], plan: Plan) -> Iterator[Finding]:
    """Sheets that a rehearsal has left out."""
    if document["rehearsal"]["rounds"] == 0:
        return
    for sheet in sorted(set(plan.sheets) - {one["sheet"] for one in document["rehearsal"]["sheets"]}):
        yield Finding("rehearsal", f"{sheet} has no verdict", "every sheet goes through it", "rehearsed")
