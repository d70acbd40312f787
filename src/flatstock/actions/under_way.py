"""What a shop is at: the plan that is kept, with what has happened and what has changed since."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime, timedelta
from functools import partial
from math import ceil
from typing import Any

from flatstock.actions.kept import FILE as PLAN
from flatstock.actions.kept import kept_plan
from flatstock.actions.plans import Physics, mistaken
from flatstock.actions.remembered import asks_in, kinds_in, refused_in, weaker_in
from flatstock.actions.weaker import BOTH, scaled, weaker
from flatstock.actions.weighed import weighed_on_record
from flatstock.actions.workshops import zone_of
from flatstock.errors import Fault, Refused
from flatstock.planning.check import Finding, judge
from flatstock.planning.problem.begun import begun, figures_of
from flatstock.planning.problem.build import set_out, with_kinds
from flatstock.planning.problem.kinds import kinds_of
from flatstock.planning.problem.week import Kind, Sheet, Week
from flatstock.pressing.ancestry import ancestors
from flatstock.workshop.shop import Workshop
from flatstock.workshop.today import GIVEN_UP, Today

__all__ = ["as_begun", "as_changed", "facts_in", "plan_to_go_on_from", "week_now"]

#: rules that what is already under way may have broken for good
PAST = ("dwell_figures", "dwell_short", "dwell_advised", "dwell_long", "press_cool_short", "released")


def plan_to_go_on_from(shop: Workshop) -> Mapping[str, Any]:
    """The plan in the shop's folder. Raises `Refused` where there is none that can be followed."""
    path = shop.folder / PLAN
    found = kept_plan(shop.folder)
    if found is None:
        raise Refused(
            Fault(str(path), "there is no plan to go on from", "make one first: flatstock plan FOLDER")
        )
    if any(finding.rule == "shape" for finding in judge(found)):
        raise Refused(Fault(str(path), "it is no flatstock.plan/1", "make a new one: flatstock plan FOLDER"))
    return found


def as_begun(shop: Workshop, before: Mapping[str, Any]) -> Workshop:
    """As it was when the plan's sheets were begun: their lots, and what those were made from, may be pressed.

    What is under way of a lot that is held or used up by now is still a sheet of its kind.
    """
    named = {part["lot"] for one in figures_of(before).values() for part in one["lots"]} & shop.lots.keys()
    begun = {lot.id for name in named for lot in (shop.lots[name], *ancestors(shop, shop.lots[name]))}
    lots = {
        name: replace(lot, status="released") if name in begun else lot for name, lot in shop.lots.items()
    }
    return replace(shop, lots=lots)


def as_changed(shop: Workshop, today: Today) -> Workshop:
    """Lots on hold are not released; a press with elements out of order heats with the others."""
    held = dict(today.held)
    lots = {name: replace(lot, status="blocked") if name in held else lot for name, lot in shop.lots.items()}
    presses = dict(shop.hot_presses)
    for outage in today.outages:
        if outage.elements is not None and outage.of is not None:
            presses[outage.place] = weaker(
                presses[outage.place], outage.elements / outage.of, outage.side or BOTH
            )
    return replace(shop, lots=lots, hot_presses=presses)


def week_now(
    physics: Physics,
    before: Mapping[str, Any],
    today: Today,
    now: datetime,
    *,
    further: int = 0,
    roughly: bool = False,
    beyond: frozenset[str] = frozenset(),
) -> Week:
    """The rest of the week that `before` plans, and `further` weeks after it, as it stands now.

    `beyond`: sheets that are given up, since no plan was found to take them out of their hot press in time.
    `roughly`: what a press with failed elements takes is scaled from what it took (`weaker.scaled`), not worked out.
    """
    zone = zone_of(physics.shop)
    start, end = (datetime.fromisoformat(before[key]) for key in ("start", "end"))
    start = min([start, now, *(row.start for row in today.done)])
    monday = start.astimezone(zone).date()
    monday -= timedelta(days=monday.weekday())
    weeks = 1 + further + max(0, (max(end, now).astimezone(zone).date() - monday).days) // 7
    week = set_out(
        physics.shop,
        physics,
        zone=zone,
        start=start,
        weeks=weeks,
        remembered=_holds(physics, before, today, roughly),
    )
    week = _asked_again(week, physics, before, today)
    under_way = {row.sheet for row in today.done if row.step != GIVEN_UP}
    figures = figures_of(before)
    orders = {figures[name]["order"] for name in under_way} & week.unplaced.keys()
    kinds: Mapping[str, Kind] = {}
    if orders and physics.then is not None:
        then = physics.then.shop
        only = replace(then, orders={name: then.orders[name] for name in orders})
        kinds, _, _ = kinds_of(only, physics.then, kinds_in(before, then))
        week = with_kinds(week, physics.shop, physics, kinds.values())
    drawn: dict[str, float] = {}
    booked = weighed_on_record(physics.shop, under_way)  # of these the lots' book is less already
    for name in under_way:
        for lot in figures[name]["lots"]:
            if lot["lot"] not in booked.get(name, {}):
                drawn[lot["lot"]] = drawn.get(lot["lot"], 0.0) + lot["mass_kg"]
    lots = {lot: mass - drawn.get(lot, 0.0) for lot, mass in week.lots.items()}
    week = replace(week, lots=lots)
    return begun(week, before, today, now=now, kinds=kinds, cools=partial(_cools, physics), beyond=beyond)


