"""Plan a week: physics and files make the question, a search the plan, a judge that knows no search lets it pass."""

from __future__ import annotations

import json
import shutil
import time
from collections.abc import Callable, Iterable, Mapping
from contextlib import suppress
from dataclasses import replace
from datetime import datetime, timedelta
from functools import partial
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, NamedTuple

from flatstock.actions.helping import Tried, helps
from flatstock.actions.kept import FILE as PLAN
from flatstock.actions.mending import conflicts, rehearsal_document
from flatstock.actions.plan_rounds import Agreed, NotInTime, agree
from flatstock.actions.promised import as_promised
from flatstock.actions.ready_later import Later, later_on
from flatstock.actions.remembered import remembering
from flatstock.actions.shortfall import explained
from flatstock.actions.weaker import worked_out
from flatstock.actions.weeks_ahead import with_room
from flatstock.actions.weighed import count_once
from flatstock.actions.workshops import zone_of
from flatstock.errors import Fault, Refused
from flatstock.planning.check import Finding, judge
from flatstock.planning.document import plan_document
from flatstock.planning.offers import offer_documents, offers
from flatstock.planning.overtime import overtime
from flatstock.planning.problem.build import set_out
from flatstock.planning.problem.drying import after_drying
from flatstock.planning.problem.kinds import kinds_of
from flatstock.planning.problem.schedule import Run, Schedule
from flatstock.planning.problem.too_much import too_much_for_any
from flatstock.planning.problem.week import Week
from flatstock.planning.relief import Relief
from flatstock.plastics.safety import cautions_for
from flatstock.pressing.platens import hold_power, time_between
from flatstock.pressing.questions import CardQuestion
from flatstock.workshop.folder import not_written, write_file
from flatstock.workshop.shop import CoolingPress, Order, Rack, Stack, Workshop, watered

if TYPE_CHECKING:
    from flatstock.planning.solve.found import Found
    from flatstock.pressing.card import Card
    from flatstock.pressing.forecast import Forecast

__all__ = [
    "NotInTime",
    "Physics",
    "Planned",
    "cautions_of",
    "keep_plan",
    "mistaken",
    "plan_week",
    "planned",
    "the_better",
]

HELPS_UNTIL = 0.9  #: of the time: by then it is known what would help; the rest is for when the rest is ready
HELPS_LEAST = 0.15  #: of it, for the priority rules to try each thing, however long the plan itself took
TAKEN_SHARE = 0.1  #: of it, for a better plan that was met on the way to pass the heat model
LEAST_OF_ALL = 0.5  #: of the time, for the plan, however long its kinds of sheet took
LEAST_RELIEF = 2.5  #: s at least for a search with one thing more; with less time left none is begun
#: cautions that every plan meets
TOPICS = ("hot", "opening", "water", "press", "unattended", "fume", "lifting", "saw", "claims")


