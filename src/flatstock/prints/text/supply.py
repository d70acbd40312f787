"""A supply in a terminal: phases, verdict, what would help, starts, cable, money, what to ask."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from flatstock.prints.numbers import number
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
from flatstock.prints.text.closing import closing
from flatstock.prints.text.layout import heading, table, title, wrapped
from flatstock.units import from_si

__all__ = ["supply_text"]

Document = Mapping[str, Any]


def supply_text(document: Document, system: str = "metric") -> str:
    """A `flatstock.supply/1` for people; with `system` "us" sheets in square feet."""
    lines = [
        *title("Supply", str(document.get("shop") or "")),
        connection_words(document["supply"]),
        "",
        *wrapped(verdict_words(document), first="VERDICT  "),
        *_phases(document),
        *_remedies(document),
        *_starts(document),
        *_cable(document),
        *_heaters(document, system),
        *_money(document),
        *heading("Ask the electrician"),
    ]
    for n, asked in enumerate(document["ask_the_electrician"], 1):
        lines += wrapped(str(asked), first=f"  {n:>2}. ")
    return "\n".join([*lines, *closing(document)]) + "\n"


def _phases(document: Document) -> list[str]:
    lines = range(len(document["worst"]["arithmetic_A"]))
    rows = [("", "kW", "hangs on", "pf", *(f"L{n + 1}, A" for n in lines))]
    for load in document["loads"]:
        rows.append((
            str(load["id"]), f"{load['input_kW']:.2f}", hangs(load, len(lines)), f"{load['power_factor']:.2f}",
            *_of_load(load, len(lines)),
        ))  # fmt: skip
    worst = document["worst"]
    off = sorted({load["id"] for load in document["loads"]} - set(worst["on"]))
    state = "everything on" if not off else f"worst, {', '.join(off)} off"
    for words, key in sum_rows(worst, state):
        kW = f"{worst['kW']:.2f}" if key == "arithmetic_A" else ""
        rows.append((words, kW, "", "", *(f"{one:.2f}" for one in worst[key])))
    best = document["best_allocation"]
    largest = f"{best['largest_A']:.2f} A on a phase"
    said = f"The best allocation found puts {largest}; not proven the best."
    if best["proven"]:
        said = f"No allocation of the one-phase loads puts less than {largest}: every one was looked at."
    if not best["phases"]:
        said = "No load can be moved to another phase."
    return [
        *heading("On each phase, magnitudes added"),
        *table(rows, "<><>" + ">" * len(lines)),
        *wrapped(f"Neutral {worst['neutral_A']:.2f} A, {worst['kVA']:.2f} kVA. {said}", first="  "),
    ]


def _of_load(load: Document, lines: int) -> list[str]:
    at = (load["phase"] or 1) - 1
    on = {"3P": range(lines), "LN": (at,), "LL": (at, (at + 1) % lines)}[load["connection"]]
    return [f"{load['current_A']:.2f}" if line in on else "–" for line in range(lines)]


def _remedies(document: Document) -> list[str]:
    if not document["remedies"]:
        return []
    lines = heading("What would help, each tried")
    for one in document["remedies"]:
        mark = "yes" if one["verdict"] == "fits" else "NO"
        lines += wrapped(
            f"{one['what']}: {amps(one['worst_A'])} A at most{_costs(one)}{_note(one)}.", first=f"  {mark:<4}"
        )
    return lines


def _costs(one: Document) -> str:
    minutes = one["costs_minutes_per_day"]
    if one["verdict"] != "fits" or minutes == 0:
        return ""
    if minutes is None:
        return "; what it costs in time is not known"
    return f"; costs up to {minutes:.0f} min, {one['costs_sheets_per_day']:.1f} sheets a day"


def _note(one: Document) -> str:
    return f"; {one['note']}" if one["note"] else ""


def _starts(document: Document) -> list[str]:
    if not document["starts"]:
        return []
    rows = [("", "start, A", "with the rest, A", "device acts from, A", "")]
    for one in document["starts"]:
        acts = "its curve" if one["trips_from_A"] is None else f"{one['trips_from_A']:.0f}"
        own = "" if one["own_trips_from_A"] is None else f" (own {one['own_trips_from_A']:.0f})"
        rows.append((
            str(one["load"]), f"{one['start_A']:.0f}", f"{one['peak_A']:.0f}", acts + own, START_WORDS[one["verdict"]],
        ))  # fmt: skip
    order = ", ".join(document["start_order"])
    return [
        *heading("Starting"),
        *table(rows, "<>>><"),
        *wrapped(f"One after the other: {order}.", first="  "),
    ]


def _cable(document: Document) -> list[str]:
    cable, leak = document["cable"], document["leakage"]
    carries, drop = number(cable["carries_A"]), number(cable["drop_V"])
    said = CABLE_WORDS[cable["verdict"]]
    if carries.value is not None:
        said += f": carries {carries.value:.0f} A by the table, {cable['needed_A']:g} A needed"
    if drop.value is not None:
        said += f"; drops {drop.value:.2f} V, {cable['drop_percent']:.2f} %"
    if cable["not_known"]:
        said += f". Not known: {'; '.join(cable['not_known'])}"
    stands = "" if leak["may_stand_mA"] is None else f", {leak['may_stand_mA']:g} mA may stand"
    return [
        *heading("Cable and earth leakage"),
        *wrapped(f"{said}.", first="  cable    "),
        *wrapped(
            f"heaters up to {number(leak['expected_mA']).value:.0f} mA{stands}: {LEAKAGE_WORDS[leak['verdict']]}.",
            first="  leakage  ",
        ),
    ]


def _heaters(document: Document, system: str) -> list[str]:
    lines = heading("Heaters")
    time = number(document["heat_up_min"])
    if time.value is not None:
        lines += wrapped(f"heat-up {time.value:.0f} min with what is on file.", first="  ")
    unit, of = ("ft²", "ft2") if system == "us" else ("m²", "m2")
    rows = [("left for heaters", "kW", f"sheet, {unit}", "heat-up, min")]
    for one in document["heaters_that_fit"]:
        area = from_si(number(one["sheet_area_m2"]).value or 0.0, "area", of)
        heat_up = "never" if one["heat_up_min"] is None else f"{one['heat_up_min']:.0f}"
        rows.append((str(one["what"]), f"{one['heaters_kW']:.2f}", f"{area:.2f}", heat_up))
    lines += table(rows, "<>>>")
    for one in document["wiring_mistakes"]:
        said = f"{one['load']}, {one['what']}: {one['power_kW']:.1f} kW, {one['current_A']:.0f} A."
        lines += wrapped(said, first="  if joined wrongly  ")
    return lines


def _money(document: Document) -> list[str]:
    energy, cost = number(document["energy_kWh_month"]), number(document["cost_month"])
    said = f"{energy.value or 0:.0f} kWh ({energy.low or 0:.0f} to {energy.high or 0:.0f})"
    if cost.value is not None:
        said += f", {cost.value:.2f} ({cost.low or 0:.0f} to {cost.high or 0:.0f}) in the shop's money"
    demand = f"; largest quarter hour {document['demand_kW']:.1f} kW"
    if document["demand_cost_month"]:
        demand += f", {document['demand_cost_month']:.2f} of it for that"
    return [*heading("A month"), *wrapped(f"{said}{demand}.", first="  ")]
