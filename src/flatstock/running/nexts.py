"""The step that comes next for a sheet, where it may go, and what stands in its way apart from who taps it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from itertools import chain

from flatstock.errors import Fault
from flatstock.running.event import Event
from flatstock.running.kinds import kinds
from flatstock.running.rules_lots import lots, set_points, unfit
from flatstock.running.rules_places import (
    cold_platens,
    danger_first,
    heaters,
    moulds,
    no_cooling,
    no_hands,
    places,
    too_early,
)
from flatstock.running.sheets import Planned
from flatstock.running.situation import Situation
from flatstock.running.start_checks import started
from flatstock.running.stays import Stay, Track
from flatstock.running.view import Next
from flatstock.running.words import kilograms

__all__ = ["held", "next_of", "next_to_do", "otherwise"]

#: whether the extract runs is asked with the step itself
_RULES = (danger_first, started, lots, set_points, heaters, moulds, places, too_early)
_PLANNED = {"weighed": "weigh", "prepared": "prepare", "loaded": "load", "transferred": "transfer",
            "demoulded": "demould"}  # fmt: skip


def next_of(stay: Stay, now: Situation) -> Next:
    """Of a mould in a place that heats or cools."""
    sheet, heat = now.sheet(stay.sheet), now.heats.get(stay.place)
    if stay.hot and heat is not None and heat.cuts and not heat.on and now.on is None:
        return _next("heating_on", f"Heaters of {stay.place} on", None, (stay.place,), now)
    if stay.hot:
        to = _ordered(now.shop.cooling_presses, sheet, "press_cool")
        return _next("transferred", f"Transfer {stay.sheet}", stay.sheet, to, now)
    track = now.tracks.get(stay.sheet)
    if track is not None and track.stage == "scrapped":
        # the plan may need its place for another mould, and have it carried on before it is cold enough to be emptied
        away = _resting(sheet, now) if sheet.given_up and "move" in sheet.tasks else ()
        if away and now.kind_of(stay.place) == "cooling_press":
            return _next("moved", f"Move {stay.sheet} (given up)", stay.sheet, away, now)
        return _next("demoulded", f"Take {stay.sheet} out: given up", stay.sheet, (), now)
    if now.kind_of(stay.place) == "cooling_press" and (
        rest := _resting(sheet, now) or _out_of_the_way(stay, now)
    ):
        return _next("moved", f"Move {stay.sheet}", stay.sheet, rest, now)
    return _next("demoulded", f"Demould {stay.sheet}", stay.sheet, (), now)


def otherwise(stay: Stay, now: Situation) -> Next | None:
    """What may be done with a mould in a cooling press in place of the step that comes next: it is carried on though it
    was to be taken out in there, or the reverse. None: nothing else may be.
    """
    track = now.tracks.get(stay.sheet)
    if now.kind_of(stay.place) != "cooling_press" or (track is not None and track.stage == "scrapped"):
        return None
    if next_of(stay, now).kind == "moved":
        return _next("demoulded", f"Demould {stay.sheet} in {stay.place}", stay.sheet, (), now)
    away = (*now.shop.racks, *now.shop.stacks)
    return _next("moved", f"Move {stay.sheet}", stay.sheet, away, now) if away else None


def next_to_do(sheet: Planned, track: Track | None, now: Situation) -> Next:
    """Of a sheet that is not in a press yet: weigh what is not weighed, prepare, load."""
    weighed = set() if track is None else set(track.weighed)
    left = [lot for lot in sheet.lots if lot not in weighed]
    if left and (track is None or track.stage in ("planned", "weighed")):
        first, *others = (
            f"{kilograms(sheet.lots[lot])} of {lot}{' (dried)' if _dried(lot, now) else ''}" for lot in left
        )
        masses = f"{first}, then {', '.join(others)}" if others else first  # one at a time goes on the scale
        step = _next("weighed", f"Weigh {masses} for {sheet.id}", sheet.id, (), now, lot=left[0])
        # beside a lot that is held nothing of its charge is weighed: it could only lie apart
        return replace(step, why_not=tuple(dict.fromkeys((*step.why_not, *unfit(sheet, track, now)))))
    if track is None or track.stage in ("planned", "weighed"):
        mould = _mould(sheet, now)
        words = ", skins ".join(mould[name] for name in ("frame", "skins") if name in mould)
        words = f"Prepare {words} for {sheet.id}" if words else f"Prepare {sheet.id}"
        return _next("prepared", words, sheet.id, (), now, facts=mould)
    if sheet.aside or held(sheet, track, now):
        return _next("set_aside", f"Take the charge out for {sheet.id}", sheet.id, (), now)
    return _next("loaded", f"Load {sheet.id}", sheet.id, _ordered(now.shop.hot_presses, sheet, "load"), now)


def held(sheet: Planned, track: Track | None, now: Situation) -> str:
    """What no time lifts: a lot of its charge that is held, or made from one; empty: none is."""
    return next((fault.sentence() for fault in unfit(sheet, track, now)), "")


def _mould(sheet: Planned, now: Situation) -> dict[str, str]:
    """Frame and skins to take: as planned; where that is still round another sheet, the first like it that is free."""
    round_others = {
        name
        for other in now.tracks.values()
        if other.sheet != sheet.id and other.stands in ("prepared", "hot", "cooling")
        for name in (other.frame or now.sheet(other.sheet).frame, other.skins or now.sheet(other.sheet).skins)
    }
    found = {}
    for fact, meant, known in (
        ("frame", sheet.frame, now.shop.frames),
        ("skins", sheet.skins, {name: one for name, one in now.shop.skins.items() if one.fit_for_use}),
    ):
        if meant is None:
            continue
        like = [
            name
            for name, one in known.items()
            if meant in known and replace(one, id=meant) == known[meant] and name not in round_others
        ]
        found[fact] = meant if meant not in round_others or not like else like[0]
    return found


def _dried(lot: str, now: Situation) -> bool:
    """Whether a lot is dried before it is weighed."""
    known = now.shop.lots.get(lot)
    return known is not None and known.dry_first


def _resting(sheet: Planned, now: Situation) -> tuple[str, ...]:
    """Where a mould goes after the cooling press; none where the plan leaves it in there until it is demoulded."""
    stays = [task for step, task in sheet.tasks.items() if step in ("stack", "rack")]
    if sheet.tasks and not stays:
        return ()
    rest = (*now.shop.stacks, *now.shop.racks)
    first = [place for task in stays for place in task.places if place in rest]
    return tuple(dict.fromkeys((*first, *rest)))


def _out_of_the_way(stay: Stay, now: Situation) -> tuple[str, ...]:
    """Where a mould goes that was to be demoulded in the cooling press, when what is hot would spoil until then."""
    course = now.courses.get(stay.sheet)
    opened = None if course is None else course.gates.get("demoulded")
    moved = None if course is None else course.gates.get("moved")
    if opened is None or opened.not_before is None or moved is None or moved.not_before is None:
        return ()
    full = all(now.inside(press) for press in now.shop.cooling_presses)
    hot = [now.courses.get(one.sheet) for one in now.inside_hot()]
    waits = any(one is not None and one.latest is not None and one.latest < opened.not_before for one in hot)
    return (
        (*now.shop.racks, *now.shop.stacks) if full and waits and moved.not_before < opened.not_before else ()
    )


def _ordered(places: Iterable[str], sheet: Planned, step: str) -> tuple[str, ...]:
    """The planned place first."""
    task = sheet.tasks.get(step)
    meant = () if task is None else task.places
    return tuple(sorted(places, key=lambda place: place not in meant))


def _next(
    kind: str,
    words: str,
    sheet: str | None,
    to: tuple[str, ...],
    now: Situation,
    *,
    lot: str | None = None,
    facts: Mapping[str, str | float] | None = None,
) -> Next:
    """Judged for each place it could go to; it may be done where one of them takes it."""
    faults: tuple[Fault, ...] = ()
    free = []
    if lot is not None:
        facts = {"lot": lot, "target_kg": now.sheet(sheet or "").lots[lot]}
    for place in to or (None,):
        found = _faults(kind, sheet, place, now, lot, facts or {})
        if not found and place is not None:
            free.append(place)
        if place == (to[0] if to else None):
            faults = found
    if free:
        faults = ()
    task = now.sheet(sheet or "").tasks.get(_PLANNED.get(kind, ""))
    known = kinds()[kind]
    cold = cold_platens((*free, *to)[0], now, now.now) if kind == "loaded" and to else None
    people = 2 if known.handling else known.people
    return Next(
        kind=kind,
        words=words
        if sheet is None
        else words + (f" into {free[0]}" if free else f" into {to[0]}" if to else ""),
        people=people,
        skill=known.skill,
        to=tuple(free) or to,
        due=None if task is None else task.start,
        why_not=faults,
        who=now.people.there(now.now, skill=known.skill),
        facts=facts or {},
        dry=lot is not None and _dried(lot, now),
        caution=cold or (_late_out(sheet, now) if kind == "loaded" and sheet is not None else None),
        cold=cold is not None,
    )


def _late_out(sheet: str, now: Situation) -> Fault | None:
    """Why a mould that is loaded now would not leave the hot press in time."""
    return no_cooling(sheet, now, now.now) or no_hands(sheet, now, now.now)


def _faults(
    kind: str,
    sheet: str | None,
    place: str | None,
    now: Situation,
    lot: str | None,
    known: Mapping[str, str | float],
) -> tuple[Fault, ...]:
    facts: dict[str, str | float | bool] = dict(known)
    if lot is not None:
        facts = {
            "lot": lot,
            "mass_kg": now.sheet(sheet or "").lots[lot],
            "dried": True,
        }  # it is asked at the scale
    if kind == "loaded":
        facts["cold"] = True  # what may be done by who says why is a caution, and stands in nobody's way
    trial = Event(
        id="?", at=now.now, noted_at=now.now, kind=kind, sheet=sheet, place=place, facts=facts, why="?"
    )
    return tuple(dict.fromkeys(b.fault for b in chain.from_iterable(rule(trial, now) for rule in _RULES)))
