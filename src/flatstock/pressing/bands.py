"""Bands: what an answer's inputs may be, drawn together, and where the spread of the answer comes from.

256 scrambled Sobol points (made once with SciPy's `stats.qmc.Sobol(24, scramble=True, seed=20260302)`
and kept as data, so that a card needs no SciPy; a test makes them again). Inputs are independent and
triangular over [low, typical, high]; a band is the 5th to the 95th percentile.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

import numpy as np
from numpy.typing import NDArray

from flatstock.evidence import Kind, Value

__all__ = [
    "HIGH",
    "SAMPLES",
    "Draws",
    "band_of",
    "contributions",
    "draw",
    "relative",
    "shares_of",
    "triangular",
]

Array = NDArray[np.float64]
SAMPLES = 256
LOW, HIGH = 5.0, 95.0  #: percentiles
NARROW = 1e-3  #: of the value: a band narrower than what the coarser computation resolves is none


@cache
def _points() -> Array:
    with (files("flatstock.pressing") / "data" / "sobol_256x24.npy").open("rb") as stream:
        points: Array = np.load(stream)
    return points


def triangular(u: Array, value: Value) -> Array:
    """Numbers with the triangular distribution low … value … high at the probabilities `u`.

    Inverse of the distribution function; any textbook of statistics.
    """
    width = value.high - value.low
    if width <= 0:
        return np.full(u.shape, value.value)
    split = (value.value - value.low) / width
    rising = value.low + np.sqrt(np.maximum(u * width * (value.value - value.low), 0.0))
    falling = value.high - np.sqrt(np.maximum((1.0 - u) * width * (value.high - value.value), 0.0))
    return np.where(u < split, rising, falling)


@dataclass(frozen=True, slots=True, eq=False)
class Draws:
    """256 draws of named inputs; an input without a band is constant."""

    inputs: Mapping[str, Value]
    columns: Mapping[str, Array]

    def __getitem__(self, name: str) -> Array:
        return self.columns[name]

    @property
    def varying(self) -> tuple[str, ...]:
        """Names of the inputs that have a band."""
        return tuple(name for name, value in self.inputs.items() if not value.is_sure)


def draw(inputs: Mapping[str, Value]) -> Draws:
    """Draw every input; only those with a band use up a dimension of the point set.

    The point set has 24 dimensions; should more inputs have bands, those named last stay at their typical
    value.
    """
    points = _points()
    columns: dict[str, Array] = {}
    dimension = 0
    for name, value in inputs.items():
        if value.is_sure or dimension >= points.shape[1]:
            columns[name] = np.full(SAMPLES, value.value)
        else:
            columns[name] = triangular(points[:, dimension], value)
            dimension += 1
    return Draws(inputs, columns)


def relative(drawn: Array, typical: Value) -> Array:
    """Draws as factors on the typical value; 1 where that is 0."""
    return drawn / typical.value if typical.value > 0 else np.ones(len(drawn))


def band_of(
    value: float,
    samples: Array,
    *,
    unit: str,
    source: str,
    kind: Kind = "computed",
    centre: float | None = None,
    by_difference: bool = False,
) -> Value:
    """`value` with the 5th and 95th percentile of `samples`, which may come from a coarser computation.

    `centre` is what that coarser computation gives for the typical inputs: its bias is divided out, or
    subtracted `by_difference` where a ratio means nothing (temperatures, instants).
    """
    good = samples[np.isfinite(samples)]
    if len(good) < len(samples) // 2:
        return Value(value, value, value, kind, source, unit)
    low, high = np.percentile(good, (LOW, HIGH))
    if centre is not None and by_difference:
        low, high = low + value - centre, high + value - centre
    elif centre:
        low, high = low * value / centre, high * value / centre
    if high - low < NARROW * abs(value):
        return Value(value, value, value, kind, source, unit)
    return Value(value, min(float(low), value), max(float(high), value), kind, source, unit)


def shares_of(
    inputs: Mapping[str, Value], answer: Callable[[Mapping[str, Array]], Array]
) -> dict[str, float]:
    """Share of the spread of `answer` (columns of each input in, column out) that each input brings."""
    drawn = draw(inputs)
    return contributions(drawn, answer(drawn.columns))


def contributions(draws: Draws, samples: Array) -> dict[str, float]:
    """Share of the spread of `samples` that each input brings, largest first.

    Squared correlation of the answer with each input, scaled to a sum of 1: exact for an answer linear in
    independent inputs, a fair ranking else.
    """
    good = np.isfinite(samples)
    if np.count_nonzero(good) < 2:
        return {}
    y = samples[good] - np.mean(samples[good])
    spread = float(y @ y)
    if spread <= 0:
        return {}
    shares = {}
    for name in draws.varying:
        x = draws[name][good]
        x = x - np.mean(x)
        if (own := float(x @ x)) > 0:
            shares[name] = float(x @ y) ** 2 / (own * spread)
    total = sum(shares.values())
    return {k: v / total for k, v in sorted(shares.items(), key=lambda item: -item[1])} if total > 0 else {}
