"""When it can't be done: what slips, by how much, what one more of each thing would change, and when it would be."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from functools import partial
from typing import TYPE_CHECKING, Any

from flatstock.planning.dispatch.rule import dispatches
from flatstock.planning.document import lots_left
from flatstock.planning.gone import gone_for_good
from flatstock.planning.offers import Offer
from flatstock.planning.problem.schedule import Schedule
from flatstock.planning.problem.week import Week
from flatstock.planning.relief import Relief, reliefs

if TYPE_CHECKING:
    from flatstock.planning.solve.found import Found

__all__ = ["Help", "Later", "Tried", "explained", "helps", "later_on", "short"]

UP_TO_CLOSING = 3  #: levels of the search: late sheets, late minutes, sheets by closing
FURTHER = 4  #: weeks after the plan in which what it leaves out is looked for a time
LATER = 2.0  #: s at least for a search in them; with less left the priority rules' plan stands
WAYS = (
    4  #: of the priority rules' ways, those that go best here, by which each thing that might help is tried
)
RULES = 300  #: sheets led through the shop by priority rules for each week that is looked at after this one
HOUR = 60  #: minutes
Tell = Callable[[str, float, float], bool]


@dataclass(frozen=True, slots=True)
class _Lack:
    """What is wrong with a plan, by order: late minutes of what it has, and sheets that it does not have."""

    late: Mapping[str, int]
    missing: Mapping[str, int]

    @property
    def worth(self) -> tuple[int, int]:
        """Less is better: sheets without a time, then late minutes."""
        return sum(self.missing.values()), sum(self.late.values())


@dataclass(frozen=True, slots=True)
class Help:
    """One thing more with which the same search found a better week; minutes and sheets by order."""

    what: str
    resource: str  #: what it says was short; empty: nothing was, a sheet is spared
    late: Mapping[str, int]
    missing: Mapping[str, int]
    serves: frozenset[str] = frozenset()  #: orders of which a sheet uses it itself
    searched: bool = (
        False  #: as long as everything else, or nothing was left to be found; else by rules alone
    )

    def costs(self) -> str:
        """What other orders lose by it, in words; empty: nothing."""
        lost = [f"{order} is {_long(-less)} later" for order, less in sorted(self.late.items()) if less < 0]
        lost += [
            f"{-less} sheet{'s' * (less != -1)} of {order} find{'s' * (less == -1)} no time"
            for order, less in sorted(self.missing.items())
            if less < 0
        ]
        return " and ".join(lost)


@dataclass(frozen=True, slots=True)
class Tried:
    """What was found to help, most first; what only the priority rules had time for; and what nothing had."""

    found: tuple[Help, ...] = ()
    unsearched: tuple[str, ...] = ()
    untried: tuple[str, ...] = ()
    by_itself: int | None = None  #: late minutes less that more search alone found, nothing more being there


@dataclass(frozen=True, slots=True)
class Later:
    """When what a plan leaves out is ready if the weeks after it are planned too, by order."""

    ready: Mapping[str, datetime]
    late: Mapping[str, int]  #: minutes, over these sheets
    left: Mapping[str, int]  #: sheets that find no time even then
    empty: Mapping[str, tuple[str, ...]]  #: lots that don't hold one more charge of it


def short(week: Week, schedule: Schedule) -> _Lack:
    """What is wrong with a plan of a week."""
    late: dict[str, int] = {}
    missing: dict[str, int] = {}
    for sheet in week.sheets:
        run = schedule.runs.get(sheet.id)
        if run is None:
            missing[sheet.order] = missing.get(sheet.order, 0) + 1
        elif sheet.due is not None and run.ready > sheet.due:
            late[sheet.order] = late.get(sheet.order, 0) + run.ready - sheet.due
    return _Lack(late, missing)


def helps(
    week: Week,
    found: Found,
    offered: Sequence[Offer],
    more: Sequence[tuple[str, Callable[[], Relief]]],
    *,
    seconds: float,
    least: float,
    tell: Tell,
    say: Callable[[str], None] = lambda _: None,
) -> Tried:
    """What one more of each thing changes, most first. `more`: what only physics knows how to make a
    week of, by its name.

    Each is first led through the shop by priority rules, which takes a moment; then each is planned again from the
    best plan that there is of it, those that the rules found best first, `least` seconds or more for each, until
    `seconds` are over. The week as it is gets the same rules and a search as long first: only what is better
    than that comes from the thing, not from searching more. What is found is a promise that it helps; what is not is
    none that it doesn't, and what found no time for a search is told.
    """
    from flatstock.planning.solve.search import search

    assert found.schedule is not None
    lack = short(week, found.schedule)
    if lack.worth == (0, 0):
        return Tried()
    end = time.monotonic() + seconds
    ruled: list[tuple[tuple[int, int], Relief, Schedule]] = []
    unsearched: list[str] = []
    untried: list[str] = []
    stopped = False
    known: list[tuple[str, Callable[[], Relief]]] = [
        (one.what, partial(_itself, one)) for one in (*_spared(week, offered), *reliefs(week))
    ]
    say("trying what would help, by the priority rules")
    as_it_is = sorted(dispatches(week), key=lambda one: one.worth)
    hows = [one.how for one in as_it_is[:WAYS]]
    base = min((lack, *(short(week, one.schedule) for one in as_it_is)), key=lambda lack: lack.worth)
    for what, make in (*more, *known):  # in still air it is the fans that would change most
        stopped = stopped or tell("trying", 0.0, 0.0)
        if stopped or time.monotonic() > end:
            untried.append(what)
            continue
        one = make()
        kept = {sheet.id for sheet in one.week.sheets}
        plans = [
            replace(
                found.schedule, runs={name: run for name, run in found.schedule.runs.items() if name in kept}
            )
        ]
        plans += [by_rule.schedule for by_rule in dispatches(one.week, hows=hows)]
        best = min(plans, key=lambda plan: short(one.week, plan).worth)
        ruled.append((short(one.week, best).worth, one, best))
    ruled.sort(key=lambda entry: entry[0])
    better: list[tuple[tuple[int, int], Help]] = []
    left = end - time.monotonic()
    if ruled and not stopped and left >= 2 * least:
        say("planning the week as it is for as long")
        share = max(least, left / (len(ruled) + 1))
        answer = search(week, seconds=share, levels=UP_TO_CLOSING, like=found.schedule, by_rule=False)
        if answer.schedule is not None:
            base = min(base, short(week, answer.schedule), key=lambda lack: lack.worth)
    for n, (worth, one, plan) in enumerate(ruled):
        then, searched = short(one.week, plan), worth == (0, 0)  # nothing is left to be found
        left = end - time.monotonic()
        stopped = stopped or tell("trying", 0.0, 0.0)
        if stopped or left < least:
            unsearched.append(one.what)
        elif worth != (0, 0):
            say(f"trying {one.what} ({n + 1} of {len(ruled)})")
            share = max(least, left / (len(ruled) - n))
            answer = search(one.week, seconds=share, levels=UP_TO_CLOSING, like=plan, by_rule=False)
            if answer.schedule is not None:
                then, searched = (
                    min(then, short(one.week, answer.schedule), key=lambda lack: lack.worth),
                    True,
                )
        if then.worth < base.worth:
            better.append(
                (then.worth, Help(one.what, one.resource, *_less(base, then), one.serves(), searched))
            )
    better.sort(key=lambda entry: (entry[0], entry[1].what))
    by_itself = lack.worth[1] - base.worth[1] if base.worth < lack.worth else None
    return Tried(tuple(help_ for _, help_ in better), tuple(unsearched), tuple(untried), by_itself)


def _itself(one: Relief) -> Relief:
    return one


def _spared(week: Week, offered: Sequence[Offer]) -> Iterable[Relief]:
    """The week without a sheet that offcuts can stand in for."""
    for one in offered:
        if one.sheet is not None:
            left = tuple(sheet for sheet in week.sheets if sheet.id != one.sheet.id)
            yield Relief(f"{one.names} in place of {one.sheet.id}", "", replace(week, sheets=left))


def _less(lack: _Lack, then: _Lack) -> tuple[dict[str, int], dict[str, int]]:
    """By order, the late minutes and the missing sheets that are gone; negative: more of them."""
    return tuple(
        {order: less for order in {*a, *b} if (less := a.get(order, 0) - b.get(order, 0)) != 0}
        for a, b in ((lack.late, then.late), (lack.missing, then.missing))
    )  # type: ignore[return-value]  # two of them


def later_on(
    week: Week,
    schedule: Schedule,
    longer: Callable[[int], Week],
    *,
    seconds: float,
    say: Callable[[str], None] = lambda _: None,
) -> Later | None:
    """When the sheets that a plan leaves out are ready if it is followed and the weeks after it go to them.

    `longer`: the same week with so many more after it. The priority rules say how many weeks it takes; that much
    is then searched for what is left of `seconds`. None: the plan leaves nothing out.
    """
    from flatstock.planning.solve.search import search

    left = tuple(sheet for sheet in week.sheets if sheet.id not in schedule.runs)
    if not left:
        return None
    say("looking when what is left out would be ready")
    end = time.monotonic() + seconds
    lots = lots_left(week, schedule)
    best: Schedule | None = None
    for further in range(1, FURTHER + 1):
        after = replace(longer(further), sheets=left, start=week.end, now=week.end, lots=lots, hot={})
        plans = [one.schedule for one in dispatches(after, most=RULES)]
        ruled = min(plans, key=lambda plan: short(after, plan).worth, default=None)
        whole = ruled is not None and len(ruled.runs) == len(left)
        best = ruled or best
        remaining = end - time.monotonic()
        if ruled is None or (remaining >= LATER and (whole or further == FURTHER)):
            answer = search(after, seconds=max(LATER, remaining), levels=UP_TO_CLOSING, like=ruled)
            known = [plan for plan in (ruled, answer.schedule) if plan is not None]
            best = min(known, key=lambda plan: short(after, plan).worth, default=best)
        if best is not None and len(best.runs) == len(left):
            break
    ready: dict[str, datetime] = {}
    late: dict[str, int] = {}
    without: dict[str, int] = {}
    for sheet in left:
        run = None if best is None else best.runs.get(sheet.id)
        if run is None:
            without[sheet.order] = without.get(sheet.order, 0) + 1
            continue
        moment = week.clock.moment(run.ready)
        ready[sheet.order] = max(moment, ready.get(sheet.order, moment))
        if sheet.due is not None:
            late[sheet.order] = late.get(sheet.order, 0) + max(0, run.ready - sheet.due)
    for sheet in left:
        if best is not None and sheet.id in best.runs:
            for lot, mass in sheet.kind.lots.items():
                lots[lot] = lots.get(lot, 0.0) - mass
    empty = {
        sheet.order: tuple(lot for lot, mass in sheet.kind.lots.items() if lots.get(lot, 0.0) < mass)
        for sheet in left
        if sheet.order in without
    }
    return Later(ready, late, without, empty)


def _lacking(saving: Iterable[tuple[Help, int]], order: str) -> list[tuple[Help, int]]:
    """What an order was short of, most first; what its own sheets use goes before what only leaves them room."""
    return sorted((one for one in saving if one[0].resource), key=lambda one: order not in one[0].serves)


def _short_of(one: Help, order: str) -> str:
    if order in one.serves:
        return f"short of {one.resource}"
    return f"other orders, short of {one.resource}, leave it no room"


def _long(minutes: int) -> str:
    """Minutes, or hours or days where they are many."""
    if minutes < 2 * HOUR:
        return f"{minutes} min"
    return f"{minutes / HOUR:.0f} h" if minutes < 3 * 24 * HOUR else f"{minutes / HOUR / 24:.0f} days"


def explained(document: dict[str, Any], week: Week, tried: Tried | None, later: Later | None) -> None:
    """Write into a plan why orders slip, what would help, and when what is left out would be ready.

    `tried`: None where nothing was tried.
    """
    found = () if tried is None else tried.found
    for one in document["late"]:
        order = one["order"]
        saving = [(h, h.late[order]) for h in found if h.late.get(order, 0) > 0]
        saving.sort(key=lambda entry: -entry[1])
        one["would_help"] = [
            {"what": h.what, "saves_min": saved, "costs": h.costs(), "searched": h.searched}
            for h, saved in saving
        ]
        lacking = _lacking(saving, order)
        one["because"] = [
            f"{_short_of(h, order)}: planned again with {h.what} it is {_long(saved)} less late"
            + (f", though {h.costs()}" if h.costs() else "")
            for h, saved in lacking[:2]
        ]
        if tried is not None and not lacking:
            one["because"] = ["no one thing more was found in the time given with which it is less late"]
    if tried is not None and tried.by_itself is not None:
        less = f", {_long(tried.by_itself)} less late in all" if tried.by_itself > 0 else ""
        document["warnings"].append(
            f"A better plan of the week as it is was found while looking what would help{less}: more time (--seconds)"
            " brings it out."
        )
    if tried is not None and tried.unsearched:
        document["warnings"].append(
            "Only the priority rules had time to try with more of these, no search:"
            f" {'; '.join(tried.unsearched)}. More time (--seconds) may find that they help, or help more."
        )
    if tried is not None and tried.untried:
        document["warnings"].append(
            f"There was no time to try whether this would help: {'; '.join(tried.untried)}. Give it more (--seconds)."
        )
    for one in document["left_out"]:
        if one["order"] in week.unplaced:
            continue
        order = one["order"]
        gone = list(gone_for_good(week, next(sheet for sheet in week.sheets if sheet.order == order)))
        if gone:
            one["because"] += f": {' and '.join(gone)}"
        saving = [(h, h.missing[order]) for h in found if h.missing.get(order, 0) > 0]
        saving.sort(key=lambda entry: -entry[1])
        one["would_help"] = [
            {"what": h.what, "sheets": more, "costs": h.costs(), "searched": h.searched} for h, more in saving
        ]
        for h, more in _lacking(saving, order)[:1]:
            one["because"] += f"; {_short_of(h, order)}: with {h.what} {more} of them find one"
        if later is None:
            continue
        at = later.ready.get(order)
        one["ready"] = None if at is None else at.isoformat()
        one["late_min"] = later.late.get(order)
        if at is not None:
            late = later.late.get(order, 0)
            one["because"] += f". Planned into the time after it they are ready by {at:%Y-%m-%d %H:%M}" + (
                f", {_long(late)} late over these sheets" if late else ""
            )
        if later.left.get(order) and not gone:
            empty = later.empty.get(order, ())
            why = (
                f"not enough is left of {' and '.join(empty)}"
                if empty
                else "more time (--seconds) may find one; else look whether a mould or a person is missing altogether"
            )
            if "no flake" not in one["because"] or not empty:
                number = "It finds" if later.left[order] == 1 else f"{later.left[order]} of them find"
                one["because"] += f". {number} none in {FURTHER} weeks more: {why}"
