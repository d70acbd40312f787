"""The best that a tiny week can give, by trying everything each minute: no constraints, no solver, real people.

Minute by minute every step that could start is started or left, by every pair of hands that could do it, and
heaters are switched on, off or left alone. Equal pasts are looked at once.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator, Sequence
from fractions import Fraction
from functools import cache
from itertools import combinations
from math import ceil, inf
from typing import Any, NamedTuple

from flatstock.planning.problem.week import Sheet, Week

SCALE = 10_000  #: parts of a minute in which lines are told
DEEP = 20_000  #: calls, a handful for each minute

HOT, SAW = "hot_transfer", "saw"
#: where a sheet is, in its order; every second one is a step of hands
(ORDERED, WEIGHING, WEIGHED, PREPARING, PREPARED, LOADING, DWELLING, TRANSFERRING, COOLING, MOVING, RESTING,
 OPENING, OPEN, SAWING, DONE) = range(15)  # fmt: skip
IN_PRESS = (LOADING, DWELLING, TRANSFERRING)
ON_BENCH = (PREPARING, PREPARED, LOADING, OPENING)
Cost = tuple[float, ...]
FREE: Cost = (0, 0, 0, 0, 0)


class Mould(NamedTuple):
    """One sheet at one instant."""

    where: int = ORDERED
    until: int = 0  #: a step of hands ends
    least: int = 0  #: the stay may end
    most: int | None = None  #: a dwell must end, or what cools may be demoulded in the press
    place: str = ""  #: where it stays, or goes to
    left: str = ""  #: where it comes from
    since: int = 0  #: began to move there, or to be opened
    who: tuple[str, ...] = ()
    frame: str = ""
    skins: str = ""
    cooler: str = ""  #: whose plates it has warmed, or warms now
    clamped: int = 0
    warmth: int = 0  #: of these plates, as it was clamped
    cold: int = 0  #: they are cold from then on, once it has left them


class Heater(NamedTuple):
    """One hot press."""

    since: int | None = None
    spent: int = -1  #: the last supervised stay it was switched on in: once in each
    kind: str = ""  #: of the last sheet
    gone: int = 0  #: when that left


Sheets = tuple[Mould, ...]
Heaters = tuple[Heater, ...]
Option = tuple[Cost, Sheets, Heaters]


def best_of(week: Week) -> Cost:
    """Late sheets, late minutes, sheets after closing, Wh of the heaters, minutes of changing: the least there is, in
    that order."""
    before = sys.getrecursionlimit()
    sys.setrecursionlimit(DEEP)
    try:
        return _best_of(week)
    finally:
        sys.setrecursionlimit(before)


def _best_of(week: Week) -> Cost:
    return _Enumeration(week).best()


class _Enumeration:
    def __init__(self, week: Week) -> None:
        self.week, self.t = week, week.times
        self.presses = [site.id for site in week.of_kind("hot_press")]
        self.benches = sum(site.capacity for site in week.of_kind("bench"))
        self.saws = sum(site.capacity for site in week.of_kind("saw"))
        self.apart = week.rated is not None
        self.windows = week.supervised()
        self.cost = cache(self._cost)
        many, presses = range(len(week.sheets)), range(len(self.presses))
        #: tried in this order each minute; of all of them only opening frees a place at once
        self.turns = [(self._off, n) for n in presses] + [(self._open, n) for n in many]
        self.turns += [(self._on, n) for n in presses] + [(self._start, n) for n in many]

    def best(self) -> Cost:
        sheets = tuple(Mould() for _ in self.week.sheets)
        return self.cost(self.week.start, sheets, tuple(Heater() for _ in self.presses), 0)

    def _cost(self, now: int, sheets: Sheets, heaters: Heaters, turn: int) -> Cost:
        """The least from here on, where the turns before this one have been taken this minute."""
        if turn == 0:
            sheets = tuple(_passed(one, now) for one in sheets)
            heaters = tuple(self._watched(one, now) for one in heaters)
            cold = [p for p, one in zip(self.presses, heaters, strict=True) if one.since is None]
            if any(one.where in IN_PRESS and (one.left or one.place) in cold for one in sheets):
                return (inf,) * 5
            if any(one.where == DWELLING and one.most is not None and one.most < now for one in sheets):
                return (inf,) * 5
        if now == self.week.end:
            return self._left_out(sheets)
        if turn == len(self.turns):
            return _plus(self.cost(now + 1, sheets, heaters, 0), (0, 0, 0, self._holding(heaters), 0))
        way, n = self.turns[turn]
        costs = [self.cost(now, sheets, heaters, turn + 1)]
        for price, changed, switched in way(n, now, sheets, heaters):
            costs.append(_plus(price, self.cost(now, changed, switched, turn + 1)))
        return min(costs)

    def _watched(self, heater: Heater, now: int) -> Heater:
        """Off as soon as nobody is there to watch."""
        watched = heater.since is not None and now < self.windows[heater.spent].end
        return heater if watched else heater._replace(since=None)

    def _holding(self, heaters: Heaters) -> float:
        costs = self.week.heat_cost
        pairs = zip(self.presses, heaters, strict=True)
        return sum(round(costs[press][1] * 1000 / 60) for press, one in pairs if one.since is not None)

    def _off(self, n: int, now: int, sheets: Sheets, heaters: Heaters) -> Iterator[Option]:
        if heaters[n].since is not None and not self._held(self.presses[n], sheets):
            yield FREE, sheets, _with(heaters, n, heaters[n]._replace(since=None))

    def _on(self, n: int, now: int, sheets: Sheets, heaters: Heaters) -> Iterator[Option]:
        window = next((k for k, w in enumerate(self.windows) if w.start <= now < w.end), None)
        if heaters[n].since is not None or window is None or window == heaters[n].spent:
            return
        if not (self.apart and any(one.where == SAWING for one in sheets)):
            up = round(self.week.heat_cost[self.presses[n]][0] * 1000)
            yield (0, 0, 0, up, 0), sheets, _with(heaters, n, heaters[n]._replace(since=now, spent=window))

    def _held(self, press: str, sheets: Sheets) -> bool:
        return any(one.where in IN_PRESS and press in (one.place, one.left) for one in sheets)

    def _crews(
        self, sheets: Sheets, now: int, minutes: int, count: int, skill: str = ""
    ) -> Iterator[tuple[str, ...]]:
        """Every choice of people who are free now and there until it ends; of people all alike the first ones."""
        busy = {who for one in sheets for who in one.who}
        free = [
            p
            for p in self.week.people
            if p.id not in busy
            and (not skill or skill in p.skills)
            and any(span.holds(now, now + minutes) for span in p.present)
        ]
        for chosen in combinations(free, count):
            spare = {(p.skills, p.present): p.id for p in reversed(free) if p not in chosen}
            if not any(spare.get((p.skills, p.present), "~") < p.id for p in chosen):
                yield tuple(p.id for p in chosen)

    def _open(self, n: int, now: int, sheets: Sheets, heaters: Heaters) -> Iterator[Option]:
        one = sheets[n]
        if one.where == RESTING and one.least <= now:
            if self.week.sites[one.place].kind == "stack" and not self._on_top(one, now, sheets):
                return
        elif not (one.where == COOLING and (one.most or 0) <= now):
            return
        if one.where == COOLING:
            one = self._left(n, one, now)
        if _using(sheets, ON_BENCH) >= self.benches:
            return
        end = now + self.t.demould
        price = FREE if self.saws else self._price(self.week.sheets[n], end)
        for who in self._crews(sheets, now, self.t.demould, 2):
            opening = one._replace(where=OPENING, until=end, place="", left=one.place, since=now, who=who)
            yield price, _with(sheets, n, opening), heaters

    def _left(self, n: int, one: Mould, now: int) -> Mould:
        """The mould with what it leaves of the plates' warmth."""
        if not one.cooler:
            return one
        lines = self.week.sheets[n].kind.warming[one.cooler]
        stayed = Fraction(lines.fades, SCALE) * (now - one.clamped)
        left = ceil(_at(lines.leaves, one.warmth) - stayed)
        return one._replace(cold=max(now + left, one.clamped + one.warmth), clamped=0, warmth=0)

    def _on_top(self, one: Mould, now: int, sheets: Sheets) -> bool:
        """Nothing lies on it, and no other of this stack is opened in the very same minute."""
        for other in sheets:
            if other.where in (MOVING, RESTING) and other.place == one.place and other.since > one.since:
                return False
            if other.where == OPENING and other.left == one.place and other.since == now:
                return False
        return True

    def _price(self, sheet: Sheet, end: int) -> Cost:
        assert sheet.due is not None
        late = max(0, end + sheet.condition - sheet.due)
        return (float(late > 0), late, float(end > self.week.closing), 0, 0)

    def _start(self, n: int, now: int, sheets: Sheets, heaters: Heaters) -> Iterator[Option]:
        """The next step of a sheet, but for opening."""
        one, sheet, t = sheets[n], self.week.sheets[n], self.t

        def begun(minutes: int, people: int, skill: str = "", **more: Any) -> Iterator[Sheets]:
            for who in self._crews(sheets, now, minutes, people, skill):
                yield _with(
                    sheets, n, one._replace(where=one.where + 1, until=now + minutes, who=who, **more)
                )

        ways: list[tuple[Cost, Iterator[Sheets], Heaters]] = []
        if one.where == ORDERED and self._may_weigh(n, sheets):
            ways.append((FREE, begun(t.weigh, 1), heaters))
        elif one.where == WEIGHED and _using(sheets, ON_BENCH) < self.benches:
            frame = next((f for f in sheet.kind.frames if f not in {s.frame for s in sheets}), None)
            skins = next((f for f in sheet.kind.skins if f not in {s.skins for s in sheets}), None)
            if frame and skins:
                ways.append((FREE, begun(t.prepare, 1, frame=frame, skins=skins), heaters))
        elif one.where == PREPARED:
            for press, heater in zip(self.presses, heaters, strict=True):
                if self._may_load(sheet, press, heater, sheets, now):
                    dwell, at = sheet.kind.dwell[press], now + t.load
                    most = None if dwell.latest is None else at + dwell.latest
                    more = {"place": press, "least": at + dwell.planned, "most": most}
                    change = (0, 0, 0, 0, self._change(sheet, press, heater))
                    ways.append((change, begun(t.load, 2, HOT, **more), heaters))
        elif one.where == DWELLING and one.least <= now:
            used = {
                p for s in sheets for p in (s.place, s.left) if s.where in (TRANSFERRING, COOLING, MOVING)
            }
            for cooler, seconds in sheet.kind.press_cool.items():
                if cooler not in used:
                    at, whole = now + t.transfer, sheet.kind.cool_to_end[cooler]
                    plates = {}
                    if cooler in sheet.kind.warming:
                        lines = sheet.kind.warming[cooler]
                        warmth = max([0, *(s.cold - at for s in sheets if s.cooler == cooler)])
                        plates = {"cooler": cooler, "clamped": at, "warmth": warmth}
                        seconds, whole = ceil(_at(lines.opens, warmth)), ceil(_at(lines.ends, warmth))
                    more = {"place": cooler, "left": one.place, "least": at + seconds,
                            "most": at + max(seconds, whole), **plates}  # fmt: skip
                    k = self.presses.index(one.place)
                    ways.append((FREE, begun(t.transfer, 2, HOT, **more),
                                 _with(heaters, k, heaters[k]._replace(kind=sheet.kind.key, gone=at))))  # fmt: skip
        elif one.where == COOLING and one.least <= now:
            one = self._left(n, one, now)
            for place, rest in sheet.kind.rest.items():
                if self._may_enter(place, now, sheets):
                    more = {
                        "place": place,
                        "left": one.place,
                        "since": now,
                        "least": now + t.move + rest,
                        "most": None,
                    }
                    ways.append((FREE, begun(t.move, 2, **more), heaters))
        elif one.where == OPEN and _using(sheets, (SAWING,)) < self.saws and not self._barred(heaters):
            ways.append((self._price(sheet, now + t.trim), begun(t.trim, 1, SAW), heaters))
        for price, many, switched in ways:
            for changed in many:
                yield price, changed, switched

    def _barred(self, heaters: Heaters) -> bool:
        """The saw would be one load too many beside the heaters."""
        return self.apart and any(heater.since is not None for heater in heaters)

    def _may_weigh(self, n: int, sheets: Sheets) -> bool:
        """Sheets that nothing tells apart in their order, one on the scale at a time, each drawing 1 kg."""
        order = self.week.sheets[n].order
        before = (m for m in range(n) if self.week.sheets[m].order == order)
        drawn = sum(one.where > ORDERED for one in sheets)
        return (
            all(sheets[m].where > ORDERED for m in before)
            and not _using(sheets, (WEIGHING,))
            and drawn + 1 <= self.week.lots["L-1"]
        )

    def _may_load(self, sheet: Sheet, press: str, heater: Heater, sheets: Sheets, now: int) -> bool:
        if press not in sheet.kind.dwell or heater.since is None or self._held(press, sheets):
            return False
        warm = heater.since + self.week.heat_up[press, sheet.kind.dwell[press].set_point] + self.t.soak
        change = self.week.changes.get((press, heater.kind, sheet.kind.key), 0)
        return now >= warm and (not heater.kind or now >= heater.gone + change)

    def _change(self, sheet: Sheet, press: str, heater: Heater) -> int:
        """Minutes from the press's last sheet to this one; of a press heated up since only the colour is changed."""
        kind, since = sheet.kind, heater.since
        if since is None or since >= heater.gone:
            return self.week.cleans.get((heater.kind, kind.key), 0)
        return self.week.changes.get((press, heater.kind, kind.key), 0)

    def _may_enter(self, place: str, now: int, sheets: Sheets) -> bool:
        there = [one for one in sheets if one.where in (MOVING, RESTING) and one.place == place]
        together = self.week.sites[place].kind == "stack" and any(one.since == now for one in there)
        return len(there) < self.week.sites[place].capacity and not together

    def _left_out(self, sheets: Sheets) -> Cost:
        total, last = FREE, DONE if self.saws else OPEN
        open_ = 2.0 if self.week.closing < self.week.end else 1.0  # done after closing would be better
        for sheet, one in zip(self.week.sheets, sheets, strict=True):
            assert sheet.due is not None
            over = self.week.end + sheet.condition - sheet.due
            if one.where < last:
                total = _plus(total, (float(over >= 0), over + 24 * 60 if over >= 0 else 0, open_, 0, 0))
        return total


