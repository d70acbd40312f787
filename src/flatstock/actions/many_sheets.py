"""What is on record of many sheets, asked for at once: a page that lists them waits for a few questions."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from flatstock.actions.sheet_record import SheetRecord, record_of, weighed_lots
from flatstock.records.sheet_events import events_of_sheets
from flatstock.records.sheets import frozen_of_sheets, sheets_of_orders
from flatstock.records.store import Store
from flatstock.workshop.shop import Workshop

__all__ = ["records_of_sheets", "sheets_weighed_of", "still_drawn", "weighed_for_sheets"]


def records_of_sheets(
    sheets: Sequence[str], store: Store, plan: Mapping[str, Any] | None, shop: Workshop
) -> dict[str, SheetRecord]:
    """The record of each sheet, but for where the heat of its press left the recipe: `record_of` tells that of one.

    Raises `Refused` where no plan and no event knows one of them.
    """
    with store.reading() as db:
        events, frozen = events_of_sheets(db, sheets), frozen_of_sheets(db, sheets)
    return {one: record_of(one, events[one], plan, shop, frozen.get(one)) for one in sheets}


def weighed_for_sheets(sheets: Sequence[str], store: Store) -> dict[str, dict[str, float]]:
    """By sheet what stands as weighed for it, by lot [kg]; a sheet that nothing was weighed for is left out."""
    with store.reading() as db:
        events = events_of_sheets(db, sheets)
    found = {one: weighed_lots(one, events[one]) for one in sheets}
    return {one: lots for one, lots in found.items() if lots}


def sheets_weighed_of(
    orders: Sequence[str], planned: Mapping[str, str | None], store: Store
) -> dict[str, dict[str, dict[str, float]]]:
    """By order its sheets that something was weighed for, with that by lot [kg].

    `planned`: the order of each sheet of the plan, first in the answer; then whatever else was pressed for the order.
    """
    with store.reading() as db:
        pressed = sheets_of_orders(db, orders)
    of = {
        order: list(dict.fromkeys([*(s for s, o in planned.items() if o == order), *pressed.get(order, ())]))
        for order in orders
    }
    weighed = weighed_for_sheets(list(dict.fromkeys(s for sheets in of.values() for s in sheets)), store)
    return {order: {one: weighed[one] for one in sheets if one in weighed} for order, sheets in of.items()}


def still_drawn(sheets: Sequence[Mapping[str, Any]], store: Store) -> dict[str, float]:
    """By lot what the plan is still to draw [kg]: what was weighed for a sheet is out of the lot already."""
    weighed = weighed_for_sheets([sheet["id"] for sheet in sheets], store)
    drawn: dict[str, float] = {}
    for sheet in sheets:
        for part in sheet["lots"]:
            if part["lot"] not in weighed.get(sheet["id"], {}):
                drawn[part["lot"]] = drawn.get(part["lot"], 0.0) + part["mass_kg"]
    return drawn
