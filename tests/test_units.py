"""Quantities at the edge, against an independent units library and against what people write."""

from __future__ import annotations

from math import isfinite

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from flatstock.errors import WrongWords
from flatstock.units import UNITS, ending, from_si, parse_number, parse_quantity, show, split_name, to_si

PINT = pint.UnitRegistry(autoconvert_offset_to_baseunit=True)
#: how the independent library spells a unit of the table, where it differs
SPELT = {
    "C": "degC", "F": "degF", "um": "micrometer", "Pas": "pascal*second", "kPas": "kilopascal*second",
    "mPas": "millipascal*second", "in": "inch", "ft": "foot", "in2": "inch**2", "ft2": "foot**2", "m2": "m**2",
    "cm2": "cm**2", "mm2": "mm**2", "t": "tonne", "%": "percent", "": "dimensionless", "d": "day", "h": "hour",
    "kg/m3": "kg/m**3", "g/cm3": "g/cm**3", "kg/l": "kg/liter", "g/l": "g/liter", "lb/ft3": "lb/foot**3",
    "J/kgK": "J/kg/kelvin", "kJ/kgK": "kJ/kg/kelvin", "J/kgK2": "J/kg/kelvin**2", "W/mK": "W/m/kelvin",
    "W/mK2": "W/m/kelvin**2", "W/m2K": "W/m**2/kelvin", "W/K": "W/kelvin", "lbf": "force_pound", "kg/m2": "kg/m**2",
    "per/kWh": "1/kWh", "per/J": "1/J", "K": "kelvin", "VA": "volt*ampere", "kVA": "kilovolt*ampere",
    "N/m2": "newton/m**2", "kN/m2": "kilonewton/m**2", "psf": "force_pound/foot**2", "J/m2": "joule/m**2",
    "MJ/m2": "megajoule/m**2", "kcmil": "kilocircular_mil", "rad": "radian", "deg": "degree", "g/h": "gram/hour",
}  # fmt: skip
BASE = {
    "length": "m", "area": "m**2", "mass": "kg", "temperature_difference": "kelvin", "duration": "s", "pressure": "Pa",
    "viscosity": "Pa*s", "power": "W", "apparent_power": "volt*ampere", "energy": "J", "force": "N",
    "share": "dimensionless", "density": "kg/m**3", "specific_heat": "J/kg/kelvin",
    "specific_heat_slope": "J/kg/kelvin**2", "specific_energy": "J/kg", "conductivity": "W/m/kelvin",
    "conductivity_slope": "W/m/kelvin**2", "film": "W/m**2/kelvin", "heat_loss": "W/kelvin", "load": "kg/m**2",
    "price_of_energy": "1/J", "current": "A", "voltage": "V",
    "floor_load": "newton/m**2", "fire_load": "joule/m**2", "velocity": "m/s", "angle": "radian", "mass_flow": "kg/s",
}  # fmt: skip
COMPARED = [(d, u) for d in BASE for u in UNITS[d]]


@pytest.mark.parametrize(("dimension", "unit"), COMPARED)
def test_each_factor_is_that_of_an_independent_units_library(dimension, unit):
    """pint's definitions; they are exact or given to 16 figures, so 1e-12 leaves only rounding."""
    theirs = PINT.Quantity(1, SPELT.get(unit, unit)).to(BASE[dimension]).magnitude
    assert to_si(1.0, dimension, unit) == pytest.approx(theirs, rel=1e-12)


@pytest.mark.parametrize("unit", ["C", "F", "K"])
@given(number=st.floats(1, 600))
def test_temperatures_convert_as_in_an_independent_units_library(unit, number):
    theirs = PINT.Quantity(number, {"C": "degC", "F": "degF", "K": "kelvin"}[unit]).to("degC").magnitude
    assert to_si(number, "temperature", unit) == pytest.approx(theirs, abs=1e-9)


@given(st.sampled_from(COMPARED), st.floats(1e-6, 1e6))
def test_what_is_converted_there_and_back_is_itself(row, number):
    assert from_si(to_si(number, *row), *row) == pytest.approx(number, rel=1e-14)


@given(st.integers(1, 99_999))
def test_whole_millimetres_become_the_float_nearest_to_their_metres(mm):
    assert to_si(float(mm), "length", "mm") == float(f"{mm}e-3")


def test_every_unit_that_can_end_a_name_is_found_there_again():
    for dimension, units in UNITS.items():
        for unit in units:
            if unit and (dimension, unit) != ("temperature", "K"):
                assert split_name(f"thing_{ending(unit)}") == ("thing", dimension, unit)


