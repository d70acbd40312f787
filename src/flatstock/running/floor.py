"""The floor at an instant: a `Situation` as people have to see it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import datetime, timedelta, tzinfo
from typing import Any

from flatstock.running.calls import EARLY, calls_of
from flatstock.running.courses import Clocks, Course, Gate
from flatstock.running.event import Event
from flatstock.running.extract import extract_of
from flatstock.running.heating import heating_words, not_ready
from flatstock.running.nexts import held, next_of, next_to_do, otherwise
from flatstock.running.sheets import Planned
from flatstock.running.situation import LotFaults, Situation, situation
from flatstock.running.standing import CORRECTING
from flatstock.running.start_checks import start_checks
from flatstock.running.stays import Stay
from flatstock.running.supply_cuts import calms_at
from flatstock.running.taps import UNDO
from flatstock.running.view import Apart, Floor, MouldHere, Next, PlaceHere, State, ToDo, Undoable
from flatstock.running.words import clock, clock_up, core_words, degrees, minutes
from flatstock.workshop.shop import Workshop

__all__ = ["floor", "floor_of"]

STALE = timedelta(minutes=10)  #: a platen temperature older than this is greyed out; our own figure
AHEAD = timedelta(hours=16)  #: how far the to-do list looks
IN_HAND = timedelta(
    hours=1
)  #: before it a step is shown whose mould is loaded later than that; our own figure


def floor(
    events: Iterable[Event],
    plan: Mapping[str, Any] | None,
    shop: Workshop,
    now: datetime,
    *,
    zone: tzinfo,
    clocks: Clocks,
    lot_faults: LotFaults,
) -> Floor:
    """What stands where at `now`.

    Parameters
    ----------
    events
        All that was noted, in any order, any of them more than once.
    plan
        The `flatstock.plan/1` that is kept; None: there is none.
    now
        An instant with an offset; what happened later is left out.
    zone
        Of the shop's clock, for the words alone.
    """
    return floor_of(
        situation(events, plan=plan, shop=shop, zone=zone, clocks=clocks, lot_faults=lot_faults, now=now),
        plan_id=None if plan is None else plan.get("made_at"),
    )


def floor_of(now: Situation, *, plan_id: str | None = None) -> Floor:
    """The same from a situation that is folded already."""
    shop = now.shop
    places = tuple(
        _place(place, kind, capacity, now)
        for kind, known in (
            ("hot_press", dict.fromkeys(shop.hot_presses, 1)),
            ("cooling_press", dict.fromkeys(shop.cooling_presses, 1)),
            ("stack", {p: s.moulds_max for p, s in shop.stacks.items()}),
            ("rack", {p: s.moulds_max for p, s in shop.racks.items()}),
        )
        for place, capacity in known.items()
    )
    here = [mould for place in places for mould in place.moulds]
    ready = [m for m in here if m.next.kind == "demoulded" and m.next.permitted]
    to_do = _to_do(now)
    places = tuple(replace(place, load=_load(place, to_do, now)) for place in places)
    return Floor(
        now=now.now,
        danger=now.on,
        measure=tuple(d for d in now.dangers if d.over is not None),
        places=places,
        to_do=to_do,
        apart=_apart(now),
        ready=tuple(sorted(ready, key=lambda m: (m.counts_to or m.since, m.sheet))),
        calls=tuple(calls_of(places, to_do, now)),
        questions=now.questions,
        silences=now.silences,
        undoable=_undoable(now),
        here=now.people.there(now.now),
        extract=extract_of(now.events, now.now, now.zone),
        checked=start_checks(now.events, now.now, now.zone),
        plan_id=plan_id,
    )


def _place(place: str, kind: str, capacity: int, now: Situation) -> PlaceHere:
    moulds = tuple(_mould(stay, level, now) for level, stay in enumerate(now.inside(place)))
    heat = now.heats.get(place)
    age = now.now - heat.reads[-1][0] if heat is not None and heat.reads else None
    point = None if heat is None else heat.set_point
    if heat is not None and point is None and moulds:
        point = now.sheet(moulds[-1].sheet).set_point
    state: State = max((_in_pile(m, kind) for m in moulds), key=_WEIGHT.index, default="free")
    if now.on is not None and now.on.place in (None, place):
        state = "danger"
    warming = None if moulds else now.warming.get(place)
    if warming is not None and state == "free" and (warming.ready is None or warming.ready > now.now):
        state = "wait"
    return PlaceHere(
        id=place,
        kind=kind,
        capacity=capacity,
        moulds=moulds,
        state=state,
        heat=heat,
        set_point=point,
        read_age=age,
        stale=age is not None and age > STALE,
        ready=None if warming is None else warming.ready,
        heating="" if warming is None else heating_words(warming, now.zone, now=now.now),
        calm=_calm(place, moulds, now),
    )


def _load(place: PlaceHere, to_do: Sequence[ToDo], now: Situation) -> ToDo | None:
    """What a hot press with nothing in it gets next; a sheet of a lot that is held lets the next one pass."""
    if place.kind != "hot_press" or place.moulds or now.on is not None:
        return None
    return next((one for one in to_do if place.id in one.presses and not one.blocked), None)


def _calm(place: str, moulds: Sequence[MouldHere], now: Situation) -> bool:
    """Whether a mould under fans waits for somebody to say that they blow again."""
    press = now.shop.cooling_presses.get(place)
    if press is None or not press.fans_on or not moulds or now.on is not None:
        return False
    return any(end is None for _, end in calms_at(now.calms, place, after=moulds[-1].since))


def _in_pile(mould: MouldHere, kind: str) -> State:
    """How a mould counts for its place: what is ready under another of a stack asks nobody to act."""
    under = kind == "stack" and mould.state in ("call", "act") and not mould.next.permitted
    return "wait" if under else mould.state


_WEIGHT: tuple[State, ...] = ("free", "wait", "call", "act", "late", "danger")


def _mould(stay: Stay, level: int, now: Situation) -> MouldHere:
    sheet, course, step = now.sheet(stay.sheet), now.courses.get(stay.sheet), next_of(stay, now)
    gate = None if course is None else course.gates.get(step.kind)
    counts_to = _counts_to(stay, gate, course, now)
    core = None if course is None else course.core_at(now.now)
    limit = None if gate is None else gate.limit
    left = None if counts_to is None else counts_to - now.now
    state = (
        "wait"
        if now.on is None and _reckoned(stay, step, course, now)
        else _state(left, course, now, hot=stay.hot)
    )
    return MouldHere(
        sheet=stay.sheet,
        what=f"{sheet.what}, given up" if now.tracks[stay.sheet].stage == "scrapped" else sheet.what,
        order=sheet.order,
        since=stay.since,
        elapsed=now.now - stay.since,
        level=level,
        state=state,
        counts_to=counts_to,
        left=left,
        middle=None if gate is None else gate.middle,
        latest=None if course is None else course.latest,
        core=core,
        limit=limit,
        sentence=_sentence(stay, step, course, now),
        consequence=_consequence(stay, sheet, step, course, now) if state in ("act", "late") else None,
        next=step,
        other=otherwise(stay, now),
        basis="nothing" if course is None else course.basis,
        awaited=course is not None and course.awaited,
        notes=() if course is None else course.notes,
        question=any(set(stay.by) & set(q.events) for q in now.questions),
    )


def _counts_to(stay: Stay, gate: Gate | None, course: Course | None, now: Situation) -> datetime | None:
    """When the next step is due: what is in the hot press stays for its planned dwell, though it may leave sooner, and
    never past its latest.
    """
    if gate is None or gate.not_before is None:
        return None
    planned = now.sheet(stay.sheet).dwell_planned
    if not stay.hot or planned is None or (course is not None and course.whole):
        return gate.not_before
    due = max(gate.not_before, stay.since + timedelta(seconds=planned))
    # a plan that finds it no cooling press sooner is no reason to let it spoil in silence
    late = None if course is None else course.latest
    return due if late is None or late < gate.not_before else min(due, late)


def _state(left: timedelta | None, course: Course | None, now: Situation, *, hot: bool) -> State:
    if now.on is not None:
        return "danger"
    if course is not None and course.latest is not None and now.now > course.latest:
        return "late"
    if left is None:  # nobody knows: what cools stays closed, what is being pressed is looked after
        return "act" if hot and not (course is not None and course.gates) else "wait"
    if left > EARLY:
        return "wait"
    return "call" if left > timedelta(0) else "act"


def _reckoned(stay: Stay, step: Next, course: Course | None, now: Situation) -> bool:
    """Whether it is heated again after a cut, and the model has not said yet how long it still needs."""
    heat = now.heats.get(stay.place)
    cut = (
        stay.hot
        and heat is not None
        and heat.on
        and any(end is None or end > stay.since for _, end in heat.cuts)
    )
    return cut and (course is None or step.kind not in course.gates)


def _sentence(stay: Stay, step: Next, course: Course | None, now: Situation) -> str:
    gate = None if course is None else course.gates.get(step.kind)
    if gate is None:
        heat = now.heats.get(stay.place)
        if stay.hot and heat is not None and heat.cuts and not heat.on:
            return "leave it closed; the heat is off, and what dwell is left follows from the platens' temperature"
        if _reckoned(stay, step, course, now):
            return "leave it closed; what dwell is left after the cut is being worked out"
        unknown = "no clock is known for it: measure it before it is opened"
        track = now.tracks.get(stay.sheet)
        if (
            track is not None and track.stage == "scrapped"
        ):  # it may have left long ago, and nobody has told it
            return f"{unknown}; if it has been taken out already, tell that"
        return unknown
    core = None if course is None else course.core_at(now.now)
    why = ""
    if core is not None and gate.limit is not None:
        why = core_words(
            core, gate.limit, hot=stay.hot, closed=gate.not_before is None or now.now < gate.not_before
        )
    if gate.not_before is None:
        return f"do not open; when it is ready cannot be told yet{why}"
    due = _counts_to(stay, gate, course, now)
    if now.now < gate.not_before:
        closed = f"do not open before {clock_up(gate.not_before, now.zone, beside=now.now)}{why}"
        if due is None or not stay.hot or course is None or not course.whole or course.finish is None:
            return closed
        pressed = _until_due(course, due, now)  # the words of what is to be done now come first
        return f"{pressed}; {closed}" if now.now >= due - course.finish.before else f"{closed}; {pressed}"
    if due is not None and now.now < due:
        return f"{_until_due(course, due, now)}; melted through{why}"
    return f"ready since {clock_up(gate.not_before, now.zone, beside=now.now)}{why}"


def _until_due(course: Course | None, due: datetime, now: Situation) -> str:
    """What a mould that has melted through is under until it leaves: full pressure is short, or it flashes out."""
    leaves = clock_up(due, now.zone, beside=now.now)
    begins = None if course is None else course.finish_from(due)
    if course is None or course.finish is None or begins is None:
        return f"contact pressure, full pressure only shortly before {leaves}"
    finish = course.finish
    if now.now < begins:
        until = clock_up(begins, now.zone, beside=now.now)
        return f"contact pressure until {until}; then {finish.words}; out at {leaves}"
    return f"{finish.words}; out at {leaves}"


def _consequence(stay: Stay, sheet: Planned, step: Next, course: Course | None, now: Situation) -> str | None:
    """What waiting does; being late never hurries one person alone. What counts comes before the first semicolon."""
    alone = f"leave it closed until {step.people} are here; " if step.missing else ""
    if stay.hot and course is not None and course.latest is not None:
        point = now.heats[stay.place].set_point or sheet.set_point
        at = "" if point is None else f" at {degrees(point)}"
        if now.now > course.latest:
            over = max(1, minutes(now.now - course.latest))
            ready = "open and transfer" if step.permitted else "first what stands in its way"
            # `alone` says that it stays closed
            done = "heaters off at the isolator" if step.missing else ready
            return f"{alone}+{over} min: expect scorch{at}; {done}"
        grace = minutes(course.latest - now.now)
        return (
            f"{alone}scorch from {clock(course.latest, now.zone, beside=now.now)}{at}; {grace} min of grace"
        )
    if stay.hot:
        return f"{alone}the press stands still; no harm in waiting"
    waiting = [s for s in now.inside_hot() if s.sheet != stay.sheet]
    if now.kind_of(stay.place) == "cooling_press" and waiting:
        return f"{alone}{waiting[0].sheet} in {waiting[0].place} waits for {stay.place}"
    frame = sheet.frame or "its frame"
    return f"{alone}{frame} stays taken; no harm to the sheet"


def _to_do(now: Situation) -> tuple[ToDo, ...]:
    found = []
    for sheet in now.sheets.values():
        track = now.tracks.get(sheet.id)
        if sheet.given_up or (track is not None and track.stage not in ("planned", "weighed", "prepared")):
            continue
        load = sheet.tasks.get("load")
        why = sheet.aside or held(sheet, track, now)
        emptied = why and track is not None and track.stage == "prepared"
        if not emptied and load is None:
            continue
        step = next_to_do(sheet, track, now)
        soon = step.due is not None and step.due <= now.now + IN_HAND
        if not emptied and not soon and load is not None and load.start > now.now + AHEAD:
            continue
        late = None if step.due is None else now.now - step.due
        found.append(
            ToDo(
                sheet=sheet.id,
                what=sheet.what,
                order=sheet.order,
                next=step,
                planned=step.due,
                loads=load.start if load else None,
                late=late if late is not None and late > timedelta(0) else None,
                blocked=why,
                waits=_waits(step, now),
                presses=tuple(
                    place for place in (load.places if load else ()) if place in now.shop.hot_presses
                ),
            )
        )
    # a mould that is to be emptied before anything else holds a frame that others wait for
    return tuple(sorted(found, key=lambda one: one.next.kind != "set_aside"))


def _apart(now: Situation) -> tuple[Apart, ...]:
    """Charges that lie apart, whether they were taken out of a mould or never laid into one."""
    found = []
    for sheet in now.sheets.values():
        track = now.tracks.get(sheet.id)
        why = "" if track is None or track.stage != "weighed" else sheet.aside or held(sheet, track, now)
        if track is not None and why:
            found.append(Apart(sheet=sheet.id, mass=sum(track.weighed.values()), because=why))
    return tuple(found)


def _waits(step: Next, now: Situation) -> str:
    """A mould that may be laid down, but not into platens that are still on their way."""
    if step.kind != "loaded" or not step.permitted or not step.to:
        return ""
    return not_ready(step.to[0], now.warming.get(step.to[0]), now.zone, now=now.now)


def _undoable(now: Situation) -> tuple[Undoable, ...]:
    struck = {event.corrects for event in now.known.values() if event.kind in CORRECTING}
    found = [
        Undoable(event=e.id, kind=e.kind, sheet=e.sheet, until=e.noted_at + UNDO)
        for e in now.known.values()
        if e.kind != "undone" and e.id not in struck and timedelta(0) <= now.now - e.noted_at <= UNDO
    ]
    return tuple(sorted(found, key=lambda one: (one.until, one.event), reverse=True))
