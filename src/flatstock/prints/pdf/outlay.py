"""An outlay on two sheets, for a lender or a landlord: what is bought and the cash; what could go wrong."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from flatstock.prints import outlay_words
from flatstock.prints.drawing.cash import cash_svg, describe_cash
from flatstock.prints.numbers import number
from flatstock.prints.outlay_words import (
    NECESSITY_WORDS,
    OF_WORDS,
    capacity_words,
    headline,
    in_turn,
    month_name,
    payback,
    slump_words,
)
from flatstock.prints.pdf.parts import Part, big, figure, lines, picture, rows, sheet
from flatstock.prints.pdf.typeset import typeset_to
from flatstock.prints.pdf.words import cautions, foot, made_at, short
from flatstock.prints.words import KIND_WORDS

__all__ = ["outlay_pdf"]

Document = Mapping[str, Any]
_SHOWN = 5  # of next purchases


def outlay_pdf(
    document: Document, path: Path, paper: str = "a4", *, premises: Sequence[str] = ()
) -> list[str]:
    """Print a `flatstock.outlay/1` on two sheets of A4 or Letter; returns warnings about the print itself.

    `premises` says in sentences what room and connection it is for.

    Raises
    ------
    ValueError
        `paper` is not known.
    OSError
        `path` cannot be written; whatever stood there is left as it was.
    """
    shop = short(str(document["shop"]), 48)
    content = {
        "title": f"Purchases and cash of {document['shop']}",
        "shop": str(document["shop"]),
        "sheets": [_plan(document, shop, premises), _risks(document, shop)],
    }
    return typeset_to(path, "report", content, paper=paper, made_at=made_at(document))


def money(value: float | None) -> str:
    """An amount that is not torn apart at the end of a line."""
    return outlay_words.money(value).replace(" ", "\u00a0")


def _where(document: Document, shop: str) -> list[str]:
    currency = f", amounts in {document['currency']}" if document["currency"] else ""
    starts = f"month 0 begins {document['starts']}, " if document["starts"] else ""
    return [shop, f"{starts}{document['months']} months{currency}"]


def _plan(document: Document, shop: str, premises: Sequence[str]) -> Part:
    end = document["cash_end"]
    even, sale = document["break_even_per_week"], document["first_sale_month"]
    parts = [
        big(
            figure("CASH AT THE END", money(end), below=f"start {money(document['cash_start'])}"),
            figure("LOWEST CASH", money(document["lowest_cash"]), below=f"overdraft {money(document['overdraft'])}"),
            figure("FIRST SALE", "never" if sale is None else f"month {month_name(document, sale)}", wide=True,
                   below="" if even is None else f"{even:.1f} sheets a week earn the fixed costs"),
        ),
        lines("In a sentence", [headline(document)]),
    ]  # fmt: skip
    if premises:
        parts.append(lines("Room and connection", premises))
    parts.append(_orders(document))
    parts.append(picture("Sheets a week, and cash", cash_svg(document), describe_cash(document)))
    parts.append(_yearly(document))
    parts.append(lines("Sold and earned", _terms(document)))
    return sheet("Purchases and cash", _where(document, shop), parts, foot=foot(document, bands=False))


def _orders(document: Document) -> Part:
    bought = [one for one in document["purchases"] if one["order_month"] is not None]
    if not bought:
        return lines("Orders", ["None."])
    cells = [
        (
            month_name(document, one["order_month"]), month_name(document, one["arrive_month"]), _name(one),
            NECESSITY_WORDS[one["necessity"]], money(one["cost"]), KIND_WORDS[one["kind"]],
        )
        for one in sorted(bought, key=lambda one: (one["order_month"], one["id"]))
    ]  # fmt: skip
    total = money(sum(one["cost"] for one in bought))
    cells.append(("", "", "together", "", total, ""))
    head = ("order in", "there in", "", "", "cost", "price")
    return rows("Orders", head, "llwlrl", cells, bold={len(cells) - 1})


def _name(one: Document) -> str:
    return str(one["id"]) if one["what"] == one["id"] else f"{one['id']}: {one['what']}"


def _yearly(document: Document) -> Part:
    """Quarters, since two dozen lines of months say less on paper; the CSV has them all."""
    cells = []
    months = document["by_month"]
    for first in range(0, len(months), 3):
        part = months[first : first + 3]
        least = min(min(one["cash_paid_to"], one["cash_end"]) for one in part)
        limited = part[-1]["missing"] or part[-1]["tightest"]
        sold, paid = (sum(one[key] for one in part) for key in ("sold", "paid"))
        last = part[-1]
        cells.append((
            f"{first} to {last['month']}", f"{last['capacity_per_week']:g}", f"{sold:.0f}", money(paid), money(least),
            money(last["cash_end"]), ", ".join(limited),
        ))  # fmt: skip
    head = (
        "months",
        "can make a week",
        "sold",
        "paid for orders",
        "lowest cash",
        "cash at the end",
        "limited by, at the end",
    )
    return rows("Every three months", head, "lrrrrrw", cells)


def _terms(document: Document) -> list[str]:
    return [
        f"A sheet sells for {document['price_per_sheet']:g} and costs {document['variable_per_sheet']:g} to make;"
        f" {document['yield']:.0%} of those made are sold. Fixed costs {document['fixed_per_month']:g} a month."
        f" NPV {money(document['npv'])} at {document['discount_percent_year']:g} % a year, cash at the start left out."
    ]


def _risks(document: Document, shop: str) -> Part:
    risk = document["risk"]
    parts = []
    if document["tornado"]:
        parts.append(big(
            figure("NPV, middle of the futures", money(risk["npv_p50"]),
                   below=f"one in ten under {money(risk['npv_p10'])}, one in ten over {money(risk['npv_p90'])}"),
            figure("NPV BELOW NOTHING", f"{100 * risk['share_npv_below_zero']:.0f}", unit="%"),
            figure("OUT OF CASH, first year", f"{100 * risk['share_out_of_cash']:.1f}", unit="%"),
        ))  # fmt: skip
        bars = [(OF_WORDS[b["of"]], money(b["npv_low"]), money(b["npv_high"])) for b in document["tornado"]]
        parts.append(
            rows("One thing moved, the plan kept: NPV", ("", "at its low", "at its high"), "wrr", bars)
        )
    if document["delays"]:
        late = [
            (str(one["late"]), month_name(document, one["first_sale_month"]), money(one["cash_end"]),
             money(one["lowest_cash"]), "holds" if one["keeps_cash"] else "RUNS OUT")
            for one in document["delays"]
        ]  # fmt: skip
        head = ("", "first sale", "cash at the end", "lowest cash", "")
        parts.append(rows("One delivery a month late", head, "wlrrl", late))
    if document["next"]:
        cells = [
            (" + ".join(one["buy"]), f"{one['sheets_per_week']:g}", ", ".join(one["tightest"]), money(one["cost"]),
             payback(one["payback_months"]))
            for one in document["next"][:_SHOWN]
        ]  # fmt: skip
        base = document["next_from"]["sheets_per_week"]
        head = ("", "sheets a week", "then limited by", "cost", "pays in")
        parts.append(rows(f"Next purchase, from {base:g} sheets a week", head, "wrlrr", cells))
    parts.append(_checks(document))
    parts.append(lines("What is assumed", _assumed(document)))
    return sheet(
        "Risks and what is open", _where(document, shop), parts, cautions=cautions(document),
        foot=foot(document, bands=False),
    )  # fmt: skip


def _checks(document: Document) -> Part:
    cells = [
        ("■ done" if one["done"] else "□ open", str(one["what"]), one["before"].replace("_", " "), one["owner"] or "",
         one["date"] or "", one["evidence"] or "")
        for one in in_turn(document["checklist"])
    ]  # fmt: skip
    return rows("To be settled first", ("", "", "before", "owner", "date", "evidence"), "lwllll", cells)


def _assumed(document: Document) -> list[str]:
    ranges = "; ".join(f"{OF_WORDS[r['of']]} {r['low']:+.0%} to {r['high']:+.0%}" for r in document["ranges"])
    risk = document["risk"]
    found = [f"{risk['runs']} futures, seed {risk['seed']}: " + (ranges or "no ranges are given") + "."]
    found.append("; ".join(risk["assumes"]).capitalize() + f".{slump_words(document)}")
    team = document["team"]
    if team is not None:
        sheets = number(team["sheets_per_week_by_presence"]).value or 0.0
        found.append(
            f"Two people for hot work are there {team['hours_of_two_per_week']:g} h a week, about {sheets:.0f} sheets"
            " by assumed minutes; a day with one of them presses nothing."
        )
    rests = capacity_words(document)
    return [*found, *([rests] if rests else []), *(str(one) for one in document["warnings"])]