class Physics:
    """The heat model of one shop, as `planning.problem.physics` asks for it.

    It takes longer to come than a plan from now on waits for it, and where the kinds of sheet are known nobody asks it
    before there is a first answer: it is imported where it is asked.
    """

    def __init__(
        self, shop: Workshop, *, then: Physics | None = None, say: Callable[[str], None] = lambda _: None
    ) -> None:
        self.shop, self.say = shop, say
        self.dry = after_drying(shop)  #: as its lots are when they are weighed
        self.then = then  #: of the shop as it was when what is under way was begun
        self.cards: dict[tuple[tuple[object, ...], str], Card] = {}  #: by recipe and press
        self.known: dict[tuple[tuple[object, ...], str], Forecast] = {}
        self.cold: dict[tuple[tuple[object, ...], str, float], float | None] = {}

    def recipe(self, order: Order, press: str) -> Forecast:
        """One order's sheets on one press; presses that differ in their numbers alone are worked out once."""
        from flatstock.pressing.card import work_out
        from flatstock.pressing.forecast import forecast

        machine = self.shop.hot_presses[press]
        for (recipe, other), found in self.known.items():
            if recipe == order.recipe and replace(self.shop.hot_presses[other], id=press) == machine:
                self.cards[recipe, press] = self.cards[recipe, other]
                return found
        self.say(f"working out {order.plastic.upper()} {order.thickness * 1e3:g} mm on {press}")
        card = work_out(
            self.dry,
            CardQuestion(
                plastic=order.plastic,
                thickness=order.thickness,
                press=press,
                lots=order.lots,
                colour=order.colour,
            ),
        )
        self.cards[order.recipe, press] = card
        self.known[order.recipe, press] = forecast(self.dry, card, colour=order.colour)
        return self.known[order.recipe, press]

    def card(self, order: Order, press: str) -> Card:
        """The card that a recipe came from, or comes from now; orders alike share one."""
        if (order.recipe, press) not in self.cards:
            try:
                self.recipe(order, press)
            except Refused:
                if self.then is None:
                    raise
                self.cards[order.recipe, press] = self.then.card(order, press)
        return self.cards[order.recipe, press]

    def work_out(self, week: Week) -> None:
        """Every card of a week's sheets, on every press that takes them."""
        for order, press in sorted({(one.order, press) for one in week.sheets for press in one.kind.dwell}):
            self.card(self.shop.orders[order], press)

    def cold_after(self, order: Order, press: str, heated: float) -> float | None:
        """Seconds until a mould may be taken out whose press has no heat any more, after so many with it."""
        from flatstock.pressing.left_in_press import cold_after

        key = (order.recipe, press, heated)
        if key not in self.cold:
            self.cold[key] = cold_after(self.card(order, press), heated)
        return self.cold[key]

    def between(self, press: str, start: float, end: float) -> float:
        """Seconds in which empty platens go from one temperature to another."""
        return time_between(self.shop.hot_presses[press], start, end, room=self.shop.room.value)

    def takes(self, press: str, kind: str, start: float, end: float) -> float:
        """Minutes that a setting of the heaters takes at least, as the judge asks for them."""
        if kind == "soak":
            return self.shop.practice.soak_time / 60
        return self.between(press, start, end) / 60 if kind in ("heat_up", "raise", "lower") else 0.0

    def hold(self, press: str, temperature: float) -> float:
        """What an empty press takes to stay at a temperature [W]."""
        return hold_power(self.shop.hot_presses[press], temperature, room=self.shop.room.value)


def _blown(physics: Physics, week: Week) -> list[tuple[str, Callable[[], Relief]]]:
    """The week with fans on every cooling press where none blow now: what it is called, and how it is made."""
    still = {p.id: p for p in physics.shop.cooling_presses.values() if not p.fans_on and not watered(p)}
    if not still:
        return []
    fitted = all(press.fan_film is not None for press in still.values())
    what = f"the fans of {' and '.join(still)} on" if fitted else f"two fans on {' and '.join(still)}"
    return [(what, partial(_with_fans, physics, week, frozenset(still), what))]


def _with_fans(physics: Physics, week: Week, still: frozenset[str], what: str) -> Relief:
    from flatstock.pressing.rig import NEW_FAN

    presses = {
        name: replace(press, fans_on=True, fan_film=press.fan_film or NEW_FAN) if name in still else press
        for name, press in physics.shop.cooling_presses.items()
    }
    asked = {sheet.order for sheet in week.sheets}
    orders = {name: order for name, order in physics.shop.orders.items() if name in asked}
    shop = replace(physics.shop, cooling_presses=presses, orders=orders)
    kinds, _, _ = kinds_of(shop, Physics(shop, say=physics.say))
    sheets = tuple(
        replace(
            sheet, kind=replace(kinds[sheet.order], frames=sheet.kind.frames), cool_least=0, warm_percent=100
        )
        for sheet in week.sheets
        if sheet.order in kinds
    )
    return Relief(what, "cooling under pressure", replace(week, sheets=sheets))


