"""How a mould that stands in a press now gets hot or cool, for clocks that are looked at while it stands there."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import inf

import numpy as np
from numpy.typing import NDArray

from flatstock.heat import layers as h
from flatstock.heat.pile import Until
from flatstock.heat.press import HotPress, Mould
from flatstock.pressing.card import Card
from flatstock.pressing.cooling import Cooling
from flatstock.pressing.heating import Heating
from flatstock.pressing.polymers import polymer_of
from flatstock.pressing.rig import hot_press

__all__ = ["Warmth", "cooling_down", "heating_up"]

Array = NDArray[np.float64]
CELLS, PLATEN_CELLS = 20, 6
TOLERANCE = 0.05
LONGEST = 6 * 3600.0  #: s that a mould in a press is looked at
POINTS = 120  #: of a curve that is handed on
COOL_ENOUGH = 30.0  #: °C: colder than this nobody asks


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Warmth:
    """The point that decides (coldest in a hot press, hottest elsewhere) from when the mould came.

    `late`: how much later than the middle the late end of the band lies; `early`: the same of its early end.
    """

    time: Array  #: [s]
    temperature: Array  #: [°C]
    late: float
    early: float

    def reaches(self, level: float, *, rising: bool) -> float | None:
        """When the middle of the band first passes `level` [s]; None: not within the time looked at."""
        past = self.temperature >= level if rising else self.temperature <= level
        if not past.any():
            return None
        n = int(np.argmax(past))
        if n == 0:
            return float(self.time[0])
        ends = [n - 1, n] if rising else [n, n - 1]
        return float(np.interp(level, self.temperature[ends], self.time[ends]))


def heating_up(
    card: Card, *, cuts: Sequence[tuple[float, float | None]] = (), reads: Mapping[float, float] | None = None
) -> Warmth:
    """The coldest point of a charge in the hot press.

    Parameters
    ----------
    cuts
        Spans without heat from when the mould was laid down [s]; an end of None: still without.
    reads
        Platens measured meanwhile: when [s] to temperature [°C]. From then on the platens are taken to be so.
    """
    heating: Heating = card.heating
    band = heating.dwell
    late, early = band.high / band.value, band.low / band.value
    press, mould = _laid_down(heating)
    wired, read = press.heaters, dict(reads or {})
    edges = sorted({0.0, *(edge for cut in cuts for edge in cut if edge is not None), *read})
    times, coldest = [np.zeros(1)], [np.full(1, heating.room)]
    for start, end in pairwise([*edges, inf]):
        if start in read:
            measured = read[start]
            press = replace(
                press,
                lower=replace(press.lower, temperature=np.full_like(press.lower.temperature, measured)),
                upper=replace(press.upper, temperature=np.full_like(press.upper.temperature, measured)),
            )
        heated = not any(a <= start < (inf if b is None else b) for a, b in cuts)
        press = replace(press, heaters=wired if heated else (None, None))
        open_end = end == inf
        press, mould, outcome = press.hold(
            mould,
            duration=LONGEST - start if open_end else end - start,
            until=Until(kind="coldest_above", level=heating.target + 5.0) if open_end and heated else None,
            loaded=start == 0.0,
            tolerance=TOLERANCE,
        )
        times.append(start + outcome.history.time[1:])
        coldest.append(outcome.history.coldest[1:, 0])
    return _thinned(np.concatenate(times), np.concatenate(coldest), late=late, early=early)


def cooling_down(card: Card, place: str, *, before: int) -> Warmth | None:
    """The hottest point of a mould in a cooling press; `before`: moulds that went through it just before.

    None: the card knows no cooling press.
    """
    first = card.cooling
    if first is None:
        return None
    shop_press = card.setting.shop.cooling_presses.get(place, first.shop_press)
    cooling: Cooling = replace(
        first, shop_press=shop_press, fans=shop_press.fans_on and shop_press.fan_film is not None
    )
    press = cooling.press
    until = Until(kind="hottest_below", level=cooling.open_below)
    for _ in range(before):
        press, _, outcome = press.hold(
            cooling.arriving, duration=cooling.every, until=until, tolerance=TOLERANCE
        )
        press = press.stand_empty(cooling.every - outcome.time, tolerance=TOLERANCE)
    cold = max(COOL_ENOUGH, cooling.room + 5.0)
    _, _, outcome = press.hold(
        cooling.arriving, duration=LONGEST, until=Until(kind="hottest_below", level=cold), tolerance=TOLERANCE
    )
    one = cooling.times[0]
    late, early = (1.25, 0.8) if one is None else (one.high / one.value, one.low / one.value)
    return _thinned(outcome.history.time, outcome.history.hottest[:, 0], late=late, early=early)


def _laid_down(heating: Heating) -> tuple[HotPress, Mould]:
    """Press and mould as the mould is laid down."""
    press = hot_press(
        heating.shop_press,
        heating.mould,
        room=heating.room,
        set_point=heating.set_point,
        platen_cells=PLATEN_CELLS,
    )
    charge = h.charge(
        polymer_of(heating.thermal),
        mass=heating.mass,
        temperature=heating.room,
        cells=CELLS,
        moisture=heating.moisture,
    )
    return press, heating.mould.around(charge, heating.room)


def _thinned(time: Array, temperature: Array, *, late: float, early: float) -> Warmth:
    """Few points, closer where the curve begins."""
    at = time[-1] * np.linspace(0.0, 1.0, POINTS) ** 1.5
    return Warmth(
        time=at, temperature=np.interp(at, time, temperature), late=max(1.0, late), early=min(1.0, early)
    )
