"""What can be asked of one sheet on one press, in SI; None where the shop's own default counts."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime

__all__ = ["LONGEST_DWELL", "CardQuestion", "CorrectQuestion", "MouldWords", "StackQuestion"]

LONGEST_DWELL = 4 * 3600.0  #: s that a dwell is looked at


@dataclass(frozen=True, slots=True, kw_only=True)
class CardQuestion:
    """One sheet on one press."""

    plastic: str
    thickness: float  #: wanted, cold [m]
    press: str | None = None
    frame: str | None = None
    lots: Mapping[str, float] = field(default_factory=dict)  #: lot to share of the charge, summing to 1
    set_point: float | None = None  #: [°C]
    full_pressure_time: float | None = None  #: [s]
    pressure: float | None = None  #: full pressure on the sheet [Pa]
    gauge: float | None = None  #: in its place: what the gauge shows at full pressure [Pa]
    viscosity: float | None = None  #: of the melt [Pa s]
    footprint: float | None = None  #: share of the cavity that the heap covers; None: laid level
    fans: bool | None = None  #: while press-cooling
    every: float | None = None  #: from mould to mould in the cooling press [s]
    colour: str | None = None
    order: str | None = None
    made_at: datetime | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class CorrectQuestion:
    """What a measured sheet says about the next charge."""

    plastic: str
    thickness: float  #: wanted [m]
    charge: float  #: as weighed in [kg]
    measured: float  #: thickness of the sheet [m]
    flash: float | None = None  #: weighed [kg]
    press: str | None = None
    frame: str | None = None
    made_at: datetime | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class MouldWords:
    """One mould of a stack."""

    plastic: str
    thickness: float  #: [m]
    arrives: datetime
    core: float | None = None  #: when it arrives [°C]; None: as its card's advised dwell leaves it
    name: str | None = None
    lots: tuple[
        tuple[str, float], ...
    ] = ()  #: with their shares of its charge; none named: of its plastic alone


@dataclass(frozen=True, slots=True, kw_only=True)
class StackQuestion:
    """Moulds on each other, and the moment asked for."""

    moulds: tuple[MouldWords, ...]
    at: datetime
    place: str | None = None
    room: float | None = None  #: [°C]
    fans: bool | None = None
    made_at: datetime | None = None