def _cools(physics: Physics, sheet: Sheet, press: str, minutes: int) -> int | None:
    """Minutes until a mould may be opened that stays in a press without heat after so many with it."""
    seconds = physics.cold_after(physics.shop.orders[sheet.order], press, 60.0 * minutes)
    return None if seconds is None else ceil(seconds / 60)


def _holds(
    physics: Physics, before: Mapping[str, Any], today: Today, roughly: bool
) -> Mapping[tuple[object, ...], Kind | tuple[str, ...]]:
    """What the plan before worked out, or found that can't be pressed, and nothing that has changed since touches."""
    weak = {outage.place for outage in today.outages if outage.elements is not None}
    if physics.then is None or (weak and not roughly):
        return {}
    held = {lot for lot, _ in today.held}
    lots = {order.recipe: order.lots.keys() for order in physics.then.shop.orders.values()}
    refused = {
        recipe: words
        for recipe, words in refused_in(before, physics.then.shop).items()
        if lots[recipe] and not held & lots[recipe]  # else the reason may be another now
    }
    # the heat model, which would say the same of a lot that an order names, takes a second or two to come
    held_back = {
        order.recipe: tuple(f"lot {lot} is held" for lot in sorted(named))
        for order in physics.shop.orders.values()
        if (named := held & order.lots.keys())
    }
    worked_out = weaker_in(before, physics.then.shop) if weak else {}
    kinds = {
        recipe: scaled(
            kind, today.outages, worked_out.get(recipe, {}), now=physics.dry, before=physics.then.dry
        )
        if weak
        else kind
        for recipe, kind in kinds_in(before, physics.then.shop).items()
        if not held & kind.lots.keys()
    }
    return refused | kinds | held_back


def _asked_again(week: Week, physics: Physics, before: Mapping[str, Any], today: Today) -> Week:
    """With what the rehearsal of the plan before asked of sheets of the same recipe: what made it pass holds on."""
    if physics.then is None:
        return week
    asked, orders = asks_in(before, physics.then.shop), physics.then.shop.orders
    held = {lot for lot, _ in today.held}
    return replace(
        week,
        sheets=tuple(
            sheet.asks(**asked[orders[sheet.order].recipe])
            if sheet.order in orders
            and orders[sheet.order].recipe in asked
            and not held & sheet.kind.lots.keys()
            else sheet
            for sheet in week.sheets
        ),
    )


def facts_in(document: Mapping[str, Any], physics: Physics, today: Today, *, now: datetime) -> list[Finding]:
    """What the judge finds wrong with what has happened already, which no plan can change.

    Raises `Refused` where a rule is broken by what is still to come.
    """
    weighed = {row.sheet for row in today.done if row.step == "weigh"}
    facts: list[Finding] = []
    broken: list[Finding] = []
    for one in judge(document, takes=physics.takes):
        if one.rule == "too_quick" and one.at is not None and one.at <= now:
            continue  # what heating up took when the press had all its elements, or was noted late
        if one.rule == "released" and one.where in weighed and "is empty" in one.what:
            continue  # its charge was weighed before the lot was used up
        (facts if _happened(one, now, today) else broken).append(one)
    if broken:
        raise mistaken(broken)
    return facts


def _happened(one: Finding, now: datetime, today: Today) -> bool:
    if one.at is not None and one.at <= now:
        return True
    done = {row.sheet for row in today.done if row.step not in ("weigh", "prepare")}
    return one.rule in PAST and any(name in one.where for name in done)
