"""What stands in the shop while a week is under way: each mould goes on from where it is, before anything new is begun.

Moulds that are open come first, then those in stacks and racks, in cooling presses and in hot presses, then those that
stand prepared. Where one of them finds no way so, another order of the same is tried.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence

from flatstock.planning.dispatch.cooling import Cooled, Way
from flatstock.planning.dispatch.floor import Floor
from flatstock.planning.problem.schedule import Run
from flatstock.planning.problem.stranded import out_by
from flatstock.planning.problem.week import HOT, SAW, Sheet, Week, Work

__all__ = ["standing"]

#: in which order moulds go on: those that are open, in stacks and racks, in cooling presses, in hot presses
ORDERS = (("open", "laid", "clamped", "hot"), ("open", "clamped", "laid", "hot"))
TRIES = 3  #: with a bench held for longer
LONGEST = 240  #: minutes in which a mould that has no latest is looked a way for
HANDS = {"load": (2, HOT), "transfer": (2, HOT), "trim": (1, SAW)}  #: one, of any skill, where it isn't said


def standing(week: Week, make: Callable[[], Floor]) -> tuple[Floor, dict[str, Run]] | None:
    """The floor with all that has come to a press or stands prepared on its way; None where that can't be found.

    Moulds in hot presses leave in the order in which their dwells are over, or in which they spoil where fewer minutes
    past a latest come of it.
    """
    hot = sum(sheet.inside is not None for sheet in week.sheets)
    best: tuple[int, tuple[Floor, dict[str, Run]]] | None = None
    for spoils_first in (False, True) if hot > 1 else (False,):
        found = _standing(week, make, spoils_first=spoils_first)
        if found is not None and (best is None or _over(week, found[1]) < best[0]):
            best = _over(week, found[1]), found
        if best is not None and best[0] == 0:
            break
    return None if best is None else best[1]


def _over(week: Week, runs: Mapping[str, Run]) -> int:
    """Minutes past their latest, over the moulds that are in hot presses."""
    inside = ((sheet.id, one.latest) for sheet in week.sheets if (one := sheet.inside) is not None)
    return sum(max(0, runs[name].transfer - latest) for name, latest in inside if latest is not None)


def _standing(
    week: Week, make: Callable[[], Floor], *, spoils_first: bool
) -> tuple[Floor, dict[str, Run]] | None:
    loaded = [sheet for sheet in week.sheets if sheet.work("load") is not None]
    prepared = [sheet for sheet in week.sheets if sheet.work("prepare") and not sheet.work("load")]
    for order in ORDERS:
        held = {sheet.id: week.now + week.times.load for sheet in prepared}
        for _ in range(TRIES):
            floor = make()
            if not _as_it_is(floor, held.values()):
                return None
            goes_on = _Standing(floor)
            if not goes_on.settle(sorted(loaded, key=lambda sheet: _turn(week, sheet, order, spoils_first))):
                break
            longer = goes_on.load(prepared, held)
            if longer is None:
                break
            if not longer:
                return floor, goes_on.runs
            held |= longer
        if not loaded:
            break
    return None


def _turn(week: Week, sheet: Sheet, order: Sequence[str], spoils_first: bool) -> tuple[int, int, str]:
    """Of a stack what came last goes first; elsewhere what came first."""
    gone, moved, inside = sheet.work("transfer"), sheet.work("move"), sheet.inside
    if sheet.work("demould") is not None:
        return order.index("open"), 0, sheet.id
    if moved is not None:
        return order.index("laid"), -moved.start, sheet.id
    if gone is not None:
        return order.index("clamped"), gone.end, sheet.id
    if spoils_first and inside is not None:
        return order.index("hot"), week.end if inside.latest is None else inside.latest, sheet.id
    load = sheet.work("load")
    assert load is not None
    return order.index("hot"), load.end + sheet.kind.dwell[_place(week, load, "hot_press")].planned, sheet.id


def _place(week: Week, work: Work, *kinds: str) -> str:
    return next((place for place in work.places if week.sites[place].kind in kinds), "")


def _as_it_is(floor: Floor, benches: Iterable[int]) -> bool:
    """Presses that are hot, people and places that are busy now; False where it isn't known how that goes on."""
    week, now = floor.week, floor.week.now
    for press in week.of_kind("hot_press"):
        on = week.on_now(press.id)
        if on is None:
            continue
        k, stay = floor.stretch(press.id, now), next((s for s in floor.stays if s.start <= now < s.end), None)
        if k is None or stay is None:
            return False
        floor.on[press.id, k] = (max(on.start, stay.start), min(week.emptied_by(press.id), stay.end))
    for sheet in week.sheets:
        for work in sheet.done.works if sheet.done else ():
            if work.end <= now:
                continue
            people, skill = HANDS.get(work.step, (1, ""))
            who = work.people or floor.crew.free(now, work.end, people, skill)
            floor.crew.take(now, work.end, who or ())
            if work.step == "weigh":
                floor.places[week.scale_for(sheet.kind.charge).id].take(now, work.end)
            if work.step == "trim":
                floor.saw.take(now, work.end)
                floor.since = max(floor.since, work.end)
            if work.step == "load":
                floor.bench.take(now, work.end)
            lift = week.lift_for(sheet.kind.mould_mass)
            if work.step == "move" and lift:
                floor.places[lift.id].take(now, work.end)
    for end in benches:
        floor.bench.take(now, end)
    return True


