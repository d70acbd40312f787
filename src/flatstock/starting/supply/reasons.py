"""Why each number of a supply is what it is."""

from __future__ import annotations

from flatstock.documents import Document, why
from flatstock.evidence import Kind, Value
from flatstock.starting.supply.answer import Answer

__all__ = ["reasons"]

Input = tuple[str, Value, float, str]
_PAGE = "docs/supply.md"


def reasons(of: Answer) -> list[Document]:
    """Formula, inputs with their evidence, and source of the numbers that are worked out."""
    supply, oven = of.supply, of.oven
    loads = [
        _given(
            one.id, one.power / 1000, "kW", f"supply.toml, power factor {one.power_factor:g}", one.evidence
        )
        for one in sorted(supply.loads, key=lambda one: one.id)
    ]
    volts = [_given("volts to neutral", supply.volts_LN, "V", "supply.toml")]
    if supply.volts_LL is not None:
        volts.append(_given("volts between lines", supply.volts_LL, "V", "supply.toml"))
    press: list[Input] = [
        ("heat capacity of what is heated", oven.capacity, 1e-3, "kJ/K"),
        ("heat lost, per kelvin", oven.loss, 1.0, "W/K"),
        ("set-point", oven.hot, 1.0, "°C"),
        ("room", oven.room, 1.0, "°C"),
    ]
    use: list[Input] = [
        ("days a month", oven.days, 1.0, ""),
        ("hours hot a day", oven.hot_time, 1 / 3600, "h"),
        ("sheets a day", oven.sheets, 1.0, ""),
        ("heaters' work for a sheet", oven.sheet_energy, 1 / 3.6e6, "kWh"),
    ]
    price: list[Input] = (
        [] if supply.energy_price is None else [("price", supply.energy_price, 3.6e6, "per kWh")]
    )
    one_by_one = "P/(sqrt(3) U pf) in three phases, P/(U pf) in one"
    return [
        _why("arithmetic_A", f"{one_by_one}; magnitudes added per line", [*loads, *volts]),
        _why("phasor_A", f"{one_by_one}, motors lagging by arccos pf; complex sum per line", [*loads, *volts]),
        _why("neutral_A", "magnitude of the sum of all line phasors", [*loads, *volts]),
        _why("at_high_voltage_A", "phasors with the heaters' current times 1.10", [*loads, *volts]),
        _why("least_worst_phase_A", f"every allocation of {len(of.allocation.phases)} loads looked at", loads),
        _why("heat_up_min", "t = C/UA ln(P/(P - UA dT))", press),
        _why("energy_kWh_month", "days (heat-up + UA dT hours + sheets x work of one + other loads x their hours)",
             [*press, *use]),
        _why("cost_month", "energy x price + largest quarter-hour mean x demand price", [*use, *price]),
        _why("drop_V", "mV per A and m of the table x rated current x length", []),
        _why("carries_A", "table by size and way of laying x ambient factor", []),
        _why("expected_mA", "1 mA/kW x kW of heaters: works test limit", loads),
    ]  # fmt: skip


def _why(of: str, formula: str, inputs: list[Input]) -> Document:
    return why(of, formula, inputs, _PAGE)


def _given(name: str, value: float, unit: str, source: str, kind: Kind = "measured") -> Input:
    return (name, Value.sure(value, kind=kind, source=source, unit=unit), 1.0, unit)
