"""Cooling presses, stacks and racks while a rule fills the shop: how a mould cools on and when it is emptied."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import NamedTuple

from flatstock.planning.dispatch.calendars import Calendar, Crew
from flatstock.planning.problem.schedule import Run
from flatstock.planning.problem.warmth import cold_from, ends_after, opens_after, plates_of, stacked_after
from flatstock.planning.problem.week import Sheet, Site, Week

__all__ = ["Cooled", "Cooling", "Way"]

Work = tuple[int, int, tuple[str, ...]]  #: start, end, who
WAIT = 120  #: minutes that a step of hands is looked for after it could be: lunch, and a busy hour
NIGHT = 6  #: moulds that a night's stack is left room for where all of it is opened in the morning


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


class _Laid(NamedTuple):
    """A mould in a stack."""

    sheet: Sheet
    start: int
    end: int
    cold: bool  #: it has cooled for long enough to lie with what it would melt again


class Cooling:
    """What is settled so far behind the hot presses, and who is free."""

    def __init__(
        self, week: Week, *, clear: bool, overnight: bool, patient: int, like: Mapping[str, Run]
    ) -> None:
        """`clear`: a cooling press is cleared as soon as can be, else its mould emptied so; `patient`: but a mould
        stays so many minutes longer to be demoulded there. `overnight`: what comes into a stack stays there until the
        next morning. `like`: ways of an earlier plan: no step of theirs comes sooner than it was to, and places are the
        same where they are free."""
        self.week, self.crew, self.stays = week, Crew(week), week.supervised()
        self.clear, self.overnight, self.patient, self.like = clear, overnight, patient, like
        self.cooler: dict[str, int] = {}  #: by cooling press: empty from then on
        self.plates = plates_of(week)
        self.plates_cold = dict(self.plates.cold)  #: by cooling press, from when on
        #: frames and skins: none that is to be out of order is taken before it is back
        self.until = {name: max(gone.end for gone in out) for name, out in week.absent.items() if out}
        self.moulds: dict[str, list[tuple[int, int]]] = {}  #: by stack: stays
        self.laid: dict[str, list[_Laid]] = {}  #: by stack: the same, with whose they are
        self.places = {
            site.id: Calendar.of([site]) for site in week.of_kind("stack", "rack", "lift", "scale")
        }
        #: stacks and racks that nothing comes into any more: looking for a minute in them takes long
        self.shut = {site.id for site in week.of_kind("stack", "rack") if week.gone(site)}
        self.bench = Calendar.of(week.of_kind("bench"))
        self.loads: dict[str, list[tuple[int, int, float]]] = {}  #: by stack or rack with a limit: stays, kg

    def cooled_in(self, sheet: Sheet, transfer: int, *, wait: int = WAIT) -> tuple[str, Cooled] | None:
        """The cooling press that takes it at this minute, and how it goes on; None: there is none."""
        t = self.week.times
        # the one with the coldest plates, where they get warm
        old = self.like.get(sheet.id)
        coldest = sorted(
            sheet.kind.press_cool,
            key=lambda place: (
                old is not None and place != old.cooling,
                self.warmth(sheet, place, transfer + t.transfer),
            ),
        )
        for cooler in coldest:
            if self.cooler.get(cooler, 0) > transfer:
                continue
            ways = self.cooled(sheet, cooler, transfer + t.transfer, wait=wait)
            gone = t.move if self.week.sites[cooler].absent else 0
            working = [way for way in ways if not self.back(cooler, transfer, way.leave + gone)]
            if working:
                return cooler, min(working, key=lambda way: self.first(sheet, way))
        return None

    def first(self, sheet: Sheet, way: Cooled) -> tuple[bool, int, int]:
        """The least of these is taken."""
        old = self.like.get(sheet.id)
        elsewhere = old is not None and old.stay != way.stay
        leave = way.leave + (self.patient if way.stay is not None else 0)
        return (elsewhere, leave, way.demould) if self.clear else (elsewhere, way.demould, way.leave)

    def cooled(
        self, sheet: Sheet, cooler: str, clamped: int, *, wait: int = WAIT, after: int = 0
    ) -> Iterator[Cooled]:
        """Every way to cool on: in the press, or in each stack and rack; it is moved `after` a minute."""
        t, kind = self.week.times, sheet.kind
        lift = self.week.lift_for(kind.mould_mass)
        lifted = 1 if lift else 2
        warmth = self.warmth(sheet, cooler, clamped)
        old = self.like.get(sheet.id)
        moved, emptied = (0, 0) if old is None else (old.leave if old.stay else 0, old.demould)
        opens = max(after, self.week.now, clamped + opens_after(sheet, cooler, warmth))
        whole = max(opens, emptied, clamped + ends_after(sheet, cooler, warmth))
        opens = max(opens, moved)
        laid = max(opens, clamped + stacked_after(sheet, cooler, warmth))
        direct = self.opened(lift, lifted, whole, whole + wait)
        if direct is not None:
            yield Cooled(direct[0], None, direct[0], lift.id if lift else "", (direct,))
        for place in kind.rest:
            if place in self.shut:
                continue
            stacked = self.week.sites[place].kind == "stack"
            # as soon as it may be opened, where nothing lies there that it would melt again
            for first in sorted({opens if sheet.melts else laid, laid}) if stacked else (opens,):
                leave = self._moved(place, lift, lifted, first)
                if leave is None:
                    continue
                least = max(emptied, leave[0] + t.move + sheet.rests(place))
                if stacked and self.overnight:
                    least = max(least, self._morning(place, leave[0]))
                opened = self.opened(lift, lifted, least, self.week.end, stay=(place, leave[0]))
                if opened is not None and self._holds(
                    place, sheet, leave[0], opened[0], alone=self._alone(place, sheet), cold=leave[0] >= laid
                ):
                    yield Cooled(leave[0], place, opened[0], lift.id if lift else "", (leave, opened))
                    break

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

    def _holds(
        self, place: str, sheet: Sheet, start: int, end: int, *, alone: bool = False, cold: bool = False
    ) -> bool:
        """Whether a stack or rack has room and strength for one more mould, and none of them melts another again;
        `alone`: it takes no other then, `cold`: it has cooled for long enough to melt nothing."""
        site = self.week.sites[place]
        for other in self.laid.get(place, ()):
            if other.start < end and start < other.end:
                melts = not cold and other.sheet.kind.key in sheet.melts
                if melts or (not other.cold and sheet.kind.key in other.sheet.melts):
                    return False
        if alone and any(a < end and start < b for a, b in self.moulds.get(place, ())):
            return False
        there = [one for one in self.loads.get(place, ()) if one[0] < end and one[1] > start]
        heaviest = sheet.kind.mould_mass + sum(mass for _, _, mass in there)
        return self.places[place].free(start, end) and (site.mass_max is None or heaviest <= site.mass_max)

    def take_cooling(self, sheet: Sheet, way: Way) -> None:
        """What it holds from the cooling press on, until its mould is empty."""
        t, run = self.week.times, way.run
        for thing in (way.frame, way.skins):
            self.until[thing] = max(way.free, self.until.get(thing, 0))
        lift = self.week.lift_for(sheet.kind.mould_mass)
        at = self.places[lift.id] if lift else self.bench
        at.take(run.demould, way.free)
        leave, gone = run.leave, sheet.work("transfer")
        clamped = run.transfer + t.transfer if gone is None else gone.end
        if run.stay is not None:
            leave += t.move
            self.places[run.stay].take(run.leave, run.demould)
            self.loads.setdefault(run.stay, []).append((run.leave, run.demould, sheet.kind.mould_mass))
            if self.week.sites[run.stay].kind == "stack":
                self.moulds.setdefault(run.stay, []).append((run.leave, run.demould))
                self.laid.setdefault(run.stay, []).append(self._laid(sheet, run, clamped))
            if lift:
                at.take(run.leave, leave)
        self.cooler[run.cooling] = max(leave, self.cooler.get(run.cooling, 0))
        cold = clamped + self.warmth(sheet, run.cooling, clamped)
        cold = cold_from(sheet, run.cooling, clamped=clamped, leave=run.leave, cold=cold)
        self.plates_cold[run.cooling] = max(cold, self.plates_cold.get(run.cooling, cold))

    def _laid(self, sheet: Sheet, run: Run, clamped: int) -> _Laid:
        """What lies there already is left as it is."""
        least = stacked_after(sheet, run.cooling, self.warmth(sheet, run.cooling, clamped))
        cold = sheet.work("move") is not None or run.leave >= clamped + least
        return _Laid(sheet, run.leave, run.demould, cold)

    def back(self, place: str, start: int, end: int) -> int | None:
        """When a place that is out of order at some time from start to end is back; None: it is not."""
        out = [gone.end for gone in self.week.sites[place].absent if gone.start < end and start < gone.end]
        return max(out, default=None)

    def opens(self, sheet: Sheet, place: str, transfer: int) -> int:
        """When a mould may be opened that comes into a cooling press then."""
        clamped = transfer + self.week.times.transfer
        return clamped + opens_after(sheet, place, self.warmth(sheet, place, clamped))

    def warmth(self, sheet: Sheet, place: str, clamped: int) -> int:
        """Of the plates that a mould finds."""
        known = self.plates.warmth.get(sheet.id)
        return max(0, self.plates_cold.get(place, clamped) - clamped) if known is None else known
