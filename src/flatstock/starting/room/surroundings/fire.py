"""Fire load: what burns, how many MJ on each square metre, and how much an agreed figure allows.

q = sum(m Hc) / A. Heats are the one design figure of EN 1991-1-2 annex E and, beside it, what is measured; both
from memory, in data/air_and_fire.toml. The limit is the insurer's or the authority's; there is no default.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from flatstock.errors import OutOfRange
from flatstock.starting.room.surroundings.figures import figures

__all__ = ["Burning", "Heat", "fire_load", "heat_of", "most_stock", "total_heat"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Heat:
    """Heat of burning of one kind of stuff."""

    id: str
    what: str
    design: float  #: [J/kg]
    net: float | None  #: as measured [J/kg]; None: not on file
    note: str = ""


@dataclass(frozen=True, slots=True)
class Burning:
    """Some stuff that burns."""

    of: str  #: a plastic's id, wood, cardboard
    mass: float  #: [kg]
    at: str = ""  #: the item that holds it; "": not said


def heat_of(stuff: str) -> Heat:
    """The heats of a plastic or other stuff; what is not on file counts as polyolefin, the highest, and says so.

    >>> heat_of("ldpe").id, heat_of("ldpe").design, heat_of("elm").id
    ('pe', 40000000.0, 'other')
    """
    table: Mapping[str, dict[str, object]] = figures()["heats"]
    name = next((key for key, says in table.items() if _lists(says, stuff)), "other")
    says = table[name]
    net = says.get("net_MJ_kg")
    return Heat(
        id=name,
        what=str(says["what"]),
        design=_number(says["design_MJ_kg"]) * 1e6,
        net=None if net is None else _number(net) * 1e6,
        note=str(says.get("assumed", "")),
    )


def total_heat(stock: Iterable[Burning], *, net: bool = False) -> float:
    """Heat in all of it [J]; `net` where it is on file, else the design figure."""
    total = 0.0
    for one in stock:
        heat = heat_of(one.of)
        total += one.mass * (heat.net if net and heat.net is not None else heat.design)
    return total


def fire_load(stock: Iterable[Burning], area: float, *, net: bool = False) -> float:
    """Heat on each square metre of floor [J/m2].

    >>> demo = [Burning("hdpe", 808), Burning("pp", 260), Burning("ps", 140), Burning("hips", 75)]
    >>> round(fire_load(demo, 51.52) / 1e6)
    996
    """
    if not area > 0:
        raise OutOfRange(f"a floor of {area} m2 is none")
    return total_heat(stock, net=net) / area


def most_stock(limit: float, area: float, heat: float, *, beside: float = 0.0) -> float:
    """Most of one stuff under an agreed figure [kg]; `beside` is the heat of everything else there [J].

    >>> round(most_stock(600e6, 51.52, 40e6), 1)
    772.8
    """
    if not (limit > 0 and area > 0 and heat > 0):
        raise OutOfRange(f"limit {limit} J/m2, floor {area} m2 and heat {heat} J/kg must be over 0")
    return max(0.0, limit * area - beside) / heat


def _lists(says: Mapping[str, object], stuff: str) -> bool:
    named = says["plastics"]
    return isinstance(named, list) and stuff.lower() in named


def _number(value: object) -> float:
    assert isinstance(value, int | float)
    return float(value)