def _passed(one: Mould, now: int) -> Mould:
    """A sheet at the beginning of a minute: what is over is over, and how long ago doesn't matter."""
    if one.until and one.until <= now:
        warm = {"cooler": one.cooler, "cold": one.cold} if one.cold > now else {}
        done = one._replace(where=one.where + 1, until=0, left="", who=())
        if one.where == OPENING:
            return Mould(where=OPEN, **warm)
        return Mould(where=DONE, **warm) if one.where == SAWING else done
    if one.cold and one.cold <= now:
        one = one._replace(cooler="", cold=0)
    if one.where in (DWELLING, COOLING, RESTING):
        whole = 0 if one.where == COOLING and (one.most or 0) <= now else one.most
        return one._replace(least=0 if one.least <= now else one.least, most=whole)
    return one


def _at(lines: Sequence[tuple[int, int]], warmth: int) -> Fraction:
    """The highest of some straight lines, minutes."""
    return max(Fraction(slope * warmth + cold, SCALE) for slope, cold in lines)


def _with(many: Sequence[Any], n: int, one: Any) -> Any:
    return (*many[:n], one, *many[n + 1 :])


def _plus(one: Cost, other: Cost) -> Cost:
    return tuple(a + b for a, b in zip(one, other, strict=True))


def _using(sheets: Sheets, wheres: Sequence[int]) -> int:
    return sum(one.where in wheres for one in sheets)
