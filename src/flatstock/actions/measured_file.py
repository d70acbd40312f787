"""The file of measured weeks beside a workshop's files; it counts until one of those changes."""

from __future__ import annotations

import json
from collections.abc import Mapping
from hashlib import sha256
from pathlib import Path
from typing import Any

from flatstock.starting.outlay.measured import Measured, MeasuredWeek, measurable
from flatstock.starting.outlay.question import Question
from flatstock.starting.outlay.usual_week import most_asked, usual_week
from flatstock.workshop.folder import write_file
from flatstock.workshop.shop import Workshop
from flatstock.workshop.spots import Notes
from flatstock.workshop.written import written_in

__all__ = ["KEPT", "keep_measurements", "kept_measurements"]

KEPT = "outlay-measured.json"  #: beside the workshop's files


def kept_measurements(
    folder: Path, question: Question, shop: Workshop | None
) -> tuple[Measured | None, list[str]]:
    """The weeks that an earlier call has measured, and what is to be said: None where files have changed since."""
    path = folder / KEPT
    if not path.is_file():
        return None, []
    if shop is None:
        return None, [
            f"{KEPT} is left aside: without a shop.toml that can be read nobody knows what it is of."
        ]
    try:
        kept = json.loads(path.read_text("utf-8"))
        same = kept["of"] == _of(shop, question)
        weeks = {frozenset(one["there"]): _week(one) for one in kept["weeks"]}
    except (OSError, ValueError, KeyError, TypeError, AttributeError):
        return None, [f"{KEPT} can't be read and is left aside; `--measured` writes it anew."]
    if not same:
        return None, [
            f"{KEPT} is of other files than these (the shop, its supply, its orders, or what purchases add have"
            " changed): capacities are as typed until `--measured` is called again."
        ]
    return Measured(*measurable(question), weeks), []


def _of(shop: Workshop, question: Question) -> str:
    """What the measurements are of: the shop's files, the usual week, what purchases add."""
    mark, written = sha256(), written_in(shop.folder)
    for name in ("shop.toml", "plastics.toml", "supply.toml"):
        data = written.read(name, Notes()) if written.has(name) else None
        mark.update(name.encode() + (b"none" if data is None else data))
    orders = usual_week(shop, most_asked(question)).orders.values() if shop.orders else ()
    adds = [(one.id, one.necessity, one.adds, one.adds_like) for one in question.purchases]
    mark.update(repr(sorted((order.recipe, order.sheets) for order in orders)).encode())
    mark.update(repr(sorted(adds)).encode())
    return mark.hexdigest()


def _week(one: Mapping[str, Any]) -> MeasuredWeek:
    return MeasuredWeek(
        sheets=float(one["sheets_per_week"]), most=float(one["at_most"]), asked=float(one["asked"]),
        tightest=tuple(one["tightest"]),
    )  # fmt: skip


def keep_measurements(folder: Path, question: Question, shop: Workshop, measured: Measured) -> None:
    """Write the file, whole or not at all. Raises `Refused` where it can't be."""
    weeks = [
        {
            "there": sorted(some), "sheets_per_week": week.sheets, "at_most": week.most, "asked": week.asked,
            "tightest": list(week.tightest),
        }
        for some, week in sorted(measured.weeks.items(), key=lambda entry: (len(entry[0]), sorted(entry[0])))
    ]  # fmt: skip
    words = {"format": "flatstock.measured/1", "of": _of(shop, question), "weeks": weeks}
    write_file(folder / KEPT, json.dumps(words, ensure_ascii=False, indent=1) + "\n")
