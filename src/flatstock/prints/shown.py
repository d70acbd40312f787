"""What a shop reads quantities in: as the documents have them, or inches, pounds, °F and psi.

Every print asks here, so that the choice (`units` in shop.toml) is made in one place. Documents stay metric.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, field
from math import ceil, floor, log10
from typing import NamedTuple

from flatstock.errors import Fault
from flatstock.prints.numbers import UNKNOWN, Number, decimals_of, number, plain, with_band
from flatstock.units import UNITS, System, convert, written

__all__ = ["METRIC", "Shown"]


class _Reading(NamedTuple):
    dimension: str  #: of `flatstock.units`
    metric: str  #: unit of the documents
    us: str
    said: str  #: how the unit is written where the shop reads metric
    said_us: str
    finer: int  #: decimals more that the other unit needs to tell the same lengths apart


_READINGS = {
    "mm": _Reading("length", "mm", "in", "mm", "in", 2),
    "C": _Reading("temperature", "C", "F", "°C", "°F", -1),
    "K": _Reading("temperature_difference", "K", "K", "K", "°F", 0),
    "kg": _Reading("mass", "kg", "lb", "kg", "lb", 0),
    "g": _Reading("mass", "g", "oz", "g", "oz", 1),
    "MPa": _Reading("pressure", "MPa", "psi", "MPa", "psi", -2),
    "bar": _Reading("pressure", "bar", "psi", "bar", "psi", 0),
    "kN": _Reading("force", "kN", "lbf", "kN", "lbf", 0),
    "m2": _Reading("area", "m2", "ft2", "m²", "ft²", 0),
    "L": _Reading("volume", "L", "gal", "L", "gal", 0),
    "kg/m3": _Reading("density", "kg/m3", "lb/ft3", "kg/m³", "lb/ft³", 1),
}
_SPELT = {"°C": "C", "m²": "m2", "kg/m³": "kg/m3"}
_FAHRENHEIT = 1.8  # °F in a difference of 1 K
_GALLON = 3.785411784  # L, US liquid gallon (NIST SP 811, from memory)
_INCH = convert(1.0, "length", "in", "mm")
_POUND = UNITS["mass"]["lb"]  # kg: masses below are said in ounces
_OUNCES = 16  # in a pound
_OUNCE_STEPS = (
    0.05,
    0.1,
    0.125,
    0.2,
    0.25,
    0.5,
    1.0,
    2.0,
    4.0,
)  # oz that a scale in pounds and ounces counts by
_MOST = 3  # decimals: a thousandth of an inch is less than a calliper in a workshop is sure of
_NUMBER = r"-?\d+(?:\.\d+)?"
_JOIN = r"\s?(?:to|and|or|x|×|-|–)\s?"
_LISTED = rf"(?:{_NUMBER}, )*(?={_NUMBER} (?:and|or) )"  # "6, " of "6, 12 and 18 mm"
_IN_PROSE = re.compile(
    rf"(?<![\w.-])({_LISTED})?({_NUMBER})(?:({_JOIN})({_NUMBER}))?"
    rf" ?(kg/m3|kg/m³|mm|°C|kg|g|MPa|bar|kN|K|L|m2|m²)(?![\w/²³])"
    rf"( \(({_NUMBER}) to ({_NUMBER})\))?"
)
_QUOTED = re.compile(r"((?<!\w)'[^']*'(?!\w)|`[^`]*`|\"[^\"]*\")")
_LEAST = re.compile(r"\b(?:at least|not under)\s$")
_AT_MOST = re.compile(r"\b(?:at most|at or below|up to|stay below)\s$")


@dataclass(frozen=True, slots=True)
class Shown:
    """How quantities of a document are said; `scale_step` [kg] says how finely masses are."""

    system: System = "metric"
    scale_step: float | None = field(default=None, kw_only=True)

    @property
    def us(self) -> bool:
        """Whether the shop reads inches and pounds."""
        return self.system == "us"

    def unit(self, unit: str) -> str:
        """How the unit of a document's number is written here: "C" is "°C" or "°F"; others as they are."""
        reading = _READINGS.get(_SPELT.get(unit, unit))
        return written(unit) if reading is None else reading.said_us if self.us else reading.said

    def convert(self, value: float, unit: str) -> float:
        """A number in a document's unit in the unit shown here; of an unknown unit as it is."""
        reading = _READINGS.get(_SPELT.get(unit, unit))
        if reading is None or not self.us:
            return value
        if reading.dimension == "temperature_difference":
            return value * _FAHRENHEIT
        if reading.dimension == "volume":
            return value / _GALLON
        return convert(value, reading.dimension, reading.metric, reading.us)

    def number(self, of: object, unit: str) -> Number:
        """A field of a document with its band, in the unit shown here."""
        return _mapped(number(of), lambda value: self.convert(value, unit))

    def decimals(self, unit: str, decimals: int) -> int:
        """How many decimals tell here what so many tell in the document's unit."""
        reading = _READINGS.get(_SPELT.get(unit, unit))
        return decimals if reading is None or not self.us else min(max(0, decimals + reading.finer), _MOST)

    def digits(self, value: float | None, unit: str, decimals: int = 1, unknown: str = UNKNOWN) -> str:
        """A number without its unit."""
        if value is None:
            return unknown
        return plain(self.convert(value, unit), self.decimals(unit, decimals))

    def one(self, value: float | None, unit: str, decimals: int = 1, unknown: str = UNKNOWN) -> str:
        """A number with its unit.

        >>> Shown("us").one(195, "C"), Shown("us").one(0.25, "MPa", 2), Shown().one(195, "C")
        ('383 °F', '36 psi', '195 °C')
        """
        if value is None:
            return unknown
        return f"{self.digits(value, unit, decimals)} {self.unit(unit)}"

    def band(
        self, of: object, unit: str, decimals: int = 1, unknown: str = UNKNOWN, *, bare: bool = False
    ) -> str:
        """A field with its band, and its unit unless `bare`."""
        read = number(of)
        if read.value is None:
            return unknown
        said = "" if bare else self.unit(unit)
        return with_band(_field(self.number(of, unit)), said, self.decimals(unit, decimals), unknown)

    def size(self, millimetres: float, *, both: bool = False) -> str:
        """A nominal length without needless zeros; `both`: with the millimetres that the frame is marked with.

        >>> Shown("us").size(12), Shown("us").size(12.7), Shown().size(12), Shown("us").size(12, both=True)
        ('0.472 in', '0.5 in', '12 mm', '0.472 in (12 mm)')
        """
        metric = f"{millimetres:g} mm"
        if not self.us:
            return metric
        inches = f"{_trimmed(self.convert(millimetres, 'mm'), _MOST)} in"
        return f"{inches} ({metric})" if both else inches

    def sizes(self, first: float, second: float) -> str:
        """Length by width.

        >>> Shown("us").sizes(1219.2, 609.6), Shown().sizes(1250, 840)
        ('48 × 24 in', '1250 × 840 mm')
        """
        sides = [
            _trimmed(self.convert(side, "mm"), 2) if self.us else f"{side:g}" for side in (first, second)
        ]
        return f"{' × '.join(sides)} {self.unit('mm')}"

    def mass(self, kilograms: float | None, unknown: str = UNKNOWN) -> str:
        """A mass to the scale's step: kg, or lb and below one lb oz; what rounds to nothing in g or oz. On a scale that
        counts in pounds and ounces, both.

        >>> Shown("us").mass(11.74), Shown("us").mass(0.3), Shown(scale_step=0.02).mass(11.74)
        ('25.88 lb', '10.6 oz', '11.74 kg')
        >>> Shown("us", scale_step=0.0141748).mass(3.0475736), Shown("us", scale_step=0.0283495).mass(0.4535)
        ('6 lb 11.5 oz', '1 lb 0 oz')
        """
        return self.mass_band(kilograms, unknown)

    @property
    def in_ounces(self) -> bool:
        """Whether the scale counts in pounds and ounces: its step is one of ounces, and none of a pound's tenths."""
        if not self.us or not self.scale_step or _clean(self.scale_step / _POUND):
            return False
        ounces = self.scale_step / _POUND * _OUNCES
        return any(abs(ounces / step - 1) < 1e-4 for step in _OUNCE_STEPS)

    @property
    def ounce_decimals(self) -> int:
        """Decimals of an ounce on such a scale."""
        return decimals_of(round((self.scale_step or 0.0) / _POUND * _OUNCES, 3))

    def _pounds_and_ounces(self, kilograms: float) -> str:
        """Without the last unit: "6 lb 11.5", "0.5"; the sign stands before both."""
        decimals = self.ounce_decimals
        whole, ounces = divmod(round(abs(kilograms) / _POUND * _OUNCES, decimals), _OUNCES)
        sign = "-" if kilograms < 0 and (whole or ounces) else ""
        return f"{sign}{f'{whole:.0f} lb ' if whole else ''}{ounces:.{decimals}f}"

    def mass_ends(self, of: object) -> tuple[str, str]:
        """Both ends of a mass's band, without the unit that `mass_parts` names; alike where the scale shows no band."""
        read = number(of)
        if self.in_ounces:
            low, high = (
                UNKNOWN if end is None else self._pounds_and_ounces(end) for end in (read.low, read.high)
            )
            return low, high
        _, _, scaled, decimals = self.mass_parts(of)
        return plain(scaled.low, decimals), plain(scaled.high, decimals)

    def mass_parts(self, of: object) -> tuple[str, str, Number, int]:
        """Digits, unit, the number with its band in that unit, and its decimals."""
        read = number(of)
        unit, factor, decimals = self.scale_of(of)
        scaled = _mapped(read, lambda value: value * factor)
        if self.in_ounces and read.value is not None:
            return self._pounds_and_ounces(read.value), unit, scaled, decimals
        return plain(scaled.value, decimals, "—"), unit, scaled, decimals

    def mass_band(self, of: object, unknown: str = UNKNOWN, *, bare: bool = False) -> str:
        """A mass with its band, to the scale's step."""
        said, unit, read, decimals = self.mass_parts(of)
        if self.in_ounces and read.value is not None:
            low, high = self.mass_ends(of)
            band = f" ({low} to {high})" if read.has_band and low != high else ""
            return f"{said}{'' if bare else f' {unit}'}{band}"
        return with_band(_field(read), "" if bare else unit, decimals, unknown)

    def step(self) -> str:
        """The scale's step: "20 g", "0.1 g", "0.05 lb", "0.5 oz", "0.71 oz"."""
        if not self.scale_step:
            return UNKNOWN
        pounds = self.scale_step / _POUND
        if self.us:
            clean = _clean(pounds)
            return f"{round(pounds, 3):g} lb" if clean else f"{pounds * 16:.2g} oz"
        return f"{self.scale_step:g} kg" if self.scale_step >= 1 else f"{self.scale_step * 1000:.3g} g"

    @property
    def two_scales(self) -> bool:
        """Whether the scale counts in kilograms though the shop reads pounds: then both are worth saying."""
        kilograms = (
            self.scale_step is not None and not _clean(self.scale_step / _POUND) and not self.in_ounces
        )
        return self.us and kilograms

    def scale_of(self, of: object) -> tuple[str, float, int]:
        """Unit, how many of it are in a kilogram, and decimals for a mass of a document [kg] with its band."""
        read = number(of)
        ends = [abs(end) for end in (read.value, read.low, read.high) if end]
        most = max(ends, default=1.0)
        if self.in_ounces:
            return "oz", _OUNCES / _POUND, self.ounce_decimals
        if self.us:
            small, factor = most < _POUND, (16 if most < _POUND else 1) / _POUND
            return "oz" if small else "lb", factor, self._decimals(factor, 1 if small else 2)
        decimals = decimals_of(self.scale_step)
        if most < 0.5 * 10.0**-decimals:  # would read as nothing
            return "g", 1e3, max(0, -floor(log10(most * 1e3)))
        return "kg", 1.0, decimals

    def _decimals(self, factor: float, usual: int) -> int:
        """Decimals in pounds or ounces that a scale's step in kilograms is worth."""
        if not self.scale_step:
            return usual
        step = self.scale_step * factor
        if _clean(step):
            return decimals_of(round(step, 3))
        return min(max(0, -floor(log10(step))), _MOST)

    def prose(self, text: str) -> str:
        """A sentence of a document with its quantities in the shop's units.

        >>> Shown("us").prose("a frame 0.2 to 0.5 mm under the sheet at 195 °C")
        'a frame 0.008 to 0.020 in under the sheet at 383 °F'
        """
        return _IN_PROSE.sub(self._said, text) if self.us else text

    def fault(self, fault: Fault) -> Fault:
        """A fault in the shop's units. What was typed or is to be typed, in quotes, stays; so does its place.

        An end that is asked for is rounded to the side where it holds.

        >>> Shown("us").fault(Fault("--thickness", "'8 mm' fits no frame", "ask for 6.35 to 7.1 mm")).sentence()
        "--thickness: '8 mm' fits no frame; ask for 0.250 to 0.279 in."
        """
        if not self.us:
            return fault
        return Fault(fault.where, *(self._unquoted(words) for words in (fault.what, fault.instead)))

    def _unquoted(self, words: str) -> str:
        parts = _QUOTED.split(words)  # every second part is quoted
        return "".join(
            part if n % 2 else _IN_PROSE.sub(lambda found: self._said(found, ends_hold=True), part)
            for n, part in enumerate(parts)
        )

    def _said(self, found: re.Match[str], *, ends_hold: bool = False) -> str:
        before, first, join, second, written, band, low, high = found.groups()
        unit = _SPELT.get(written, written)
        listed = [one for one in (before or "").split(", ") if one]
        values = [float(one) for one in (*listed, first, second, low, high) if one]
        decimals = max(len(one.partition(".")[2]) for one in (*listed, first, second or ""))
        if unit in ("kg", "g"):
            kilograms = [value * (1.0 if unit == "kg" else 1e-3) for value in values]
            if self.in_ounces and max(map(abs, kilograms)) >= _POUND:
                return self._said_in_ounces(kilograms, len(listed), join if second else None, band=bool(band))
            small = max(map(abs, kilograms)) < _POUND
            name, shown = (
                "oz" if small else "lb",
                [value / _POUND * (16 if small else 1) for value in kilograms],
            )
            decimals = min(decimals, 2) if not small else 1
        else:
            name, shown = self.unit(unit), [self.convert(value, unit) for value in values]
            coarse = unit == "mm" and decimals and min(map(abs, values)) >= 1.0  # 3.5 mm is 0.14 in
            fine = ends_hold and unit == "mm" and max(map(abs, values)) < _INCH  # a thickness to be told by
            decimals = _MOST if fine else self.decimals(unit, decimals) - bool(coarse)
        if ends_hold and not listed:
            step, between, leading = 10.0**-decimals, join == " to ", found.string[: found.start()]
            if between or _LEAST.search(leading):
                shown[0] = ceil(shown[0] / step - 1e-6) * step
            if between or (not second and _AT_MOST.search(leading)):
                last = 1 if second else 0
                shown[last] = floor(shown[last] / step + 1e-6) * step
        said = [f"{one:.{decimals}f}" for one in shown]
        if len(said) == 1:
            return f"{_trimmed(shown[0], decimals)} {name}"
        ends = f" ({said[-2]} to {said[-1]})" if band else ""
        lead = "".join(f"{one}, " for one in said[: len(listed)])
        own = said[len(listed) :]
        return f"{lead}{own[0]}{join + own[1] if second else ''} {name}{ends}"

    def _said_in_ounces(self, kilograms: list[float], listed: int, join: str | None, *, band: bool) -> str:
        """Masses of a sentence on a scale that counts in pounds and ounces, each with both its units."""
        said = [f"{self._pounds_and_ounces(one)} oz" for one in kilograms]
        own = said[listed:]
        ends = f" ({said[-2]} to {said[-1]})" if band else ""
        return f"{''.join(f'{one}, ' for one in said[:listed])}{own[0]}{join + own[1] if join else ''}{ends}"


METRIC = Shown()


def _mapped(read: Number, how: Callable[[float], float]) -> Number:
    value, low, high = (None if end is None else how(end) for end in (read.value, read.low, read.high))
    return Number(value, low, high, read.kind, read.source)


def _field(read: Number) -> dict[str, object]:
    return {"value": read.value, "low": read.low, "high": read.high}


def _clean(step: float) -> bool:
    """Whether a step is written with three decimals at most; documents carry six figures."""
    return round(step, 3) > 0 and abs(round(step, 3) / step - 1) < 1e-4


def _trimmed(value: float, decimals: int) -> str:
    words = f"{value:.{decimals}f}"
    words = words.rstrip("0").rstrip(".") if "." in words else words
    return "0" if words in ("-0", "") else words
