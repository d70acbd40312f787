"""How an outlay is said, in a terminal and on paper."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from flatstock.times import MONTHS

__all__ = [
    "NECESSITY_WORDS",
    "OF_WORDS",
    "capacity_words",
    "headline",
    "in_turn",
    "money",
    "month_name",
    "months_words",
    "payback",
    "slump_words",
    "waits",
]

Document = Mapping[str, Any]
NECESSITY_WORDS = {
    "cannot_press": "can't press without",
    "cannot_press_safely": "must not press without",
    "cannot_sell": "can't sell without",
    "faster": "faster",
    "nicer": "nicer",
}
OF_WORDS = {
    "price_per_sheet": "price of a sheet",
    "demand_per_week": "demand",
    "variable_per_sheet": "cost of a sheet",
    "fixed_per_month": "fixed costs",
    "yield": "yield",
    "cost": "what purchases cost",
    "lead_months": "delivery times",
}


def in_turn(checklist: Sequence[Document]) -> list[Document]:
    """The lines of a checklist in the order in which they are wanted: before the lease, purchases, melt, sale."""
    turns = {"lease": 0, "first_melt": 2, "first_sale": 3}
    return sorted(checklist, key=lambda one: turns.get(one["before"], 1))


def money(value: float | None) -> str:
    """An amount without hundredths, thousands apart by a blank.

    >>> money(-1234567.8)
    '-1 234 568'
    """
    return "—" if value is None else f"{value:,.0f}".replace(",", " ")


def month_name(document: Document, month: int | None) -> str:
    """The number of a month, with its name where the plan has a date.

    >>> month_name({"starts": "2026-03-01"}, 3)
    '3 (Jun 26)'
    """
    if month is None:
        return "never"
    if not document.get("starts"):
        return str(month)
    year, first = int(document["starts"][:4]), int(document["starts"][5:7]) - 1
    return f"{month} ({MONTHS[(first + month) % 12][:3]} {(year + (first + month) // 12) % 100:02d})"


def months_words(months: int) -> str:
    """How many months.

    >>> months_words(1), months_words(24)
    ('1 month', '24 months')
    """
    return f"{months} month{'' if months == 1 else 's'}"


def payback(months: float | None) -> str:
    """How soon a purchase pays."""
    return "never" if months is None else "under a month" if months < 1 else f"{months:.1f} months"


def waits(month: Document) -> str:
    """What limits a month."""
    if month["missing"]:
        return f"waits for {', '.join(month['missing'])}"
    return ", ".join(month["tightest"])


def capacity_words(document: Document) -> str:
    """What the sheets a week rest on.

    >>> month = {"month": 3, "capacity_from": "planned_week"}
    >>> capacity_words({"by_month": [month, month | {"month": 4}]})
    'Sheets a week: as planned weeks have it in months 3 to 4.'
    """
    words = {"planned_week": "as planned weeks have it", "typed": "as typed in outlay.toml, not measured"}
    found = []
    for source, said in words.items():
        months = [one["month"] for one in document["by_month"] if one.get("capacity_from") == source]
        runs: list[list[int]] = []
        for month in months:
            if runs and month == runs[-1][-1] + 1:
                runs[-1].append(month)
            else:
                runs.append([month])
        spans = ", ".join(f"{run[0]} to {run[-1]}" if len(run) > 1 else str(run[0]) for run in runs)
        if spans:
            found.append(f"{said} in month{'' if len(months) == 1 else 's'} {spans}")
    return f"Sheets a week: {'; '.join(found)}." if found else ""


def headline(document: Document) -> str:
    """The answer in a sentence."""
    if document["refused"]:
        return f"NO PLAN WORKS: {document['refused']}"
    bought = [one for one in document["purchases"] if one["order_month"] is not None]
    if not bought and document["first_sale_month"] is None:
        end = money(document["cash_end"])
        return f"Buying nothing leaves most: {end} at the end of {months_words(document['months'])}."
    proof = document["proof"]["status"]
    best = "no order leaves more, proven" if proof == "optimal" else "the best found, not proven"
    return (
        f"{money(document['cash_end'])} after {months_words(document['months'])}; first sale in month"
        f" {month_name(document, document['first_sale_month'])}; {best}."
    )


def slump_words(document: Document) -> str:
    """What is left where demand and price, as far as they have ranges, are low together; "" where neither has one."""
    given = [
        OF_WORDS[r["of"]] for r in document["ranges"] if r["of"] in ("demand_per_week", "price_per_sheet")
    ]
    if not given:
        return ""
    words, low = " and ".join(sorted(given)).capitalize(), money(document["risk"]["npv_common_slump"])
    return f" {words} low{' together' * (len(given) > 1)}: {low}."
