"""The shop while a rule fills it: for each sheet the earliest way through that what is settled leaves open."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from types import MappingProxyType

from flatstock.planning.dispatch.calendars import Calendar
from flatstock.planning.dispatch.cooling import Cooling, Way
from flatstock.planning.dispatch.dryers import Dryers
from flatstock.planning.problem.clock import Span
from flatstock.planning.problem.schedule import Run
from flatstock.planning.problem.stretches import Stretch, stretches
from flatstock.planning.problem.week import HOT, SAW, Dwell, Sheet, Site, Week

__all__ = ["Floor"]

AHEAD = 240  #: minutes before the press in which a mould may stand weighed or prepared


class Floor(Cooling):
    """What is settled so far."""

    def __init__(
        self,
        week: Week,
        *,
        saw: tuple[int, int, int] = (0, 0, 0),
        cold: frozenset[int] = frozenset(),
        clear: bool = True,
        overnight: bool = False,
        patient: int = 0,
        like: Mapping[str, Run] = MappingProxyType({}),
    ) -> None:
        """`saw`: minutes without heat at the start and the end of every supervised stay, and at the very last end.
        The others are as for `Cooling`."""
        super().__init__(week, clear=clear, overnight=overnight, patient=patient, like=like)
        self.cold = cold  #: supervised stays in which nothing is heated
        first, last, final = saw
        self.since = week.now  #: no press is switched on before
        #: nor before what is being taken out of it is out
        self.emptied = {press.id: week.emptied_by(press.id) for press in week.of_kind("hot_press")}
        #: heaters are on within these only, so that the saw has time beside them
        self.windows = [
            Span(stay.start + first, stay.end - (final if stay is self.stays[-1] else last))
            for stay in self.stays
        ]
        self.stretches = {press.id: stretches(week, press.id) for press in week.of_kind("hot_press")}
        #: by press and number of its stretch: heated from, last transfer over
        self.on: dict[tuple[str, int], tuple[int, int]] = {}
        #: by press: last transfer over, of which sheet; a charge given up was on the platens until it was
        self.gone: dict[str, tuple[int, Sheet]] = {}
        gone = (one for one in week.given_up if not one.sheet.lost)
        for one in sorted(gone, key=lambda one: one.since):
            for press in week.of_kind("hot_press"):
                if one.laid_in(press.id) is not None:
                    self.gone[press.id] = (one.since, one.sheet)
        #: by kind and press: before this none could be loaded, and as the shop only fills none will be
        self.tried: dict[tuple[str, str], int] = {}
        #: benches and scales that are out of order at some time; seldom any
        self.out_at_times = [site.id for site in week.of_kind("bench", "scale") if site.absent]
        self.saw, self.dryers = Calendar.of(week.of_kind("saw")), Dryers(week)

    def way(
        self, sheet: Sheet, *, presses: Collection[str] = (), stays: Collection[int] | None = None
    ) -> Way | None:
        """The way that is loaded first; None where none is left in this week. `presses`, `stays`: in one of these
        alone."""
        every = [press for press in sheet.kind.dwell if not presses or press in presses]
        ways = [way for press in every if (way := self._in_press(sheet, press, stays)) is not None]
        return min(ways, key=lambda way: (way.run.load, way.free), default=None)

    def _in_press(self, sheet: Sheet, press: str, stays: Collection[int] | None) -> Way | None:
        dwell = sheet.kind.dwell[press]
        before, old = self.gone.get(press), self.like.get(sheet.id)
        for stretch in self.stretches[press]:
            if stretch.stay in self.cold or (stays is not None and stretch.stay not in stays):
                continue
            window = self._window(stretch)
            warm = self._warm(sheet, press, stretch.number)
            on = self.on.get((press, stretch.number))
            # of what is in it when it fails heaters go off, and on again
            off = self.emptied[press] if before is None else max(self.emptied[press], before[0])
            first = max(self.week.now, (max(window.start, self.since, off) if on is None else on[0]) + warm)
            first = max(first, self.week.warm_at.get(press, first))
            if before is not None:
                change = self.week.changes.get((press, before[1].kind.key, sheet.kind.key), 0)
                first = max(first, before[0] + change)
            pair = (self.week.times.load, 2, HOT)
            like = f"{sheet.kind.key} {len(sheet.done.works) if sheet.done else 0}"
            if old is not None:
                like, first = sheet.id, max(first, old.load)
            load = self.crew.next(max(first, self.tried.get((like, press), first)), *pair)
            while load is not None and load < window.end:
                heats = load if on is not None else load - warm
                if back := self.back(press, heats, load + self.week.times.load + dwell.planned):
                    load = self.crew.next(back + load - heats, *pair)
                    continue
                cool = self._cooler_free(sheet, self.ripe(sheet, dwell, load + self.week.times.load))
                if cool > window.end - self.week.times.transfer:
                    break
                if dwell.latest is not None and cool > load + self.week.times.load + dwell.latest:
                    load = self.crew.next(cool - dwell.latest - self.week.times.load, *pair)
                    continue
                if (later := self._waits(sheet, load)) is not None:
                    load = self.crew.next(later, *pair)
                    continue
                way = self._from(sheet, press, dwell, load, cool, window)
                if way is not None:
                    self.tried[like, press] = load
                    return way
                load = self.crew.next(load + 1, *pair)
        return None

    def _window(self, stretch: Stretch) -> Span:
        """When heaters are on in a stretch at most."""
        window, span = self.windows[stretch.stay], stretch.span
        end = span.end if stretch.off_by is None else min(span.end, stretch.off_by)
        return Span(max(window.start, span.start), min(window.end, end))

    def stretch(self, press: str, moment: int) -> int | None:
        """The number of the stretch of a press in which a moment lies; None: in none."""
        there = [s.number for s in self.stretches[press] if s.span.start <= moment < s.span.end]
        return there[-1] if there else None

    def ripe(self, sheet: Sheet, dwell: Dwell, loaded: int) -> int:
        """When its dwell is over; no sooner than it was to be, if that is no later than its latest."""
        least, old = loaded + max(dwell.planned, sheet.dwell_least), self.like.get(sheet.id)
        if old is None or (dwell.latest is not None and old.transfer > loaded + dwell.latest):
            return least
        return max(least, old.transfer)

    def _waits(self, sheet: Sheet, load: int) -> int | None:
        """When it can be loaded at the soonest, where no bench or not its scale works in time for this minute."""
        t = self.week.times
        if not self.out_at_times or sheet.work("prepare") is not None:
            return None
        out = [
            max(
                (s.end for s in site.absent if s.start < load + t.load and load - t.prepare < s.end),
                default=0,
            )
            for site in self.week.of_kind("bench")
        ]
        if soonest := min(out, default=0):
            return soonest + t.prepare
        if sheet.work("weigh") is not None:
            return None
        last = load - t.prepare - t.weigh
        scale = self.week.scale_for(sheet.kind.charge)
        gone = [s.end for s in scale.absent if s.start <= last - AHEAD and last < s.end]
        return max(gone) + t.weigh + t.prepare if gone else None

    def _cooler_free(self, sheet: Sheet, ready: int) -> int:
        """The first minute from `ready` on at which a cooling press is empty and works for as long as it has to."""
        soonest = []
        for place in sheet.kind.press_cool:
            moment = max(ready, self.cooler.get(place, 0))
            while (back := self.back(place, moment, self.opens(sheet, place, moment))) is not None:
                moment = back
            soonest.append(moment)
        return min(soonest)

    def _warm(self, sheet: Sheet, press: str, k: int) -> int:
        """From heaters on to the load: heat-up, soak, and for the first of a stay what wiping takes."""
        warm = self.week.heat_up[press, sheet.kind.dwell[press].set_point] + self.week.times.soak
        before = self.gone.get(press)
        on = self.on.get((press, k))
        if before is None or (on is not None and before[0] > on[0]):
            return warm
        return warm + self.week.cleans.get((before[1].kind.key, sheet.kind.key), 0)

    def _from(
        self, sheet: Sheet, press: str, dwell: Dwell, load: int, ready: int, window: Span
    ) -> Way | None:
        """The way of a sheet that is loaded at this minute and may leave its press at `ready`; None where something is
        in its way."""
        t, kind = self.week.times, sheet.kind
        loaded = load + t.load
        if loaded + max(dwell.planned, sheet.dwell_least) + t.transfer > window.end:
            return None
        last = window.end - t.transfer
        if dwell.latest is not None:
            last = min(last, loaded + dwell.latest)
        transfer = self.crew.next(ready, t.transfer, 2, HOT)
        if transfer is None or transfer > last or self.back(press, load, transfer + t.transfer):
            return None
        prepared = self._prepared(sheet, load)
        if prepared is None:
            return None
        prepare, preparer, frame, skins = prepared
        scale = self.week.scale_for(kind.charge)
        weighed = self._weighed(sheet, scale, prepare)
        if weighed is None:
            return None
        weigh, weigher = weighed
        dried = self.dryers.dried(sheet, weigh, load)
        if dried is None:
            return None
        found = self.cooled_in(sheet, transfer)
        if found is None:
            return None
        cooler, cooled = found
        run = Run(
            sheet=sheet.id, press=press, cooling=cooler, weigh=weigh, scale=scale.id, prepare=prepare, bench="",
            load=load, transfer=transfer, leave=cooled.leave, stay=cooled.stay, demould=cooled.demould,
            demould_at=cooled.at, trim=None, saw=None, ready=cooled.demould + t.demould, dry=dried[0], dryer=dried[1],
        )  # fmt: skip
        loaders = self.crew.free(load, loaded, 2, HOT)
        carriers = self.crew.free(transfer, transfer + t.transfer, 2, HOT)
        assert loaders is not None  # both minutes were found free above
        assert carriers is not None
        return Way(
            run=run, free=cooled.demould + t.demould, frame=frame, skins=skins,
            hands=(
                (weigh, weigh + t.weigh, weigher), (prepare, prepare + t.prepare, preparer),
                (load, loaded, loaders), (transfer, transfer + t.transfer, carriers), *cooled.hands,
            ),
        )  # fmt: skip

    def _prepared(self, sheet: Sheet, load: int) -> tuple[int, tuple[str, ...], str, str] | None:
        """The latest start of preparing, so that the bench is not held for long, with the mould that is free."""
        t, kind, now = self.week.times, sheet.kind, self.week.now
        fact, weighed = sheet.work("prepare"), sheet.work("weigh")
        if fact is not None:
            assert sheet.done is not None
            return None if load < fact.end else (fact.start, (), sheet.done.frame, sheet.done.skins)
        soonest, old = now if weighed is None else max(now, weighed.end), self.like.get(sheet.id)
        latest = load - t.prepare
        as_before = [old.prepare] if old is not None and soonest <= old.prepare <= latest else []
        for start in (*as_before, *range(latest, max(soonest, latest - AHEAD) - 1, -1)):
            if not self.bench.free(start, load + t.load):
                if start in as_before and start < latest:
                    continue
                return None
            frame = min((f for f in kind.frames if self.until.get(f, start) <= start), default=None)
            skins = min((s for s in kind.skins if self.until.get(s, start) <= start), default=None)
            if frame is None or skins is None:
                if start in as_before and start < latest:
                    continue
                return None
            who = self.crew.free(start, start + t.prepare, 1)
            if who is not None:
                return start, who, frame, skins
        return None

    def _weighed(self, sheet: Sheet, scale: Site, prepare: int) -> tuple[int, tuple[str, ...]] | None:
        t, fact = self.week.times, sheet.work("weigh")
        if fact is not None:
            return fact.start, ()
        soonest = self.week.now if sheet.dried is None else max(self.week.now, sheet.dried[1])
        first, last = max(soonest, prepare - t.weigh - AHEAD), prepare - t.weigh
        if any(gone.start <= first and last < gone.end for gone in scale.absent):
            return None  # it is out of order all the while
        old = self.like.get(sheet.id)
        as_before = [old.weigh] if old is not None and soonest <= old.weigh <= last else []
        for start in (*as_before, *range(last, first - 1, -1)):
            who = self.crew.free(start, start + t.weigh, 1)
            if who is not None and self.places[scale.id].free(start, start + t.weigh):
                return start, who
        return None

    def take(self, sheet: Sheet, way: Way) -> None:
        """The sheet goes this way; nothing of it has come to a press yet."""
        t, run = self.week.times, way.run
        clamped = run.transfer + t.transfer
        for start, end, who in way.hands:
            self.crew.take(start, end, who)
        k = self.stretch(run.press, run.load)
        assert k is not None  # it was found in one
        since = self.on.get((run.press, k), (run.load - self._warm(sheet, run.press, k), 0))[0]
        self.on[run.press, k] = (since, clamped)
        self.gone[run.press] = (clamped, sheet)
        if sheet.work("prepare") is None:
            self.bench.take(run.prepare, run.load + t.load)
        if run.dry is not None and run.dryer is not None:
            self.dryers.take(sheet, run.dryer, run.dry)
        if sheet.work("weigh") is None:
            self.places[run.scale].take(run.weigh, run.weigh + t.weigh)
        self.take_cooling(sheet, way)

    def sawn(self, free: int, hot: list[tuple[int, int]]) -> int | None:
        """The first minute from `free` on at which a sheet may be sawn while none of `hot` lasts; it is taken."""
        t = self.week.times
        start = self.crew.next(free, t.trim, 1, SAW)
        while start is not None and start + t.trim <= self.week.end:
            end = start + t.trim
            later = max((b for a, b in hot if a < end and b > start), default=start)
            if later == start and self.saw.free(start, end):
                who = self.crew.free(start, end, 1, SAW)
                assert who is not None
                self.crew.take(start, end, who)
                self.saw.take(start, end)
                return start
            start = self.crew.next(max(later, start + 1), t.trim, 1, SAW)
        return None
