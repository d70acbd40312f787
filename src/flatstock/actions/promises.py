"""The earliest honest date for a new order: planned in, without moving what is promised."""

from __future__ import annotations

import time
from collections import Counter
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import Any

from flatstock.actions.happened import today_of
from flatstock.actions.kept import kept_plan
from flatstock.actions.plan_hours import somebody_there
from flatstock.actions.plan_rounds import Agreed
from flatstock.actions.plans import NotInTime, Physics, Planned, cautions_of, plan_week, planned
from flatstock.actions.promised import keep_promise
from flatstock.actions.remembered import digest_of
from flatstock.actions.under_way import as_begun, as_changed, facts_in, plan_to_go_on_from, week_now
from flatstock.actions.workshops import zone_of
from flatstock.errors import Fault, NoSuchNumber, Refused
from flatstock.planning.on_course import on_course
from flatstock.planning.overdue import overdue
from flatstock.planning.problem.begun import runs_to_keep, schedule_of
from flatstock.planning.problem.schedule import Run
from flatstock.planning.problem.week import Week
from flatstock.planning.relief import reliefs
from flatstock.times import day_clock, lasting
from flatstock.workshop.shop import Order, Workshop

__all__ = ["Wanted", "promise"]

WEEKS = 4  #: after the plan that is kept, in which a time is looked for
FIRST_PLAN = 20.0  #: s, where no plan is kept yet
UNKEPT = 5.0  #: s at most for which of the promises can't be kept any more
RELIEF = 2.0  #: s for each thing that might make it sooner
SHOWN = 3  #: reasons
READY = "ready_min"  #: the level of a search that is asked for a date
MOST = 200  #: sheets that can be planned by the minute at once


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """What somebody asks for."""

    plastic: str
    thickness: float  #: [m]
    count: int
    colour: str | None = None
    lots: Mapping[str, float] = field(default_factory=dict)


def promise(
    shop: Workshop,
    wanted: Wanted,
    *,
    now: datetime,
    seconds: float,
    tell: Callable[[str, float, float], bool] = lambda *_: False,
    say: Callable[[str], None] = lambda _: None,
) -> dict[str, Any]:
    """When `wanted` can be ready, as `flatstock.promise/1`.

    Every sheet of the plan that is kept stays as good as it is promised: by its due date, or by the moment the
    plan has it ready where that is later or no date is given. What has happened and changed since is counted.

    Raises `Refused` where the sheet can't be pressed, and where nothing can be planned.
    """
    if not 1 <= wanted.count <= MOST:
        raise NoSuchNumber(
            Fault("--count", f"{wanted.count} sheets can't be promised at once", f"write 1 to {MOST}")
        )
    if kept_plan(shop.folder) is not None:
        before: Mapping[str, Any] = plan_to_go_on_from(shop)
    elif shop.orders:
        before = plan_week(shop, now=now, seconds=FIRST_PLAN, tell=tell, say=say)
    else:
        before = _nothing(now)
    today = today_of(shop, before, now)
    new = _order(shop, wanted)
    asked = replace(shop, orders={**shop.orders, new.id: new})
    physics = Physics(as_changed(asked, today), then=Physics(as_begun(asked, before)), say=say)
    # while files and floor are as the plan that is kept has them, it shows itself that every promise can be
    as_planned = before.get("remembered", {}).get("digest") == digest_of(shop)
    unkept = _Unkept(known=as_planned and on_course(before, today, now))
    in_time = True

    def week_of(further: int) -> Week:
        week = week_now(physics, before, today, now, further=further)
        if new.id in week.unplaced:
            raise Refused(
                Fault("the order", " ".join(week.unplaced[new.id]).rstrip("."), "ask for what can be pressed")
            )
        return week

    def found(
        week: Week, soonest: frozenset[str], runs: Mapping[str, Run], unkept: _Unkept
    ) -> Planned | None:
        nonlocal in_time
        asked = _promised(week, before, new.id, unkept.ready)
        physics.work_out(asked)  # its cards take seconds, once: those given are for looking
        try:
            return planned(physics, asked, now=now, seconds=seconds, tell=tell, before=runs, soonest=soonest)
        except NotInTime:
            in_time = False
            return None
        except Refused:
            return None

    for further in range(WEEKS + 1):
        week = week_of(further)
        soonest = frozenset(sheet.id for sheet in week.sheets if sheet.order == new.id)
        runs = runs_to_keep(week, before)

        one = found(week, soonest, runs, unkept)
        if one is None and not unkept.known:
            # a promise that reality has broken already holds nothing back: it gets the soonest date that is left
            unkept = _broken(
                physics, week_of(max(1, further)), before, new.id, runs, now=now, seconds=seconds
            )
            one = found(week, soonest, runs, unkept) if unkept.ready else None
        if one is None:
            continue  # not in these weeks
        document = one.document
        facts_in(document, physics, today, now=now)
        ready = max(
            (one["ready"] for one in document["sheets"] if one["id"] in soonest), key=datetime.fromisoformat
        )
        keep_promise(shop, new, document, ready)
        because, untried = _because(one.agreed, runs, soonest, ready, tell, seconds=seconds, say=say)
        answer = _document(shop, wanted, document, soonest, now, [*unkept.words, *because])
        if untried:
            answer["warnings"].append(
                f"There was no time to try whether this would make it sooner: {'; '.join(untried)}. Give it more."
            )
        return answer
    none = f"no time was found for it in {WEEKS + 1} weeks"
    if not in_time:
        none += ", which is no proof that there is none: give it more to look"
    return _document(shop, wanted, None, frozenset(), now, [*unkept.words, none])


