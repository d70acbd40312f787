"""Plan a week: physics and files make the question, a search the plan, a judge that knows no search lets it pass."""

from __future__ import annotations

import json
import time
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import datetime
from math import ceil, inf
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from flatstock.actions.kept import FILE as PLAN
from flatstock.actions.remembered import remembering
from flatstock.actions.workshops import zone_of
from flatstock.errors import Fault, Refused
from flatstock.planning.check import Finding, judge
from flatstock.planning.document import plan_document
from flatstock.planning.problem.build import set_out
from flatstock.planning.problem.schedule import Run, Schedule
from flatstock.planning.problem.steps import steps_of
from flatstock.planning.problem.week import Week
from flatstock.planning.relief import reliefs
from flatstock.plastics.safety import cautions_for
from flatstock.pressing.card import Card, work_out
from flatstock.pressing.forecast import Forecast, forecast
from flatstock.pressing.platens import hold_power, time_between
from flatstock.pressing.questions import CardQuestion
from flatstock.pressing.rehearsal import Going, Verdict, rehearse
from flatstock.workshop.folder import write_file
from flatstock.workshop.shop import Order, Workshop

if TYPE_CHECKING:
    from flatstock.planning.solve.search import Found

__all__ = ["Physics", "keep_plan", "mistaken", "plan_week", "planned"]

ROUNDS = 4  #: of planning and rehearsing, before what is left is named as a conflict
FIRST_SHARE, AGAIN_SHARE = 0.5, 0.7  #: of the time left, for the first round and for each after it
LEAST = 5.0  #: s for a round
LATE_ONLY, BUT_ENERGY, ALL = 2, 3, 4  #: levels of the search
LEAST_RELIEF = 4.0  #: s for each thing that might help
TOPICS = ("hot", "opening", "press", "unattended", "fume", "lifting", "saw", "claims")


class Physics:
    """The heat model of one shop, as `planning.problem.physics` asks for it."""

    def __init__(self, shop: Workshop, *, then: Physics | None = None) -> None:
        self.shop = shop
        self.then = then  #: of the shop as it was when what is under way was begun
        self.cards: dict[tuple[tuple[object, ...], str], Card] = {}  #: by recipe and press

    def recipe(self, order: Order, press: str) -> Forecast:
        """One order's sheets on one press."""
        card = work_out(
            self.shop,
            CardQuestion(
                plastic=order.plastic,
                thickness=order.thickness,
                press=press,
                lots=order.lots,
                colour=order.colour,
            ),
        )
        self.cards[order.recipe, press] = card
        return forecast(self.shop, card, colour=order.colour)

    def card(self, order: Order, press: str) -> Card:
        """The card that a recipe came from, or comes from now; orders alike share one."""
        if (order.recipe, press) not in self.cards:
            try:
                self.recipe(order, press)
            except Refused:
                if self.then is None:
                    raise
                return self.then.card(order, press)
        return self.cards[order.recipe, press]

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


