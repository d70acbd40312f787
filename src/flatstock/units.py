"""Where a quantity crosses the edge: text with a unit in, SI out (°C for temperatures), and back for display.

One table of factors; a test compares every row with an independent units library. The same table gives
the endings of field names in files (`thickness_mm`, `density_kg_m3`, `flash_allowance_percent`).
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from difflib import get_close_matches
from math import inf, isfinite, pi
from typing import Literal

from flatstock.errors import Fault, WrongWords

__all__ = [
    "UNITS",
    "System",
    "convert",
    "ending",
    "from_si",
    "parse_measure",
    "parse_number",
    "parse_quantity",
    "show",
    "si_unit",
    "split_name",
    "to_si",
    "written",
]

System = Literal["metric", "us"]

#: SI value of one of each unit; exact by definition (international yard and pound, 1959; NIST SP 811, from
#: memory) but psi and lbf, which follow from g_n = 9.80665 m/s2. Temperatures are converted in `to_si`.
UNITS: Mapping[str, Mapping[str, float]] = {
    "length": {"m": 1.0, "mm": 1e-3, "cm": 1e-2, "um": 1e-6, "in": 0.0254, "ft": 0.3048},
    "area": {
        "m2": 1.0,
        "cm2": 1e-4,
        "mm2": 1e-6,
        "in2": 6.4516e-4,
        "ft2": 0.09290304,
        "kcmil": pi / 4 * 6.4516e-7,
    },
    "mass": {"kg": 1.0, "g": 1e-3, "t": 1e3, "lb": 0.45359237, "oz": 0.028349523125},
    "temperature": {"C": 1.0, "F": 5 / 9, "K": 1.0},
    "temperature_difference": {"K": 1.0},
    "duration": {"s": 1.0, "min": 60.0, "h": 3600.0, "d": 86400.0},
    "pressure": {
        "Pa": 1.0,
        "mPa": 1e-3,
        "kPa": 1e3,
        "MPa": 1e6,
        "mbar": 1e2,
        "bar": 1e5,
        "psi": 6894.757293168361,
    },
    "viscosity": {"Pas": 1.0, "kPas": 1e3, "mPas": 1e-3},
    "power": {"W": 1.0, "kW": 1e3},
    "apparent_power": {"VA": 1.0, "kVA": 1e3},
    "energy": {"J": 1.0, "kJ": 1e3, "MJ": 1e6, "Wh": 3.6e3, "kWh": 3.6e6},
    "force": {"N": 1.0, "kN": 1e3, "lbf": 4.4482216152605},
    "share": {"": 1.0, "%": 1e-2, "ppm": 1e-6},
    "density": {"kg/m3": 1.0, "g/cm3": 1e3, "kg/l": 1e3, "g/l": 1.0, "lb/ft3": 16.018463373960138},
    "specific_heat": {"J/kgK": 1.0, "kJ/kgK": 1e3},
    "specific_heat_slope": {"J/kgK2": 1.0},
    "specific_energy": {"J/kg": 1.0, "kJ/kg": 1e3},
    "conductivity": {"W/mK": 1.0},
    "conductivity_slope": {"W/mK2": 1.0},
    "film": {"W/m2K": 1.0},
    "heat_loss": {"W/K": 1.0},
    "melt_flow_rate": {"g/10min": 1.0},
    "load": {"kg/m2": 1.0},
    "price_of_energy": {"per/J": 1.0, "per/kWh": 1 / 3.6e6},
    "price_of_power": {"per/W/month": 1.0, "per/kW/month": 1e-3},
    "current": {"A": 1.0, "mA": 1e-3},
    "voltage": {"V": 1.0},
    "floor_load": {"N/m2": 1.0, "kN/m2": 1e3, "psf": 47.88025898033584},
    "fire_load": {"J/m2": 1.0, "MJ/m2": 1e6},
    "velocity": {"m/s": 1.0},
    "mass_flow": {"kg/s": 1.0, "g/h": 1e-3 / 3600},
    "angle": {"rad": 1.0, "deg": pi / 180},
    "daily": {"per/day": 1.0},  # a day is a working day, not 86 400 s
}

_ZERO_K = 273.15  # [K] at 0 °C
#: what people write for a unit of the table
_ALIASES = {
    "°c": "C", "degc": "C", "°f": "F", "degf": "F", '"': "in", "″": "in", "inch": "in", "inches": "in",
    "'": "ft", "′": "ft", "feet": "ft", "foot": "ft", "µm": "um", "μm": "um", "lbs": "lb", "pound": "lb",
    "pounds": "lb", "minutes": "min", "minute": "min", "mins": "min", "sec": "s", "seconds": "s",
    "hours": "h",
    "hour": "h", "hr": "h", "days": "d", "day": "d", "kgs": "kg", "percent": "%", "n/mm2": "MPa",
}  # fmt: skip
_EXAMPLES = {
    "length": "12mm or 1/2in",
    "area": "1.05m2",
    "mass": "11.74kg or 40lb",
    "temperature": "195C or 383F",
    "temperature_difference": "2K",
    "duration": "10min",
    "pressure": "0.25MPa or 36psi",
    "viscosity": "10kPas",
    "power": "9kW",
    "force": "300kN or 40000lbf",
    "share": "2.5% or 0.025",
    "density": "340kg/m3",
}
_FRACTIONS = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}
_DIGITS_MOST = 300  # of one part of a number; Python itself refuses to read 4300 digits as a whole number
_NUMBER = r"[+-]?(?:\d+\s+\d+\s*/\s*\d+|\d+\s*/\s*\d+|(?:\d+(?:[.,]\d*)*|[.,]\d+)(?:[eE][+-]?\d+)?)"
_WITH_DIGITS = "|".join(
    sorted(
        (re.escape(u) for units in UNITS.values() for u in (*units, "N/mm2") if re.search(r"\d", u)),
        reverse=True,
    )
)
_PIECE = re.compile(
    rf"\s*({_NUMBER})\s*((?:{_WITH_DIGITS})(?![^\s\d])|[^\d\s+-][^\d\s]*(?:\ss\b)?)?", re.IGNORECASE
)
_DISPLAY: Mapping[System, Mapping[str, str]] = {
    "metric": {
        "length": "mm", "area": "m2", "mass": "kg", "temperature": "C", "duration": "min", "pressure": "MPa",
        "viscosity": "kPas", "power": "kW", "force": "kN", "share": "%", "energy": "kWh",
    },
    "us": {
        "length": "in", "area": "ft2", "mass": "lb", "temperature": "F", "duration": "min", "pressure": "psi",
        "viscosity": "kPas", "power": "kW", "force": "lbf", "share": "%", "energy": "kWh",
        "density": "lb/ft3",
    },
}  # fmt: skip
_PRINTED = {
    "C": "°C",
    "F": "°F",
    "m2": "m²",
    "ft2": "ft²",
    "kPas": "kPa·s",
    "W/m2K": "W/m²K",
    "kg/m3": "kg/m³",
}


def to_si(number: float, dimension: str, unit: str) -> float:
    """`number` of `unit` in SI (temperatures in °C).

    >>> round(to_si(383, "temperature", "F"), 6)
    195.0
    """
    if dimension == "temperature":
        return {"C": number, "F": (number - 32) / 1.8, "K": number - _ZERO_K}[unit]
    factor = UNITS[dimension][unit]
    parts = round(1 / factor)
    # 950 / 1000 is the float nearest to 0.95; 950 * 1e-3 is not
    return number / parts if factor < 1 and abs(parts * factor - 1) < 1e-12 else number * factor


def from_si(number: float, dimension: str, unit: str) -> float:
    """The inverse of `to_si`."""
    if dimension == "temperature":
        return {"C": number, "F": number * 1.8 + 32, "K": number + _ZERO_K}[unit]
    factor = UNITS[dimension][unit]
    parts = round(1 / factor)
    return number * parts if factor < 1 and abs(parts * factor - 1) < 1e-12 else number / factor


def convert(number: float, dimension: str, unit: str, wanted: str) -> float:
    """`number` of `unit` in the unit `wanted` of the same dimension; exactly itself when they are one."""
    return number if unit == wanted else from_si(to_si(number, dimension, unit), dimension, wanted)


def ending(unit: str) -> str:
    """How a field name ends for a unit: "mm", "kg_m3", "percent"; "" for a bare share."""
    return "percent" if unit == "%" else unit.replace("/", "_")


_ENDINGS = {ending(u): (d, u) for d, units in UNITS.items() for u in units if u} | {
    "K": ("temperature_difference", "K")  # `_K` in a name is a difference; an instrument reads °C or °F
}
_BY_LENGTH = sorted(_ENDINGS, key=len, reverse=True)


def split_name(name: str) -> tuple[str, str, str] | None:
    """Stem, dimension and unit of a field name, or None where no known unit ends it.

    >>> split_name("thickness_mm"), split_name("bulk_density_kg_m3"), split_name("status")
    (('thickness', 'length', 'mm'), ('bulk_density', 'density', 'kg/m3'), None)
    """
    for end in _BY_LENGTH:
        if name.endswith("_" + end):
            return name[: -len(end) - 1], *_ENDINGS[end]
    return None


def written(unit: str) -> str:
    """A unit of a field name as people write it; what needs nothing stays.

    >>> written("C"), written("W/m2K"), written("kPas"), written("min")
    ('°C', 'W/m²K', 'kPa s', 'min')
    """
    if unit in ("C", "F"):
        return f"°{unit}"
    return re.sub(r"(?<=[mtK])[23]", lambda found: "²³"[int(found[0]) - 2], unit).replace("Pas", "Pa s")


def parse_number(text: str, *, where: str = "") -> float:
    """A number as people write it: "0.5", "0,5", "1/2", "1 1/2", "½".

    Raises
    ------
    WrongWords
        It is no number, or a comma may mean two things ("1,250").
    """
    plain = _plain(text)
    if not re.fullmatch(_NUMBER, plain):
        raise WrongWords(Fault(where, f"{text.strip()!r} is not a number", "write digits, as in 12.5 or 1/2"))
    if max(map(len, re.findall(r"\d+", plain)), default=0) > _DIGITS_MOST:
        raise WrongWords(Fault(where, "the number has too many digits to be a measure", "write fewer"))
    if "/" in plain:
        *whole, top, bottom = plain.replace("/", " ").split()
        if int(bottom) == 0:
            raise WrongWords(
                Fault(where, f"{text.strip()!r} divides by zero", "write a fraction such as 1/2")
            )
        size = abs(int(whole[0])) if whole else 0
        sign = -1 if plain.startswith("-") else 1
        return sign * (size + abs(int(top)) / int(bottom))
    if plain.count(",") + plain.count(".") > 1:
        raise WrongWords(
            Fault(
                where, f"{text.strip()!r} has two separators", "write no mark between thousands, as in 1250.5"
            )
        )
    if re.fullmatch(r"[+-]?[1-9]\d{0,2},\d{3}", plain):
        decimal, whole_number = plain.replace(",", "."), plain.replace(",", "")
        raise WrongWords(
            Fault(
                where,
                f"{text.strip()!r} may mean {decimal} or {whole_number}",
                f"write {whole_number} or {decimal}",
            )
        )
    number = float(plain.replace(",", "."))
    if not isfinite(number):
        raise WrongWords(Fault(where, f"{text.strip()!r} is too large", "write a number that can be"))
    return number


def parse_quantity(text: str, dimension: str, *, where: str) -> float:
    """A quantity with its unit in SI (°C for temperatures): "12mm", "1/2 in", "0,5 in", "5 ft 3 in", "383F".

    `dimension` is a key of `UNITS`; a share may stand without a unit. `where` names the option or field for
    the fault.

    Raises
    ------
    WrongWords
        One fault: no unit, an unknown unit, a unit of something else, a negative size, no number, or several
        quantities: parts of one, as in 5 ft 3 in, run from the larger unit to the smaller.

    >>> round(parse_quantity("5 ft 3 in", "length", where="--length"), 6)
    1.6002
    """
    gauge = _GAUGE.fullmatch(text.strip()) if dimension == "area" else None
    if gauge is not None:
        return _wire_area(gauge)
    example = _EXAMPLES.get(dimension) or f"a number with {' or '.join(u for u in UNITS[dimension] if u)}"
    shown = text.strip()
    pieces = _pieces(_plain(text))
    if not pieces:
        raise WrongWords(Fault(where, f"{shown!r} is not {_words(dimension)}", f"write {example}"))
    total, before = 0.0, inf
    for number, unit_text in pieces:
        if not unit_text and "" not in UNITS[dimension]:
            raise WrongWords(Fault(where, f"{shown!r} has no unit", f"write {example}"))
        unit = _unit(unit_text, dimension, shown, where, example)
        part, size = parse_number(number, where=where), to_si(1.0, dimension, unit)
        if len(pieces) > 1 and (size >= before or (part < 0 and before < inf)):
            what = f"{shown!r} is more than one {_words(dimension).partition(' ')[2]}"
            raise WrongWords(Fault(where, what, f"write {example}"))
        total, before = total + to_si(part, dimension, unit), size
    if dimension == "temperature" and (len(pieces) > 1 or total < -_ZERO_K):
        raise WrongWords(Fault(where, f"{shown!r} is no temperature that can be", f"write {example}"))
    if total < 0 and dimension != "temperature":
        raise WrongWords(Fault(where, f"{shown!r} is negative", f"write {example}"))
    return total


def parse_measure(text: str, dimension: str, *, unit: str, where: str) -> float:
    """A number in `unit`, or a quantity with units of its own, in SI: what a field takes that names its unit beside it.

    >>> parse_measure("6,5", "mass", unit="kg", where="mass")
    6.5
    >>> round(parse_measure("6 lb 11.5 oz", "mass", unit="lb", where="mass"), 4)
    3.0476
    """
    if any(one.isalpha() for one in text):
        return parse_quantity(text, dimension, where=where)
    return to_si(parse_number(text, where=where), dimension, unit)


#: "6 AWG", "#12 AWG", "2/0 AWG"
_GAUGE = re.compile(r"#?\s*(?:(?P<thin>\d{1,2})|(?P<noughts>[1-4])/0)\s*awg", re.IGNORECASE)


def _wire_area(gauge: re.Match[str]) -> float:
    """Cross section of a wire of the American gauge [m2]: its diameter is 0.005 in · 92^((36 - n)/39), where 1/0 is
    n = 0 and 2/0 is n = -1 (ASTM B258, from memory).

    >>> round(1e6 * parse_quantity("6 AWG", "area", where="cable"), 1)
    13.3
    """
    number = int(gauge["thin"]) if gauge["thin"] else 1 - int(gauge["noughts"])
    diameter: float = 0.005 * 0.0254 * 92.0 ** ((36 - number) / 39)
    return pi / 4 * diameter**2


def si_unit(dimension: str) -> str:
    """The unit that `to_si` ends in: "kg/m3", "°C"."""
    if dimension == "temperature":
        return "°C"
    return next(u for u, factor in UNITS[dimension].items() if factor == 1.0)


def show(value: float, dimension: str, system: System) -> str:
    """An SI value as the shop likes to read it, four figures at most.

    >>> show(0.0127, "length", "us"), show(195.0, "temperature", "metric"), show(11.74, "mass", "metric")
    ('0.5 in', '195 °C', '11.74 kg')
    """
    unit = (
        _DISPLAY[system].get(dimension) or _DISPLAY["metric"].get(dimension) or next(iter(UNITS[dimension]))
    )
    number = from_si(value, dimension, unit)
    figures = f"{number:.4g}" if abs(number) < 1e4 else f"{number:.0f}"
    return f"{figures} {_PRINTED.get(unit, unit)}".rstrip()


def _plain(text: str) -> str:
    for mark, fraction in _FRACTIONS.items():
        text = re.sub(rf"(\d){mark}", rf"\1 {fraction}", text).replace(mark, fraction)
    text = text.replace("²", "2").replace("³", "3").replace("·", "").replace("−", "-").replace("\u2044", "/")
    return re.sub(r"\s+", " ", text).strip()


def _pieces(plain: str) -> list[tuple[str, str]]:
    """(number, unit) pairs that make up the whole of the text, or nothing."""
    found: list[tuple[str, str]] = []
    at = 0
    while at < len(plain):
        match = _PIECE.match(plain, at)
        if match is None:
            return []
        found.append((match[1], (match[2] or "").replace(" ", "")))
        at = match.end()
    return found if len(found) == 1 or all(unit for _, unit in found) else []


def _unit(text: str, dimension: str, shown: str, where: str, example: str) -> str:
    known = UNITS[dimension]
    name = _ALIASES.get(text.lower(), text)
    if name in known:
        return name
    alike = [u for u in known if u.lower() == name.lower()]
    if len(alike) == 1 and not any(name in units for units in UNITS.values()):
        return alike[0]
    if len(alike) > 1:
        raise WrongWords(Fault(where, f"{shown!r} may mean {' or '.join(alike)}", f"write {example}"))
    for other, units in UNITS.items():
        if name in units:
            raise WrongWords(
                Fault(where, f"{shown!r} is {_words(other)}, not {_words(dimension)}", f"write {example}")
            )
    near = get_close_matches(name, known, n=1, cutoff=0.5)
    hint = f"the nearest is {near[0]}: write {example}" if near else f"write {example}"
    raise WrongWords(Fault(where, f"{shown!r} has the unknown unit {text!r}", hint))


def _words(dimension: str) -> str:
    words = dimension.replace("_", " ")
    return f"{'an' if words[0] in 'aeiou' else 'a'} {words}"
