"""The answer as `flatstock.supply/1`."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime

from flatstock.documents import Document, number, rounded
from flatstock.evidence import Kind, weakest
from flatstock.starting.supply.answer import Answer
from flatstock.starting.supply.asking import CAUTIONS, questions
from flatstock.starting.supply.cable import DROP_TABLE, TABLE, Cable
from flatstock.starting.supply.reasons import reasons
from flatstock.starting.supply.remedies import Remedy
from flatstock.starting.supply.worst import Worst
from flatstock.workshop.currents import line_current
from flatstock.workshop.supply import Load, Supply

__all__ = ["document"]

_KILO, _MILLI = 1e-3, 1e3


def document(of: Answer, *, shop: str, made_at: datetime | None) -> Document:
    """Fields as formats ask for them; amperes one a line, L1 first."""
    supply, worst = of.supply, of.worst
    return {
        "format": "flatstock.supply/1",
        "shop": supply.shop or shop,
        **({} if made_at is None else {"made_at": made_at.isoformat()}),
        "supply": _supply(supply),
        "loads": [_load(one, supply) for one in sorted(supply.loads, key=lambda one: one.id)],
        "rules": [
            {"when": r.when, "then": r.then, "share": r.share, "by": "interlock" if r.wired else "habit"}
            for r in supply.rules
        ],
        "worst": _worst(worst),
        "verdict": of.verdict,
        "over": [{"phase": n, "by_A": rounded(a)} for n, a in worst.over(supply.rated).items()],
        "least_worst_phase_A": rounded(of.allocation.largest) if of.allocation.proven else None,
        "best_allocation": {
            "phases": dict(sorted(of.allocation.phases.items())),
            "largest_A": rounded(of.allocation.largest),
            "proven": of.allocation.proven,
        },
        "remedies": [_remedy(one, of) for one in of.remedies],
        "starts": [
            {
                "load": one.load,
                "start_A": rounded(one.start),
                "peak_A": rounded(one.peak),
                "trips_from_A": _maybe(one.trips_from),
                "own_trips_from_A": _maybe(one.own_trips_from),
                "star_delta_A": _maybe(one.star_delta),
                "factor_assumed": one.assumed,
                "verdict": one.verdict,
            }
            for one in of.starts
        ],
        "start_order": list(of.start_order),
        "cable": _cable(of.cable),
        "leakage": {
            "expected_mA": _value(of.leakage.expected * _MILLI, "handbook", "1 mA/kW, works test limit, read"),
            "may_stand_mA": _maybe(of.leakage.may_stand, _MILLI),
            "largest_heaters_kW": _maybe(of.leakage.largest_heaters, _KILO),
            "verdict": of.leakage.verdict,
        },
        "heat_up_min": _heat_up(of),
        "demand_kW": rounded(of.month.demand * _KILO),
        "energy_kWh_month": number(of.month.energy, 1 / 3.6e6),
        "energy_cost_month": _maybe(of.month.energy_cost),
        "demand_cost_month": rounded(of.month.demand_cost),
        "cost_month": number(of.month.cost, 1.0),
        "heaters_that_fit": [
            {
                "what": one.what,
                "heaters_kW": rounded(one.power * _KILO),
                "sheet_area_m2": _value(one.sheet_area, "assumed", "17 kW a square metre, common practice, no source"),
                "heat_up_min": None if one.heat_up is None else rounded(one.heat_up / 60),
            }
            for one in of.left
        ],
        "wiring_mistakes": [
            {"load": one.load, "what": one.what, "power_kW": rounded(one.power * _KILO),
             "current_A": rounded(one.current)}
            for one in of.mistakes
        ],
        "ask_the_electrician": questions(supply, worst, of.remedies, of.cable, of.leakage, of.starts),
        "why": reasons(of),
        "warnings": list(of.warnings),
        "cautions": [dict(one) for one in CAUTIONS],
    }  # fmt: skip


def _supply(of: Supply) -> Document:
    return {
        "kind": of.kind,
        "rule": of.rule,
        "phases": of.phases,
        "volts_LL": of.volts_LL,
        "volts_LN": of.volts_LN,
        "rated_A": of.rated,
        "characteristic": of.characteristic,
        "cable_mm2": _maybe(of.cable_area, 1e6),
        "cable_m": of.cable,
        "method": of.method,
        "ambient_C": of.ambient,
        "residual_mA": _maybe(of.residual, _MILLI),
        "generator_kVA": _maybe(of.generator, _KILO),
        "energy_price_per_kWh": None if of.energy_price is None else rounded(of.energy_price.value * 3.6e6),
        "demand_price_per_kW_month": rounded(of.demand_price * 1e3),
    }


def _load(of: Load, supply: Supply) -> Document:
    return {
        "id": of.id,
        "connection": of.connection,
        "input_kW": rounded(of.power * _KILO),
        "power_factor": of.power_factor,
        "control": of.control,
        "elements": of.elements,
        "start_factor": of.start_factor,
        "start_s": of.start_time,
        "fixed_phase": of.fixed,
        "current_A": rounded(line_current(of, supply)),
        "phase": of.phase,
        "at": of.at,
        "continuous": of.continuous,
        "own_rated_A": of.own_rated,
        "own_characteristic": of.own_characteristic if of.own_rated is not None else None,
        "hours_per_day": of.hours,
        "on_during": list(of.on_during),
    }


def _worst(of: Worst) -> Document:
    return {
        "on": sorted(of.on),
        "arithmetic_A": _all(of.arithmetic),
        "phasor_A": _all(of.phasor),
        "neutral_A": rounded(of.neutral),
        "at_high_voltage_A": _all(of.high_phasor),
        "at_high_voltage_arithmetic_A": _all(of.high_arithmetic),
        "held_against_rating_A": _all(of.needed),
        "kW": rounded(of.power * _KILO),
        "kvar": rounded(of.reactive * _KILO),
        "kVA": rounded(of.apparent * _KILO),
    }


def _remedy(of: Remedy, answer: Answer) -> Document:
    minutes = of.minutes_per_day
    return {
        "what": of.what,
        "arithmetic_A": _all(of.worst.everything_on),
        "worst_A": _all(of.worst.needed),
        "over": [
            {"phase": n, "by_A": rounded(a)}
            for n, a in of.worst.over(of.rated or answer.supply.rated).items()
        ],
        "costs_minutes_per_day": None if minutes is None else round(minutes, 1),
        "costs_sheets_per_day": None if minutes is None else round(minutes * 60 / answer.oven.cycle.value, 2),
        "verdict": of.worst.verdict,
        "note": of.note,
    }


def _cable(of: Cable) -> Document:
    return {
        "needed_A": of.needed,
        "carries_A": None if of.carries is None else _value(of.carries, "handbook", TABLE),
        "drop_V": None if of.drop is None else _value(of.drop, "handbook", DROP_TABLE),
        "drop_percent": _maybe(of.drop_percent),
        "verdict": of.verdict,
        "not_known": list(of.why),
    }


def _heat_up(of: Answer) -> Document | None:
    if of.heat_up is None:
        return None
    oven, minutes = of.oven, of.heat_up / 60
    # the time goes nearly as the heat capacity does; the loss moves it far less
    low, high = (minutes * end / oven.capacity.value for end in (oven.capacity.low, oven.capacity.high))
    return _value(
        minutes, weakest(oven.kind, "computed"), f"{oven.capacity.source}; docs/supply.md", low, high
    )


def _value(
    value: float, kind: Kind, source: str, low: float | None = None, high: float | None = None
) -> Document:
    return {
        "value": rounded(value),
        "low": rounded(value if low is None else low),
        "high": rounded(value if high is None else high),
        "kind": kind,
        "source": source,
    }


def _maybe(value: float | None, factor: float = 1.0) -> float | None:
    return None if value is None else rounded(value * factor)


def _all(values: Iterable[float]) -> Sequence[float]:
    return [rounded(one) for one in values]
