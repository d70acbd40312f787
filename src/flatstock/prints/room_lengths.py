"""Lengths of a room as a shop reads them: metres, or feet and inches; masses, floors and heat where pounds are read."""

from __future__ import annotations

import re

from flatstock.units import UNITS, convert

__all__ = ["BTU_J", "FOOT_M", "POUND_KG", "in_units", "length_words", "whole"]

_QUOTED = re.compile(r"((?<!\w)'[^']*'(?!\w)|`[^`]*`)")
_METRES = re.compile(r"(?<![\w.])(\d+(?:\.\d+)?) m(?![\w/²³])( walked)?( a day)?")

_NUMBER = r"(?<![\w.])(\d+(?:[.,]\d+)*)"
BTU_J = 1055.05585262  # international table Btu
FOOT_M, POUND_KG = UNITS["length"]["ft"], UNITS["mass"]["lb"]
#: what stands behind a number, in a metric sentence and in a US one, and how many of the one are one of the other
_OTHERS = (
    ("MJ on each m²", "Btu on each ft²", 1e6 / BTU_J * FOOT_M**2),
    ("MJ/m²", "Btu/ft²", 1e6 / BTU_J * FOOT_M**2),
    ("kN/m²", "psf", 1e3 / UNITS["floor_load"]["psf"]),
    ("m³/h", "cfm", 1 / 60 / FOOT_M**3),
    ("m³", "ft³", 1 / FOOT_M**3),
    ("m²", "ft²", 1 / FOOT_M**2),
    ("kg", "lb", 1 / POUND_KG),
    ("K", "°F", 1.8),
)


def in_units(words: str, system: str) -> str:
    """A sentence with its metres, and what is counted in kg, m², kN, MJ or K, as the shop reads them.

    Days' walks come in whole feet. The Btu is the international table's, 1055.056 J (NIST SP 811, from memory).

    >>> in_units("SAW stands 0.30 m outside; 41.2 m walked a day; 250 kg at 2.5 kN/m²", "us")
    'SAW stands 11 3/4 in outside; 135 ft walked a day; 551 lb at 52 psf'
    >>> in_units("996 MJ on each m²", "us")
    '87 700 Btu on each ft²'
    """
    if system != "us":
        return words

    def feet(found: re.Match[str]) -> str:
        mm, after = float(found[1]) * 1000, (found[2] or "") + (found[3] or "")
        return (f"{convert(mm, 'length', 'mm', 'ft'):.0f} ft" if after else length_words(mm, system)) + after

    def said(part: str) -> str:
        for metric, us, factor in _OTHERS:
            numbers = re.split(f"{_NUMBER} {re.escape(metric)}(?![\\w/²³])", part)
            part = numbers[0]
            for number, rest in zip(numbers[1::2], numbers[2::2], strict=True):
                part += f"{whole(_read(number) * factor)} {us}{rest}"
        return _METRES.sub(feet, part)

    parts = _QUOTED.split(words)  # what somebody has written stays as it is
    return "".join(part if n % 2 else said(part) for n, part in enumerate(parts))


def _read(number: str) -> float:
    return float(number.replace(",", ""))


def whole(number: float) -> str:
    """A number of three figures or more in whole ones, of which three count; of fewer with one after the point.
    Thousands are parted by a space: where commas are read as decimals too, it is the same number.

    >>> whole(87708.2), whole(551.2), whole(31.4), whole(4.03)
    ('87 700', '551', '31', '4.0')
    """
    if abs(number) < 10:
        return f"{number:.1f}"
    if abs(number) < 1000:
        return f"{number:.0f}"
    return f"{float(f'{number:.3g}'):,.0f}".replace(",", " ")


def length_words(length_mm: float, system: str) -> str:
    """A length as the shop reads it: metres, or feet and inches to the nearest quarter.

    >>> length_words(9200, "metric"), length_words(9200, "us"), length_words(914.4, "us")
    ('9.20 m', '30 ft 2 1/4 in', '3 ft')
    """
    if system != "us":
        metres = f"{length_mm / 1000:.3f}"
        return f"{metres.removesuffix('0')} m"
    quarters = round(convert(length_mm, "length", "mm", "in") * 4)
    feet, rest = divmod(quarters, 48)
    inches, part = divmod(rest, 4)
    fraction = {0: "", 1: "1/4", 2: "1/2", 3: "3/4"}[part]
    inch_words = " ".join(filter(None, (str(inches) if inches else "", fraction)))
    parts = ([f"{feet} ft"] if feet else []) + ([f"{inch_words} in"] if inch_words else [])
    return " ".join(parts) or "0 in"