class _Standing:
    """Moulds on their way, one after the other."""

    def __init__(self, floor: Floor) -> None:
        self.floor, self.week, self.runs = floor, floor.week, dict[str, Run]()

    def settle(self, sheets: Sequence[Sheet]) -> bool:
        """Whether each of these has come to its end."""
        return all(self._goes_on(sheet) for sheet in sheets)

    def load(self, prepared: Sequence[Sheet], held: dict[str, int]) -> dict[str, int] | None:
        """Moulds that stand prepared come into a press; until when those hold a bench that do for longer than was
        thought, and somebody else has it then. None: there is no press for one."""
        longer: dict[str, int] = {}
        waiting = list(prepared)
        while waiting:
            ways = [(way, sheet) for sheet in waiting if (way := self.floor.way(sheet)) is not None]
            if not ways:
                return None if not self.week.loose else longer
            way, sheet = min(ways, key=lambda one: (one[0].run.load, one[0].free, one[1].id))
            waiting.remove(sheet)
            loaded = way.run.load + self.week.times.load
            if loaded > held[sheet.id]:
                if not self.floor.bench.free(held[sheet.id], loaded):
                    longer[sheet.id] = loaded
                self.floor.bench.take(held[sheet.id], loaded)
            self.floor.take(sheet, way)
            self.runs[sheet.id] = way.run
        return longer

    def _goes_on(self, sheet: Sheet) -> bool:
        floor, week, t = self.floor, self.week, self.week.times
        load, gone = sheet.work("load"), sheet.work("transfer")
        moved, opened = sheet.work("move"), sheet.work("demould")
        assert load is not None
        assert sheet.done is not None
        press = _place(week, load, "hot_press")
        if press not in sheet.kind.dwell:
            return False
        hands: list[tuple[int, int, tuple[str, ...]]] = []
        if gone is None:
            found = self._taken_out(sheet, load, press)
            if found is None:
                return False
            transfer, cooler, cooled = found
            clamped = transfer + t.transfer
            carriers = floor.crew.free(transfer, clamped, 2, HOT)
            assert carriers is not None
            hands.append((transfer, clamped, carriers))
        else:
            transfer, clamped, cooler = gone.start, gone.end, _place(week, gone, "cooling_press")
            known = cooler in sheet.kind.press_cool
            ended = next(self._ends(sheet, cooler, clamped, moved, opened), None) if known else None
            if ended is None:
                return False
            cooled = ended
        works = {work.step: work for work in sheet.done.works}
        free = cooled.demould + t.demould if opened is None else opened.end
        trim = works.get("trim")
        run = Run(
            sheet=sheet.id, press=press, cooling=cooler, weigh=works["weigh"].start,
            scale=week.scale_for(sheet.kind.charge).id, prepare=works["prepare"].start, bench="", load=load.start,
            transfer=transfer, leave=cooled.leave, stay=cooled.stay, demould=cooled.demould, demould_at=cooled.at,
            trim=None if trim is None else trim.start, saw=None, ready=free if trim is None else trim.end,
        )  # fmt: skip
        for start, end, who in (*hands, *cooled.hands):
            floor.crew.take(start, end, who)
        before = floor.gone.get(press)
        if before is None or clamped > before[0]:
            floor.gone[press] = (clamped, sheet)
        if gone is None or clamped > week.now:
            k = floor.stretch(press, week.now)
            if k is None:
                return False
            on = floor.on.get((press, k), (week.now, week.now))
            floor.on[press, k] = (on[0], max(on[1], clamped))
        floor.take_cooling(
            sheet, Way(run=run, free=free, frame=sheet.done.frame, skins=sheet.done.skins, hands=())
        )
        if moved is not None:
            floor.cooler[cooler] = max(floor.cooler.get(cooler, 0), moved.end)
        self.runs[sheet.id] = run
        return True

    def _taken_out(self, sheet: Sheet, load: Work, press: str) -> tuple[int, str, Cooled] | None:
        """When a mould leaves its hot press, into which cooling press, and how it goes on."""
        floor, week, t = self.floor, self.week, self.week.times
        dwell = sheet.kind.dwell[press]
        ready = max(week.now, floor.ripe(sheet, dwell, load.end))
        watched = next((s.end for s in floor.stays if s.start <= week.now < s.end), week.now)
        last = min(watched - t.transfer, ready + LONGEST)
        if dwell.latest is not None:  # the first way out is taken, so it is over that only where it must be
            last = min(last, out_by(week, load.end + dwell.latest))
        start = floor.crew.next(ready, t.transfer, 2, HOT)
        while start is not None and start <= last:
            found = floor.cooled_in(sheet, start, wait=week.end)
            if found is not None:
                return start, *found
            start = floor.crew.next(start + 1, t.transfer, 2, HOT)
        return None

    def _ends(
        self, sheet: Sheet, cooler: str, clamped: int, moved: Work | None, opened: Work | None
    ) -> Iterator[Cooled]:
        """How a mould that has left the hot press cools on and is opened, the best first."""
        floor, week = self.floor, self.week
        lift = week.lift_for(sheet.kind.mould_mass)
        at = lift.id if lift else ""
        stay = None if moved is None else _place(week, moved, "stack", "rack")
        if opened is not None:
            leave = opened.start if moved is None else moved.start
            yield Cooled(leave, stay, opened.start, at, ())
        elif moved is None:
            moments = [0] + [end for stays in floor.moulds.values() for _, end in stays if end > week.now]
            for after in sorted(moments):
                ways = list(floor.cooled(sheet, cooler, clamped, wait=week.end, after=after))
                if ways:
                    yield min(ways, key=lambda way: floor.first(sheet, way))
        elif stay:
            old = floor.like.get(sheet.id)
            first = max(moved.end + sheet.rests(stay), week.now)
            first = first if old is None else max(first, old.demould)
            place = (stay, moved.start) if week.sites[stay].kind == "stack" else None
            work = floor.opened(lift, 1 if lift else 2, first, week.end, stay=place)
            if work is not None:
                yield Cooled(moved.start, stay, work[0], at, (work,))
