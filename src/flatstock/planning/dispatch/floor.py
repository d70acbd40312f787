"""The shop while a rule fills it: for each sheet the earliest way through that what is settled leaves open."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from flatstock.planning.dispatch.calendars import Calendar, Crew
from flatstock.planning.dispatch.dryers import Dryers
from flatstock.planning.problem.clock import Span
from flatstock.planning.problem.schedule import Run
from flatstock.planning.problem.stretches import Stretch, stretches
from flatstock.planning.problem.warmth import cold_from, ends_after, opens_after, plates_of, stacked_after
from flatstock.planning.problem.week import HOT, SAW, Dwell, Sheet, Site, Week

__all__ = ["Cooled", "Floor", "Way", "Work"]

Work = tuple[int, int, tuple[str, ...]]  #: start, end, who
WAIT = 120  #: minutes that a step of hands is looked for after it could be: lunch, and a busy hour
NIGHT = 6  #: moulds that a night's stack is left room for where all of it is opened in the morning
AHEAD = 240  #: minutes before the press in which a mould may stand weighed or prepared


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """One sheet's way, not taken yet."""

    run: Run
    free: int  #: the mould is empty again
    frame: str
    skins: str
    hands: tuple[Work, ...]


@dataclass(frozen=True, slots=True)
class Cooled:
    """How a mould cools on and is emptied."""

    leave: int
    stay: str | None
    demould: int
    at: str
    hands: tuple[Work, ...]


