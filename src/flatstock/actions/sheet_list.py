"""The sheets on record, newest first, and how far each has come."""

from __future__ import annotations

from dataclasses import dataclass

from flatstock.actions.sheet_record import state_words
from flatstock.records.sheet_list import count_sheets, list_sheets, steps_of_sheets
from flatstock.records.sheets import SheetRow
from flatstock.records.store import Store

__all__ = ["Listed", "sheets_on_record"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Listed:
    """A sheet in a list."""

    sheet: SheetRow
    state: str  #: in words
    seen: bool  #: whether it is out of a press for good, so that how it came out can be told
    out: bool  #: whether it is out of its mould


def sheets_on_record(store: Store, word: str, *, number: int, most: int) -> tuple[int, int, list[Listed]]:
    """How many sheets hold every word of `word`, the number of the page, and its sheets; the last page where there is
    no such one."""
    words = word.split()
    with store.reading() as db:
        found = count_sheets(db, words)
        page = min(max(number, 1), max(1, -(-found // most)))
        rows = list_sheets(db, words, first=(page - 1) * most, most=most)
        steps = steps_of_sheets(db, [row.id for row in rows])
    return found, page, [_listed(row, steps[row.id]) for row in rows]


def _listed(row: SheetRow, steps: set[str]) -> Listed:
    # a sheet is on record once something was weighed for it
    return Listed(
        sheet=row,
        state=state_words(steps | {"weighed"}),
        seen="loaded" in steps and not steps.isdisjoint(("demoulded", "scrapped")),
        out="demoulded" in steps and "scrapped" not in steps,
    )
