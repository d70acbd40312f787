"""The plan that people work by, mended: moulds come into each press in the order that they were to, each step at its
old minute or at the first after it that is free, in the same places where those are.

A sheet that finds no time in the stay in which it was to be pressed comes into the next that has room for it: behind
what was to be pressed there, or before it where it would be late otherwise. So does one that the plan before left out;
but first a plan is tried without such sheets, and one in which they stay behind whatever that plan presses. In the
stay in which people are at work whatever can be loaded first may come first instead, and sooner than it was to.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import dataclass
from itertools import product
from typing import Literal

from flatstock.planning.dispatch.cooling import Way
from flatstock.planning.dispatch.floor import Floor
from flatstock.planning.dispatch.sawing import Sawn, due_at, sawn
from flatstock.planning.dispatch.standing import standing
from flatstock.planning.problem.clock import Span
from flatstock.planning.problem.schedule import Run, Schedule
from flatstock.planning.problem.week import Sheet, Week

__all__ = ["in_kept_order", "minutes_moved"]

LONGER = (None, 20, 0)  #: minutes that heaters may stay on after they were to go off; None: as long as may be


@dataclass(frozen=True, slots=True)
class _How:
    """How it is mended."""

    loose: bool  #: whether the order of the stay in which people are at work is given up
    longer: int | None
    always_first: bool  #: a sheet from another stay comes first even where it would be in time behind
    #: one that was in none: as the others, or behind all that were in one, or not at all
    left_out: Literal["too", "last", "still"] = "too"


def in_kept_order(
    week: Week,
    before: Mapping[str, Run],
    *,
    until: Callable[[], bool] = lambda: False,
    soonest: Collection[str] = (),
) -> Schedule | None:
    """The least late of a few such plans, of those alike the one that moves the fewest minutes; None where what has
    begun finds no way. `until`: says when time is over: the first that comes to a plan is brought to its end.
    `soonest`: sheets that are to be ready as soon as can be while every promise is kept; then that counts instead."""
    best: tuple[tuple[float, ...], Schedule] | None = None
    hows = _hows(week, before)
    for how in sorted(hows, key=lambda how: not how.always_first) if soonest else hows:
        if best is not None and until():
            break
        one = _mended(week, before, how)
        if one is None:
            continue
        runs = one.schedule.runs
        lost = (_unkept(week, runs, soonest), _ready(runs, soonest)) if soonest else one.worth
        worth = (*lost, minutes_moved(week, before, runs))
        if best is None or worth < best[0]:
            best = worth, one.schedule
        if not any(worth):
            break
    return None if best is None else best[1]


def _hows(week: Week, before: Mapping[str, Run]) -> Iterator[_How]:
    """Every way; those that keep most come first where the plan before left something out: what it left out would be
    ahead of what people are at work for, and push all of it on, since it is late already."""
    if any(sheet.id not in before for sheet in week.sheets):
        yield _How(loose=False, longer=None, always_first=False, left_out="still")
        yield _How(loose=False, longer=None, always_first=False, left_out="last")
    for always_first, longer, loose in product((False, True), LONGER, (True, False)):
        yield _How(loose, longer, always_first)


def _unkept(week: Week, runs: Mapping[str, Run], soonest: Collection[str]) -> int:
    """Promises that are not kept, and of `soonest` what finds no time."""
    broken = [
        sheet for sheet in week.sheets
        if sheet.promised is not None and (sheet.id not in runs or runs[sheet.id].ready > sheet.promised)
    ]  # fmt: skip
    return len(broken) + sum(name not in runs for name in soonest)


def _ready(runs: Mapping[str, Run], soonest: Collection[str]) -> int:
    return max((runs[name].ready for name in soonest if name in runs), default=0)


def minutes_moved(week: Week, before: Mapping[str, Run], after: Mapping[str, Run]) -> int:
    """By which steps that have not begun are shifted, sooner or later, summed; as a search counts them."""
    total = 0
    for sheet in week.sheets:
        old, new = before.get(sheet.id), after.get(sheet.id)
        if old is None or new is None:
            continue
        pairs = [
            ("weigh", old.weigh, new.weigh), ("prepare", old.prepare, new.prepare), ("load", old.load, new.load),
            ("transfer", old.transfer, new.transfer), ("move", old.leave, new.leave),
            ("demould", old.demould, new.demould),
        ]  # fmt: skip
        if old.trim is not None and new.trim is not None:
            pairs.append(("trim", old.trim, new.trim))
        total += sum(abs(b - a) for step, a, b in pairs if sheet.work(step) is None)
    return total


def _mended(week: Week, before: Mapping[str, Run], how: _How) -> Sawn | None:
    one = _Mending(week, before, how)
    return one.done() if one.begun() else None


class _Mending:
    """One stay after the other."""

    def __init__(self, week: Week, before: Mapping[str, Run], how: _How) -> None:
        self.week, self.before, self.how = week, before, how
        self.stays = week.supervised()
        self.now_in = next((k for k, stay in enumerate(self.stays) if stay.end > week.now), 0)
        self.left = dict(week.lots)

    def begun(self) -> bool:
        """Whether all that has come to a press or stands prepared finds its way."""
        first = self.stays[self.now_in].end if self.stays and self.how.loose else 0
        like = {name: run for name, run in self.before.items() if run.load >= first}
        settled = standing(self.week, lambda: Floor(self.week, like=like))
        if settled is None:
            return False
        self.floor, self.runs = settled
        if self.how.longer is not None:
            self.floor.windows = [self._not_long_after(stay, self.how.longer) for stay in self.stays]
        return True

    def done(self) -> Sawn | None:
        """The whole plan; None where what is weighed finds no time, or what has been pressed none at the saw."""
        own, astray = self._by_stay()
        ends = [stay.end for stay in self.stays[1:]]
        for k, further in enumerate([*ends, self.week.end]):
            there = sorted(own.get(k, ()), key=lambda sheet: (self.before[sheet.id].load, sheet.id))
            astray.sort(key=lambda sheet: (due_at(sheet), sheet.id))
            ahead = [
                sheet for sheet in astray
                if (self.how.always_first or due_at(sheet) - sheet.condition < further)
                and not (self.how.left_out == "last" and sheet.id not in self.before)
            ]  # fmt: skip
            behind = [sheet for sheet in astray if sheet not in ahead]
            if self.how.loose and k == self.now_in:
                astray = list(self._soonest_first([*ahead, *there, *behind], k))
            else:
                queue = [(sheet, sheet in there) for sheet in (*ahead, *there, *behind)]
                astray = [sheet for sheet, is_own in queue if not self._taken(sheet, k, as_before=is_own)]
        if not self.week.loose and any(sheet.done is not None for sheet in astray):
            return None
        return sawn(self.week, self.floor, self.runs)

    def _by_stay(self) -> tuple[dict[int, list[Sheet]], list[Sheet]]:
        """The sheets that have come to no press, by the stay in which they were to; also those that were to in none."""
        own: dict[int, list[Sheet]] = {}
        astray: list[Sheet] = []
        for sheet in self.week.sheets:
            if sheet.id in self.runs:
                continue
            old = self.before.get(sheet.id)
            if old is None and self.how.left_out == "still" and sheet.done is None:
                continue
            k = None if old is None else next((k for k, s in enumerate(self.stays) if old.load < s.end), None)
            (astray if k is None else own.setdefault(k, [])).append(sheet)
        return own, astray

    def _soonest_first(self, sheets: Collection[Sheet], k: int) -> Iterator[Sheet]:
        """Whatever can be loaded first is; those that find no time in this stay."""
        waiting = list(sheets)
        while waiting:
            ways = [
                (way.run.load, n) for n, one in enumerate(waiting) if (way := self._way(one, k)) is not None
            ]
            if not ways:
                break
            self._taken(waiting.pop(min(ways)[1]), k)
        yield from waiting

    def _taken(self, sheet: Sheet, k: int, *, as_before: bool = False) -> bool:
        """Whether it finds a way in this stay, which it goes."""
        way = self._way(sheet, k, as_before=as_before)
        if way is None:
            return False
        for lot, mass in self._drawn(sheet).items():
            self.left[lot] -= mass
        self.floor.take(sheet, way)
        self.runs[sheet.id] = way.run
        return True

    def _way(self, sheet: Sheet, k: int, *, as_before: bool = False) -> Way | None:
        if any(self.left.get(lot, 0.0) < mass for lot, mass in self._drawn(sheet).items()):
            return None
        return self.floor.way(sheet, presses=[self.before[sheet.id].press] if as_before else [], stays=[k])

    def _drawn(self, sheet: Sheet) -> Mapping[str, float]:
        return sheet.kind.lots if sheet.work("weigh") is None else {}

    def _not_long_after(self, stay: Span, longer: int) -> Span:
        """A stay, cut so many minutes after its last mould was to have left; one without a mould as it is."""
        minutes = self.week.times.transfer
        out = [
            run.transfer + minutes for run in self.before.values() if stay.start <= run.transfer < stay.end
        ]
        return stay if not out else Span(stay.start, min(stay.end, max(out) + longer))