def plan_week(
    shop: Workshop,
    *,
    now: datetime,
    seconds: float,
    weeks: int | None = None,
    tell: Callable[[str, float, float], bool] = lambda *_: False,
    say: Callable[[str], None] = lambda _: None,
) -> dict[str, Any]:
    """The week from `now` on, as `flatstock.plan/1`; `tell` hears of progress and says whether to stop, `say` hears
    in words what is at work. `seconds` begin with the call; where working out the kinds of sheet takes more than half
    of them, half is still for the plan. `weeks`: how many the plan may reach into, this one counted; None: this one,
    and those after it that a first sheet takes.

    Raises `Refused` where nothing can be planned at all.
    """
    began = time.monotonic()
    if not shop.orders:
        raise Refused(Fault("orders.csv", "there is no order", "write one line an order"))
    physics = Physics(shop, say=say)
    week = set_out(shop, physics, zone=zone_of(shop), start=now, weeks=weeks or 1)
    known = {shop.orders[sheet.order].recipe: sheet.kind for sheet in week.sheets}
    first = week.clock.origin.date()
    taken = 1 + (week.clock.moment(week.end).date() - first + timedelta(days=first.weekday())).days // 7

    def longer(further: int) -> Week:
        return set_out(shop, physics, zone=zone_of(shop), start=now, weeks=taken + further, remembered=known)

    if weeks is None:
        week, further = with_room(week, longer)
        taken += further

    def found(week: Week, like: Schedule | None = None) -> Planned:
        left = max(seconds * LEAST_OF_ALL, seconds - (time.monotonic() - began))
        return planned(physics, week, now=now, seconds=left, tell=tell, longer=longer, like=like)

    kept: Planned | None = None
    if (promised := as_promised(shop, week)) is not None:
        with suppress(Refused):
            kept = found(*promised)
    document, agreed = kept or found(week)
    kinds = {shop.orders[sheet.order].recipe: sheet.kind for sheet in agreed.week.sheets}
    document["remembered"] = remembering(shop, agreed.week, worked_out(physics.dry, kinds))
    if broken := judge(document, takes=physics.takes):
        raise mistaken(broken)
    return document


class Planned(NamedTuple):
    """A plan that nobody has judged, and what it came from."""

    document: dict[str, Any]
    agreed: Agreed


def mistaken(broken: Iterable[Finding]) -> Refused:
    """What is said of a plan that breaks a rule: it is neither shown nor kept."""
    return Refused(
        Fault(one.where, one.what, "this is a mistake of the planner: pass it on") for one in broken
    )


def planned(
    physics: Physics,
    week: Week,
    *,
    now: datetime,
    seconds: float,
    tell: Callable[[str, float, float], bool],
    before: Mapping[str, Run] = MappingProxyType({}),
    rehearsed: bool = True,
    relief: float = LEAST_RELIEF,
    soonest: frozenset[str] = frozenset(),
    longer: Callable[[int], Week] | None = None,
    like: Schedule | None = None,
    shown: Found | None = None,
) -> Planned:
    """A week's plan as a document that nobody has judged; `before`: runs of an earlier plan to begin from.

    `relief`: seconds at least for a search with one thing more. `soonest`: sheets that are to be ready as soon as
    can be, whatever else. `rehearsed`: whether it is run through the heat model. `longer`: the week with so many
    more after it, where what is left out is looked for a time. `like`: a plan of this week to begin from. `shown`: one
    that people have been told of, than which none is worse.

    Raises `Refused` where nothing can be planned at all.
    """
    began, first = time.monotonic(), week

    def left(share: float) -> float:
        return max(0.0, share * seconds - (time.monotonic() - began))

    def agreed_on(week: Week, seconds: float, like: Schedule | None, shown: Found | None = None) -> Agreed:
        return agree(
            physics.shop, physics.card, week, seconds=seconds, rehearsed=rehearsed, tell=tell, say=physics.say,
            before=before, soonest=soonest, like=like, first=first, shown=shown,
        )  # fmt: skip

    # its kinds are remembered, their cards are not, and take seconds: not after a search
    if before and rehearsed:
        physics.work_out(week)
    agreed = agreed_on(week, left(1.0), like, shown)
    week, found = agreed.week, agreed.found
    assert found.schedule is not None  # `agree` raises without one
    offered = list(offers(week, physics.shop.orders, physics.shop.offcuts))
    tried: Tried | None = None
    later: Later | None = None
    with suppress(KeyboardInterrupt):  # the plan is there: what is not known yet of it stays unknown
        if rehearsed and not too_much_for_any(week):  # else nothing helps but another supply
            more = 0.0 if agreed.stopped else max(left(HELPS_UNTIL), HELPS_LEAST * seconds)
            tried = helps(
                week,
                found,
                offered,
                _blown(physics, week),
                seconds=more,
                least=relief,
                tell=tell,
                say=physics.say,
            )
            agreed, tried = the_better(
                agreed, tried, lambda plan: agreed_on(week, max(relief, TAKEN_SHARE * seconds), plan)
            )
        kept = agreed.found.schedule
        if rehearsed and longer is not None and kept is not None:
            more = 0.0 if agreed.stopped else left(1.0)
            later = later_on(agreed.week, kept, longer, seconds=more, say=physics.say)
    week, found, verdicts = agreed.week, agreed.found, agreed.verdicts
    assert found.schedule is not None
    document = plan_document(
        week,
        found.schedule,
        found.people,
        made_at=now.isoformat(),
        lots=_lots(physics.shop),
        proof={
            "status": found.status,
            "objective": _objective(week, found),
            "seconds": round(found.seconds, 1),
        },
        cautions=cautions_of(physics.shop),
    )
    count_once(document, physics.shop)
    explained(document, week, tried, later)
    document["offcuts"] = offer_documents(week, found.schedule, offered)
    if document["left_out"]:
        # as the document's format has it: not every order finds a place
        document["proof"]["status"] = "impossible"
    document["proof"]["seconds"] = round(time.monotonic() - began, 1)
    pressed = {one["id"] for one in document["sheets"]}
    document["rehearsal"] = rehearsal_document(
        agreed.rounds, [one for one in verdicts if one.sheet in pressed], agreed.faults
    )
    document["warnings"] += conflicts(verdicts)
    if agreed.refused:
        document["warnings"].append(
            f"Planned again with what the heat model asks for these, {agreed.refused}: the plan before stands."
        )
    return Planned(document, agreed)


