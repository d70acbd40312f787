"""The least that any plan must have late, left out, heated or changed: how sheets share the supervised stays.

It knows no order of moulds and no clock within a stay, only what every plan must keep to. For each press p and
stay k let n be how many sheets of each kind it takes there, u whether it is heated, and l for how many minutes.

- A press takes one mould at a time: l holds the shortest heat-up, the soak, and every mould's load, dwell and
  transfer, and, into each kind but one, the shortest change there is into it (`heaters` says why). The moulds find room
  in the minutes in which two people can load and take out (`hot_hours`).
- A frame that is used T times in a stay is loaded T times, a whole turn apart: load, dwell, transfer, the shortest
  way to cool, demould, prepare. N sheets in F frames use one of them ceil(N/F) times. With one press both the
  first load and the last mould's way lie between its heat-up and its end.
- A cooling press takes one mould at a time from its transfer on. All transfers of a stay lie in it, so what C
  cooling presses hold in turn, but for the last of each, is over within C times that span.
- A sheet that is pressed in a stay is sawn after that stay's first moulds could be, and before its due time less
  its rest, else it is late; as many are late or left out as the plan has.
- A lot is drawn to no more than it holds.
- Where the supply lets nobody saw while heaters are on, the minutes at the saw lie outside every l: of the sheets
  pressed from one stay on and due until some time, between these two.

Every plan of the week gives numbers that keep all this, with the same heat: the least over all of them is a bound.
Of what has begun nothing is asked here: a stay begun before `now` costs nothing and takes what finds room in it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import ceil

from flatstock.planning.problem.clock import Span, counted
from flatstock.planning.problem.too_much import too_much
from flatstock.planning.problem.warmth import least_to_end, least_to_open
from flatstock.planning.problem.week import SAW, Sheet, Week
from flatstock.planning.solve.cpsat import Search, Settings, Var, new_model
from flatstock.planning.solve.hot_hours import hot_hours
from flatstock.planning.solve.in_turn import minutes_late, sheets_late, sheets_open
from flatstock.planning.solve.least_turns import least_turns

__all__ = ["least_changeover", "least_heat", "least_late", "least_missing", "least_of"]

WATT_HOURS = GRAMS = 1000
NEVER = 10**7
ROUNDING = 1e-6  #: what a bound may lack of a whole number


@dataclass(frozen=True, slots=True)
class _Group:
    """Sheets that nothing tells apart here."""

    sheet: Sheet
    count: int
    last: int  #: at the saw or the demoulding by then, else late


def least_heat(week: Week, *, late: int, missing: int, seconds: float) -> int:
    """No plan heats up and holds for less [Wh] with at most so many sheets late and so many not done by closing."""
    shares = _Shares(week)
    shares.m.add(shares.late <= late)
    shares.m.add(shares.missing <= missing)
    total = []
    for (press, k), used in shares.used.items():
        up, hold = week.heat_cost[press]
        total.append(round(up * WATT_HOURS) * used)
        total.append(round(hold * WATT_HOURS / 60) * shares.long[press, k])
    return shares.least(sum(total), seconds)


def least_changeover(week: Week, *, late: int, missing: int, seconds: float) -> int:
    """No plan changes set-points and colours in fewer minutes with at most so many sheets late and not done."""
    shares = _Shares(week)
    shares.m.add(shares.late <= late)
    shares.m.add(shares.missing <= missing)
    return shares.least(sum(shares.turns(press) for press in shares.presses), seconds)


def least_late(week: Week, *, seconds: float) -> int:
    """No plan has fewer sheets late, those left out among them that count as late."""
    shares = _Shares(week)
    return shares.least(shares.late, seconds)


def least_missing(week: Week, *, late: int, seconds: float) -> int:
    """No plan has fewer sheets not done by closing with at most so many late."""
    shares = _Shares(week)
    shares.m.add(shares.late <= late)
    return shares.least(shares.missing, seconds)


def least_of(name: str, week: Week, settled: Mapping[str, float], *, seconds: float) -> float:
    """No plan has less of a level of the search (`name`) where those before it are `settled`; 0: nothing is known."""
    if name == "late_sheets":
        return float(max(least_late(week, seconds=seconds), sheets_late(week)))
    if name == "late_min":
        return float(minutes_late(week))
    if "late_sheets" not in settled:
        return 0.0
    late = int(settled["late_sheets"])
    if name == "sheets_after_closing":
        return float(max(least_missing(week, late=late, seconds=seconds), sheets_open(week)))
    missing = int(settled["sheets_after_closing"])
    if name == "heaters_Wh":
        return float(least_heat(week, late=late, missing=missing, seconds=seconds))
    if name == "changeover_min":
        return float(least_changeover(week, late=late, missing=missing, seconds=seconds))
    return 0.0


class _Shares:
    """The small model."""

    def __init__(self, week: Week) -> None:
        self.week, self.m = week, new_model()
        self.stays = week.supervised()
        self.presses = [site.id for site in week.of_kind("hot_press")]
        self.groups = list(_groups(week))
        self.long: dict[tuple[str, int], Var] = {}  #: minutes heated
        self.used: dict[tuple[str, int], Var] = {}
        self.many: dict[tuple[int, str, int], Var] = {}  #: sheets by group, press, stay

        for press in self.presses:
            for k, stay in enumerate(self.stays):
                self._press(press, k, stay)
        self.late, self.missing = self._every_sheet()
        self._lots()
        for k, stay in enumerate(self.stays):
            if stay.start >= week.now:
                self._frames(k, stay)
                self._coolers(k, stay)
        if week.sawing():
            self._saw(heated=frozenset({"heated", "trim"}) in too_much(week))

    def least(self, goal: Var, seconds: float) -> int:
        """The bound of a sum, as far as it is found in that time."""
        if isinstance(goal, int):
            return goal
        self.m.minimize(goal)
        answer = Search(self.m, Settings(seconds)).run(lambda *_: False)
        return 0 if answer.bound is None else max(0, ceil(answer.bound - ROUNDING))

    def turns(self, press: str) -> Var:
        """Minutes of changing on a press; what is pressed in a stay under way changes for nothing."""
        inside: dict[tuple[int, str], list[Var]] = {}
        for (n, at, k), many in self.many.items():
            if at == press and self.stays[k].start >= self.week.now:
                inside.setdefault((k, self.groups[n].sheet.kind.key), []).append(many)
        return least_turns(self.m, self.week, press, inside)

    def _press(self, press: str, k: int, stay: Span) -> None:
        m, week = self.m, self.week
        used, long = m.new_bool_var("used"), m.new_int_var(0, stay.length, "long")
        self.used[press, k], self.long[press, k] = used, long
        inside: dict[str, list[Var]] = {}
        stays: list[Var] = []
        for n, group in enumerate(self.groups):
            kind = group.sheet.kind
            if press not in kind.dwell:
                continue
            many = m.new_int_var(0, group.count, "many")
            self.many[n, press, k] = many
            inside.setdefault(kind.key, []).append(many)
            stays.append(self._in_press(group, press) * many)
        m.add(sum(stays) <= sum(span.length for span in hot_hours(week, stay)))
        if stay.start < week.now:
            m.add(used == 0)
            m.add(long == 0)
            return
        warm = self._warm(press)
        for many in (one for of in inside.values() for one in of):
            m.add(many == 0).only_enforce_if(~used)
        m.add(long >= warm * used + sum(stays) + self._changes(press, inside, used))

    def _in_press(self, group: _Group, press: str) -> int:
        t = self.week.times
        return t.load + max(group.sheet.kind.dwell[press].planned, group.sheet.dwell_least) + t.transfer

    def _warm(self, press: str) -> int:
        ups = [minutes for (p, _), minutes in self.week.heat_up.items() if p == press]
        return min(ups, default=0) + self.week.times.soak

    def _changes(self, press: str, inside: Mapping[str, Sequence[Var]], used: Var) -> Var:
        """As in `heaters`: into each kind but one by the shortest way into it."""
        changes = self.week.changes
        into = {
            key: min((changes.get((press, other, key), 0) for other in inside if other != key), default=0)
            for key in inside
        }
        if not any(into.values()):
            return 0
        total = -max(into.values()) * used
        for key, counts in inside.items():
            there = self.m.new_bool_var("there")
            self.m.add(sum(counts) == 0).only_enforce_if(~there)
            total += into[key] * there
        return self._not_negative(total, len(inside) * max(into.values()))

    def _not_negative(self, total: Var, most: int) -> Var:
        found = self.m.new_int_var(0, most, "changes")
        self.m.add(found >= total)
        return found

    def _every_sheet(self) -> tuple[Var, Var]:
        """How many are late, and how many are not pressed."""
        m, late, missing = self.m, [], []
        for n, group in enumerate(self.groups):
            counts = [self.many[key] for key in self.many if key[0] == n]
            out = m.new_int_var(0, group.count, "out")
            m.add(sum(counts) + out == group.count)
            missing.append(out)
            if group.last < NEVER:
                late += [
                    many
                    for (of, press, k), many in self.many.items()
                    if of == n and self._soonest(group, press, k) > group.last
                ]
                if group.last <= self.week.end:
                    late.append(out)
        return sum(late), sum(missing)

    def _lots(self) -> None:
        drawn: dict[str, list[Var]] = {}
        for (n, _, _), many in self.many.items():
            sheet = self.groups[n].sheet
            for lot, mass in sheet.kind.lots.items() if sheet.work("weigh") is None else ():
                drawn.setdefault(lot, []).append(int(mass * GRAMS + ROUNDING) * many)
        for lot, masses in drawn.items():
            self.m.add(sum(masses) <= ceil(self.week.lots.get(lot, 0.0) * GRAMS - ROUNDING))

    def _soonest(self, group: _Group, press: str, k: int) -> int:
        """A sheet pressed in that stay is out of its mould, and sawn, no sooner."""
        t, stay = self.week.times, self.stays[k]
        if stay.start < self.week.now:
            return self.week.now
        point = group.sheet.kind.dwell[press].set_point
        warm = self.week.heat_up[press, point] + t.soak
        sawn = t.trim if self.week.sawing() else 0
        return (
            stay.start
            + warm
            + self._in_press(group, press)
            + _cooling(self.week, group.sheet)
            + t.demould
            + sawn
        )

    def _frames(self, k: int, stay: Span) -> None:
        t = self.week.times
        frames: dict[tuple[str, ...], list[int]] = {}
        for n, group in enumerate(self.groups):
            frames.setdefault(group.sheet.kind.frames, []).append(n)
        for things, groups in frames.items():
            members = [self.groups[n] for n in groups]
            held = [self._in_press(one, p) for one in members for p in one.sheet.kind.dwell]
            cool = min(_cooling(self.week, one.sheet) for one in members)
            turn = min(held) + cool + t.demould + t.prepare
            warm = min(self._warm(press) for press in self.presses)
            turns = 1 + max(0, stay.length - warm - min(held)) // turn
            counts = [self.many[key] for key in self.many if key[0] in groups and key[2] == k]
            if len(things) * turns >= sum(one.count for one in members) and len(self.presses) > 1:
                continue
            steps = [self.m.new_bool_var("turn") for _ in range(1, min(turns, len(self.week.sheets)))]
            self.m.add(sum(counts) <= len(things) * (1 + sum(steps)))
            if len(self.presses) == 1:
                long = self.long[self.presses[0], k]
                for number, step in enumerate(steps, 1):
                    self.m.add(long >= warm + number * turn + min(held)).only_enforce_if(step)

    def _coolers(self, k: int, stay: Span) -> None:
        t, coolers = self.week.times, len(self.week.of_kind("cooling_press"))
        held = [t.transfer + _in_cooler(self.week, group.sheet) for group in self.groups]
        if not held:
            return
        total = sum(held[n] * many for (n, _, other), many in self.many.items() if other == k)
        last = coolers * (max(held) - t.transfer)
        first = (
            min(self._in_press(group, p) for group in self.groups for p in group.sheet.kind.dwell)
            - t.transfer
        )
        if len(self.presses) == 1:
            used, long = self.used[self.presses[0], k], self.long[self.presses[0], k]
            self.m.add(
                total - last <= coolers * (long - self._warm(self.presses[0]) - first)
            ).only_enforce_if(used)
        else:
            warm = min(self._warm(press) for press in self.presses)
            self.m.add(total - last <= coolers * max(0, stay.length - warm - first))

    def _saw(self, *, heated: bool) -> None:
        """The saw's minutes, stay by stay with what comes after it until the next; with `heated`, outside every
        heated span."""
        week, t = self.week, self.week.times
        saws = sum(site.capacity for site in week.of_kind("saw"))
        edges = [stay.start for stay in self.stays] + [week.end]
        free: list[Var] = []
        for k, stay in enumerate(self.stays):
            begin = week.now if k == 0 else max(week.now, edges[k])
            whole = _sawing(week, saws, begin, edges[k + 1])
            there = self.m.new_int_var(0, whole, "free for the saw")
            outside = whole - _sawing(week, saws, max(begin, stay.start), stay.end)
            for press in self.presses if heated else ():
                self.m.add(there <= outside + saws * (stay.length - self.long[press, k]))
            free.append(there)
        dues = sorted({group.last for group in self.groups})
        for first in range(len(self.stays)):
            for due in dues:
                sawn = [
                    t.trim * many
                    for (n, _, k), many in self.many.items()
                    if k >= first and self.groups[n].last <= due
                ]
                late = 0 if due >= week.end else t.trim * self.late
                ends = next((k for k, edge in enumerate(edges) if edge >= due), len(edges))
                room = [free[k] for k in range(first, min(ends, len(self.stays)))]
                if sawn:
                    self.m.add(sum(sawn) <= sum(room) + late)


def _groups(week: Week) -> Iterator[_Group]:
    found: dict[tuple[object, ...], list[Sheet]] = {}
    for sheet in week.sheets:
        if sheet.work("load") is None:
            weighed = sheet.work("weigh") is not None
            alike = (sheet.kind.key, sheet.due, sheet.condition, sheet.dwell_least, weighed)
            found.setdefault(alike, []).append(sheet)
    for sheets in found.values():
        one = sheets[0]
        yield _Group(one, len(sheets), NEVER if one.due is None else one.due - one.condition)


def _cooling(week: Week, sheet: Sheet) -> int:
    """From the transfer's end to the demoulding, by the shortest way, on cold plates."""
    kind = sheet.kind
    rests = [week.times.move + rest for rest in kind.rest.values()]
    ways = [least_to_end(sheet, place) for place in kind.cool_to_end]
    ways += [least_to_open(sheet, place) + min(rests) for place in kind.press_cool if rests]
    return min(ways)


def _in_cooler(week: Week, sheet: Sheet) -> int:
    """From the transfer's end until the cooling press is free again, by the shortest way, on cold plates."""
    kind = sheet.kind
    ways = [least_to_end(sheet, place) for place in kind.cool_to_end]
    ways += [least_to_open(sheet, place) + week.times.move for place in kind.press_cool if kind.rest]
    return min(ways)


def _sawing(week: Week, saws: int, start: int, end: int) -> int:
    """Minutes at saws that people who may saw could fill between two moments."""
    if end <= start:
        return 0
    pieces = counted([one.present for one in week.skilled(SAW)], start=start, end=end)
    return sum(min(saws, there) * span.length for span, there in pieces)
