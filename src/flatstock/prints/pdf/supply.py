"""A supply on two sheets: what it carries, and the page to hand to the electrician."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from flatstock.prints.numbers import number
from flatstock.prints.pdf.parts import Part, big, figure, lines, numbered, rows, sheet
from flatstock.prints.pdf.typeset import typeset_to
from flatstock.prints.pdf.words import cautions, foot, made_at, short
from flatstock.prints.supply_words import (
    CABLE_WORDS,
    LEAKAGE_WORDS,
    START_WORDS,
    amps,
    connection_words,
    hangs,
    sum_rows,
    verdict_words,
)

__all__ = ["supply_pdf"]

Document = Mapping[str, Any]


def supply_pdf(document: Document, path: Path, paper: str = "a4") -> list[str]:
    """Print a `flatstock.supply/1` on two sheets of A4 or Letter; returns warnings about the print itself.

    Raises
    ------
    ValueError
        `paper` is not known.
    OSError
        `path` cannot be written; whatever stood there is left as it was.
    """
    shop = short(str(document["shop"]), 48)
    content = {
        "title": f"Electrical supply of {document['shop']}",
        "shop": str(document["shop"]),
        "sheets": [_carries(document, shop), _asks(document, shop)],
    }
    return typeset_to(path, "report", content, paper=paper, made_at=made_at(document))


def _carries(document: Document, shop: str) -> Part:
    worst = document["worst"]
    parts = [
        big(
            figure("WORST PHASE, magnitudes added", f"{max(worst['held_against_rating_A']):.1f}", unit="A",
                   below=f"rating {document['supply']['rated_A']:g} A"),
            figure("VERDICT", verdict_words(document), wide=True),
        ),
        _phases(document),
    ]  # fmt: skip
    if document["remedies"]:
        parts.append(_remedies(document))
    if document["starts"]:
        parts.append(_starts(document))
    parts.append(lines("Cable, leakage, heaters, money", _rest(document)))
    return sheet(
        "Electrical supply", (shop, connection_words(document["supply"])), parts,
        warnings=document["warnings"], foot=foot(document, bands=False),
    )  # fmt: skip


def _asks(document: Document, shop: str) -> Part:
    worst = document["worst"]
    loads = [
        (
            str(one["id"]),
            f"{one['input_kW']:.2f}",
            hangs(one, len(worst["arithmetic_A"])),
            f"{one['current_A']:.1f}",
        )
        for one in document["loads"]
    ]
    parts = [
        numbered("Questions, with room for the answers", document["ask_the_electrician"], room=True),
        rows(
            "What is to be connected, from the rating plates",
            ("", "kW", "hangs on", "A in each line"),
            "lrlr",
            loads,
        ),
    ]
    where = (shop, connection_words(document["supply"]), f"worst: {amps(worst['held_against_rating_A'])} A")
    return sheet(
        "For the electrician", where, parts, cautions=cautions(document), foot=foot(document, bands=False)
    )


def _phases(document: Document) -> Part:
    worst = document["worst"]
    count = len(worst["arithmetic_A"])
    cells = []
    for load in document["loads"]:
        on = [f"{one:.2f}" if one else "–" for one in _in_lines(load, count)]
        cells.append(
            (
                str(load["id"]),
                f"{load['input_kW']:.2f}",
                hangs(load, count),
                f"{load['power_factor']:.2f}",
                *on,
            )
        )
    off = sorted({load["id"] for load in document["loads"]} - set(worst["on"]))
    state = "everything on" if not off else f"worst: {', '.join(off)} off"
    for words, key in sum_rows(worst, state):
        kW = f"{worst['kW']:.2f}" if key == "arithmetic_A" else ""
        cells.append((words, kW, "", "", *(f"{one:.2f}" for one in worst[key])))
    head = ("", "kW", "hangs on", "power factor", *(f"L{n + 1}, A" for n in range(count)))
    return rows("On each phase", head, "wrlr" + "r" * count, cells, bold={len(document["loads"])})


def _in_lines(load: Document, count: int) -> list[float]:
    at = (load["phase"] or 1) - 1
    on = {"3P": range(count), "LN": (at,), "LL": (at, (at + 1) % count)}[load["connection"]]
    return [load["current_A"] if line in on else 0.0 for line in range(count)]


def _remedies(document: Document) -> Part:
    cells = []
    for one in document["remedies"]:
        minutes = one["costs_minutes_per_day"]
        fits = one["verdict"] == "fits"
        cost = (
            ""
            if not fits
            else "not known"
            if minutes is None
            else f"{minutes:.0f} min"
            if minutes
            else "none"
        )
        what = f"{one['what']} ({one['note']})" if one["note"] else str(one["what"])
        cells.append(("■ yes" if fits else "no", what, amps(one["worst_A"]), cost))
    return rows("What would help, each tried", ("", "", "at most, A", "costs a day"), "lwlr", cells)


def _starts(document: Document) -> Part:
    cells = []
    for one in document["starts"]:
        acts = "its curve" if one["trips_from_A"] is None else f"{one['trips_from_A']:.0f}"
        cells.append(
            (
                str(one["load"]),
                f"{one['start_A']:.0f}",
                f"{one['peak_A']:.0f}",
                acts,
                START_WORDS[one["verdict"]],
            )
        )
    title = f"Starting, one after the other: {', '.join(document['start_order'])}"
    return rows(title, ("", "start, A", "with the rest, A", "device acts from, A", ""), "lrrrw", cells)


def _rest(document: Document) -> list[str]:
    cable, leak = document["cable"], document["leakage"]
    carries, drop = number(cable["carries_A"]).value, number(cable["drop_V"]).value
    words = f"Cable: {CABLE_WORDS[cable['verdict']]}"
    words += "" if carries is None else f": carries {carries:.0f} A, {cable['needed_A']:g} A needed"
    words += "" if drop is None else f"; drop {drop:.2f} V, {cable['drop_percent']:.2f} %"
    found = [f"{words}."]
    stands = "" if leak["may_stand_mA"] is None else f", {leak['may_stand_mA']:g} mA may stand"
    found.append(
        f"Earth leakage of the heaters up to {number(leak['expected_mA']).value:.0f} mA{stands}:"
        f" {LEAKAGE_WORDS[leak['verdict']]}."
    )
    left = document["heaters_that_fit"][0]
    heat_up = number(document["heat_up_min"]).value
    now = "" if heat_up is None else f" Heat-up takes {heat_up:.0f} min with what is on file."
    found.append(f"Left for heaters beside everything else: {left['heaters_kW']:.1f} kW.{now}")
    energy, cost = number(document["energy_kWh_month"]), number(document["cost_month"])
    money = (
        ""
        if cost.value is None
        else f", {cost.value:.0f} ({cost.low:.0f} to {cost.high:.0f}) in the shop's money"
    )
    found.append(
        f"A month: {energy.value:.0f} kWh ({energy.low:.0f} to {energy.high:.0f}){money};"
        f" largest quarter hour {document['demand_kW']:.1f} kW."
    )
    return found