class Floor:
    """What is settled so far."""

    def __init__(
        self,
        week: Week,
        *,
        saw: tuple[int, int, int] = (0, 0, 0),
        cold: frozenset[int] = frozenset(),
        clear: bool = True,
        overnight: bool = False,
        like: Mapping[str, Run] = MappingProxyType({}),
    ) -> None:
        """`saw`: minutes without heat at the start and the end of every supervised stay, and at the very last end.
        `overnight`: what comes into a stack stays there until the next morning. `like`: ways of an earlier plan: no
        step of theirs comes sooner than it was to, and places are the same where they are free."""
        self.like = like
        self.overnight = overnight
        self.cold = cold  #: supervised stays in which nothing is heated
        self.clear = clear  #: a cooling press is cleared as soon as can be, else its mould emptied so
        self.week, self.crew = week, Crew(week)
        first, last, final = saw
        self.stays = stays = week.supervised()
        self.since = week.now  #: no press is switched on before
        #: heaters are on within these only, so that the saw has time beside them
        self.windows = [Span(w.start + first, w.end - (final if w is stays[-1] else last)) for w in stays]
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
        self.cooler: dict[str, int] = {}
        self.plates = plates_of(week)
        self.plates_cold = dict(self.plates.cold)  #: by cooling press, from when on
        #: frames and skins: none that is to be out of order is taken before it is back
        self.until = {name: max(gone.end for gone in out) for name, out in week.absent.items() if out}
        #: by kind and press: before this none could be loaded, and as the shop only fills none will be
        self.tried: dict[tuple[str, str], int] = {}
        self.moulds: dict[str, list[tuple[int, int]]] = {}  #: by stack: stays
        self.places = {
            site.id: Calendar.of([site]) for site in week.of_kind("stack", "rack", "lift", "scale")
        }
        #: stacks and racks that nothing comes into any more: looking for a minute in them takes long
        self.shut = {site.id for site in week.of_kind("stack", "rack") if week.gone(site)}
        #: benches and scales that are out of order at some time; seldom any
        self.out_at_times = [site.id for site in week.of_kind("bench", "scale") if site.absent]
        self.bench, self.saw = Calendar.of(week.of_kind("bench")), Calendar.of(week.of_kind("saw"))
        self.dryers = Dryers(week)
        self.loads: dict[str, list[tuple[int, int, float]]] = {}  #: by stack or rack with a limit: stays, kg

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
            off = (
                0 if before is None else before[0]
            )  # of what is in it when it fails heaters go off, and on again
            first = max(self.week.now, (max(window.start, self.since, off) if on is None else on[0]) + warm)
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
                if back := self._back(press, heats, load + self.week.times.load + dwell.planned):
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
        if old is None:
            return least
        return max(least, old.transfer if dwell.latest is None else min(old.transfer, loaded + dwell.latest))

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

    def _back(self, place: str, start: int, end: int) -> int | None:
        """When a place that is out of order at some time from start to end is back; None: it is not."""
        out = [gone.end for gone in self.week.sites[place].absent if gone.start < end and start < gone.end]
        return max(out, default=None)

    def _cooler_free(self, sheet: Sheet, ready: int) -> int:
        """The first minute from `ready` on at which a cooling press is empty and works for as long as it has to."""
        soonest = []
        for place in sheet.kind.press_cool:
            moment = max(ready, self.cooler.get(place, 0))
            while (back := self._back(place, moment, self._opens(sheet, place, moment))) is not None:
                moment = back
            soonest.append(moment)
        return min(soonest)

    def _opens(self, sheet: Sheet, place: str, transfer: int) -> int:
        """When a mould may be opened that comes into a cooling press then."""
        clamped = transfer + self.week.times.transfer
        return clamped + opens_after(sheet, place, self._warmth(sheet, place, clamped))

    def _warmth(self, sheet: Sheet, place: str, clamped: int) -> int:
        """Of the plates that a mould finds."""
        known = self.plates.warmth.get(sheet.id)
        return max(0, self.plates_cold.get(place, clamped) - clamped) if known is None else known

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
        if transfer is None or transfer > last or self._back(press, load, transfer + t.transfer):
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

    def cooled_in(self, sheet: Sheet, transfer: int, *, wait: int = WAIT) -> tuple[str, Cooled] | None:
        """The cooling press that takes it at this minute, and how it goes on; None: there is none."""
        t = self.week.times
        # the one with the coldest plates, where they get warm
        old = self.like.get(sheet.id)
        coldest = sorted(
            sheet.kind.press_cool,
            key=lambda place: (
                old is not None and place != old.cooling,
                self._warmth(sheet, place, transfer + t.transfer),
            ),
        )
        for cooler in coldest:
            if self.cooler.get(cooler, 0) > transfer:
                continue
            ways = self.cooled(sheet, cooler, transfer + t.transfer, wait=wait)
            gone = t.move if self.week.sites[cooler].absent else 0
            working = [way for way in ways if not self._back(cooler, transfer, way.leave + gone)]
            if working:
                return cooler, min(working, key=lambda way: self.first(sheet, way))
        return None

    def first(self, sheet: Sheet, way: Cooled) -> tuple[bool, int, int]:
        """The least of these is taken."""
        old = self.like.get(sheet.id)
        elsewhere = old is not None and old.stay != way.stay
        return (elsewhere, way.leave, way.demould) if self.clear else (elsewhere, way.demould, way.leave)

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

    def cooled(
        self, sheet: Sheet, cooler: str, clamped: int, *, wait: int = WAIT, after: int = 0
    ) -> Iterator[Cooled]:
        """Every way to cool on: in the press, or in each stack and rack; it is moved `after` a minute."""
        t, kind = self.week.times, sheet.kind
        lift = self.week.lift_for(kind.mould_mass)
        lifted = 1 if lift else 2
        warmth = self._warmth(sheet, cooler, clamped)
        old = self.like.get(sheet.id)
        moved, emptied = (0, 0) if old is None else (old.leave if old.stay else 0, old.demould)
        opens = max(after, self.week.now, clamped + opens_after(sheet, cooler, warmth))
        whole = max(opens, emptied, clamped + ends_after(sheet, cooler, warmth))
        opens = max(opens, moved)
        laid = max(opens, clamped + stacked_after(sheet, cooler, warmth))
        direct = self.opened(lift, lifted, whole, whole + wait)
        if direct is not None:
            yield Cooled(direct[0], None, direct[0], lift.id if lift else "", (direct,))
        for place, minutes in kind.rest.items():
            if place in self.shut:
                continue
            stacked = self.week.sites[place].kind == "stack"
            leave = self._moved(place, lift, lifted, laid if stacked else opens)
            if leave is None:
                continue
            least = max(emptied, leave[0] + t.move + max(minutes, sheet.rest_least))
            if stacked and self.overnight:
                least = max(least, self._morning(place, leave[0]))
            opened = self.opened(lift, lifted, least, self.week.end, stay=(place, leave[0]))
            if opened is not None and self._holds(
                place, sheet, leave[0], opened[0], alone=self._alone(place, sheet)
            ):
                yield Cooled(leave[0], place, opened[0], lift.id if lift else "", (leave, opened))

    def _morning(self, place: str, entered: int) -> int:
        """When a mould that comes into a stack now is opened at the soonest if all that lie there over night are
        opened one after the other next morning, the topmost first; the evening of a last day holds nothing back."""
        morning = next((stay.start for stay in self.stays if stay.start > entered), 0)
        under = sum(a <= entered < b for a, b in self.moulds.get(place, ()))
        above = max(0, min(self.week.sites[place].capacity, NIGHT) - 1 - under)
        return morning + above * self.week.times.demould if morning else 0

    def _moved(self, place: str, lift: Site | None, people: int, first: int) -> Work | None:
        t = self.week.times
        start = self.crew.next(first, t.move, people)
        while start is not None and start < min(first + WAIT, self.week.end - t.move):
            end = start + t.move
            if (lift is None or self.places[lift.id].free(start, end)) and self.places[place].free(
                start, end
            ):
                who = self.crew.free(start, end, people)
                assert who is not None
                return start, end, who
            start = self.crew.next(start + 1, t.move, people)
        return None

    def opened(
        self, lift: Site | None, people: int, first: int, last: int, stay: tuple[str, int] | None = None
    ) -> Work | None:
        """When it is demoulded, from `first` to `last`; `stay`: the stack it lies in, and since when."""
        t = self.week.times
        at = self.places[lift.id] if lift else self.bench
        start, last = self.crew.next(first, t.demould, people), min(last, self.week.end - t.demould)
        while start is not None and start <= last:
            free = start if stay is None else self._on_top(*stay, start)
            if free is None:
                return None
            if free == start and at.free(start, start + t.demould):
                who = self.crew.free(start, start + t.demould, people)
                assert who is not None
                return start, start + t.demould, who
            start = self.crew.next(max(free, start + 1), t.demould, people)
        return None

    def _on_top(self, place: str, entered: int, left: int) -> int | None:
        """From when on, at `left` the soonest, a stay since `entered` ends within or around every other of a stack."""
        stays = sorted(self.moulds.get(place, ()))
        for a, b in stays:
            if a <= entered < b and (a == entered or left >= b):
                return None  # what it lies on would have to leave first
        for a, b in stays:  # by their start: what waits for one may meet the next
            if entered < a < left <= b:
                left = b + 1
        return None if any(a < entered < b <= left for a, b in stays) else left

    def _alone(self, place: str, sheet: Sheet) -> bool:
        """Whether nobody may lift it onto another mould in a stack."""
        return self.week.sites[place].kind == "stack" and self.week.slid(sheet.kind.mould_mass)

    def _holds(self, place: str, sheet: Sheet, start: int, end: int, *, alone: bool = False) -> bool:
        """Whether a stack or rack has room and strength for one more mould; `alone`: it takes no other then."""
        site = self.week.sites[place]
        if alone and any(a < end and start < b for a, b in self.moulds.get(place, ())):
            return False
        there = [one for one in self.loads.get(place, ()) if one[0] < end and one[1] > start]
        heaviest = sheet.kind.mould_mass + sum(mass for _, _, mass in there)
        return self.places[place].free(start, end) and (site.mass_max is None or heaviest <= site.mass_max)

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

    def take_cooling(self, sheet: Sheet, way: Way) -> None:
        """What it holds from the cooling press on, until its mould is empty."""
        t, run = self.week.times, way.run
        for thing in (way.frame, way.skins):
            self.until[thing] = max(way.free, self.until.get(thing, 0))
        lift = self.week.lift_for(sheet.kind.mould_mass)
        at = self.places[lift.id] if lift else self.bench
        at.take(run.demould, way.free)
        leave = run.leave
        if run.stay is not None:
            leave += t.move
            self.places[run.stay].take(run.leave, run.demould)
            self.loads.setdefault(run.stay, []).append((run.leave, run.demould, sheet.kind.mould_mass))
            if self.week.sites[run.stay].kind == "stack":
                self.moulds.setdefault(run.stay, []).append((run.leave, run.demould))
            if lift:
                at.take(run.leave, leave)
        self.cooler[run.cooling] = max(leave, self.cooler.get(run.cooling, 0))
        gone = sheet.work("transfer")
        clamped = run.transfer + t.transfer if gone is None else gone.end
        cold = clamped + self._warmth(sheet, run.cooling, clamped)
        cold = cold_from(sheet, run.cooling, clamped=clamped, leave=run.leave, cold=cold)
        self.plates_cold[run.cooling] = max(cold, self.plates_cold.get(run.cooling, cold))

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
