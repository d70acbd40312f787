"""Priority rules: whichever sheet the rule ranks first goes through the shop as early as what is settled allows."""

from __future__ import annotations

import random
from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import islice

from flatstock.planning.dispatch.cooling import Way
from flatstock.planning.dispatch.floor import Floor
from flatstock.planning.dispatch.sawing import due_at, saw_apart, sawn
from flatstock.planning.dispatch.standing import standing
from flatstock.planning.problem.schedule import Run, Schedule
from flatstock.planning.problem.week import Sheet, Week

__all__ = ["Dispatched", "How", "dispatch", "dispatches", "reordered"]

DAY = 24 * 60
Rule = Callable[[Sheet, Way], tuple[float, ...]]


@dataclass(frozen=True, slots=True)
class How:
    """By which rule sheets are taken, when the saw has time, and what a cooling press does first (see `Floor`)."""

    rule: Rule
    saw: tuple[int, int, int]
    clear: bool
    overnight: bool = False  #: what comes into a stack stays until the next morning
    patient: int = (
        0  #: minutes longer that a mould stays in its cooling press rather than come into a stack or rack
    )
    #: by order, minutes that its sheets are ranked sooner or later
    ahead: Mapping[str, int] = field(default_factory=dict)

    def rank(self, sheet: Sheet, way: Way) -> tuple[float, ...]:
        """The least of these goes first."""
        ranked = self.rule(sheet, way)
        ahead = self.ahead.get(sheet.order, 0)
        return (
            tuple(r - ahead if n == self._in_minutes else r for n, r in enumerate(ranked))
            if ahead
            else ranked
        )

    @property
    def _in_minutes(self) -> int:
        return 1 if self.rule is _day else 0


@dataclass(frozen=True, slots=True)
class Dispatched:
    """A plan by a rule; worth: late sheets, late minutes and sheets not done by closing, as a search counts them."""

    schedule: Schedule
    worth: tuple[float, float, float]
    heat: float  #: for heating up and holding [kWh]
    how: How


def _earliest(sheet: Sheet, way: Way) -> tuple[float, ...]:
    """Whatever can be loaded first, the sooner due first among equals."""
    return (way.run.load, due_at(sheet), way.free)


def _due(sheet: Sheet, way: Way) -> tuple[float, ...]:
    """The sooner due first."""
    return (due_at(sheet), way.run.load)


def _slack(sheet: Sheet, way: Way) -> tuple[float, ...]:
    """Least time left between done and due, a wait for the press counted four times over."""
    return (due_at(sheet) - sheet.condition - way.free + 4 * way.run.load, way.free)


def _day(sheet: Sheet, way: Way) -> tuple[float, ...]:
    """What is due within two days before all else; then whatever can be loaded first, the longer dwell first."""
    left = due_at(sheet) - sheet.condition - way.free
    return (float(left > 2 * DAY), way.run.load, -(way.run.transfer - way.run.load))


RULES: tuple[Rule, ...] = (_due, _slack, _earliest, _day)
#: minutes kept for the saw at the beginning and the end of each supervised stay, and at the end of the last
SAW_TIMES = ((0, 0, 0), (0, 60, 60), (0, 110, 110), (0, 30, 90), (40, 30, 30), (0, 0, 90))
COLD_SAW_TIMES = ((0, 0, 0), (0, 0, 90))  #: where a stay is left cold
#: so many sheets are led through the shop by one rule after the other; two rules at least
SHEETS, FEWEST = 1500, 2
PATIENT = 40  #: minutes: our own figure
STALE = 80  #: tries without a better plan, after which it is left
OTHER_WAY = 0.25  #: how often another rule is taken with it, where orders are moved
COLD = 300  #: so many more with heaters left off in one stay or another


def _never() -> bool:
    return False


