"""The answer as `flatstock.outlay/1`."""

from __future__ import annotations

from datetime import datetime

from flatstock.documents import Document, rounded
from flatstock.starting.outlay.answer import Answer
from flatstock.starting.outlay.follow import Month, capacity, missing, there
from flatstock.starting.outlay.nexts import base_names
from flatstock.starting.outlay.question import Check, Purchase, Question

__all__ = ["CAUTIONS", "document"]

CAUTIONS = [
    {
        "text": "A plan of purchases on numbers that are mostly guesses until offers and orders are in writing.",
        "defer_to": "accountant; lender",
    },
    {
        "text": "Guards, extract, cut-outs and training are never put off past the first melt, whatever the cash says.",
        "defer_to": "machine conformity specialist; ventilation examiner; insurer",
    },
    {
        "text": "What permits and records the place asks for, and before what, is for its own law to say.",
        "defer_to": "the authorities named in the checklist",
    },
]
ASSUMES = [
    "each range is drawn by itself, from a triangle over low, mode, high",
    "the plan of orders stays as it is, and goes on through a negative balance",
    "out of cash: under the overdraft, after paying or at a month's end, before month 12",
    "a common slump, demand and price low together, is worse than independent draws say",
]
NO_SLUMP = "no range of demand or price is given, so a common slump is not looked at"


def document(of: Answer, *, shop: str, made_at: datetime | None) -> Document:
    """Fields as formats ask for them; money in the shop's own, months from 0."""
    q = of.question
    return {
        "format": "flatstock.outlay/1",
        "shop": q.shop or shop,
        **({} if made_at is None else {"made_at": made_at.isoformat()}),
        **_asked(q),
        "have": dict(sorted(q.have.items())),
        "purchases": [_purchase(one, of) for one in sorted(q.purchases, key=lambda one: one.id)],
        "measured": _measured(q),
        "by_month": [_month(one, of) for one in of.months],
        "first_sale_month": of.first_sale,
        "first_sale_chain": _chain(of),
        "break_even_per_week": _maybe(of.break_even),
        "npv": _money(of.npv),
        "cash_end": _money(of.months[-1].end),
        "lowest_cash": _money(of.lowest),
        "next_from": _base(q),
        "next": [
            {
                "buy": list(one.buy),
                "sheets_per_week": rounded(one.sheets),
                "tightest": list(one.tightest),
                "cost": _money(one.cost),
                "payback_months": None if one.payback is None else round(one.payback, 2),
                "capacity_from": _source(q, [*base_names(q), *one.buy]),
            }
            for one in of.nexts
        ],
        "delays": [
            {
                "late": one.id,
                "first_sale_month": one.first_sale,
                "cash_end": _money(one.cash_end),
                "lowest_cash": _money(one.lowest),
                "keeps_cash": one.keeps,
            }
            for one in of.delays
        ],
        "tornado": [
            {"of": one.of, "npv_low": _money(one.low), "npv_high": _money(one.high)} for one in of.tornado
        ],
        "risk": _risk(of),
        "team": _team(of),
        "checklist": [_check(one) for one in sorted(q.checks, key=lambda one: one.id)],
        "proof": {
            "status": "impossible" if of.refused else of.staged.status,
            "cash_end": None if of.staged.cash_end is None else _money(of.staged.cash_end),
            "bound": None if of.staged.bound is None else _money(of.staged.bound),
            "seconds": round(of.staged.seconds, 3),
        },
        "refused": of.refused,
        "why": _why(of),
        "warnings": list(of.warnings),
        "cautions": [dict(one) for one in CAUTIONS],
    }


def _asked(q: Question) -> Document:
    return {
        "currency": q.currency,
        "starts": None if q.starts is None else q.starts.isoformat(),
        "months": q.months,
        "weeks_per_month": q.weeks,
        "cash_start": q.cash,
        "overdraft": q.overdraft,
        "discount_percent_year": rounded(q.discount * 100),
        "price_per_sheet": q.price,
        "variable_per_sheet": q.variable,
        "fixed_per_month": q.fixed,
        "yield": q.yield_,
        "demand_per_week": list(q.demand),
        "resources": list(q.resources),
        "ranges": [{"of": r.of, "low": r.low, "mode": r.mode, "high": r.high} for r in q.ranges],
        "dial_in_sheets": rounded(q.dial_in),
        "people": [{"role": p.role, "hours_per_week": p.hours, "hot_transfer": p.hot} for p in q.people],
    }


def _purchase(one: Purchase, of: Answer) -> Document:
    at = of.orders.get(one.id)
    return {
        "id": one.id,
        "what": one.what,
        "cost": one.cost,
        "kind": one.kind,
        "necessity": one.necessity,
        "lead_months": one.lead,
        "needs": list(one.needs),
        "gives": dict(sorted(one.gives.items())),
        "adds": list(one.adds),
        "adds_like": list(one.adds_like),
        "cost_per_month": one.running,
        "order_month": at,
        "arrive_month": None if at is None else at + one.lead,
    }


