"""What holds some of a lot, through regrind, and what a sheet was made of: for a recall and for whoever asks."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from flatstock.actions.board import Board
from flatstock.actions.many_sheets import records_of_sheets
from flatstock.actions.sheet_record import SheetRecord
from flatstock.errors import Fault, Refused
from flatstock.plastics.lot_states import state_words
from flatstock.records import trace
from flatstock.records.trace import Thing
from flatstock.running.event import Event
from flatstock.running.sheets import planned
from flatstock.running.standing import CORRECTING, standing
from flatstock.workshop.shop import Lot, Order, Workshop

__all__ = [
    "MOST",
    "ON_A_PAGE",
    "Ancestry",
    "Held",
    "OrderTold",
    "Recall",
    "ancestry_of",
    "held_words",
    "recall_of",
]

Plan = Mapping[str, Any] | None
MOST = 500  #: sheets that are told in full on paper; more are told by their ids
ON_A_PAGE = 25  #: the same on a page, which has to be there at once


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """A sheet that holds some of it."""

    sheet: str
    through: tuple[str, ...]  #: the lots that brought it in
    record: SheetRecord | None  #: None: beyond what is told in full
    #: where it was told of last; empty once it is out of its mould and nobody has said where it went
    where: str
    order: str | None  #: that it was pressed for


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderTold:
    """An order that sheets of it were pressed for, or are planned for: whom to tell."""

    id: str
    order: Order | None  #: None: no longer on the book
    sheets: tuple[str, ...]
    planned: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Recall:
    """Everything that holds some of a lot."""

    lot: Lot
    lots: tuple[tuple[Lot, tuple[str, ...]], ...]  #: it and every regrind of it, each with what brought it in
    sheets: tuple[Held, ...]
    offcuts: tuple[str, ...]
    parts: tuple[str, ...]
    orders: tuple[OrderTold, ...]
    planned: tuple[str, ...]  #: sheets that the plan would weigh it for and nobody has weighed yet


@dataclass(frozen=True, slots=True, kw_only=True)
class Ancestry:
    """The lots of a sheet: those that were weighed, and those that they were made from."""

    sheet: str
    weighed: tuple[str, ...]
    lots: tuple[
        tuple[Lot, tuple[str, ...]], ...
    ]  #: each with the lots that it went into; empty: weighed itself


def recall_of(
    name: str, board: Board, shop: Workshop, plan: Plan, now: datetime, *, most: int = MOST
) -> Recall:
    """Forward from a lot; so many sheets in full, the rest by their ids. Raises `Refused` where there is none."""
    if name not in shop.lots:
        known = ", ".join(sorted(shop.lots)) or "none"
        raise Refused(Fault("lot", f"no lot is called {name!r}", f"there are {known}"))
    reached = _reached(board, Thing("lot", name))
    lots = _children(shop, name, {one.id for one in reached if one.kind == "lot"})
    weighed = _weighed(board.events(now))
    sheets: dict[str, set[str]] = {one.id: set() for one in reached if one.kind == "sheet"}
    for sheet, parts in weighed.items():
        if found := parts & lots.keys():
            sheets.setdefault(sheet, set()).update(found)
    held, pressed_for = [], board.orders_of(sorted(sheets))
    records = records_of_sheets(sorted(sheets)[:most], board.store, plan, shop)
    for sheet in sorted(sheets):
        record, through = records.get(sheet), sheets[sheet]
        if record is not None and record.weighed:
            through = through | ({lot for lot, _ in record.lots} & lots.keys())
        order = pressed_for.get(sheet) if record is None else record.order
        held.append(
            Held(
                sheet=sheet,
                through=tuple(sorted(through)),
                record=record,
                where=_where(record),
                order=order,
            )
        )
    waiting = tuple(
        sorted(
            one.id
            for one in planned(plan).values()
            if one.id not in sheets and one.id not in weighed and set(one.lots) & lots.keys()
        )
    )
    return Recall(
        lot=shop.lots[name],
        lots=tuple((shop.lots[one], tuple(sorted(by))) for one, by in lots.items() if one in shop.lots),
        sheets=tuple(held),
        offcuts=tuple(sorted({one.id for one in reached if one.kind == "offcut"} | _offcuts(shop, lots))),
        parts=tuple(sorted(one.id for one in reached if one.kind == "part")),
        orders=_orders(shop, held, waiting, plan, {one.id for one in reached if one.kind == "order"}),
        planned=waiting,
    )


def ancestry_of(record: SheetRecord, shop: Workshop) -> Ancestry:
    """Back from a sheet to every lot that some of it came from, through regrind."""
    weighed = tuple(lot for lot, _ in record.lots)
    into: dict[str, set[str]] = {lot: set() for lot in weighed}
    queue = list(weighed)
    while queue:
        lot = queue.pop(0)
        for parent in shop.lots[lot].parents if lot in shop.lots else ():
            if parent not in into:
                into[parent] = set()
                queue.append(parent)
            into[parent].add(lot)
    lots = tuple((shop.lots[one], tuple(sorted(by))) for one, by in into.items() if one in shop.lots)
    return Ancestry(sheet=record.sheet, weighed=weighed, lots=lots)


def held_words(record: SheetRecord, shop: Workshop) -> list[str]:
    """Each lot of a weighed sheet, through regrind, that nothing may be pressed from by now, a sentence each."""
    if not record.weighed:
        return []
    found = []
    for lot, into in ancestry_of(record, shop).lots:
        if lot.status in ("blocked", "quarantine"):
            through = f", of which {' and '.join(into)} was made," if into else ""
            found.append(f"{lot.id}{through} is {state_words(lot.status)}")
    return found


def _reached(board: Board, start: Thing) -> set[Thing]:
    with board.store.reading() as db:
        return trace.forward(db, start)


def _children(shop: Workshop, name: str, on_record: Iterable[str]) -> dict[str, set[str]]:
    """The lot and every regrind of it, each with the lots that brought it in; the nearest first."""
    found: dict[str, set[str]] = {name: set()}
    queue = [name]
    while queue:
        parent = queue.pop(0)
        for lot in shop.lots.values():
            if parent in lot.parents:
                if lot.id not in found:
                    found[lot.id] = set()
                    queue.append(lot.id)
                found[lot.id].add(parent)
    for lot_id in on_record:
        found.setdefault(lot_id, set())
    return found


def _weighed(events: Iterable[Event]) -> dict[str, set[str]]:
    """Lots by sheet, of what was weighed in the last fortnight, whether or not the records had its lots then."""
    found: dict[str, set[str]] = {}
    for one in standing(one for one in events if one.kind in ("weighed", *CORRECTING)):
        lot = one.facts.get("lot")
        if one.kind == "weighed" and one.sheet is not None and isinstance(lot, str):
            found.setdefault(one.sheet, set()).add(lot)
    return found


def _where(record: SheetRecord | None) -> str:
    if record is None:
        return ""
    out = max((n for n, one in enumerate(record.way) if one.kind == "demoulded"), default=0)
    places = [one.where for one in record.way[out:] if one.where]
    return places[-1] if places else ""


def _offcuts(shop: Workshop, lots: Mapping[str, object]) -> set[str]:
    return {one.id for one in shop.offcuts.values() if one.lot in lots}


def _orders(
    shop: Workshop, held: Iterable[Held], waiting: Iterable[str], plan: Plan, reached: set[str]
) -> tuple[OrderTold, ...]:
    of_plan = planned(plan)
    sheets: dict[str, list[str]] = {one: [] for one in reached}
    to_come: dict[str, list[str]] = {}
    for one in held:
        if one.order:
            sheets.setdefault(one.order, []).append(one.sheet)
    for sheet in waiting:
        order = of_plan[sheet].order
        if order:
            to_come.setdefault(order, []).append(sheet)
    return tuple(
        OrderTold(
            id=name,
            order=shop.orders.get(name),
            sheets=tuple(sheets.get(name, ())),
            planned=tuple(to_come.get(name, ())),
        )
        for name in sorted(sheets.keys() | to_come.keys())
    )
