"""Measure what purchases do to a week: the week planner run on the shop with and without each, and kept."""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import datetime, timedelta
from math import ceil
from pathlib import Path
from typing import Any

from flatstock.actions.measured_file import keep_measurements, kept_measurements
from flatstock.actions.plan_rounds import ROUNDS
from flatstock.actions.plans import plan_week
from flatstock.actions.workshops import zone_of
from flatstock.errors import Fault, Refused
from flatstock.starting.outlay.busiest import busiest
from flatstock.starting.outlay.follow import capacity, there
from flatstock.starting.outlay.measured import Measured, MeasuredWeek, measurable, sets_to_measure
from flatstock.starting.outlay.question import Question
from flatstock.starting.outlay.shop_with import shop_with
from flatstock.starting.outlay.stage import stage
from flatstock.starting.outlay.usual_week import most_asked, usual_week
from flatstock.workshop.shop import Workshop

__all__ = ["SECONDS", "measure"]

SECONDS = 60.0  #: that each week is planned for
TRIES = 4  # of asking for more, or for fewer
MORE = 1.3  # times as many, when all of them are made
FEWEST = 6  # sheets that a week is asked for
GRACE = 6.0  # [s] a plan without proof that ends this much before its time was stopped

Planner = Callable[..., Mapping[str, Any]]


def measure(
    folder: Path,
    question: Question,
    shop: Workshop,
    *,
    now: datetime,
    seconds: float = SECONDS,
    say: Callable[[str], None] = lambda _: None,
    plan: Planner = plan_week,
) -> tuple[Measured, list[str]]:
    """Plan a usual week with everything required and nothing else, with each other purchase, with each pair, and
    with whatever else the best order of purchases goes through; what was measured before is not measured again.

    Ctrl-C ends it: weeks that are done are kept, and a later call goes on from there.

    Raises
    ------
    Refused
        There are no orders to say what a usual week is, no purchase says what it adds, or no week can be planned.
    """
    over, unsaid = measurable(question)
    if not over:
        instead = 'write `adds_like = ["HP1"]` or `adds = [...]` at those that are faster; docs/outlay.md'
        raise Refused(Fault("outlay.toml", "no purchase says what it adds to the shop", instead))
    before, _ = kept_measurements(folder, question, shop)
    measured = before or Measured(over, unsaid, {})
    said = _said(question, unsaid)
    queue = [some for some in sets_to_measure(question) if some not in measured.weeks]
    done = 0
    while queue:
        for number, some in enumerate(queue, 1):
            names = " + ".join(sorted(some)) or "what is required alone"
            say(f"{number} of {len(queue)}: a week with {names}, {seconds:.0f} s; Ctrl-C keeps what is done")
            week = _measured(question, shop, some, now=now, seconds=seconds, plan=plan)
            if week is None:
                return measured, [*said, _stopped(done, queue)]
            bound = (
                f"no plan makes more than {week.most:g}" if week.most < week.asked else "more may be possible"
            )
            say(f"  {week.sheets:g} sheets of {week.asked:g} asked for; {bound}")
            measured = Measured(over, unsaid, {**measured.weeks, some: week})
            keep_measurements(folder, question, shop, measured)
            done += 1
        queue = _on_the_way(question, measured)
    return measured, said


def _measured(
    question: Question, shop: Workshop, some: frozenset[str], *, now: datetime, seconds: float, plan: Planner
) -> MeasuredWeek | None:
    """The most sheets of the usual kinds that a week was planned to make; None where it was stopped.

    A week is asked for about as many sheets as are typed, then for more while all are made, or again for fewer
    where far fewer are: with many sheets too many to choose from, a search picks the quick ones and finds less.
    """
    by_id, most = question.by_id, most_asked(question)
    over, _ = measurable(question)
    bought = [one for one in question.purchases if one.required or one.id in some]
    with_it = shop_with(shop, bought, [by_id[name] for name in over - some])
    typed, _ = capacity(replace(question, measured=None), [one.id for one in bought])
    asked, best = min(most, max(FEWEST, ceil(typed))), None
    for _ in range(TRIES):
        week = _planned(question, usual_week(with_it, asked), now=now, seconds=seconds, plan=plan)
        if week is None:
            return best
        if best is None or (week.sheets, -week.asked) > (best.sheets, -best.asked):
            best = week
        elif (
            week.asked > best.asked
        ):  # more were asked for and fewer made: that says what limits, and how far
            best = replace(best, most=week.most, asked=week.asked, tightest=week.tightest)
        if week.sheets >= week.asked and asked < most:
            asked = min(most, ceil(MORE * asked))
        elif FEWEST < MORE * week.sheets < asked and best is week:
            asked = ceil(MORE * week.sheets)
        else:
            break
    return best


def _planned(
    question: Question, shop: Workshop, *, now: datetime, seconds: float, plan: Planner
) -> MeasuredWeek | None:
    """One week; None where it was stopped."""
    asked = sum(order.sheets for order in shop.orders.values())
    began = time.monotonic()
    try:
        document = plan(shop, now=_monday(shop, now), seconds=seconds, tell=lambda name, *_: name == "trying")
    except KeyboardInterrupt:
        return None
    good = {one["sheet"] for one in document["rehearsal"]["sheets"] if one["verdict"] == "good"}
    made = {task["sheet"] for task in document["tasks"] if task["step"] == "demould"}
    sheets = len(made & good)
    left = next(one for one in document["proof"]["objective"] if one["name"] == "sheets_after_closing")
    most = max(sheets, asked - ceil(left["bound"] - 1e-6))
    early = time.monotonic() - began < seconds - GRACE
    if early and document["rehearsal"]["rounds"] < ROUNDS and most > sheets:
        return None
    tightest = ("orders",) if sheets >= asked else busiest(document, question, shop)
    return MeasuredWeek(sheets=float(sheets), most=float(most), asked=float(asked), tightest=tightest)


def _on_the_way(question: Question, measured: Measured) -> list[frozenset[str]]:
    """What the best order of purchases has there at some time and nobody has measured."""
    orders = stage(replace(question, measured=measured)).orders or {}
    found: list[frozenset[str]] = []
    for month in range(question.months):
        names = frozenset(there(question, orders, month))
        some = names & measured.over
        if not names & measured.unsaid and some not in measured.weeks and some not in found:
            found.append(some)
    return found


def _monday(shop: Workshop, now: datetime) -> datetime:
    local = now.astimezone(zone_of(shop)).replace(hour=0, minute=0, second=0, microsecond=0)
    return local - timedelta(days=local.weekday())


def _said(question: Question, unsaid: frozenset[str]) -> list[str]:
    if not unsaid:
        return []
    names = ", ".join(one.id for one in question.purchases if one.id in unsaid)
    return [f"{names}: nothing says what they add to the shop, so with them capacities are as typed."]


def _stopped(done: int, queue: list[frozenset[str]]) -> str:
    return (
        f"Stopped: {done} of {len(queue)} weeks of this round were planned and are kept; what was not measured"
        " counts as typed, and `--measured` goes on from here."
    )