def _measured(q: Question) -> list[Document]:
    """Every planned week: with which purchases beyond those required, and what it made."""
    if q.measured is None:
        return []
    found = []
    for some in sorted(q.measured.weeks, key=lambda one: (len(one), sorted(one))):
        week = q.measured.at(some)
        assert week is not None
        found.append({
            "there": sorted(some),
            "sheets_per_week": {
                "value": rounded(week.sheets), "low": rounded(week.sheets), "high": rounded(week.most),
                "kind": "computed", "source": "a week planned for it; high: no plan of that week makes more",
            },
            "asked_per_week": rounded(week.asked),
            "tightest": list(week.tightest),
            "from_less": week.from_less,
        })  # fmt: skip
    return found


def _source(q: Question, names: list[str]) -> str:
    """What the capacity with these purchases rests on."""
    if missing(q, names) or not q.two_hands:
        return "rules"  # nothing is pressed without what is required, or by one person
    return "planned_week" if q.measured is not None and q.measured.at(names) is not None else "typed"


def _month(one: Month, of: Answer) -> Document:
    return {
        "month": one.month,
        "capacity_per_week": rounded(one.capacity),
        "capacity_from": _source(of.question, there(of.question, of.orders, one.month)),
        "tightest": list(one.tightest),
        "missing": list(one.missing),
        "made": rounded(one.made),
        "sold": rounded(one.sold),
        "paid": _money(one.paid),
        "cash_paid_to": _money(one.paid_to),
        "cash_end": _money(one.end),
    }


def _chain(of: Answer) -> Document | None:
    if of.chain is None:
        return None
    return {
        "links": [
            {"id": one.id, "order_month": one.order, "arrive_month": one.arrive, "because": one.because}
            for one in of.chain.links
        ],
        "waits_for_demand": of.chain.waits_for_demand,
        "not_counted": _not_counted(of.question),
    }


def _not_counted(q: Question) -> str:
    if not q.dial_in:
        return "3 to 10 scrap sheets of dialling in (common practice, no source), and conditioning"
    return f"{q.dial_in:g} sheets rejected in dialling in, which the risk alone counts, and conditioning"


def _base(q: Question) -> Document:
    names = base_names(q)
    sheets, tightest = capacity(q, names)
    return {"there": sorted(names), "sheets_per_week": rounded(sheets), "tightest": list(tightest)}


def _risk(of: Answer) -> Document:
    r = of.risk
    slumps = any(one.of in ("demand_per_week", "price_per_sheet") for one in of.question.ranges)
    return {
        "runs": r.runs,
        "seed": r.seed,
        "npv_p10": _money(r.p10),
        "npv_p50": _money(r.p50),
        "npv_p90": _money(r.p90),
        "npv_mean": _money(r.mean),
        "share_npv_below_zero": rounded(r.below_zero),
        "share_out_of_cash": rounded(r.out_of_cash),
        "share_out_of_cash_ever": rounded(r.out_of_cash_ever),
        "npv_common_slump": _money(r.slump),
        "assumes": _assumes(of.question, slumps=slumps),
    }


def _assumes(q: Question, *, slumps: bool) -> list[str]:
    said = [*ASSUMES[:-1], ASSUMES[-1] if slumps else NO_SLUMP]
    if q.dial_in:
        said.append(f"of the first sheets made about {q.dial_in:g} are rejected in dialling in, and not sold")
    return said


def _team(of: Answer) -> Document | None:
    t = of.team
    if t is None:
        return None
    return {
        "hot_transfer": t.hot,
        "days_of_two_per_week": rounded(t.days_of_two),
        "hours_of_two_per_week": rounded(t.hours_of_two),
        "person_hours_per_week": rounded(t.person_hours),
        "sheets_per_week_by_presence": _assumed(t.by_presence),
        "sheets_per_week_by_minutes": _assumed(t.by_minutes),
    }


def _assumed(value: float) -> Document:
    source = "minutes of an M sheet, common practice, no source; docs/outlay.md"
    return {
        "value": rounded(value),
        "low": rounded(0.75 * value),
        "high": rounded(1.3 * value),
        "kind": "assumed",
        "source": source,
    }


def _check(one: Check) -> Document:
    return {
        "id": one.id,
        "what": one.what,
        "owner": one.owner,
        "date": None if one.date is None else one.date.isoformat(),
        "evidence": one.evidence,
        "before": one.before,
        "done": one.done,
        "defer_to": one.defer_to or None,
    }


def _why(of: Answer) -> list[Document]:
    q = of.question
    prices = [
        {
            "name": one.id, "value": one.cost, "low": one.cost, "high": one.cost, "unit": q.currency or "",
            "kind": one.kind, "source": "outlay.toml",
        }
        for one in sorted(q.purchases, key=lambda one: one.id)
    ]  # fmt: skip
    formulas = {
        "cash_end": "start - orders + sold x price - made x variable - fixed - running; best of all sets and months",
        "npv": "payments at month starts, income at month ends, at (1 + r)^(1/12) - 1; cash_start left out",
        "break_even_per_week": "fixed / (weeks (yield price - variable))",
        "payback_months": "cost / (margin of the sheets more, up to the largest demand - running)",
    }
    return [
        {
            "of": name,
            "formula": formula,
            "inputs": prices if name == "cash_end" else [],
            "source": "docs/outlay.md",
        }
        for name, formula in formulas.items()
    ]


def _money(value: float) -> float:
    """To a hundredth; no minus before nothing."""
    return round(value, 2) + 0.0


def _maybe(value: float | None) -> float | None:
    return None if value is None else rounded(value)