@pytest.mark.parametrize(
    ("text", "dimension", "si"),
    [
        ("12mm", "length", 0.012),
        ("1/2in", "length", 0.0127),
        ("1/2 in", "length", 0.0127),
        ("0,5 in", "length", 0.0127),
        ("½ in", "length", 0.0127),
        ("1½ in", "length", 0.0381),
        ('1 1/2"', "length", 0.0381),
        ("5 ft 3 in", "length", 1.6002),
        ("40 lb", "mass", 18.1436948),
        ("0.3kg", "mass", 0.3),
        ("195C", "temperature", 195.0),
        ("195 °C", "temperature", 195.0),
        ("383F", "temperature", 195.0),
        ("-5C", "temperature", -5.0),
        ("10min", "duration", 600.0),
        ("1h30min", "duration", 5400.0),
        ("0.25MPa", "pressure", 250e3),
        ("2,5 bar", "pressure", 250e3),
        ("10kPas", "viscosity", 10e3),
        ("10 kPa·s", "viscosity", 10e3),
        ("10 kPa s", "viscosity", 10e3),
        ("9kW", "power", 9000.0),
        ("1.05 m²", "area", 1.05),
        ("300 kN", "force", 300e3),
        ("2.5 %", "share", 0.025),
        ("0.9", "share", 0.9),
        ("12MM", "length", 0.012),
    ],
)
def test_quantities_are_read_as_people_write_them(text, dimension, si):
    assert parse_quantity(text, dimension, where="") == pytest.approx(si, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "dimension", "says"),
    [
        ("12", "length", "has no unit; write 12mm or 1/2in"),
        ("12 kg", "length", "is a mass, not a length"),
        ("45000 lb", "force", "is a mass, not a force; write 300kN or 40000lbf"),
        ("1 m2", "length", "is an area, not a length"),
        ("12 mn", "length", "unknown unit 'mn'"),
        ("-5mm", "length", "negative"),
        ("1,250 mm", "length", "may mean 1.250 or 1250"),
        ("1.234,5 mm", "length", "two separators"),
        ("5 mpa", "pressure", "may mean mPa or MPa"),
        ("1/0 in", "length", "divides by zero"),
        ("", "length", "is not a length"),
        ("twelve", "length", "is not a length"),
        ("nan mm", "length", "is not a length"),
        ("1e999 mm", "length", "too large"),
        ("-300 C", "temperature", "no temperature that can be"),
        ("12 mm 3", "length", "is not a length"),
    ],
)
def test_a_quantity_that_can_be_misread_is_refused_with_what_to_write(text, dimension, says):
    with pytest.raises(WrongWords) as caught:
        parse_quantity(text, dimension, where="--thickness")
    assert says in str(caught.value)
    assert str(caught.value).startswith("--thickness: ")


@given(st.text(max_size=20), st.sampled_from(sorted(UNITS)))
def test_no_text_does_anything_but_become_a_finite_number_or_one_fault(text, dimension):
    faults: tuple = ()
    number = 0.0
    try:
        number = parse_quantity(text, dimension, where="x")
    except WrongWords as error:
        faults = error.faults
    assert isfinite(number)
    assert len(faults) <= 1


@given(st.floats(0.001, 9000).map(lambda x: round(x, 3)))
def test_a_decimal_comma_reads_as_a_decimal_point(number):
    text = f"{number:.2f}"
    assert parse_number(text.replace(".", ",")) == parse_number(text)


def test_a_length_is_shown_in_the_shops_own_units():
    assert show(0.0127, "length", "metric") == "12.7 mm"
    assert show(0.0127, "length", "us") == "0.5 in"
    assert show(195.0, "temperature", "us") == "383 °F"


@pytest.mark.parametrize(
    ("wire", "mm2"),
    [("14 AWG", 2.08), ("#12 awg", 3.31), ("6AWG", 13.3), ("1/0 AWG", 53.5), ("4/0 AWG", 107.2)],
)
def test_a_wire_is_told_by_its_american_gauge(wire, mm2):
    """Areas as tabled with ASTM B258 (from memory)."""
    assert parse_quantity(wire, "area", where="cable") * 1e6 == pytest.approx(mm2, rel=3e-3)


@pytest.mark.parametrize(("text", "dimension"), [("1/8in 1/4in", "length"), ("6in 5ft", "length"), ("5ft -3in", "length"),
                                                 ("2kg 3kg", "mass"), ("18C 19C", "temperature")])  # fmt: skip
def test_several_quantities_are_not_taken_for_their_sum(text, dimension):
    with pytest.raises(WrongWords, match=f"is more than one {dimension}"):
        parse_quantity(text, dimension, where="--x")


def test_parts_of_one_quantity_run_from_the_larger_unit_to_the_smaller():
    assert parse_quantity("5 ft 3 1/2 in", "length", where="--x") == pytest.approx(63.5 * 0.0254)
    assert parse_quantity("1 h 30 min", "duration", where="--x") == pytest.approx(5400)
    assert parse_quantity("2 lb 8 oz", "mass", where="--x") == pytest.approx(2.5 * 0.45359237)