def cautions_of(shop: Workshop) -> list[dict[str, str]]:
    """The cautions of a plan: those that every one meets, and of water where an outer face is cooled by it."""
    places: tuple[CoolingPress | Stack | Rack, ...] = (
        *shop.cooling_presses.values(), *shop.stacks.values(), *shop.racks.values(),
    )  # fmt: skip
    cooled = any(watered(place) for place in places)
    return cautions_for(*TOPICS, *(("water_cooled",) if cooled else ()))


def the_better(agreed: Agreed, tried: Tried, again: Callable[[Schedule], Agreed]) -> tuple[Agreed, Tried]:
    """What is agreed, or what becomes of a better plan of the week as it is that was met while looking what would help:
    `again` runs it through the heat model, and the better one is kept by what a plan seeks, in that order."""
    if tried.better is None:
        return agreed, tried
    with suppress(Refused):
        better = again(tried.better)
        if better.worth < agreed.worth:
            return better.after(agreed), replace(tried, better=None)
    return agreed, tried


def _objective(week: Week, found: Found) -> list[dict[str, Any]]:
    """Every level, in order. Overtime goes before energy: hours on file are kept, so none is planned."""
    assert found.schedule is not None
    levels = [{"name": one.name, "value": one.value, "bound": one.bound} for one in found.levels]
    over = overtime(week, found.schedule, found.people)
    heaters = next((n for n, one in enumerate(levels) if one["name"] == "heaters_Wh"), len(levels))
    return [*levels[:heaters], {"name": "overtime_min", "value": over, "bound": over}, *levels[heaters:]]


def keep_plan(shop: Workshop, document: Mapping[str, Any], *, aside: bool = False) -> Path:
    """Write plan.json into the workshop's folder, whole or not at all. Raises `Refused` where it can't be.

    `aside`: what stood there stays as plan.json.before.
    """
    path = shop.folder / PLAN
    if aside and path.exists():
        try:
            shutil.copy2(path, path.with_name(f"{PLAN}.before"))
        except OSError as error:
            raise not_written(path, error) from None
    write_file(path, json.dumps(document, ensure_ascii=False, indent=1) + "\n")
    return path


def _lots(shop: Workshop) -> list[dict[str, Any]]:
    return [
        {
            "id": lot.id,
            "plastic": lot.plastic.lower(),
            "colour": lot.colour,
            "status": lot.status,
            "mass_kg": lot.mass,
        }
        for lot in sorted(shop.lots.values(), key=lambda lot: lot.id)
    ]
