"""What a plan asks of physics; `actions.plans` answers with `pressing`, which this room doesn't know."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Protocol

from flatstock.workshop.shop import Order

__all__ = ["ByWarmth", "Forecasts", "Recipe"]


class ByWarmth(Protocol):
    """How long a mould cools by how warm the plates are that it finds; seconds (`pressing.warm_plates`)."""

    @property
    def warmth(self) -> tuple[float, ...]:
        """Rest after which the empty plates would be cold; from 0 on, ascending. The other rows have an entry each."""

    @property
    def opens(self) -> tuple[float, ...]:
        """Until it may be opened."""

    @property
    def ends(self) -> tuple[float, ...]:
        """Until it may be demoulded there; inf: never."""

    @property
    def leaves(self) -> tuple[float, ...]:
        """Warmth of the plates when it is opened then."""

    @property
    def fades(self) -> float:
        """What each second that it stays longer takes off that."""


class Recipe(Protocol):
    """What physics says of one kind of sheet on one press; seconds, kg, °C (`pressing.forecast`)."""

    @property
    def plastic(self) -> str:
        """Id."""

    @property
    def charge(self) -> float:
        """Weighed [kg]."""

    @property
    def weigh(self) -> Mapping[str, float]:
        """By lot [kg]."""

    @property
    def set_point(self) -> float:
        """[°C]"""

    @property
    def dwell(self) -> float:
        """The coldest point reaches its target [s]."""

    @property
    def advised(self) -> float:
        """Of the shop's card [s]."""

    @property
    def latest(self) -> float | None:
        """Early end of its band [s]."""

    @property
    def frame(self) -> str:
        """Id."""

    @property
    def skin(self) -> str:
        """Id of a pair."""

    @property
    def mould_mass(self) -> float:
        """Loaded [kg]."""

    @property
    def press_cool(self) -> Mapping[str, float]:
        """By cooling press: until it may be opened [s]."""

    @property
    def cool_to_end(self) -> Mapping[str, float]:
        """By cooling press: until it may be demoulded [s]."""

    @property
    def warming(self) -> Mapping[str, ByWarmth]:
        """By cooling press, but those with water."""

    @property
    def rest(self) -> Mapping[str, float]:
        """By stack or rack: after press_cool, until it may be demoulded [s]."""

    @property
    def energy(self) -> float:
        """Of the heaters [J]."""

    @property
    def warnings(self) -> tuple[str, ...]:
        """What the card says."""


class Forecasts(Protocol):
    """The physics that a plan rests on."""

    def recipe(self, order: Order, press: str) -> Recipe:
        """One order's sheets on one press. Raises `Refused` with the reasons."""

    def between(self, press: str, start: float, end: float) -> float:
        """Seconds in which empty platens go from one temperature to another."""

    def hold(self, press: str, temperature: float) -> float:
        """What an empty press takes to stay at a temperature [W]."""