def plan_week(
    shop: Workshop,
    *,
    now: datetime,
    seconds: float,
    weeks: int = 1,
    tell: Callable[[str, float, float], bool] = lambda *_: False,
) -> dict[str, Any]:
    """The week from `now` on, as `flatstock.plan/1`; `tell` hears of progress and says whether to stop.

    Raises `Refused` where nothing can be planned at all.
    """
    if not shop.orders:
        raise Refused(Fault("orders.csv", "there is no order", "write one line an order"))
    physics = Physics(shop)
    week = set_out(shop, physics, zone=zone_of(shop), start=now, weeks=weeks)
    document = planned(physics, week, now=now, seconds=seconds, tell=tell)
    document["remembered"] = remembering(shop, week)
    if broken := judge(document, takes=physics.takes):
        raise mistaken(broken)
    return document


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
) -> dict[str, Any]:
    """A week's plan as a document that nobody has judged; `before`: runs of an earlier plan to begin from.

    `relief`: seconds at least for each thing that might help. `soonest`: sheets that are to be ready as soon as
    can be, whatever else. `rehearsed`: whether it is run through the heat model.

    Raises `Refused` where nothing can be planned at all.
    """
    began = time.monotonic()
    rounds = ROUNDS if rehearsed else 0
    week, found, verdicts, rounds = _agree(physics, week, seconds, tell, before, rounds, soonest)
    wrong = _wrong(found)
    left = max(0.0, seconds - (time.monotonic() - began))
    helps = _helps(week, wrong, left, relief, tell) if wrong and rehearsed else []
    assert found.schedule is not None  # `_agree` raises without one
    document = plan_document(
        week,
        found.schedule,
        found.people,
        made_at=now.isoformat(),
        lots=_lots(physics.shop),
        proof={
            "status": found.status,
            "objective": [
                {"name": level.name, "value": level.value, "bound": level.bound} for level in found.levels
            ],
            "seconds": round(found.seconds, 1),
        },
        cautions=cautions_for(*TOPICS),
    )
    for one in document["late"]:
        one["because"] = [f"{short} are short" for short in dict.fromkeys(s for _, s, _ in helps[:2])]
        one["would_help"] = [{"what": what, "saves_min": saved} for what, _, saved in helps]
    for one in document["left_out"]:
        if helps and one["order"] not in week.unplaced:
            one["because"] += f"; it would help to have {helps[0][0]}"
    if document["left_out"]:
        document["proof"]["status"] = (
            "impossible"  # as the document's format has it: not every order finds a place
        )
    document["proof"]["seconds"] = round(time.monotonic() - began, 1)
    document["rehearsal"] = _rehearsal(rounds, verdicts)
    document["warnings"] += [
        f"{one.sheet}: {one.verdict} when the plan is run through the heat model."
        for one in verdicts
        if not one.good
    ]
    return document


def _agree(
    physics: Physics,
    week: Week,
    seconds: float,
    tell: Callable[[str, float, float], bool],
    before: Mapping[str, Run],
    most: int,
    soonest: frozenset[str],
) -> tuple[Week, Found, list[Verdict], int]:
    """Plan, rehearse, and plan again until plan and physics agree; then improve what agrees while time is left.

    `most`: how many rounds; 0: one plan, not rehearsed. The week comes back with what the rehearsal found its
    sheets to need. Raises `Refused` without a plan.
    """
    from flatstock.planning.solve.search import search  # OR-Tools takes a second to come

    began, rounds = time.monotonic(), 0
    best: tuple[Week, Found, list[Verdict]] | None = None
    start: Sequence[int] = ()
    while True:
        left = seconds - (time.monotonic() - began)
        # the first round leaves energy as it falls: what the rehearsal wants is best known early
        share, levels = (FIRST_SHARE, BUT_ENERGY) if rounds == 0 else (AGAIN_SHARE, ALL)
        share = max(LEAST, left * share) if most else seconds
        found = search(
            week, seconds=share, tell=tell, start=start, levels=levels, before=before, soonest=soonest
        )
        if found.schedule is None:
            if best is None:
                raise Refused(_nothing(found.status))
            break
        if not most:
            return week, found, [], 0
        verdicts = rehearse(physics.shop, _goings(physics, week, found.schedule))
        rounds += 1
        asked = _asked(week, found.schedule, verdicts)
        if asked is None and (best is None or _worth(found, verdicts) <= _worth(best[1], best[2])):
            best = (week, found, verdicts)
        # a plan that physics lets fail is mended even when the time is over: the rounds left are short ones
        over = best is not None and seconds - (time.monotonic() - began) < LEAST
        if (
            found.stopped
            or over
            or rounds >= most
            or (asked is None and found.status == "optimal" and levels == ALL)
        ):
            if best is None:
                best = (week, found, verdicts)
            break
        week, start = asked or week, found.values
    return *best, rounds


def _worth(found: Found, verdicts: Sequence[Verdict]) -> tuple[float, ...]:
    """Sheets that physics lets fail, then the levels' values: less is better, the first that differs counts."""
    return (sum(not one.good for one in verdicts), *(level.value for level in found.levels))


def _wrong(found: Found) -> float:
    """Late minutes of the week; what is left out counts as the search counts it."""
    return next((level.value for level in found.levels if level.name == "late_min"), 0.0)


