"""A weighing that a tablet kept while it was away, and tells after its lot was held: refused, but not forgotten.

It has happened, so its sheet must be found when the lot is recalled. It is kept as a note that says so: no weighing,
no mass out of the book, but a way from the lot to the sheet.
"""

from __future__ import annotations

from datetime import datetime

from flatstock.pressing.ancestry import HELD, ancestors
from flatstock.records.lots import StatusEntry, history, is_on_record
from flatstock.records.store import Store
from flatstock.running.event import Event
from flatstock.running.taps import LIVE
from flatstock.workshop.shop import Workshop

__all__ = ["KEPT", "note_of"]

KEPT = "it is kept as a note of {sheet}, so that a recall of {lot} finds it: look for that sheet now"


def note_of(event: Event, store: Store, shop: Workshop, now: datetime) -> Event | None:
    """The note that a refused weighing leaves; None where its lot was held when it happened, or it is told at once."""
    lot = event.facts.get("lot")
    if event.kind != "weighed" or event.sheet is None or not isinstance(lot, str) or lot not in shop.lots:
        return None
    if now - event.noted_at <= LIVE or not _free_then(store, shop, lot, event.at):
        return None
    facts = {"about": "weighed", **event.facts}
    why = "told after the lot was held"
    return Event(
        id=f"{event.id} told after", at=event.at, noted_at=event.noted_at, kind="note", who=event.who,
        sheet=event.sheet, facts=facts, why=why, device=event.device,
    )  # fmt: skip


def _free_then(store: Store, shop: Workshop, lot: str, at: datetime) -> bool:
    """Whether it and all that it was made from could be used then, and something of it was held afterwards."""
    held_since = False
    with store.reading() as db:
        for name in (lot, *(one.id for one in ancestors(shop, shop.lots[lot]))):
            if not is_on_record(db, name):
                return False
            entries = history(db, name)
            if _status(entries, at) in HELD:
                return False
            held_since |= any(one.status in HELD and one.at > at for one in entries)
    return held_since


def _status(entries: list[StatusEntry], at: datetime) -> str | None:
    """At an instant; before the records began as they began."""
    before = [one for one in entries if one.at <= at] or entries[:1]
    return before[-1].status if before else None
