"""What is physically possible for a property: a number outside is a slip, whoever wrote it."""

from __future__ import annotations

from dataclasses import dataclass

from flatstock.plastics.datafile import SI, read

__all__ = ["Band", "band"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """The possible range of one property, in the unit that people write it in."""

    low: float
    high: float
    unit: str

    @property
    def factor(self) -> float:
        """What turns a number in `unit` into SI."""
        return SI[self.unit][1]

    def holds(self, number: float) -> bool:
        """Whether a number in SI units is possible; a number that is none is not."""
        slack = 1e-9 * abs(number)
        return self.low * self.factor - slack <= number <= self.high * self.factor + slack

    def words(self) -> str:
        """The band as a person reads it."""
        unit = "" if self.unit == "1" else f" {self.unit}"
        return f"{self.low:g} … {self.high:g}{unit}"


def band(name: str) -> Band:
    """The band of the property `name`; KeyError where there is none.

    >>> band("density").words()
    '800 … 2300 kg/m3'
    """
    return Band(**read("bands")[name])
