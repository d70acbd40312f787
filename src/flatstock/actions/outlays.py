"""Plan what a workshop buys in which month, before or after it has a shop.toml."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from typing import Any

from flatstock.actions.measured_file import kept_measurements
from flatstock.actions.supplies import look_at_supply
from flatstock.actions.workshops import Beside, shop_beside, units_of
from flatstock.errors import Fault, Refused
from flatstock.prints.room_lengths import in_units
from flatstock.prints.supply_words import connection_words, verdict_words
from flatstock.starting.outlay.answer import answer
from flatstock.starting.outlay.document import document
from flatstock.starting.outlay.measured_weeks import Measured
from flatstock.starting.outlay.question import Question
from flatstock.starting.outlay.read import read_outlay
from flatstock.starting.outlay.risk import RUNS, SEED
from flatstock.starting.outlay.settled import overdue
from flatstock.starting.room.room_file import read_room
from flatstock.starting.room.walls import floor_m2
from flatstock.workshop.shop import Workshop
from flatstock.workshop.written import has_file

__all__ = ["COLUMNS", "RUNS", "SEED", "Measuring", "OutlayAnswer", "months_csv", "plan_outlay"]

COLUMNS = (
    "month",
    "order",
    "capacity_per_week",
    "tightest",
    "made",
    "sold",
    "paid",
    "cash_paid_to",
    "cash_end",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Measuring:
    """That weeks are to be planned with and without purchases."""

    now: datetime  #: some moment of the week
    seconds: float  #: for each week
    say: Callable[[str], None] = lambda _: None  #: hears how far it is


@dataclass(frozen=True, slots=True)
class OutlayAnswer:
    """What to buy when, and on what paper to print it."""

    document: dict[str, Any]  #: `flatstock.outlay/1`
    paper: str
    premises: tuple[str, ...]  #: the room and the connection it is for, in sentences


def plan_outlay(
    folder: Path,
    beside: Beside | None = None,
    *,
    runs: int = RUNS,
    seed: int = SEED,
    made_at: datetime | None = None,
    measuring: Measuring | None = None,
) -> OutlayAnswer:
    """The purchases of `folder`; `beside` as `shop_beside` found it.

    `measuring` plans weeks with and without purchases first; without it those that an earlier call has kept count.

    Raises
    ------
    Refused
        With every fault of outlay.toml, or nothing can be measured. That no plan works is an answer, in the
        document's `refused`.
    """
    shop, said = beside or shop_beside(folder)
    question, notes = read_outlay(folder, shop)
    if measuring is None:
        measured, words = kept_measurements(folder, question, shop)
    else:
        measured, words = _measure(folder, question, shop, measuring)
    question, said = replace(question, measured=measured), [*said, *words]
    found = document(
        answer(question, runs=runs, seed=seed), shop=shop.name if shop else folder.name, made_at=made_at
    )
    late = overdue(question.checks, made_at.date()) if made_at else []
    found["warnings"] = [*found["warnings"], *late, *notes, *said]
    paper = shop.paper if shop else "letter" if units_of(folder) == "us" else "a4"
    return OutlayAnswer(document=found, paper=paper, premises=_premises(folder, beside))


def _measure(
    folder: Path, question: Question, shop: Workshop | None, asked: Measuring
) -> tuple[Measured, list[str]]:
    from flatstock.actions.measuring import measure  # the planner takes a second to come

    if shop is None:
        instead = "write one that `flatstock read` finds no fault in"
        raise Refused(Fault(str(folder), "a week can't be planned without a shop.toml", instead))
    return measure(folder, question, shop, now=asked.now, seconds=asked.seconds, say=asked.say)


def _premises(folder: Path, beside: Beside | None) -> tuple[str, ...]:
    """What room.toml and supply.toml of the folder say, where they are there and can be read."""
    said = []
    shop = beside[0] if beside else None
    system = shop.units_shown if shop else units_of(folder)
    if has_file(folder, "room.toml"):
        try:
            room = read_room(folder).question.room
            area, height = floor_m2(room), room.height_mm
            high = "" if height is None else f", {height / 1000:g} m high"
            rated = "not known" if room.floor_kN_m2 is None else f"rated {room.floor_kN_m2:g} kN/m²"
            said.append(in_units(f"Room of {area:.1f} m²{high}; floor {rated}.", system))
        except Refused:
            said.append("room.toml has faults and says nothing here.")
    if has_file(folder, "supply.toml"):
        try:
            supply = look_at_supply(folder, beside).document
            said.append(f"Supply: {connection_words(supply['supply'])}. {verdict_words(supply)}")
        except Refused:
            said.append("supply.toml has faults and says nothing here.")
    return tuple(said)


def months_csv(of: Mapping[str, Any]) -> str:
    """The months of a `flatstock.outlay/1` as a table that a spreadsheet opens; a line a month.

    Commas between, dots in numbers; a byte order mark makes spreadsheets read it as UTF-8.
    """
    text = io.StringIO()
    table = csv.writer(text, lineterminator="\r\n")
    table.writerow(COLUMNS)
    for month in of["by_month"]:
        ordered = [one["id"] for one in of["purchases"] if one["order_month"] == month["month"]]
        row = month | {"order": " ".join(ordered), "tightest": " ".join(month["tightest"])}
        table.writerow([row[name] for name in COLUMNS])
    return "\ufeff" + text.getvalue()