def dispatch(
    week: Week,
    *,
    most: int = SHEETS,
    until: Callable[[], bool] = _never,
    heard: Callable[[Dispatched], None] = lambda _: None,
) -> Dispatched | None:
    """The best of every rule; None where steps can't be kept apart by this, or what has begun finds no way so.

    `until`: says when time is over: the first plan is brought to its end, no other. `heard`: is told of each plan that
    is the best until then, so that it is not lost to whoever breaks off.
    """
    best: Dispatched | None = None
    for one in dispatches(week, most=most, until=until):
        if best is None or one.worth < best.worth:
            best = one
            heard(best)
        if not any(best.worth):
            break
    # people are at work by a plan once it is under way: nobody asks on which days they might not be
    return best if best is None or week.now > week.start else _on_fewer_days(week, best, until)


def _on_fewer_days(week: Week, best: Dispatched, until: Callable[[], bool]) -> Dispatched:
    """The same, or a plan as good that heats for less: each stay in turn is left cold, by every rule."""
    tries = max(FEWEST, COLD // max(1, len(week.sheets)))
    apart = saw_apart(week)
    cold: frozenset[int] = frozenset()
    better = True
    while better and tries > 0:
        better = False
        for k in range(len(week.supervised())):
            for saw in COLD_SAW_TIMES if apart else COLD_SAW_TIMES[:1]:
                for rule in RULES if k not in cold else ():
                    if tries <= 0 or until():
                        return best
                    tries -= 1
                    one = _by(week, How(rule, saw, True), cold=cold | {k}, until=until)
                    if one is not None and (one.worth, one.heat) < (best.worth, best.heat):
                        best, cold, better = one, cold | {k}, True
    return best


def reordered(
    week: Week, best: Dispatched, *, tries: int, until: Callable[[], bool], seed: int = 1
) -> Dispatched:
    """A plan that is less late, or leaves less undone, with some orders ranked sooner or later than its rule has them.

    One or two orders are moved at a time, what is no worse is gone on from. `until`: says when to stop.
    """
    draw, stale = random.Random(seed), 0
    orders = sorted({sheet.order for sheet in week.sheets})
    for _ in range(tries):
        if not any(best.worth) or stale >= STALE or until():
            break
        ahead = dict(best.how.ahead)
        for order in draw.sample(orders, min(len(orders), draw.randint(1, 2))):
            ahead[order] = ahead.get(order, 0) + round(draw.gauss(0, DAY))
        how = replace(best.how, ahead=ahead)
        if draw.random() < OTHER_WAY:
            how = replace(draw.choice(list(_hows(week))), ahead=ahead)
        one = _by(week, how, until=until)
        stale = 0 if one is not None and one.worth < best.worth else stale + 1
        if one is not None and one.worth <= best.worth:
            best = one
    return best


def dispatches(
    week: Week,
    *,
    most: int = SHEETS,
    hows: Sequence[How] = (),
    until: Callable[[], bool] = _never,
) -> Iterator[Dispatched]:
    """The plan of each rule, as they come, until about `most` sheets were led through; two rules at least.

    `hows`: these ways alone, else all there are. `until`: says when time is over; what comes of two rules by then,
    or of the first that comes to a plan, is brought to its end.
    """
    yield from islice(_each(week, hows, until), max(FEWEST, most // max(1, len(week.sheets))))


def _each(week: Week, hows: Sequence[How], until: Callable[[], bool]) -> Iterator[Dispatched]:
    found = False
    for tried, how in enumerate(hows or list(_hows(week))):
        enough = found or tried >= FEWEST
        if enough and until():
            return
        one = _by(week, how, until=until if enough else _never)
        if one is not None:
            found = True
            yield one


def _by_promise(week: Week) -> Week:
    """The week with what is promised due by then: so it goes before what is not."""
    sheets = (one if one.promised is None else replace(one, due=one.promised) for one in week.sheets)
    return replace(week, sheets=tuple(sheets))


def _kept(week: Week, one: Dispatched) -> bool:
    """Whether every promise is."""
    runs = one.schedule.runs
    return all(
        sheet.id in runs and runs[sheet.id].ready <= sheet.promised
        for sheet in week.sheets
        if sheet.promised is not None
    )


def _hows(week: Week) -> Iterator[How]:
    """Every way. While a week is under way people wait for an answer, and few of them are tried: there those that
    differ in rule and in the saw's time come first."""
    every = list(_ways(week))
    if week.now > week.start:
        first = [How(RULES[n % len(RULES)], saw, True) for n, saw in enumerate(_saw_times(week))]
        yield from first
        every = [how for how in every if how not in first]
    yield from every


def _saw_times(week: Week) -> Sequence[tuple[int, int, int]]:
    return SAW_TIMES if saw_apart(week) else SAW_TIMES[:1]


def _ways(week: Week) -> Iterator[How]:
    stacked = any(site.capacity > 1 for site in week.of_kind("stack"))
    for saw in _saw_times(week):
        yield from (How(rule, saw, True) for rule in RULES)
        if saw is SAW_TIMES[0]:
            # where moulds are short rather than cooling presses
            yield from (How(rule, saw, False) for rule in RULES)
            # where one that is to be opened the same day would keep the stack from all that follow it
            if stacked:
                yield from (How(rule, saw, True, overnight=True) for rule in RULES)
                # where what is soon cold would lie under all that comes after it, or be melted by that
                yield from (How(rule, saw, True, patient=PATIENT) for rule in RULES)


def _by(
    week: Week,
    how: How,
    *,
    cold: frozenset[int] = frozenset(),
    until: Callable[[], bool] = _never,
) -> Dispatched | None:
    """The plan of one rule; None where something that has begun finds no way, a promise is broken, or time is over."""
    one = _led(_by_promise(week), how, cold=cold, until=until)
    return one if one is not None and _kept(week, one) else None


def _led(week: Week, how: How, *, cold: frozenset[int], until: Callable[[], bool]) -> Dispatched | None:
    for weighed_first in (False, True):
        settled = standing(
            week,
            lambda: Floor(
                week, saw=how.saw, cold=cold, clear=how.clear, overnight=how.overnight, patient=how.patient
            ),
        )
        if settled is None:
            return None
        floor, runs = settled
        waiting = [sheet for sheet in week.sheets if sheet.id not in runs]
        begun = [sheet for sheet in waiting if sheet.done is not None]
        if weighed_first:
            _filled(week, floor, runs, begun, how, until)
            waiting = [sheet for sheet in waiting if sheet.done is None]
        _filled(week, floor, runs, waiting, how, until)
        if until():
            return None
        if week.loose or all(sheet.id in runs for sheet in begun):
            done = sawn(week, floor, runs)
            return None if done is None else Dispatched(done.schedule, done.worth, done.heat, how)
    return None


def _filled(
    week: Week,
    floor: Floor,
    runs: dict[str, Run],
    sheets: Sequence[Sheet],
    how: How,
    until: Callable[[], bool],
) -> None:
    """As many of these as find a way before time is over; what they draw is not drawn again."""
    waiting: dict[tuple[str, ...], list[Sheet]] = defaultdict(list)
    for sheet in sheets:
        own = sheet.id if sheet.done is not None or sheet.dried is not None else ""
        waiting[sheet.order, sheet.kind.key, str(sheet.due), own].append(sheet)
    left = dict(week.lots)
    while waiting and not until():
        ranked = []
        for key, group in list(waiting.items()):
            drawn = group[0].kind.lots if group[0].work("weigh") is None else {}
            way = floor.way(group[0]) if all(left.get(lot, 0.0) >= m for lot, m in drawn.items()) else None
            if way is None:
                del waiting[key]  # what finds no way now finds none later
                continue
            ranked.append((how.rank(group[0], way), key, way))
        if not ranked:
            break
        _, key, way = min(ranked, key=lambda one: (one[0], str(one[1])))
        sheet = waiting[key].pop(0)
        if not waiting[key]:
            del waiting[key]
        if sheet.work("weigh") is None:
            for lot, mass in sheet.kind.lots.items():
                left[lot] -= mass
        floor.take(sheet, way)
        runs[sheet.id] = way.run
