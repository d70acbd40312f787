"""A charge of lots of several plastics: what it weighs, what heat it takes, and by which of them it is pressed.

Flakes stay side by side (a press does not mix), so heat and volume are sums over the plastics (docs/flow.md,
"Charge"; docs/heat.md, "Blends"), and a limit holds by the plastic that bears least (docs/pressing.md, "The card").
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from math import exp

from flatstock.evidence import Kind, Value, weakest
from flatstock.flow.charge import blend_density
from flatstock.plastics.model import Plastic, Process
from flatstock.pressing.polymers import Material, Mixed

__all__ = [
    "density_of_parts",
    "heat_of_parts",
    "pressed_parts",
    "process_of_parts",
    "said_of_parts",
    "shrinkage_of_parts",
]

Parts = Sequence[tuple[Plastic, float]]
GAS = 8.314462618  # J/mol K, CODATA 2018
CLOCK = 473.15  # K at which the clocks of all faces run alike (docs/heat.md)


def density_of_parts(parts: Sequence[tuple[str, float, Value]]) -> Value:
    """Density [kg/m3] of a charge from the id, the mass share and the density of each of its plastics.

    1/ρ = Σ w/ρ (docs/flow.md, "Charge"); the band is taken from the parts' low and high ends together, the widest it
    can be. A single plastic keeps its own value.
    """
    if len(parts) == 1:
        return parts[0][2]
    whole = blend_density(parts=[(share, value.value) for _, share, value in parts])
    low = blend_density(parts=[(share, value.low) for _, share, value in parts])
    high = blend_density(parts=[(share, value.high) for _, share, value in parts])
    said = ", ".join(
        f"{100 * share:.3g} % {name.upper()} {value.value:.4g} kg/m3" for name, share, value in parts
    )
    kind, source = _evidence(value for _, _, value in parts)
    return Value(whole, low, high, kind, source, "kg/m3", f"1/ρ = Σ w/ρ of {said}")


def shrinkage_of_parts(parts: Parts) -> Value:
    """Linear shrinkage of a charge: that of its plastics by the volume each of them takes up cold.

    Assumed: no part holds the other back, so that each brings its own share of the length. A single plastic keeps
    its own value.
    """
    if len(parts) == 1:
        return parts[0][0].shrinkage
    volumes = [share / one.density.value for one, share in parts]
    each = [
        (one.id, volume / sum(volumes), one.shrinkage)
        for (one, _), volume in zip(parts, volumes, strict=True)
    ]
    value, low, high = (
        sum(share * getattr(own, end) for _, share, own in each) for end in ("value", "low", "high")
    )
    said = ", ".join(
        f"{100 * share:.3g} % by volume {name.upper()} {100 * own.value:.3g} %" for name, share, own in each
    )
    kind, source = _evidence(own for _, _, own in each)
    return Value(value, low, high, kind, source, each[0][2].unit, f"s = Σ φ·s of {said}")


def _evidence(values: Iterable[Value]) -> tuple[Kind, str]:
    listed = list(values)
    sources = dict.fromkeys(source for value in listed for source in value.source.split(", "))
    return weakest(*(value.kind for value in listed)), ", ".join(sources)


def pressed_parts(parts: Parts, host: Plastic) -> Parts:
    """The parts that melt here, the largest first: one whose data are not all on file counts as the card's plastic."""
    shares: dict[str, float] = {}
    known = {one.id: one for one, _ in parts} | {host.id: host}
    for one, share in parts:
        name = one.id if one.thermal is not None and one.process is not None else host.id
        shares[name] = shares.get(name, 0.0) + share
    listed = sorted(shares.items(), key=lambda item: -item[1])
    return [(known[name], share) for name, share in listed]


def heat_of_parts(parts: Parts) -> Material:
    """Their thermal values; of `pressed_parts`."""
    values = [(one.id, share, one.thermal) for one, share in parts if one.thermal is not None]
    if len(values) == 1:
        return values[0][2]
    return Mixed(tuple(values))


def process_of_parts(host: Process, parts: Parts, set_point: float) -> Process:
    """How a charge is pressed at `set_point` [°C]: as its card's plastic is, but by the plastic nearest to each limit.

    The core goes to the highest target; face, set-point, opening and demoulding by the lowest limit. The face's clock
    is the one that runs fastest at the set-point, with the least allowance: as if all of the face bore the least.
    """
    each = [one.process for one, _ in parts if one.process is not None]
    if len(parts) == 1:
        return each[0] if each else host

    def pick(name: str, best: Callable[..., Value], key: Callable[[Value], float]) -> Value | None:
        known = [value for one in each if (value := getattr(one, name)) is not None]
        return best(known, key=key) if known else None

    def number(value: Value) -> float:
        return value.value

    def speed(activation: Value) -> float:
        """Of a clock at the set-point, by that at 200 °C."""
        return exp(-activation.value / GAS * (1.0 / (set_point + 273.15) - 1.0 / CLOCK))

    return replace(
        host,
        melt_target=pick("melt_target", max, number),
        open_below=pick("open_below", min, number),
        demould_below=pick("demould_below", min, number),
        highest_set_point=pick("highest_set_point", min, number),
        face_limit=pick("face_limit", min, number),
        face_allowance=pick("face_allowance", min, number),
        face_activation=pick("face_activation", max, speed),
    )


def said_of_parts(parts: Parts, process: Process) -> str | None:
    """A sentence on how a charge of several plastics was worked out; None for one plastic."""
    if len(parts) == 1:
        return None

    def by(name: str, words: str) -> str | None:
        limit: Value | None = getattr(process, name)
        if limit is None:
            return None
        of = next(one for one, _ in parts if one.process is not None and getattr(one.process, name) == limit)
        return f"{words} {limit.value:g} °C ({of.id.upper()})"

    rules = (
        ("melt_target", "core to"),
        ("face_limit", "face below"),
        ("open_below", "opened below"),
        ("demould_below", "demoulded below"),
    )
    listed = [text for name, words in rules if (text := by(name, words)) is not None]
    shares = " and ".join(f"{100 * share:.3g} % {one.id.upper()}" for one, share in parts)
    return f"Worked out as {shares}, each melting and freezing in its own range: {', '.join(listed)}."
