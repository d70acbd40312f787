"""Plan the rest of a week that is under way: what has been done stays, what has changed holds from now on."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any

from flatstock.actions.plans import Physics, planned
from flatstock.actions.remembered import kinds_in, remembering
from flatstock.actions.workshops import zone_of
from flatstock.errors import Fault, Refused
from flatstock.evidence import Value
from flatstock.planning.check import Finding, judge
from flatstock.planning.moves import moves
from flatstock.planning.problem.begun import begun, runs_of
from flatstock.planning.problem.build import set_out
from flatstock.planning.problem.kinds import kinds_of
from flatstock.planning.problem.week import Kind, Week
from flatstock.workshop.shop import HotPress, Workshop
from flatstock.workshop.today import Outage, Today, read_today

__all__ = ["plan_from_now"]

SOON = 0.6  #: s of search for the first answer, where the plan before can't be brought to fit at once
RELIEF = 1.0  #: s for each thing that might help: people wait
#: rules that what is already under way may have broken for good
PAST = ("dwell_figures", "dwell_short", "dwell_advised", "dwell_long", "press_cool_short", "released")


def plan_from_now(
    shop: Workshop,
    *,
    now: datetime,
    seconds: float,
    tell: Callable[[str, float, float], bool] = lambda *_: False,
    first: Callable[[dict[str, Any]], None] = lambda _: None,
) -> dict[str, Any]:
    """The plan that is kept, from `now` on, with what happened (done.csv) and what changed (changes.toml).

    `first` hears of an answer found at once, before it is run through the heat model and improved. The
    document has `since`: the moment, and what moved and why.

    Raises `Refused` where there is no plan to go on from, where what is written can't have happened, and where
    nothing can be planned.
    """
    before = _kept(shop)
    today = read_today(shop, sheets={one["id"] for one in before["sheets"]}, now=now)
    physics = Physics(_as_changed(shop, today), then=Physics(shop))
    week = _week(physics, before, today, now)
    runs = runs_of(week, before)
    quick: dict[str, Any] | None = None
    try:
        quick = planned(physics, week, now=now, seconds=SOON, tell=tell, before=runs, rehearsed=False)
    except Refused:
        tell("first", 0.0, 0.0)  # nothing at once: the search below has more time
    else:
        quick = _told(physics, week, quick, before, today, now)
        first(quick)
    try:
        whole = planned(physics, week, now=now, seconds=seconds, tell=tell, before=runs, relief=RELIEF)
    except KeyboardInterrupt:
        if quick is None:
            raise
        return quick
    return _told(physics, week, whole, before, today, now)


def _kept(shop: Workshop) -> Mapping[str, Any]:
    path = shop.folder / "plan.json"
    if not path.is_file():
        raise Refused(
            Fault(str(path), "there is no plan to go on from", "make one first: flatstock plan FOLDER")
        )
    try:
        found = json.loads(path.read_text("utf-8"))
    except (OSError, UnicodeDecodeError, ValueError) as error:
        raise Refused(
            Fault(str(path), f"it can't be read ({error})", "make a new one: flatstock plan FOLDER")
        ) from None
    if (
        not isinstance(found, dict)
        or found.get("format") != "flatstock.plan/1"
        or any(finding.rule == "shape" for finding in judge(found))
    ):
        raise Refused(Fault(str(path), "it is no flatstock.plan/1", "make a new one: flatstock plan FOLDER"))
    return found


def _as_changed(shop: Workshop, today: Today) -> Workshop:
    """Lots on hold are not released; a press with elements out of order heats with the others."""
    held = dict(today.held)
    lots = {name: replace(lot, status="blocked") if name in held else lot for name, lot in shop.lots.items()}
    presses = dict(shop.hot_presses)
    for outage in today.outages:
        if outage.elements is not None and outage.of is not None:
            presses[outage.place] = _weaker(presses[outage.place], outage)
    return replace(shop, lots=lots, hot_presses=presses)


def _weaker(press: HotPress, outage: Outage) -> HotPress:
    """The elements of a side share its power alike; without a side both lose the same share."""
    assert outage.elements is not None
    assert outage.of is not None
    power = press.power_bottom.value + press.power_top.value
    lost = power * outage.elements / outage.of
    shares = {"bottom": (1.0, 0.0), "top": (0.0, 1.0)}.get(
        outage.side or "", (press.power_bottom.value / power, press.power_top.value / power)
    )
    bottom, top = (
        _scaled(value, 1.0 - lost * share / value.value) if value.value > 0 else value
        for value, share in zip((press.power_bottom, press.power_top), shares, strict=True)
    )
    return replace(press, power_bottom=bottom, power_top=top)


def _scaled(value: Value, factor: float) -> Value:
    return value.mapped(lambda power: power * max(0.0, factor), unit=value.unit)


def _week(physics: Physics, before: Mapping[str, Any], today: Today, now: datetime) -> Week:
    zone = zone_of(physics.shop)
    start, end = (datetime.fromisoformat(before[key]) for key in ("start", "end"))
    start = min([start, now, *(row.start for row in today.done)])
    monday = start.astimezone(zone).date()
    monday -= timedelta(days=monday.weekday())
    weeks = 1 + max(0, (max(end, now).astimezone(zone).date() - monday).days) // 7
    week = set_out(
        physics.shop, physics, zone=zone, start=start, weeks=weeks, remembered=_holds(physics, before, today)
    )
    under_way = {row.sheet for row in today.done}
    orders = {one["order"] for one in before["sheets"] if one["id"] in under_way} & week.unplaced.keys()
    kinds: Mapping[str, Kind] = {}
    if orders and physics.then is not None:
        then = physics.then.shop
        only = replace(then, orders={name: then.orders[name] for name in orders})
        kinds, _, _ = kinds_of(only, physics.then)
    drawn: dict[str, float] = {}
    for one in before["sheets"]:
        if one["id"] in under_way:
            for lot in one["lots"]:
                drawn[lot["lot"]] = drawn.get(lot["lot"], 0.0) + lot["mass_kg"]
    lots = {lot: mass - drawn.get(lot, 0.0) for lot, mass in week.lots.items()}
    return begun(replace(week, lots=lots), before, today, now=now, kinds=kinds)


def _holds(physics: Physics, before: Mapping[str, Any], today: Today) -> Mapping[tuple[object, ...], Kind]:
    """What the plan before worked out and nothing that has changed since touches."""
    if physics.then is None or any(outage.elements is not None for outage in today.outages):
        return {}
    held = {lot for lot, _ in today.held}
    return {
        recipe: kind
        for recipe, kind in kinds_in(before, physics.then.shop).items()
        if not held & kind.lots.keys()
    }


def _told(
    physics: Physics,
    week: Week,
    document: dict[str, Any],
    before: Mapping[str, Any],
    today: Today,
    now: datetime,
) -> dict[str, Any]:
    """The document with what moved and why, after it has been judged."""
    if physics.then is not None and not any(one.elements for one in today.outages):
        document["remembered"] = remembering(physics.then.shop, week)
    document["since"] = {"now": now.isoformat(), "moved": moves(before, document, week, today)}
    broken = judge(document, takes=physics.takes)
    facts: list[Finding] = []
    mistakes: list[Finding] = []
    for one in broken:
        (facts if _fact(one, now, today) else mistakes).append(one)
    if mistakes:
        raise Refused(
            Fault(one.where, one.what, "this is a mistake of the planner: pass it on") for one in mistakes
        )
    document["warnings"] += [f"As it was done: {one.where}: {one.what}." for one in facts]
    return document


def _fact(one: Finding, now: datetime, today: Today) -> bool:
    """Whether a finding is about what has happened already, which no plan can change."""
    if one.at is not None and one.at <= now:
        return True
    done = {row.sheet for row in today.done if row.step not in ("weigh", "prepare")}
    return one.rule in PAST and any(name in one.where for name in done)