@dataclass(frozen=True, slots=True, kw_only=True)
class _Unkept:
    """What is promised and can't be kept any more, whatever is asked for now."""

    known: bool = False  #: whether it was looked for
    #: by sheet, the soonest minute that was found; None: it finds no time
    ready: Mapping[str, int | None] = field(default_factory=dict)
    words: tuple[str, ...] = ()


def _broken(
    physics: Physics,
    week: Week,
    before: Mapping[str, Any],
    new: str,
    runs: Mapping[str, Run],
    *,
    now: datetime,
    seconds: float,
    plan: Callable[..., Planned] = planned,
) -> _Unkept:
    """The rest of the week planned without the new order, every promise a due date: what is late then is unkept.

    `plan`: the search. Where it proves no bound the words say that no better was found, not that there is none.
    """
    promised = _promised(week, before, new, {})
    sheets = tuple(
        sheet if sheet.promised is None else replace(sheet, due=sheet.promised, promised=None)
        for sheet in promised.sheets
        if sheet.order != new
    )
    first = "plan the rest of the week first (flatstock plan FOLDER --from-now), then ask again"
    try:
        document, _ = plan(
            physics, replace(promised, sheets=sheets), now=now, seconds=min(seconds, UNKEPT),
            tell=lambda *_: False, before=runs, rehearsed=False,
        )  # fmt: skip
    except Refused as none:
        said = "; ".join(fault.what for fault in none.faults)
        return _Unkept(known=True, words=(f"what is under way can't be brought to an end: {said}; {first}",))
    moment = week.clock.moment
    minutes = {one["id"]: week.clock.minute(datetime.fromisoformat(one["ready"]), up=True)
               for one in document["sheets"]}  # fmt: skip
    late = {
        sheet.id: minutes.get(sheet.id)
        for sheet in promised.sheets
        if sheet.promised is not None and minutes.get(sheet.id, week.end + 1) > sheet.promised
    }
    known = {sheet.id: sheet.promised for sheet in promised.sheets}
    words = [f"{one['sheet']} is given up: {one['because']}" for one in document["given_up"]]
    words += [said.rstrip(".") for said in overdue(promised, schedule_of(promised, document))]
    level = next(one for one in document["proof"]["objective"] if one["name"] == "late_sheets")
    broken = (
        "can't be ready then any more, whatever is promised now"
        if level["bound"] >= level["value"]
        else "no plan was found that has it ready then, whatever is promised now"
    )
    words += [
        f"{name} was promised for {day_clock(moment(known[name] or 0))} and {broken}"
        f" ({'no time was found' if minute is None else f'{day_clock(moment(minute))}'})"
        for name, minute in sorted(late.items())
    ]
    return _Unkept(known=True, ready=late, words=(*words, first) if words else ())


def _nothing(now: datetime) -> Mapping[str, Any]:
    """The plan of a shop without orders."""
    moment = now.isoformat()
    return {"start": moment, "end": moment, "sheets": [], "tasks": [], "settings": []}


def _order(shop: Workshop, wanted: Wanted) -> Order:
    name = next(name for n in range(1, 10_000) if (name := f"NEW-{n}") not in shop.orders)
    return Order(
        id=name,
        what="asked for",
        plastic=wanted.plastic.lower(),
        colour=wanted.colour,
        thickness=wanted.thickness,
        sheets=wanted.count,
        due=None,
        lots=dict(wanted.lots),
    )


