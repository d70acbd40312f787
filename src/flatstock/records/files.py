"""The written form in and out of the records: byte for byte where nothing has changed since it was taken in."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import datetime
from pathlib import Path

from sqlalchemy import Connection, func, insert, select, update

from flatstock.errors import Fault, Refused
from flatstock.records import lots, trace
from flatstock.records.tables.stock import kept_file, passage
from flatstock.records.tables.stock import lot as lot_table
from flatstock.records.trace import Thing
from flatstock.workshop import build_stock, files
from flatstock.workshop.layouts import layout
from flatstock.workshop.lot_states import State, list_file, with_states
from flatstock.workshop.shop import Lot
from flatstock.workshop.spots import Notes
from flatstock.workshop.written import FILES, Texts, Written

#: why the lot, as a file would have it from now on, can't stand there as released; the second is the lot before
Held = Callable[[Lot, Lot | None], Sequence[Fault]]

__all__ = ["Held", "as_taken", "as_written", "earlier", "give_out", "keep", "settle", "take_in"]


def take_in(
    db: Connection,
    folder: Path,
    written: Written,
    *,
    at: datetime,
    who: Sequence[str],
    why: str,
    base: Mapping[str, bytes] | None = None,
    held: Held | None = None,
) -> list[str]:
    """Take the files of a workshop into its records; the names of those that said something new.

    Lots that are new are begun. For one that is on record, another status than it has in `base` is entered with
    `why`, another mass as a count, other parents as what went into it; a status or mass that stands as it does in
    `base` was not touched and leaves the records alone, whatever has been weighed since.

    Parameters
    ----------
    base
        The files as they were when somebody began to change them; None: as they were last taken in.
    held
        Asked of each lot that the files release, or of which they say another origin, colour or form while it is
        released. None: nothing is asked, as of what a workshop had before its records began.

    Raises
    ------
    Refused
        The files have faults (all of them are told), leave out a lot that is on record, or release one that is held.
    """
    shop = files.read(folder, written)
    notes = Notes()
    found = {
        name: data for name in FILES if written.has(name) and (data := written.read(name, notes)) is not None
    }
    if notes.faults:
        raise Refused(notes.sorted())
    there = lots.states(db)
    if missing := sorted(there.keys() - shop.lots.keys()):
        what = f"{missing[0]} is on record, and the list of lots leaves it out"
        raise Refused(Fault("lots", what, "write its mass as 0 instead"))
    taken, before = as_taken(db), give_out(db)
    began = _lots_in(taken if base is None else base)
    if held is not None:
        _nothing_held(shop.lots, there, began, held)
    changed = [name for name in FILES if found.get(name) != before.get(name)]
    for lot in shop.lots.values():
        _take_lot(db, lot, there.get(lot.id), began.get(lot.id), at, who, why)
    for lot in shop.lots.values():
        _take_parents(db, lot, at, who, why)
    for name in FILES:
        if found.get(name) != taken.get(name):
            keep(db, name, found.get(name), at=at, who=who, why=why)
    try:
        give_out(db)
    except ValueError as error:
        raise Refused(
            Fault("lots", str(error), "write each lot on a line or under a heading of its own")
        ) from None
    return changed


def keep(
    db: Connection, name: str, body: bytes | None, *, at: datetime, who: Sequence[str], why: str
) -> None:
    """Keep a further version of one file; None: it is gone."""
    number = db.execute(select(func.max(kept_file.c.version)).where(kept_file.c.name == name)).scalar() or 0
    row = {"name": name, "version": number + 1, "body": body, "at": at, "who": list(who), "why": why}
    db.execute(insert(kept_file), [row])


def settle(db: Connection, *, at: datetime, who: Sequence[str], why: str) -> None:
    """Keep the files as they are given out now, where they go into the folder: later changes are held against them."""
    taken = as_taken(db)
    for name, body in give_out(db).items():
        if body != taken.get(name):
            keep(db, name, body, at=at, who=who, why=why)


def earlier(db: Connection, name: str, body: bytes) -> bool:
    """True where a file once stood so in the records."""
    query = select(kept_file.c.version).where(kept_file.c.name == name, kept_file.c.body == body)
    return db.execute(query).first() is not None


def give_out(db: Connection) -> dict[str, bytes]:
    """The written form of the records by file; empty where none was ever taken in.

    Each file as it was taken in; only what has changed since of a lot's status and mass is written anew.
    """
    texts = as_taken(db)
    name = list_file(list(texts))
    if name is not None:
        texts[name] = with_states(name, texts[name], _states(db))
    return texts


def as_taken(db: Connection) -> dict[str, bytes]:
    """Each file as it was last taken in."""
    newest = select(kept_file.c.name, func.max(kept_file.c.version).label("version")).group_by(
        kept_file.c.name
    )
    last = newest.subquery()
    query = select(kept_file.c.name, kept_file.c.body).join(
        last, (kept_file.c.name == last.c.name) & (kept_file.c.version == last.c.version)
    )
    return {row.name: row.body for row in db.execute(query) if row.body is not None}


def as_written(db: Connection) -> Written | None:
    """The records as the reader of a workshop's files takes them; None where none were taken in."""
    texts = as_taken(db)
    name = list_file(list(texts))
    return Texts(texts if name is None else _Files(texts, name, _states(db))) if texts else None


