"""Where the numbers of what to buy when come from, for a page that says why."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

__all__ = ["outlay_reasons"]

Document = Mapping[str, Any]
SOURCE = "docs/outlay.md"
FILE = "outlay.toml"
TITLES = {
    "cash_end": "Cash at the end, and which month to order in",
    "npv": "Net present value",
    "break_even_per_week": "Sheets a week that pay for themselves",
    "payback_months": "Pays in",
}


def outlay_reasons(document: Document) -> dict[str, Any]:
    """The `why` of a `flatstock.outlay/1` with its inputs, and of the numbers that the months are counted by."""
    if document["refused"]:
        return {"why": []}
    price = _given("price of a sheet", document["price_per_sheet"])
    variable = _given("variable cost of a sheet", document["variable_per_sheet"])
    fixed = _given("fixed cost a month", document["fixed_per_month"])
    share = _given("yield", document["yield"])
    weeks = _given("weeks a month", document["weeks_per_month"], kind="computed")
    most = _given("largest demand, sheets a week", max(document["demand_per_week"], default=0.0))
    inputs = {
        "cash_end": [_given("cash at the start", document["cash_start"]),
                     _given("overdraft", document["overdraft"]), price, variable, fixed, share],
        "npv": [_given("discount, % a year", document["discount_percent_year"]),
                _given("cash at the start, left out", document["cash_start"]), price, variable, fixed],
        "break_even_per_week": [fixed, weeks, share, price, variable],
        "payback_months": [most, price, variable, share],
    }  # fmt: skip
    why = []
    for one in document["why"]:
        more = inputs.get(one["of"], [])
        why.append({**one, "title": TITLES.get(one["of"], one["of"]), "inputs": [*more, *one["inputs"]]})
    why.append(_capacity(document))
    if document["risk"]:
        why.append(_risk(document))
    said = {name: document.get(name) for name in ("cash_end", "npv", "break_even_per_week")}
    return {
        **{name: f"{value:,.1f}".replace(",", " ") for name, value in said.items() if value is not None},
        "why": why,
    }


def _capacity(document: Document) -> dict[str, Any]:
    rows = [
        {"name": one["id"], "value": ", ".join(f"{name} {number:g}" for name, number in one["gives"].items()),
         "kind": one["kind"], "source": FILE}
        for one in document["purchases"] if one["gives"]
    ]  # fmt: skip
    return {
        "of": "capacity_per_week",
        "title": "Sheets a week, and what limits them",
        "formula": "the least of what hot press, moulds, cooling, people and saw can each make with what has arrived;"
        " made is no more than that and no more than the demand of the month, sold is made x yield",
        "source": SOURCE,
        "note": "as typed, unless weeks were planned with and without a purchase: then as measured",
        "inputs": rows,
    }


def _risk(document: Document) -> dict[str, Any]:
    return {
        "of": "risk",
        "title": "Futures in which it pays or does not",
        "formula": "each range drawn between its low and its high, the same purchases in the same months",
        "source": SOURCE,
        "note": "one thing moved at a time is the table beside it",
        "inputs": [
            {"name": one["of"].replace("_", " "), "value": f"{one['low']:g} to {one['high']:g}",
             "kind": "assumed", "source": FILE}
            for one in document["ranges"]
        ] + [{"name": "runs", "value": f"{document['risk']['runs']}", "kind": "computed", "source": "drawn"}],
    }  # fmt: skip


def _given(name: str, value: float, kind: str = "assumed") -> dict[str, Any]:
    return {"name": name, "value": f"{value:,.6g}".replace(",", " "), "kind": kind, "source": FILE}