def _helps(
    week: Week, wrong: float, seconds: float, least: float, tell: Callable[[str, float, float], bool]
) -> list[tuple[str, str, int]]:
    """What one more of each thing saves, most first: what, which resource it says was short, minutes.

    Each is planned again, for a few seconds and up to the late minutes alone; a plan found is a promise that
    it helps, one not found in that time is none that it doesn't.
    """
    from flatstock.planning.solve.search import search

    tried = list(reliefs(week))
    share = max(least, seconds / max(1, len(tried)))
    saved: list[tuple[str, str, int]] = []
    for one in tried:
        if tell("trying", 0.0, 0.0):
            break
        found = search(one.week, seconds=share, levels=LATE_ONLY)
        if found.schedule is not None and _wrong(found) < wrong:
            saved.append((one.what, one.resource, int(wrong - _wrong(found))))
    return sorted(saved, key=lambda entry: (-entry[2], entry[0]))


def _nothing(status: str) -> Fault:
    if status == "unknown":
        return Fault("the plan", "no plan was found in the time given", "give it more with --seconds")
    return Fault("the plan", "no plan is possible", "look at people, places and times")


def _goings(physics: Physics, week: Week, schedule: Schedule) -> list[Going]:
    """The plan's instants, as the rehearsal takes them."""
    sheets = {sheet.id: sheet for sheet in week.sheets}
    listed = []
    for name, run in sorted(schedule.runs.items()):
        sheet = sheets[name]
        ends = {step.name: step.end for step in steps_of(week, sheet, run)}
        point = sheet.kind.dwell[run.press].set_point
        spans = schedule.heated[run.press]
        hot = next((start for start, end in spans if start <= run.load <= end), run.load)
        ramps = [m for (press, _, to), m in week.ramps.items() if press == run.press and to == point]
        listed.append(
            Going(
                sheet=name,
                card=physics.card(physics.shop.orders[sheet.order], run.press),
                press=run.press,
                cooling=run.cooling,
                hot_from=60.0 * hot,
                laid=60.0 * ends["load"],
                lifted=60.0 * run.transfer,
                clamped=60.0 * ends["transfer"],
                left=60.0 * run.leave,
                stay=run.stay,
                stayed=60.0 * ends.get("move", run.leave),
                opened=60.0 * run.demould,
                ramp=60.0 * min(ramps, default=0),
            )
        )
    return listed


def _asked(week: Week, schedule: Schedule, verdicts: Sequence[Verdict]) -> Week | None:
    """The week with what the rehearsal found each sheet to need; None where it found nothing wrong."""
    if all(one.good for one in verdicts):
        return None
    sheets = {sheet.id: sheet for sheet in week.sheets}
    for one in verdicts:
        run, begun = schedule.runs[one.sheet], sheets[one.sheet].work
        clamped = run.transfer + week.times.transfer
        asks = {}  # of what is not a fact yet
        if 0 < one.more_dwell < inf and not begun("transfer"):
            asks["dwell"] = run.transfer - run.load - week.times.load + ceil(one.more_dwell / 60)
        if 0 < one.more_cool < inf and not begun("move"):
            asks["cool"] = run.leave - clamped + ceil(one.more_cool / 60)
        if 0 < one.more_rest < inf and not begun("demould"):
            since = clamped if run.stay is None else run.leave + week.times.move
            asks["rest"] = run.demould - since + ceil(one.more_rest / 60)
        # the next plan may put any of its kind where this one stood
        for other in sheets.values():
            if other.kind.key == sheets[one.sheet].kind.key:
                sheets[other.id] = other.asks(**asks)
    asking = tuple(sheets.values())
    return None if asking == week.sheets else replace(week, sheets=asking)


def _rehearsal(rounds: int, verdicts: Sequence[Verdict]) -> dict[str, Any]:
    return {
        "rounds": rounds,
        "sheets": [
            {
                "sheet": one.sheet,
                "core_at_transfer_C": round(one.core_at_transfer, 1),
                "core_at_open_C": round(one.core_at_open, 1),
                "peak_after_C": round(one.peak_after, 1),
                "core_at_demould_C": round(one.core_at_demould, 1),
                "verdict": one.verdict,
            }
            for one in verdicts
        ],
    }


def keep_plan(shop: Workshop, document: Mapping[str, Any]) -> Path:
    """Write plan.json into the workshop's folder, whole or not at all. Raises `Refused` where it can't be."""
    path = shop.folder / PLAN
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
