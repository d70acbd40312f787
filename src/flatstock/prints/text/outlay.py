"""An outlay in a terminal: orders, months, next purchases, what moves it, what is still open."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from flatstock.prints.numbers import number
from flatstock.prints.outlay_words import (
    NECESSITY_WORDS,
    OF_WORDS,
    capacity_words,
    headline,
    in_turn,
    money,
    month_name,
    months_words,
    payback,
    slump_words,
    waits,
)
from flatstock.prints.text.closing import closing
from flatstock.prints.text.layout import heading, table, title, wrapped

__all__ = ["outlay_text"]

Document = Mapping[str, Any]
_SHOWN = 6  # of next purchases


def outlay_text(document: Document) -> str:
    """A `flatstock.outlay/1` for people."""
    currency = f"amounts in {document['currency']}, " if document["currency"] else ""
    lines = [
        *title("What to buy when", str(document.get("shop") or "")),
        f"{currency}{months_words(document['months'])}",
        "",
        *wrapped(headline(document), first="ANSWER  "),
        *_orders(document),
        *_first_sale(document),
        *_months(document),
        *_measured(document),
        *_next(document),
        *_worth(document),
        *_delays(document),
        *_team(document),
        *_side_by_side(document),
        *_checklist(document),
        *closing(document),
    ]
    return "\n".join(lines) + "\n"


def _orders(document: Document) -> list[str]:
    rows = [("order in", "there in", "", "", "cost")]
    bought = [one for one in document["purchases"] if one["order_month"] is not None]
    for one in sorted(bought, key=lambda one: (one["order_month"], one["id"])):
        rows.append((
            month_name(document, one["order_month"]), month_name(document, one["arrive_month"]), str(one["id"]),
            NECESSITY_WORDS[one["necessity"]], money(one["cost"]),
        ))  # fmt: skip
    lines = heading("Orders") + (table(rows, "<<<<>") if bought else ["  none"])
    left = sorted(one["id"] for one in document["purchases"] if one["order_month"] is None)
    return lines + (wrapped(f"Not bought: {', '.join(left)}.", first="  ") if left else [])


def _first_sale(document: Document) -> list[str]:
    chain = document["first_sale_chain"]
    if chain is None:
        return []
    links = "; ".join(
        f"{one['id']} ordered in {one['order_month']}, there in {one['arrive_month']} ({one['because']})"
        for one in chain["links"]
    )
    words = f"First sale in month {document['first_sale_month']}"
    words += f", which waits for {links}." if links else "."
    if chain["waits_for_demand"]:
        words += " All is there before anybody asks for a sheet."
    return wrapped(f"{words} Not counted: {chain['not_counted']}.", first="  ")


def _months(document: Document) -> list[str]:
    rows = [("month", "a week", "made", "paid", "lowest", "cash", "limited by")]
    before: object = None
    for one in document["by_month"]:
        least = min(one["cash_paid_to"], one["cash_end"])
        limited = "the same" if one["missing"] and one["missing"] == before else waits(one)
        before = one["missing"]
        rows.append((
            month_name(document, one["month"]), f"{one['capacity_per_week']:g}", f"{one['made']:.0f}",
            money(one["paid"]) if one["paid"] else "", money(least), money(one["cash_end"]), limited,
        ))  # fmt: skip
    rests = capacity_words(document)
    lines = [*heading("Month by month"), *table(rows, "<>>>>><")]
    return [*lines, *wrapped(rests, first="  ")] if rests else lines


def _measured(document: Document) -> list[str]:
    weeks = document.get("measured") or ()
    if not weeks:
        return []
    rows = [("there beside what is required", "asked", "made", "at most", "busiest")]
    for one in weeks:
        sheets = number(one["sheets_per_week"])
        less = " (with less of it)" if one["from_less"] else ""
        rows.append((
            (" + ".join(one["there"]) or "nothing") + less, f"{one['asked_per_week']:g}", f"{sheets.value:g}",
            f"{sheets.high:g}", ", ".join(one["tightest"]),
        ))  # fmt: skip
    said = (
        "Sheets a week in the plan that was found in the time given, and what no plan for that week exceeds:"
    )
    return [*heading("Weeks planned to measure this"), *wrapped(said, first="  "), *table(rows, "<>>><")]


def _next(document: Document) -> list[str]:
    if not document["next"]:
        return []
    base = document["next_from"]
    rows = [("", "sheets a week", "then limited by", "cost", "pays in")]
    for one in document["next"][:_SHOWN]:
        rows.append((
            " + ".join(one["buy"]), f"{one['sheets_per_week']:g}", ", ".join(one["tightest"]), money(one["cost"]),
            payback(one["payback_months"]),
        ))  # fmt: skip
    limited = f", limited by {', '.join(base['tightest'])}" if base["tightest"] else ""
    said = f"From {base['sheets_per_week']:g} a week with everything needed{limited}:"
    return [*heading("Next purchase, alone and in pairs"), *wrapped(said, first="  "), *table(rows, "<><>>")]


def _worth(document: Document) -> list[str]:
    even, risk = document["break_even_per_week"], document["risk"]
    said = "no sheet earns anything" if even is None else f"{even:.1f} sheets a week earn the fixed costs"
    lines = [
        *heading("Will it pay"),
        *wrapped(
            f"NPV {money(document['npv'])} at {document['discount_percent_year']:g} % a year over"
            f" {months_words(document['months'])}; {said}; lowest cash {money(document['lowest_cash'])}.",
            first="  ",
        ),
    ]
    if document["tornado"]:
        rows = [("one thing moved, the plan kept", "NPV at its low", "NPV at its high")]
        rows += [(OF_WORDS[b["of"]], money(b["npv_low"]), money(b["npv_high"])) for b in document["tornado"]]
        lines += table(rows, "<>>")
        lines += wrapped(
            f"{risk['runs']} futures (seed {risk['seed']}): NPV {money(risk['npv_p10'])} / {money(risk['npv_p50'])} /"
            f" {money(risk['npv_p90'])} (one in ten below, middle, one in ten above); below nothing in"
            f" {risk['share_npv_below_zero']:.0%}, out of cash in the first year in {risk['share_out_of_cash']:.1%}."
            f"{slump_words(document)} Ranges are drawn independently.",
            first="  ",
        )
    return lines


def _delays(document: Document) -> list[str]:
    if not document["delays"]:
        return []
    rows = [("a month late", "first sale", "cash at the end", "lowest", "")]
    for one in document["delays"]:
        rows.append((
            str(one["late"]), month_name(document, one["first_sale_month"]), money(one["cash_end"]),
            money(one["lowest_cash"]), "" if one["keeps_cash"] else "RUNS OUT",
        ))  # fmt: skip
    return [*heading("The same plan with one delivery late"), *table(rows, "<<>><")]


def _team(document: Document) -> list[str]:
    team = document["team"]
    if team is None:
        return []
    presence, minutes = (
        number(team[f"sheets_per_week_by_{key}"]).value or 0.0 for key in ("presence", "minutes")
    )
    said = (
        f"{team['hot_transfer']} may carry hot moulds; two of them are there {team['hours_of_two_per_week']:g} h on"
        f" {team['days_of_two_per_week']:g} days a week: about {presence:.0f} sheets (assumed minutes)."
        f" Everybody's minutes allow about {minutes:.0f}. A day with one of them presses nothing."
    )
    return [*heading("People"), *wrapped(said, first="  ")]


def _side_by_side(document: Document) -> list[str]:
    compared = document.get("side_by_side", ())
    if not compared:
        return []
    rows = [("", "room, m²", "worst, A", "of", "first sale", "lowest", "at the end", "NPV")]
    notes: list[str] = []
    for one in compared:
        worst, rated, area, sale = (
            one[key] for key in ("worst_phase_A", "rated_A", "room_m2", "first_sale_month")
        )
        rows.append((
            str(one["shop"]), "—" if area is None else f"{area:.1f}", "—" if worst is None else f"{worst:.1f}",
            "—" if rated is None else f"{rated:g}", "never" if sale is None else str(sale),
            money(one["lowest_cash"]), money(one["cash_end"]), money(one["npv"]),
        ))  # fmt: skip
        notes += wrapped(f"{one['shop']}: {one['refused']}", first="  ") if one["refused"] else []
    return [*heading("Beside each other"), *table(rows, "<>>>>>>>"), *notes]


def _checklist(document: Document) -> list[str]:
    lines = heading("To be settled first")
    for one in in_turn(document["checklist"]):
        mark = "done" if one["done"] else "OPEN"
        who = one["owner"] or "nobody yet"
        more = "; ".join(filter(None, (one["date"], one["evidence"])))
        decides = f" Defer to: {one['defer_to']}." if one["defer_to"] else ""
        said = f"{one['id']}: {one['what']}. Before {one['before'].replace('_', ' ')}; {who}"
        lines += wrapped(f"{said}{'; ' + more if more else ''}.{decides}", first=f"  {mark}  ")
    return lines
