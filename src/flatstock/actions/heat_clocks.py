"""The clocks of the run board by the heat model, worked out beside it; until they are there the plan's times count."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from math import inf
from typing import Any

from flatstock.actions.hot_history import HotHistory, hot_history
from flatstock.actions.press_dwell import Recipe, card_of, dwell_after, recipe_of
from flatstock.actions.resting import rest_in_stack
from flatstock.actions.warming import warming_of
from flatstock.errors import OutOfRange, UserError
from flatstock.pressing.after_a_cut import CutDwell
from flatstock.pressing.card import Card
from flatstock.pressing.forecast import forecast
from flatstock.pressing.standing_heat import Warmth, cooling_down, heating_up
from flatstock.pressing.steps import times_words
from flatstock.running.courses import Course, Finish, Gate, PlanClocks, Warming
from flatstock.running.danger import Heat
from flatstock.running.sheets import Planned
from flatstock.running.stays import Stay
from flatstock.running.supply_cuts import Calm, calms_at
from flatstock.workshop.lot_changes import lot_changes
from flatstock.workshop.shop import Workshop

__all__ = ["HeatClocks"]

BASIS = "the heat model"
ROW_GAP = timedelta(hours=2)  #: after which the plates of a cooling press count as cold again; our own figure
MOST_IN_A_ROW = 3
WORKING = "its heat is being worked out; until then {counts}"
CALM = "reckoned without fans or water from the power cut on: see that it is still under pressure"
KEPT = 300
CURVE = 120  #: points of a curve that is handed on


@dataclass
class HeatClocks:
    """See `running.courses.Clocks`. `ready` hears when an answer has come that the board waits for."""

    shop: Callable[[], Workshop]
    ready: Callable[[], None] = lambda: None
    waits: bool = False  #: wait for each answer, in tests
    answers: int = 0
    _answers: dict[Hashable, Future[Any]] = field(default_factory=dict)
    _of: Workshop | None = None
    _awaits: bool = False  #: whether the last answer asked for is still being worked out
    _worker: ThreadPoolExecutor = field(
        default_factory=lambda: ThreadPoolExecutor(max_workers=1, thread_name_prefix="heat-clocks")
    )

    def courses(
        self,
        stays: Sequence[Stay],
        sheets: Mapping[str, Planned],
        heats: Mapping[str, Heat],
        *,
        now: datetime,
        calms: Sequence[Calm] = (),
    ) -> Mapping[str, Course]:
        """By sheet, for each mould that stands somewhere."""
        shop = self.shop()
        if self._of is not shop:
            if self._of is None or _heats_otherwise(self._of, shop):
                self._answers.clear()
            self._of = shop
        found = dict(PlanClocks().courses(stays, sheets, heats, now=now, calms=calms))
        for stay in stays:
            sheet = sheets.get(stay.sheet)
            if stay.until is not None or sheet is None or not sheet.plastic or not sheet.thickness_mm:
                continue
            self._awaits = False
            history = HotHistory()
            if stay.hot:
                history = hot_history(shop, stay, heats.get(stay.place), stays, set_point=sheet.set_point)
                if not history.usual:
                    found.pop(stay.sheet, None)  # the plan knows nothing of it
                course = self._hot(shop, stay, sheet, history)
            elif stay.place in shop.cooling_presses:
                course = self._cold(shop, stay, sheet, stays, calms)
            else:
                course = self._resting(shop, stay, sheet, found.get(stay.sheet), stays, sheets)
            if course is not None:
                found[stay.sheet] = course
            elif self._awaits:
                steps = _steps_from(shop, stay)
                found[stay.sheet] = _until_then(found.get(stay.sheet), steps)
            elif not history.usual:
                found[stay.sheet] = Course(gates={"transferred": Gate(not_before=None)}, notes=history.notes)
        return found

    def warming(
        self, stays: Sequence[Stay], heats: Mapping[str, Heat], *, now: datetime
    ) -> Mapping[str, Warming]:
        """See `running.courses.Clocks`; a closed form, that needs no worker."""
        return warming_of(self.shop(), stays, heats, now=now)

    def _hot(self, shop: Workshop, stay: Stay, sheet: Planned, history: HotHistory) -> Course | None:
        if not history.usual:
            return self._otherwise(shop, stay, sheet, history)
        recipe = recipe_of(sheet, stay.place)
        warm = self._known(("hot", recipe), lambda: heating_up(self._card(shop, recipe)))
        facts = self._known(("facts", recipe), lambda: _facts(self._card(shop, recipe)))
        finish: Finish | None = self._known(("finish", recipe), lambda: _finish(self._card(shop, recipe)))
        if warm is None or facts is None:
            return None
        target, latest, _, _ = facts
        middle = warm.reaches(target, rising=True)
        gate = Gate(
            not_before=None if middle is None else _after(stay.since, middle * warm.late),
            middle=None if middle is None else _after(stay.since, middle),
            limit=target,
        )
        return Course(
            gates={"transferred": gate},
            latest=None if latest is None else _after(stay.since_early, latest),
            finish=finish,
            core=_points(stay.since, warm, warm.late),
            basis=BASIS,
            notes=history.notes,
        )

    def _otherwise(self, shop: Workshop, stay: Stay, sheet: Planned, history: HotHistory) -> Course | None:
        """A mould whose press was not as its card has it: it stays until it has fused as its advised dwell has it."""
        recipe = recipe_of(sheet, stay.place)
        left: CutDwell | None = self._known(
            ("otherwise", recipe, history), lambda: dwell_after(self._card(shop, recipe), history)
        )
        facts = self._known(("facts", recipe), lambda: _facts(self._card(shop, recipe)))
        finish: Finish | None = self._known(("finish", recipe), lambda: _finish(self._card(shop, recipe)))
        if left is None or facts is None:
            return None
        gate = Gate(
            not_before=None if left.not_before is None else _after(stay.since, left.not_before),
            middle=None if left.middle is None else _after(stay.since, left.middle),
            limit=facts[0],
        )
        few = range(0, len(left.time), max(1, len(left.time) // CURVE))
        return Course(
            gates={"transferred": gate},
            latest=None if left.latest is None else _after(stay.since_early, left.latest),
            finish=finish,
            whole=True,
            core=tuple((_after(stay.since, float(left.time[n])), float(left.core[n])) for n in few),
            basis=BASIS,
            notes=history.notes,
        )

    def _cold(
        self, shop: Workshop, stay: Stay, sheet: Planned, stays: Sequence[Stay], calms: Sequence[Calm]
    ) -> Course | None:
        before, since = _row_before(stay, stays)
        recipe = recipe_of(sheet, None)
        still = tuple(
            ((start - stay.since).total_seconds(), inf if end is None else (end - stay.since).total_seconds())
            for start, end in calms_at(calms, stay.place, after=stay.since)
        )
        stood = any(since < one.since <= stay.since for one in calms)
        warm = self._known(
            ("cold", recipe, stay.place, before, still, stood),
            lambda: cooling_down(
                self._card(shop, recipe), stay.place, before=before, calms=still, calm_before=stood
            ),
        )
        facts = self._known(("facts", recipe), lambda: _facts(self._card(shop, recipe)))
        if warm is None or facts is None:
            return None
        _, _, open_below, demould_below = facts
        gates = {
            kind: _gate(stay.since, warm, limit)
            for kind, limit in (("moved", open_below), ("demoulded", demould_below))
            if limit is not None
        }
        words = ("first", "second", "third", "fourth or later")[min(before, MOST_IN_A_ROW)]
        return Course(
            gates=gates,
            core=_points(stay.since, warm, warm.late),
            basis=BASIS,
            notes=(f"as the {words} mould in a row", *((CALM,) if still and still[-1][1] == inf else ())),
        )

    def _resting(
        self,
        shop: Workshop,
        stay: Stay,
        sheet: Planned,
        planned: Course | None,
        stays: Sequence[Stay],
        sheets: Mapping[str, Planned],
    ) -> Course | None:
        recipe = recipe_of(sheet, None)
        plan = planned.gates.get("demoulded") if planned is not None else None
        stacked = stay.place in shop.stacks
        if stacked and plan is None:  # nothing is known of what else may come: as it lies there now
            rest = self._in_stack(shop, stay, stays, sheets)
        else:
            rest = self._known(
                ("rest", recipe, stay.place), lambda: _rest(shop, self._card(shop, recipe), stay.place)
            )
        facts = self._known(("facts", recipe), lambda: _facts(self._card(shop, recipe)))
        if rest is None or facts is None:
            return None
        ready = _after(stay.since, rest) if rest < float("inf") else None
        if stacked and plan is not None and plan.not_before is not None and ready is not None:
            ready = max(ready, plan.not_before)  # the plan knows what it piles on it
        return Course(gates={"demoulded": Gate(not_before=ready, limit=facts[3])}, basis=BASIS)

    def _in_stack(
        self, shop: Workshop, stay: Stay, stays: Sequence[Stay], sheets: Mapping[str, Planned]
    ) -> float | None:
        """Seconds from its arrival, by the heat of all that lies there; inf: not within the time that is looked at."""
        there = sorted(
            (one for one in stays if one.place == stay.place and one.until is None), key=lambda one: one.since
        )
        known = [sheets.get(one.sheet) for one in there]
        moulds = tuple(
            (recipe_of(sheet, None), (one.since - there[0].since).total_seconds())
            for one, sheet in zip(there, known, strict=True)
            if sheet is not None and sheet.plastic and sheet.thickness_mm
        )
        if len(moulds) < len(there):
            return inf  # beside something that nobody knows it stays closed
        rests: list[float | None] | None = self._known(
            ("in stack", stay.place, moulds), lambda: rest_in_stack(shop, stay.place, moulds)
        )
        if rests is None:
            return None
        mine = rests[[one.sheet for one in there].index(stay.sheet)]
        return inf if mine is None else mine

    def _card(self, shop: Workshop, recipe: Recipe) -> Card:
        """Worked out once for each recipe; called by the worker alone."""
        key = ("card", recipe)
        known = self._answers.get(key)
        if known is None:
            known = Future()
            known.set_result(card_of(shop, recipe))
            self._answers[key] = known
        card: Card = known.result()
        return card

    def _known(self, key: Hashable, work: Callable[[], Any]) -> Any:
        """The answer; None while it is being worked out, or where the model refuses."""
        found = self._answers.get(key)
        if found is None:
            if len(self._answers) > KEPT:
                self._answers.clear()
            found = self._worker.submit(work)
            self._answers[key] = found
            found.add_done_callback(self._has_answered)
        if not self.waits and not found.done():
            self._awaits = True
            return None
        try:
            return found.result()
        except (UserError, OutOfRange, ArithmeticError):
            return None  # the plan's times count

    def _has_answered(self, _: Future[Any]) -> None:
        self.answers += 1
        self.ready()


def _steps_from(shop: Workshop, stay: Stay) -> tuple[str, ...]:
    """Kinds of event with which a mould leaves where it stands."""
    if stay.hot:
        return ("transferred",)
    return ("moved", "demoulded") if stay.place in shop.cooling_presses else ("demoulded",)


def _until_then(planned: Course | None, steps: Sequence[str]) -> Course:
    """What counts while the model works: the plan's times; for a step without one, that the mould stays closed."""
    counts = "it stays closed" if planned is None or not planned.gates else "the plan's times count"
    if planned is None:
        planned = Course(gates={})
    gates = dict.fromkeys(steps, Gate(not_before=None)) | dict(planned.gates)
    return replace(planned, gates=gates, awaited=True, notes=(*planned.notes, WORKING.format(counts=counts)))


