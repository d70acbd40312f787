"""Where and when: steps in order, places with room, frames that are free, nothing opened too early, top mould first."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta

from flatstock.errors import Fault
from flatstock.running.breach import Breach, never, soft
from flatstock.running.event import Event
from flatstock.running.heating import WAIT, cold_words, ready_to_load
from flatstock.running.kinds import kinds
from flatstock.running.situation import Situation
from flatstock.running.stays import SAME, Stay
from flatstock.running.words import clock, clock_up, core_words

__all__ = [
    "cold_platens",
    "danger_first",
    "heaters",
    "leaves_in_time",
    "moulds",
    "no_cooling",
    "no_hands",
    "places",
    "too_early",
]

#: what is still noted while a danger is on: what ends it, and what happened besides
_IN_DANGER = frozenset(
    {
        "power_cut",
        "power_back",
        "smoke",
        "accident",
        "cleared",
        "heating_off",
        "extract_on",
        "extract_off",
        "platen_read",
        "note",
        "undone",
        "corrected",
        "arrived",
        "left",
        "blocked",
        "scrapped",
    }
)
_MEASURE_FIRST = frozenset({"transferred", "breathed"})
_AHEAD = timedelta(minutes=2)  #: a device's clock may be ahead by this much; our own figure
_BEFORE = {
    "prepared": ("planned", "weighed"),
    "set_aside": ("prepared",),
    "loaded": ("planned", "weighed", "prepared"),
    "breathed": ("hot",),
    "transferred": ("hot",),
    "moved": ("cooling",),
    "demoulded": ("cooling",),
    "trimmed": ("demoulded",),
    "measured": ("demoulded", "trimmed"),
}
_STANDS = {"hot": "in the hot press"}  #: a stage of a track in words, where its name alone does not say it


def danger_first(event: Event, now: Situation) -> Iterator[Breach]:
    """While a danger is on nothing else is done; afterwards the platens are measured before the press is opened."""
    on = now.on
    if on is not None and event.kind not in _IN_DANGER:
        yield soft(on.say.headline, "nothing else is done while it is on", on.say.then)
    mould = now.tracks.get(event.sheet or "")
    for silence in now.silences:
        if event.kind in _MEASURE_FIRST and mould and mould.now and mould.now.since < silence.until:
            span = f"{clock(silence.since, now.zone)} to {clock(silence.until, now.zone)}"
            what = f"nobody has said whether its heat failed while the app was off, {span}"
            yield soft(event.sheet or "", what, "answer what the board asks, then look at its clock again")
    for danger in now.dangers:
        track = now.tracks.get(event.sheet or "")
        where = track.now.place if track and track.now else None
        if event.kind in _MEASURE_FIRST and where in danger.measure:
            what = f"its platens have not been measured since {clock(danger.since, now.zone)}"
            yield soft(where or "", what, "measure them first: the dwell that is left follows from it")
    if event.kind == "cleared" and event.facts.get("danger") not in {d.event for d in now.dangers}:
        yield soft("danger", "no such danger is on", "name the one that is shown")


def cold_platens(press: str, now: Situation, at: datetime) -> Fault | None:
    """Where its platens stand, while it is not ready to be loaded."""
    warming = now.warming.get(press)
    if warming is None or ready_to_load(warming, at):
        return None
    return Fault(press, cold_words(warming, now.zone, now=at), WAIT)


def no_cooling(sheet: str, now: Situation, at: datetime) -> Fault | None:
    """Where no cooling press can be emptied by when a mould that is loaded now must have left the hot press.

    Nothing is said where a latest dwell, or when a press can be emptied, is not known.
    """
    latest = now.sheet(sheet).dwell_latest
    if latest is None:
        return None
    leaves, frees = at + timedelta(seconds=latest), []
    for press in now.shop.cooling_presses:
        inside = [stay.sheet for stay in now.inside(press) if stay.sheet != sheet]
        if not inside:
            return None
        empty = [_first_out(one, now) for one in inside]
        known = [one for one in empty if one is not None]
        if len(known) < len(empty):
            return None
        frees.append((max(known), press, ", ".join(inside)))
    if not frees or min(frees)[0] <= leaves:
        return None
    free, press, holds = min(frees)
    ends = f"{sheet} would have to leave by {clock(leaves, now.zone, beside=at)}"
    what = f"{holds} can't leave it before {clock_up(free, now.zone, beside=at)}, and {ends}"
    return Fault(
        press, what, f"load it from {clock_up(free - timedelta(seconds=latest), now.zone, beside=at)} on"
    )


def no_hands(sheet: str, now: Situation, at: datetime) -> Fault | None:
    """Where two who may transfer it are never there from the end of its planned dwell to its latest, as at lunch."""
    planned = now.sheet(sheet)
    dwell, latest = planned.dwell_planned or planned.dwell, planned.dwell_latest
    if dwell is None or latest is None or latest < dwell:
        return None
    kind, due, end = kinds()["transferred"], at + timedelta(seconds=dwell), at + timedelta(seconds=latest)
    moments = (due + timedelta(minutes=n) for n in range(int((end - due).total_seconds() // 60) + 1))
    if any(len(now.people.there(one, skill=kind.skill)) >= kind.people for one in moments):
        return None
    span = f"from {clock(due, now.zone, beside=at)} to {clock(end, now.zone, beside=at)}"
    what = f"{kind.people} who may transfer it are not here {span}, when it has to leave the hot press"
    return Fault(sheet, what, "load it so that they are, or ask somebody to be here")


def _first_out(sheet: str, now: Situation) -> datetime | None:
    """When a mould may leave a cooling press at the earliest, opened or carried on; None: not known."""
    course = now.courses.get(sheet)
    gates = [] if course is None else [course.gates.get(kind) for kind in ("moved", "demoulded")]
    return min(
        (one.not_before for one in gates if one is not None and one.not_before is not None), default=None
    )


def leaves_in_time(event: Event, now: Situation) -> Iterator[Breach]:
    """A mould loaded though in time no cooling press will be free for it, or nobody there to move it; by who says why
    it is done.
    """
    if event.kind == "loaded" and event.sheet and not event.why:
        for fault in (no_cooling(event.sheet, now, event.at), no_hands(event.sheet, now, event.at)):
            if fault is not None:
                yield Breach(fault)


def heaters(event: Event, now: Situation) -> Iterator[Breach]:
    """A mould laid into a press whose heaters are off, or whose platens are still on their way to the set-point.

    What was laid in all the same, `cold` and with why, has happened: its dwell is reckoned from the platens as they
    were.
    """
    heat = now.heats.get(event.where or "")
    if event.kind == "loaded" and heat is not None and not heat.on and heat.since is not None:
        what = f"its heaters are off since {clock(heat.since, now.zone)}"
        yield soft(heat.press, what, "switch them on and let it soak first")
    elif (
        event.kind == "loaded" and not event.why and (cold := cold_platens(event.where or "", now, event.at))
    ):
        yield Breach(cold)
    if event.kind == "platen_read":
        read = event.facts.get("temperature_C")
        if isinstance(read, int | float) and not -20 <= read <= 400:
            yield never(event.where or "", f"{read:g} °C is no platen's temperature", "read it again")


def moulds(event: Event, now: Situation) -> Iterator[Breach]:
    """A step out of turn, or in the future; a frame or skins that another mould has."""
    if event.at > now.now + _AHEAD:
        yield soft("time", f"{clock(event.at, now.zone)} has not come yet", "check the device's clock")
    track = now.tracks.get(event.sheet or "")
    stage = "planned" if track is None else track.stage
    if event.sheet is not None and now.sheets and event.sheet not in now.sheets and track is None:
        yield soft("sheet", f"no sheet of the plan is called {event.sheet!r}", "pick one that is shown")
    if event.kind in ("moved", "demoulded") and track is not None:
        stage = track.stands
    if event.kind in _BEFORE and stage not in _BEFORE[event.kind]:
        first = " or ".join(_STANDS.get(one, one) for one in _BEFORE[event.kind])
        yield soft(
            event.sheet or "",
            f"it is {_STANDS.get(stage, stage)}; it can be {event.kind.replace('_', ' ')} only while it is {first}",
            "look again which sheet it is, and whether somebody has told this already",
        )
    if event.kind == "weighed" and stage not in ("planned", "weighed"):
        yield soft(
            event.sheet or "", f"it is {stage}: its charge has been weighed", "look again which sheet it is"
        )
    if event.kind == "prepared":
        for name in ("frame", "skins"):
            mine = event.facts.get(name)
            for other in now.tracks.values():
                theirs = other.frame if name == "frame" else other.skins
                if (
                    mine
                    and theirs == mine
                    and other.sheet != event.sheet
                    and other.stands in ("prepared", "hot", "cooling")
                ):
                    yield soft(
                        f"facts.{name}",
                        f"{mine} is still round {other.sheet}",
                        "take another, or demould that first",
                    )
        yield from _bench(event, now)


def _bench(event: Event, now: Situation) -> Iterator[Breach]:
    """A bench that is full: a prepared mould lies on it until it is loaded, and the plan reckons so."""
    benches = {name: one.capacity for name, one in now.shop.places.items() if one.kind == "bench"}
    lie = [one.sheet for one in now.tracks.values() if one.stage == "prepared" and one.sheet != event.sheet]
    if benches and len(lie) >= sum(benches.values()):
        held = f"{', '.join(lie)} {'lies' if len(lie) == 1 else 'lie'} prepared on {' and '.join(benches)}"
        yield soft(event.sheet or "", held, "load that first")


def places(event: Event, now: Situation) -> Iterator[Breach]:
    """A place that is none, of the wrong kind, full, or too weak; a mould that is not on top."""
    kind, place = kinds()[event.kind], event.where
    if place is not None and kind.places is not None and event.place is not None:
        what = now.kind_of(place)
        if what is None:
            yield never("place", f"no place is called {place!r}", "pick one that is shown")
            return
        if what not in kind.places:
            fits = " or ".join(sorted(one.replace("_", " ") for one in kind.places))
            yield never("place", f"{place} is a {what.replace('_', ' ')}", f"this goes with a {fits}")
            return
    track = now.tracks.get(event.sheet or "")
    if event.kind == "moved" and place is not None and track is not None and track.now is not None:
        here = track.now
        if here.place == place and event.id not in here.by and event.at - here.since > SAME:
            since = clock(here.since, now.zone)
            yield soft(
                "place", f"{event.sheet} stands in {place} since {since}", "look again which sheet it is"
            )
    if event.kind in ("loaded", "transferred", "moved") and place is not None:
        yield from _room(event, place, now)
    if event.kind in ("moved", "demoulded"):
        yield from _on_top(event, now)


def _room(event: Event, place: str, now: Situation) -> Iterator[Breach]:
    inside = [stay for stay in now.inside(place) if stay.sheet != event.sheet]
    most, mass_max = _capacity(place, now)
    if len(inside) >= most:
        held = ", ".join(stay.sheet for stay in inside)
        yield soft(
            place,
            f"{held} {'is' if len(inside) == 1 else 'are'} in it, and it takes {'one' if most == 1 else most}",
            "empty it first, or choose another place",
        )
    masses = [now.mould_mass(name) for name in (*(stay.sheet for stay in inside), event.sheet or "")]
    known = [mass for mass in masses if mass is not None]
    if mass_max is not None and sum(known) > mass_max:
        yield never(
            place,
            f"{sum(known):.0f} kg would stand in it, and it carries {mass_max:g} kg",
            "choose another place",
        )
    mine = now.mould_mass(event.sheet or "")
    if event.kind == "moved" and inside and mine is not None and now.kind_of(place) == "stack":
        yield from _lift_onto(mine, place, now)


def _lift_onto(mass: float, place: str, now: Situation) -> Iterator[Breach]:
    """On top of another mould it cannot be slid at one height: two people may lift it, or a lift takes it."""
    if mass <= now.shop.practice.two_person_lift:
        return
    lifts = [
        p
        for p in now.shop.places.values()
        if p.kind == "lift" and p.load_max is not None and mass <= p.load_max
    ]
    if not lifts:
        most = now.shop.practice.two_person_lift
        what = f"a mould of {mass:.0f} kg would have to be lifted, and two people may lift {most:g} kg"
        yield never(place, what, "slide it into a rack or an empty stack, or get a lifting aid")


def _capacity(place: str, now: Situation) -> tuple[int, float | None]:
    shop = now.shop
    if place in shop.stacks:
        return shop.stacks[place].moulds_max, shop.stacks[place].mass_max
    if place in shop.racks:
        return shop.racks[place].moulds_max, None
    if place in shop.places:
        return shop.places[place].capacity, shop.places[place].load_max
    return 1, None


def _on_top(event: Event, now: Situation) -> Iterator[Breach]:
    track = now.tracks.get(event.sheet or "")
    here = None if track is None else track.now
    if here is None or here.place not in now.shop.stacks:
        return
    above = [s.sheet for s in now.inside(here.place) if (s.since, s.sheet) > (here.since, here.sheet)]
    if above:
        stand = ", ".join(reversed(above))
        yield soft(
            here.place,
            f"{stand} {'stands' if len(above) == 1 else 'stand'} on {event.sheet}",
            "take the top one first",
        )


def too_early(event: Event, now: Situation) -> Iterator[Breach]:
    """Opened before the late end of its band. What nobody can tell is not opened after a cut either."""
    track = now.tracks.get(event.sheet or "")
    here = None if track is None else track.now
    if here is None or event.kind not in ("transferred", "moved", "demoulded"):
        return
    course = now.courses.get(here.sheet)
    if course is None:
        if here.hot and _cut(here, now):
            yield soft(
                here.place,
                "its heat failed while the mould was in it; nobody knows yet what dwell is left",
                "leave it closed and measure the platens",
            )
        return
    gate = course.gates.get(event.kind)
    if gate is None:
        return
    core, limit = course.core_at(event.at), gate.limit
    why = "" if core is None or limit is None else core_words(core, limit, hot=here.hot, closed=True)
    if gate.not_before is None:
        yield soft(
            here.place,
            f"do not open: it is not ready within the time that can be told{why}",
            "leave it closed",
        )
    elif event.at < gate.not_before:
        yield soft(
            here.place,
            f"do not open before {clock_up(gate.not_before, now.zone, beside=event.at)}{why}",
            "leave it closed until then",
        )


def _cut(stay: Stay, now: Situation) -> bool:
    heat = now.heats.get(stay.place)
    return heat is not None and any(end is None or end > stay.since for _, end in heat.cuts)