def _promised(week: Week, before: Mapping[str, Any], new: str, unkept: Mapping[str, int | None]) -> Week:
    """What is planned keeps its word; what the plan left out has none, and is not planned in here. `unkept`: when
    sheets that can't keep it any more are ready instead."""
    ready = {
        one["id"]: week.clock.minute(datetime.fromisoformat(one["ready"]), up=True)
        for one in before["sheets"]
    }
    sheets = []
    for sheet in week.sheets:
        if sheet.order == new or sheet.work("load") is not None:
            sheets.append(sheet)  # of what has been in a press it follows from what was done when it is ready
        elif sheet.id in unkept:
            if (instead := unkept[sheet.id]) is not None:
                sheets.append(replace(sheet, promised=instead))
        elif sheet.id in ready:
            due = ready[sheet.id] if sheet.due is None else max(sheet.due, ready[sheet.id])
            sheets.append(replace(sheet, promised=due))
    return replace(week, sheets=tuple(sheets))


def _because(
    plan: Agreed,
    runs: Mapping[str, Run],
    soonest: frozenset[str],
    ready: str,
    tell: Callable[[str, float, float], bool],
    *,
    seconds: float,
    say: Callable[[str], None],
) -> tuple[list[str], list[str]]:
    """What it waits for: with which one more thing the same search, gone on with from the plan that was found, has it
    ready sooner than without; and what there was no time to try in so many seconds."""
    from flatstock.planning.solve.search import search

    week, like = plan.week, plan.found.schedule
    end, untried = time.monotonic() + seconds, list[str]()

    def sooner(week: Week) -> int | None:
        answer = search(week, seconds=RELIEF, before=runs, soonest=soonest, like=like)
        if answer.schedule is None:
            return None
        return int(next(one.value for one in answer.levels if one.name == READY))

    limit = week.clock.minute(datetime.fromisoformat(ready))
    as_it_is = sooner(week)  # what any search as long would find is no thing's merit
    limit = limit if as_it_is is None else min(limit, as_it_is)
    found: list[tuple[int, str]] = []
    for one in reliefs(week):
        if tell("trying", 0.0, 0.0) or time.monotonic() > end:
            untried.append(one.what)
            continue
        say(f"trying {one.what}")
        moment = sooner(one.week)
        if moment is not None and moment < limit:
            found.append((limit - moment, f"{one.resource} are short: with {one.what} it would be ready"
                                          f" {lasting(limit - moment)} sooner than this"))  # fmt: skip
    reasons = [words for _, words in sorted(found, key=lambda entry: (-entry[0], entry[1]))[:SHOWN]]
    own = "its own way through the shop takes that long: no one thing more was found to make it sooner"
    return reasons or [own], untried


def _document(
    shop: Workshop,
    wanted: Wanted,
    plan: Mapping[str, Any] | None,
    soonest: frozenset[str],
    now: datetime,
    because: list[str],
) -> dict[str, Any]:
    sheets = [one for one in plan["sheets"] if one["id"] in soonest] if plan else []
    days = Counter(one["ready"][:10] for one in sheets)
    verdicts = {one["sheet"]: one["verdict"] for one in plan["rehearsal"]["sheets"]} if plan else {}
    levels = plan["proof"]["objective"] if plan else ()
    level = next((one for one in levels if one["name"] == READY), None)
    warnings = [
        f"{sheet}: {verdict} when the plan is run through the heat model."
        for sheet, verdict in verdicts.items()
        if sheet in soonest and verdict != "good"
    ]
    if level is not None and level["bound"] < level["value"]:
        warnings.append("It may be sooner: the search was not finished. Later than this it need not be.")
    earliest = max((one["ready"] for one in sheets), key=datetime.fromisoformat, default=None)
    handed = None
    if earliest is not None:
        handed = somebody_there(shop, datetime.fromisoformat(earliest), zone=zone_of(shop))
    return {
        "format": "flatstock.promise/1",
        "shop": shop.name,
        "made_at": now.isoformat(),
        "plastic": wanted.plastic.lower(),
        "colour": wanted.colour,
        "thickness_mm": round(wanted.thickness * 1e3, 6),
        "count": wanted.count,
        "earliest": earliest,
        "hand_over": None if handed is None else handed.isoformat(),
        "by_day": [{"date": day, "sheets": count} for day, count in sorted(days.items())],
        "because": because,
        "moves": [],
        "warnings": warnings,
        "cautions": cautions_of(shop),
    }