def _heats_otherwise(old: Workshop, new: Workshop) -> bool:
    """Whether anything that a heat clock depends on has changed: not the stock of a lot, nor whether it is held."""

    def still(shop: Workshop) -> Workshop:
        return replace(shop, lots={}, orders={}, offcuts={})

    return still(old) != still(new) or any(
        was is None or now is None or replace(was, mass=now.mass, status=now.status) != now
        for was, now in lot_changes(old.lots, new.lots)
    )


def _facts(card: Card) -> tuple[float, float | None, float | None, float | None]:
    """Target of the core, early end of the latest dwell [s], limits for opening and demoulding [°C]."""
    process, latest = card.setting.process, card.heating.dwell_latest
    return (
        card.heating.target,
        None if latest is None else latest.low,
        None if process.open_below is None else process.open_below.value,
        None if process.demould_below is None else process.demould_below.value,
    )


def _finish(card: Card) -> Finish:
    """As the card's steps have it."""
    times = card.setting.process.breathe_times
    return Finish(
        before=timedelta(seconds=card.breathe_time + card.full_time),
        words=f"breathe {times_words(times)}, then full pressure" if times else "full pressure",
    )


def _rest(shop: Workshop, card: Card, place: str) -> float:
    return forecast(shop, card, colour=None).rest[place]


def _row_before(stay: Stay, stays: Sequence[Stay]) -> tuple[int, datetime]:
    """How many moulds went through the same press just before, and since when they did."""
    count, since = 0, stay.since
    for one in sorted(stays, key=lambda other: other.since, reverse=True):
        if one.place != stay.place or one.since >= since or one.until is None:
            continue
        if since - one.until > ROW_GAP or count == MOST_IN_A_ROW:
            break
        count, since = count + 1, one.since
    return count, since


def _gate(since: datetime, warm: Warmth, limit: float) -> Gate:
    middle = warm.reaches(limit, rising=False)
    if middle is None:
        return Gate(not_before=None, limit=limit)
    return Gate(not_before=_after(since, middle * warm.late), middle=_after(since, middle), limit=limit)


def _points(since: datetime, warm: Warmth, late: float) -> tuple[tuple[datetime, float], ...]:
    """The curve at the late end of its band."""
    return tuple(
        (_after(since, float(at) * late), float(heat))
        for at, heat in zip(warm.time, warm.temperature, strict=True)
    )


def _after(since: datetime, seconds: float) -> datetime:
    return since + timedelta(seconds=seconds)
