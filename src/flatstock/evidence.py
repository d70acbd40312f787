"""A number with its band, the kind of evidence behind it, and where it stands.

Every number that is not plain arithmetic travels as a `Value` from the file it was read in to the
answer that it ends in, so that any answer can say what it rests on.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Literal, get_args

__all__ = ["KINDS", "Kind", "Value", "weakest"]

Kind = Literal["measured", "fitted", "handbook", "from_memory", "assumed", "computed"]
KINDS: tuple[Kind, ...] = get_args(Kind)
#: from the best evidence to the weakest; a result is no better than the weakest thing it rests on
_STRENGTH: tuple[Kind, ...] = ("measured", "fitted", "handbook", "computed", "from_memory", "assumed")


@dataclass(frozen=True, slots=True)
class Value:
    """A number in SI units (temperatures in °C) with its plausible range and its evidence."""

    value: float
    low: float
    high: float
    kind: Kind
    source: str  #: an id in the source list, "shop.toml" or another file of the workshop, or a few words
    unit: str = ""  #: SI unit for display, "kg/m3"
    note: str = ""

    def __post_init__(self) -> None:
        if not self.low <= self.value <= self.high:
            raise ValueError(f"{self.low} <= {self.value} <= {self.high} does not hold ({self.source})")
        if self.kind not in KINDS:
            raise ValueError(f"{self.kind!r} is no kind of evidence; the kinds are {', '.join(KINDS)}")

    @classmethod
    def sure(cls, value: float, *, kind: Kind = "measured", source: str = "", unit: str = "") -> Value:
        """A number without a band."""
        return cls(value, value, value, kind, source, unit)

    @property
    def is_sure(self) -> bool:
        """True when the band has no width."""
        return self.low == self.high

    def mapped(self, convert: Callable[[float], float], *, unit: str, kind: Kind | None = None) -> Value:
        """The same evidence after a monotonic conversion of the number."""
        a, b = convert(self.low), convert(self.high)
        return replace(
            self, value=convert(self.value), low=min(a, b), high=max(a, b), unit=unit, kind=kind or self.kind
        )


def weakest(*kinds: Kind) -> Kind:
    """The weakest of several kinds of evidence.

    >>> weakest("measured", "from_memory", "handbook")
    'from_memory'
    """
    return max(kinds, key=_STRENGTH.index)
