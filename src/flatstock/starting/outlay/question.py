"""The question of outlay.toml as frozen dataclasses: money in the shop's own, sheets a week, whole months."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Literal

from flatstock.evidence import Kind
from flatstock.starting.outlay.measured_weeks import Measured

__all__ = ["REQUIRED", "Check", "Necessity", "Person", "Purchase", "Question", "Range"]

Necessity = Literal["cannot_press", "cannot_press_safely", "cannot_sell", "faster", "nicer"]
REQUIRED = ("cannot_press", "cannot_press_safely", "cannot_sell")


@dataclass(frozen=True, slots=True, kw_only=True)
class Purchase:
    """Something that could be bought, at most once."""

    id: str
    what: str
    cost: float
    kind: Kind
    necessity: Necessity
    lead: int  #: months from order to running
    needs: tuple[str, ...] = ()
    gives: Mapping[str, float] = field(default_factory=dict)
    running: float = 0.0  #: a month
    adds: tuple[str, ...] = ()  #: things of shop.toml that come with it
    adds_like: tuple[str, ...] = ()  #: things of shop.toml of which it brings one more

    @property
    def required(self) -> bool:
        """Nothing is pressed or sold without it."""
        return self.necessity in REQUIRED


@dataclass(frozen=True, slots=True, kw_only=True)
class Range:
    """How far off a number may be: relative changes of a triangular distribution."""

    of: str
    low: float
    mode: float
    high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Person:
    """Somebody who works."""

    role: str
    hours: float  #: a week
    hot: bool
    days: tuple[int, ...]  #: weekdays, Monday 0; empty: not said


@dataclass(frozen=True, slots=True, kw_only=True)
class Check:
    """Something that must be settled before something else starts."""

    id: str
    what: str
    owner: str | None
    date: date | None
    evidence: str | None
    before: str
    done: bool
    defer_to: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """What could be bought, what it costs and gives, and what is sold."""

    shop: str
    currency: str | None
    starts: date | None
    months: int
    weeks: float  #: a month
    cash: float
    overdraft: float
    discount: float  #: a year, 0.08 for 8 %
    price: float
    variable: float  #: of a sheet made
    fixed: float  #: a month
    yield_: float
    demand: tuple[float, ...]  #: sheets a week, one a month
    resources: tuple[str, ...]
    have: Mapping[str, float]
    purchases: tuple[Purchase, ...]
    ranges: tuple[Range, ...] = ()
    people: tuple[Person, ...] = ()
    dial_in: float = 0.0  #: sheets rejected while the press is tuned; counted among the futures alone
    checks: tuple[Check, ...] = ()
    #: weeks planned with and without purchases: they go before what is typed
    measured: Measured | None = None

    @property
    def by_id(self) -> dict[str, Purchase]:
        """Purchases by id."""
        return {one.id: one for one in self.purchases}

    @property
    def margin(self) -> float:
        """What one sheet made leaves."""
        return self.yield_ * self.price - self.variable

    @property
    def required(self) -> list[Purchase]:
        """What must be there before a sheet is sold."""
        return [one for one in self.purchases if one.required]

    @property
    def two_hands(self) -> bool:
        """False where the people are named and fewer than two may carry hot moulds on the same day."""
        hot = [one for one in self.people if one.hot and one.hours > 0]
        if not self.people:
            return True
        pairs = [(a, b) for n, a in enumerate(hot) for b in hot[n + 1 :]]
        return any(not a.days or not b.days or set(a.days) & set(b.days) for a, b in pairs)
