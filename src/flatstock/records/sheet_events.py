"""Everything noted of one sheet, found by index however long the history is."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta

from sqlalchemy import Connection

from flatstock.records.event_rows import Choice, between, correcting, of_sheets, read
from flatstock.records.standing import root_of, tree
from flatstock.running.deviations import HEAT_KINDS
from flatstock.running.event import Event
from flatstock.running.standing import CORRECTING

__all__ = ["events_of_sheet", "events_of_sheets"]

IN_PRESS = timedelta(days=1)  #: no mould stays longer in a hot press
#: before it: no press is heated longer, and from its switching on its platens are reckoned
WARMED = timedelta(days=1)


def events_of_sheet(db: Connection, sheet: str) -> list[Event]:
    """The sheet's events, those of its press's heat before and while it was in it, and what corrects either."""
    found = [event for _, event in read(db, choice=Choice(sheet=sheet))]
    found += _come_from_another(db, found)
    found += _heat_while(db, found)
    known = {event.id for event in found}
    return found + [one for one in correcting(db, known) if one.id not in known]


def events_of_sheets(db: Connection, sheets: Sequence[str]) -> dict[str, list[Event]]:
    """By sheet its events and what corrects them, asked for all at once; without the heat of its press."""
    found: dict[str, dict[str, Event]] = {sheet: {} for sheet in sheets}
    at: dict[str | None, str] = {}
    for event in of_sheets(db, list(found)):
        assert event.sheet is not None
        found[event.sheet][event.id] = event
        at[event.id] = event.sheet
    for one in correcting(db, [name for name in at if name is not None]):
        found[at[one.corrects]][one.id] = one
    for known in found.values():
        known |= {one.id: one for one in _come_from_another(db, list(known.values()))}
    return {sheet: list(events.values()) for sheet, events in found.items()}


def _come_from_another(db: Connection, of: Sequence[Event]) -> list[Event]:
    """What was told of another sheet at first, and corrected to this one, with everything that corrects it."""
    known = {one.id for one in of}
    roots = {
        root_of(db, one.corrects)
        for one in of
        if one.kind in CORRECTING and one.corrects is not None and one.corrects not in known
    }
    events = {one.id: one for root in sorted(roots) for one in tree(db, root)}
    return [one for name, one in events.items() if name not in known]


def _heat_while(db: Connection, of: Sequence[Event]) -> list[Event]:
    """What happened to its press's heat from the day before on, while the sheet was in it, or since, where it still is;
    a day at most.
    """
    loaded = [one.at for one in of if one.kind == "loaded"]
    out = [one.at for one in of if one.kind in ("transferred", "scrapped")]
    if not loaded:
        return []
    return between(db, min(loaded) - WARMED, max(out) if out else max(loaded) + IN_PRESS, HEAT_KINDS)
