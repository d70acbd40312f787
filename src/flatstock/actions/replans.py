"""Plan the rest of a week that is under way: what has been done stays, what has changed holds from now on."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import datetime
from typing import Any

from flatstock.actions.happened import today_of
from flatstock.actions.moved import AS_DONE
from flatstock.actions.plans import NotInTime, Physics, Planned, planned
from flatstock.actions.remembered import digest_of, refused_in, remembering, weaker_in
from flatstock.actions.under_way import as_begun, as_changed, facts_in, plan_to_go_on_from, week_now
from flatstock.actions.weaker import worked_out
from flatstock.actions.weighed import book_what_was_weighed
from flatstock.errors import Refused
from flatstock.planning.hot_while_out import hot_while_out
from flatstock.planning.moves import changed, moves
from flatstock.planning.problem.begun import in_hot_press, runs_to_keep, schedule_of
from flatstock.workshop.shop import Workshop
from flatstock.workshop.today import Today

__all__ = ["plan_from_now"]

SOON = 0.8  #: s of search for the first answer, where the plan before can't be brought to fit at once
RELIEF = 1.0  #: s for each thing that might help: people wait


def plan_from_now(
    shop: Workshop,
    *,
    now: datetime,
    seconds: float,
    tell: Callable[[str, float, float], bool] = lambda *_: False,
    first: Callable[[dict[str, Any]], None] = lambda _: None,
    say: Callable[[str], None] = lambda _: None,
    until: datetime | None = None,
) -> dict[str, Any]:
    """The plan that is kept, from `now` on, with what happened (done.csv) and what changed (changes.toml).

    `first` hears of an answer found at once, before it is run through the heat model and improved. The
    document has `since`: the moment, and what moved and why. `seconds` count from the call, for all of it.
    `until`: it reaches into the week of this moment, where the plan that is kept ends before that.

    Raises `Refused` where there is no plan to go on from, where what is written can't have happened, and where
    nothing can be planned.
    """
    began = time.monotonic()
    before = plan_to_go_on_from(shop)
    if until is not None:
        before = {**before, "end": max(until, datetime.fromisoformat(before["end"])).isoformat()}
    today = today_of(shop, before, now)
    book_what_was_weighed(shop, before, today)
    physics = Physics(as_changed(shop, today), then=Physics(as_begun(shop, before)), say=say)
    weak = sorted({outage.place for outage in today.outages if outage.elements is not None})
    as_it_is = week_now(physics, before, today, now, roughly=True)
    runs = runs_to_keep(as_it_is, before)
    at_once: Planned | None = None
    in_time = True
    for further, loose, beyond in _ways(in_hot_press(as_it_is)):
        if not in_time and (loose or beyond):
            break  # nothing waits or is given up for want of time
        week = as_it_is
        if further or beyond:
            week = week_now(physics, before, today, now, roughly=True, further=further, beyond=beyond)
        week = replace(week, loose=loose)
        try:
            at_once = planned(physics, week, now=now, seconds=SOON, tell=tell, before=runs, rehearsed=False)
        except NotInTime:
            # perhaps this week has no plan, and nobody proves it so soon: the next one has room
            in_time = False
            continue
        except Refused:
            continue
        break
    quick: dict[str, Any] | None = None
    if at_once is None:
        tell("first", 0.0, 0.0)  # nothing at once: the search below has more time
    else:
        quick = _told(physics, at_once, before, today, now)
        quick["warnings"] += [
            f"{press}: its dwells are scaled for the elements that fail, not worked out yet."
            for press in weak
        ]
        first(quick)
    try:
        if weak:
            week = replace(week_now(physics, before, today, now, further=further, beyond=beyond), loose=loose)
        like = None if quick is None else schedule_of(week, quick)
        # with a weaker press the week is another one now, in which it may not even fit
        shown = None if at_once is None or weak else at_once.agreed.found
        # the first answer is part of what was asked for
        left = max(SOON, seconds - (time.monotonic() - began))
        whole = planned(
            physics, week, now=now, seconds=left, tell=tell, before=runs, relief=RELIEF, like=like, shown=shown,
            longer=lambda more: replace(
                week_now(physics, before, today, now, further=further + more, beyond=beyond), loose=loose
            ),
        )  # fmt: skip
    except KeyboardInterrupt:
        if quick is None:
            raise
        return quick
    return _told(physics, whole, before, today, now)


def _ways(hot: Sequence[str]) -> Iterator[tuple[int, bool, frozenset[str]]]:
    """Ways out where no plan is possible, one after the other: so many weeks more, whether what is in no press yet
    may wait, and which moulds in hot presses are given up, one at a time before all."""
    # what has begun and can't be ended in this week is ended in the next, or waits where it is in no press yet
    yield 0, False, frozenset()
    yield 1, False, frozenset()
    yield 0, True, frozenset()
    for name in hot:
        yield 0, True, frozenset({name})
    if hot:
        yield 1, True, frozenset(hot)


def _told(
    physics: Physics,
    plan: Planned,
    before: Mapping[str, Any],
    today: Today,
    now: datetime,
) -> dict[str, Any]:
    """The document with what moved and why, after it has been judged."""
    document, week = plan.document, plan.agreed.week
    if physics.then is not None:
        document |= _remembered(physics.then, plan, before, today)
    for one in document["left_out"]:
        if one["order"] in week.unplaced and (kept := _held(one["because"], today)):
            one["because"] = kept
    for one in document["late"]:
        lost = [other["sheet"] for other in document["given_up"] if other["order"] == one["order"]]
        one["because"] = [*(f"the charge of {sheet} is given up" for sheet in lost), *one["because"]]
    document["since"] = {
        "now": now.isoformat(),
        "moved": moves(before, document, week, today),
        "changed": changed(before, document, week, today),
    }
    document["warnings"] += hot_while_out(document, week)
    facts = facts_in(document, physics, today, now=now)
    ahead = {
        task["sheet"]
        for task in document["tasks"]
        if task["step"] == "transfer" and datetime.fromisoformat(task["start"]) > now
    }
    document["warnings"] += [
        f"{AS_DONE}{one.where}: {one.what}."
        for one in facts
        # of a mould that is still to leave its press too late the plan says so itself
        if not (one.rule.startswith("dwell") and any(name in one.where for name in ahead))
    ]
    return document


def _remembered(
    then: Physics, plan: Planned, before: Mapping[str, Any], today: Today
) -> dict[str, Mapping[str, Any]]:
    """What the plan remembers of its kinds of sheet, on whole presses."""
    shop, week = then.shop, plan.agreed.week
    if any(one.elements is not None for one in today.outages):
        # what the plan before knew holds on, if it did
        kept = before.get("remembered", {})
        return {"remembered": kept} if kept.get("digest") == digest_of(shop) else {}
    refused = refused_in(before, shop)
    # not what a lot on hold leaves out for now
    unplaced = {
        order.id: words for order in shop.orders.values() if (words := refused.get(order.recipe)) is not None
    }
    slowed = weaker_in(before, shop)
    if plan.agreed.verdicts:  # it went through the heat model, which is at hand so
        kinds = {shop.orders[sheet.order].recipe: sheet.kind for sheet in week.sheets}
        new = {recipe: kind for recipe, kind in kinds.items() if recipe not in slowed}
        slowed |= worked_out(then.dry, new)
    return {"remembered": remembering(shop, replace(week, unplaced=unplaced), slowed)}


def _held(because: str, today: Today) -> str:
    """Which lots on hold an order waits for, in words; empty: none that its reason names."""
    lots = [f"lot {lot} is held" + (f" ({why})" if why else "") for lot, why in today.held if lot in because]
    it = "it until it is" if len(lots) == 1 else "them until they are"
    return f"{' and '.join(lots)}: nothing is weighed from {it} released." if lots else ""
