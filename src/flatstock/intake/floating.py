"""Which plastics a flake can be after it floated or sank, and which liquid splits the rest best."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import log2
from pathlib import Path
from typing import Literal

from flatstock.errors import OutOfRange
from flatstock.intake.liquids import WATER, Liquid, mixture_for
from flatstock.plastics.model import Plastic
from flatstock.plastics.sources import label

__all__ = ["MARGIN", "Candidate", "Seen", "Split", "candidates", "density_in_liquid", "density_with_sinker",
           "possible", "split_best", "would"]  # fmt: skip

MARGIN = 2.0  #: how far a mixed liquid may be off its density [kg/m3]; a hydrometer's line, our own figure


@dataclass(frozen=True, slots=True, kw_only=True)
class Candidate:
    """What a flake may be."""

    id: str
    name: str
    low: float  #: density at 23 °C [kg/m3]
    high: float
    source: str  #: in words


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """One flake in one liquid."""

    density: float  #: of the liquid [kg/m3]
    did: Literal["floats", "sinks", "hovers"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Split:
    """A test worth doing."""

    liquid: Liquid
    floats: tuple[str, ...]  #: what is still possible if it floats
    sinks: tuple[str, ...]
    worst: int  #: how many are left at worst
    bits: float  #: what it tells on average, all left equally likely


def candidates(plastics: Mapping[str, Plastic]) -> tuple[Candidate, ...]:
    """Every plastic with its density band, and the strangers that no list of plastics to press has."""
    own = [
        Candidate(
            id=one.id,
            name=one.name,
            low=one.density.low,
            high=one.density.high,
            source=label(one.density.source),
        )
        for one in plastics.values()
    ]
    data = tomllib.loads((Path(__file__).parent / "data" / "strangers.toml").read_text("utf-8"))
    strange = [
        Candidate(
            id=name,
            name=t["name"],
            low=float(t["low"]),
            high=float(t["high"]),
            source=t.get("words") or label(t["source"]),
        )
        for name, t in data.items()
        if name not in plastics
    ]
    return tuple(sorted((*own, *strange), key=lambda one: (one.low, one.high, one.id)))


def would(one: Candidate, density: float, *, margin: float = 0.0) -> Literal["floats", "sinks", "either"]:
    """What a solid flake of a plastic does in a liquid [kg/m3]."""
    if one.high < density - margin:
        return "floats"
    return "sinks" if one.low > density + margin else "either"


def possible(
    seen: Iterable[Seen], of: Iterable[Candidate], *, margin: float = MARGIN
) -> tuple[Candidate, ...]:
    """What a flake can still be: its density band meets what every liquid allows, give or take `margin` [kg/m3].

    None left: air, filler or foam, or two flakes of different plastics: look again.
    """
    low, high = 0.0, float("inf")
    for one in seen:
        if one.did in ("sinks", "hovers"):
            low = max(low, one.density - margin)
        if one.did in ("floats", "hovers"):
            high = min(high, one.density + margin)
    return tuple(one for one in of if one.high >= low and one.low <= high)


def split_best(left: Sequence[Candidate], *, margin: float = MARGIN) -> Split | None:
    """The liquid after which the fewest are left at worst; of equals the one that tells most on average.

    `margin`: how far a mixture may be off its density [kg/m3].

    None: no liquid that can be mixed tells any of them apart; density alone does not decide (PS and ABS).
    """
    found = []
    edges = sorted({edge for one in left for edge in (one.low, one.high)})
    for density in sorted({(a + b) / 2 for a, b in pairwise(edges)} | {WATER}):
        try:
            liquid = Liquid(name="water", density=density) if density == WATER else mixture_for(density)
        except OutOfRange:
            continue
        floats = tuple(o.id for o in left if would(o, density, margin=margin) != "sinks")
        sinks = tuple(o.id for o in left if would(o, density, margin=margin) != "floats")
        worst = max(len(floats), len(sinks))
        if floats and sinks and worst < len(left):
            found.append(
                Split(
                    liquid=liquid, floats=floats, sinks=sinks, worst=worst, bits=_bits(left, density, margin)
                )
            )
    # water before a mixture that is no better: nothing to mix, nothing that burns
    return min(found, key=lambda s: (s.worst, -round(s.bits, 9), s.liquid.name != "water"), default=None)


def _bits(left: Sequence[Candidate], density: float, margin: float) -> float:
    """Mutual information of what it is and what it does; "either" does either, half and half [bit]."""
    shares = [{"floats": 1.0, "sinks": 0.0, "either": 0.5}[would(o, density, margin=margin)] for o in left]
    whole = sum(shares) / len(shares)
    return _entropy(whole) - sum(map(_entropy, shares)) / len(shares)


def _entropy(p: float) -> float:
    return 0.0 if p in (0.0, 1.0) else -p * log2(p) - (1 - p) * log2(1 - p)


def density_in_liquid(*, in_air: float, in_liquid: float, liquid: float) -> float:
    """Density [unit of `liquid`] of a sinker from its weight in air and in a liquid, same unit of mass.

    Archimedes; ISO 1183-1 method A, from memory. The air's own lift is left out (0.1 %).

    >>> round(density_in_liquid(in_air=5.000, in_liquid=0.850, liquid=0.7893), 5)
    0.95096
    """
    if not 0 <= in_liquid < in_air:
        raise OutOfRange(
            f"{in_liquid:g} in the liquid must be less than {in_air:g} in air, and not negative."
        )
    return in_air * liquid / (in_air - in_liquid)


def density_with_sinker(*, in_air: float, sinker: float, both: float, liquid: float) -> float:
    """Density of a floater held under by a sinker: `sinker` and `both` weighed in the liquid.

    As above; ISO 1183-1, from memory.

    >>> round(density_with_sinker(in_air=4.000, sinker=10.000, both=9.790, liquid=0.9982), 5)
    0.94841
    """
    lifted = in_air + sinker - both
    if in_air <= 0 or lifted <= 0:
        raise OutOfRange(
            "The weighings don't fit together: the sample would weigh more in the liquid than in air."
        )
    return in_air * liquid / lifted
