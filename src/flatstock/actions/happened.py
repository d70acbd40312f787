"""What has happened until now: as the records have it, and by done.csv where they know nothing of a sheet."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence, Set
from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any

from flatstock.actions.hot_history import hot_history
from flatstock.actions.kept import kept_plan
from flatstock.actions.lot_state import held_through
from flatstock.actions.warming import platens_of
from flatstock.actions.workshops import zone_of
from flatstock.errors import OutOfRange, UserError
from flatstock.planning.problem.begun import figures_of
from flatstock.pressing.ancestry import HELD as HOLDS
from flatstock.running.danger import Heat, heats
from flatstock.running.done import done_rows
from flatstock.running.event import Event
from flatstock.running.sheets import planned
from flatstock.running.standing import standing
from flatstock.running.stays import Stay, make_room, tracks
from flatstock.workshop.shop import Workshop
from flatstock.workshop.today import GIVEN_UP, Happened, Here, InPress, Platens, Today, read_today

__all__ = ["begun_sheets", "today_of"]

OUT = "demould"  #: the step after which no machine or mould waits for a sheet
LOOKED_BACK = timedelta(days=14)  #: no sheet is longer on its way than that; our own figure
HELD_BY = ("blocked", "quarantined")  #: events that say why a lot is held


def begun_sheets(shop: Workshop, now: datetime) -> list[str]:
    """Sheets of the plan that is kept which somebody has begun and not taken out of their moulds.

    Raises `Refused` as `read_today` does.
    """
    plan = kept_plan(shop.folder)
    if plan is None:
        return []
    done = today_of(shop, plan, now).done
    out = {one.sheet for one in done if one.step in (OUT, GIVEN_UP)}
    return sorted({one.sheet for one in done} - out)


def today_of(shop: Workshop, plan: Mapping[str, Any], now: datetime) -> Today:
    """What has happened since `plan`, and what is not as it was (changes.toml, and lots that are held by now).

    Of a sheet that the records know something of they alone count, taps that were undone too: done.csv may be what
    the app wrote before. Raises `Refused` as `read_today` does.
    """
    figures = figures_of(plan)
    sheets = figures.keys()
    today = read_today(shop, sheets=sheets, now=now)
    lots = {part["lot"] for one in figures.values() for part in one["lots"]}
    if shop.form != "records":
        return replace(today, held=_held(shop, lots, today, ()))
    from flatstock.records import open_store

    with open_store(shop.folder) as store:
        events = [event for _, event in store.events(since=now - LOOKED_BACK)]
    noted = sheets & {event.sheet for event in events if event.sheet is not None}
    told = [one for one in today.done if one.sheet not in noted]
    rows = [*told, *_rows(shop, events, noted, now)]
    stand = [event for event in standing(events) if event.at <= now]
    stays, hot = _stays(shop, stand), heats(stand, tuple(shop.hot_presses), now=now)
    return replace(
        today,
        done=tuple(sorted(rows, key=lambda one: one.start)),
        in_press=tuple(_in_press(shop, plan, stays, hot, now)),
        platens=tuple(_platens(shop, stays, hot, now)),
        said=tuple(
            Here(person=person, at=event.at, here=event.kind == "arrived")
            for event in stand
            if event.kind in ("arrived", "left")
            for person in event.who
        ),
        held=_held(shop, lots, today, standing(events)),
    )


def _held(
    shop: Workshop, lots: Iterable[str], today: Today, events: Iterable[Event]
) -> tuple[tuple[str, str], ...]:
    """Lots of the plan that nothing may be weighed from now, each with why, as far as anybody said it."""
    said = {str(one.facts.get("lot")): one.why or "" for one in events if one.kind in HELD_BY}
    found = dict(today.held)
    for name in sorted(set(lots) & shop.lots.keys()):
        lot = shop.lots[name]
        if lot.status in HOLDS:
            found.setdefault(name, said.get(name, ""))
        elif through := held_through(shop, lot):
            found.setdefault(name, through)
    return tuple(found.items())


def _stays(shop: Workshop, events: Sequence[Event]) -> list[Stay]:
    found = tracks(events, zone_of(shop))
    make_room(found, (*shop.hot_presses, *shop.cooling_presses))
    return [stay for track in found.values() for stay in track.stays]


def _in_press(
    shop: Workshop, plan: Mapping[str, Any], stays: Sequence[Stay], hot: Mapping[str, Heat], now: datetime
) -> Iterator[InPress]:
    """Moulds whose dwell is not their card's, by the heat on record.

    While the heat is off it is reckoned as if it came back now: sooner than that no plan takes them out.
    """
    sheets = planned(plan)
    for stay in stays:
        sheet = sheets.get(stay.sheet)
        if not stay.hot or stay.until is not None or sheet is None or not sheet.plastic:
            continue
        history = hot_history(shop, stay, hot.get(stay.place), stays, set_point=sheet.set_point)
        if history.usual:
            continue
        from flatstock.actions.press_dwell import card_of, dwell_after, recipe_of

        try:
            left = dwell_after(card_of(shop, recipe_of(sheet, stay.place)), history.back(stay.since, now))
        except (UserError, OutOfRange, ArithmeticError):
            continue  # nobody can tell: the plan before counts
        yield InPress(
            sheet=stay.sheet,
            not_before=None if left.not_before is None else stay.since + timedelta(seconds=left.not_before),
            latest=None if left.latest is None else stay.since_early + timedelta(seconds=left.latest),
        )


def _platens(
    shop: Workshop, stays: Sequence[Stay], hot: Mapping[str, Heat], now: datetime
) -> Iterator[Platens]:
    """Hot presses without a mould: off, or when they are ready; nothing of one of whose heat nobody told anything."""
    held = {stay.place for stay in stays if stay.until is None}
    for press, heat in hot.items():
        if press in held or heat.since is None:
            continue
        stand = platens_of(shop, heat, stays, at=now)
        if not heat.on:
            yield Platens(press=press, since=heat.since, set_point=None, ready=None)
        elif stand is not None and stand.ready is not None:
            yield Platens(press=press, since=heat.since, set_point=stand.set_point, ready=stand.ready)


def _rows(shop: Workshop, events: Iterable[Event], sheets: Set[str], now: datetime) -> list[Happened]:
    return [
        Happened(
            sheet=row.sheet,
            step=row.step,
            start=row.start,
            end=row.end,
            places=row.place,
            people=row.people,
            where=f"the records of {row.sheet}",
        )
        for row in done_rows(events, shop.practice, now=now)
        if row.sheet in sheets
    ]