class _Files(Mapping[str, bytes]):
    """Files of which the list of lots, which takes its time, is written anew only when somebody reads it."""

    def __init__(self, texts: Mapping[str, bytes], name: str, states: Mapping[str, State]) -> None:
        self._texts, self._name, self._states = texts, name, states
        self._lots: bytes | None = None

    def __getitem__(self, name: str) -> bytes:
        if name != self._name:
            return self._texts[name]
        if self._lots is None:
            self._lots = with_states(name, self._texts[name], self._states)
        return self._lots

    def __contains__(self, name: object) -> bool:
        return name in self._texts

    def __iter__(self) -> Iterator[str]:
        return iter(self._texts)

    def __len__(self) -> int:
        return len(self._texts)


def _states(db: Connection) -> dict[str, State]:
    return {one.id: State(one.status, one.mass) for one in lots.states(db).values()}


def _lots_in(texts: Mapping[str, bytes]) -> dict[str, Lot]:
    """The lots of a list that was taken in once, and so has no faults."""
    rows = files.read_list(Texts(texts), layout("lots"), Notes())
    return {row.text("id"): build_stock.lot(row) for row in rows}


def _nothing_held(
    said: Mapping[str, Lot], there: Mapping[str, lots.LotState], began: Mapping[str, Lot], held: Held
) -> None:
    faults: list[Fault] = []
    for name, lot in said.items():
        before, state = began.get(name), there.get(name)
        if lot.status != "released":
            continue
        put = state is None or (
            state.status != "released" and (before is None or before.status != lot.status)
        )
        other = before is not None and (before.origin, before.colour, before.form) != (
            lot.origin, lot.colour, lot.form,
        )  # fmt: skip
        if put:
            faults += held(lot, None)
        elif other:
            faults += held(lot, before)
    if faults:
        raise Refused(tuple(faults))


def _take_lot(
    db: Connection,
    lot: Lot,
    state: lots.LotState | None,
    began: Lot | None,
    at: datetime,
    who: Sequence[str],
    why: str,
) -> None:
    what: dict[str, object] = {"plastic": lot.plastic, "colour": lot.colour, "origin": lot.origin}
    if state is None:
        lots.begin(db, {"id": lot.id, "mass_kg": lot.mass} | what, lot.status, at, who, why)
        return
    if began is None or (began.plastic, began.colour, began.origin) != (lot.plastic, lot.colour, lot.origin):
        db.execute(update(lot_table).where(lot_table.c.id == lot.id).values(**what))
    if (began is None or began.mass != lot.mass) and state.mass != lot.mass:
        lots.count(db, lot.id, lot.mass, at=at, who=who, why=why)
    if (began is None or began.status != lot.status) and state.status != lot.status:
        lots.set_status(db, lot.id, lot.status, at=at, who=who, why=why)


def _take_parents(db: Connection, lot: Lot, at: datetime, who: Sequence[str], why: str) -> None:
    back = passage.alias()
    query = select(passage).where(
        passage.c.from_kind == "lot",
        passage.c.to_kind == "lot",
        passage.c.to_id == lot.id,
        passage.c.withdraws.is_(None),
        ~select(back.c.seq).where(back.c.withdraws == passage.c.seq).exists(),
    )
    known = {way.from_id: way for way in db.execute(query)}
    for parent in lot.parents:
        if parent not in known:
            trace.note(db, Thing("lot", parent), Thing("lot", lot.id), at=at, who=who, why=why)
    for parent, way in known.items():
        if parent not in lot.parents:
            row = {
                "from_kind": "lot",
                "from_id": parent,
                "to_kind": "lot",
                "to_id": lot.id,
                "withdraws": way.seq,
            }
            db.execute(insert(passage), [row | {"at": at, "who": list(who), "why": why}])
