"""How a mould that stands in a press now gets hot or cool, for clocks that are looked at while it stands there."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from flatstock.heat.pile import Until
from flatstock.pressing.card_numbers import Card
from flatstock.pressing.cooling import Cooling
from flatstock.pressing.heating import Heating
from flatstock.workshop.shop import Film

__all__ = ["Warmth", "cooling_down", "heating_up"]

Array = NDArray[np.float64]
CELLS, PLATEN_CELLS = 20, 6
TOLERANCE = 0.05
LONGEST = 6 * 3600.0  #: s that a mould in a press is looked at
POINTS = 120  #: of a curve that is handed on
NEARLY = 1.0  #: K below the set-point: from there on it changes no more that anybody would see
COOL_ENOUGH = 30.0  #: °C: colder than this nobody asks
STILL = Film(kind="still_air", film=None, temperature=None)


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


def heating_up(card: Card) -> Warmth:
    """The coldest point of a mould in a hot press that is not interrupted (else `after_a_cut`).

    Followed until it is nearly at the set-point, so that what is shown late in a dwell is what the transfer finds.
    """
    heating: Heating = card.heating
    band = heating.dwell
    press, mould = heating.loaded(CELLS, PLATEN_CELLS)
    _, _, outcome = press.hold(
        mould,
        duration=LONGEST,
        until=Until(kind="coldest_above", level=max(heating.target + 5.0, heating.set_point - NEARLY)),
        tolerance=TOLERANCE,
    )
    return _thinned(
        outcome.history.time,
        outcome.history.coldest[:, 0],
        late=band.high / band.value,
        early=band.low / band.value,
    )


def cooling_down(
    card: Card,
    place: str,
    *,
    before: int,
    calms: Sequence[tuple[float, float]] = (),
    calm_before: bool = False,
) -> Warmth | None:
    """The hottest point of a mould in a cooling press; `before`: moulds that went through it just before.

    `calms`: spans in which the supply had failed, from when the mould came [s], in order: still air then, and no water.
    `calm_before`: it failed while the moulds before were in it, which left the plates warmer than fans would have.

    None: the card knows no cooling press.
    """
    first = card.cooling
    if first is None:
        return None
    shop_press = card.setting.shop.cooling_presses.get(place, first.shop_press)
    cooling: Cooling = replace(
        first, shop_press=shop_press, fans=shop_press.fans_on and shop_press.fan_film is not None
    )
    blown, calm = cooling.press, _calm(cooling).press
    press = calm if calm_before else blown
    until = Until(kind="hottest_below", level=cooling.open_below)
    for _ in range(before):
        press, _, outcome = press.hold(
            cooling.arriving, duration=cooling.every, until=until, tolerance=TOLERANCE
        )
        press = press.stand_empty(cooling.every - outcome.time, tolerance=TOLERANCE)
    until = Until(kind="hottest_below", level=max(COOL_ENOUGH, cooling.room + 5.0))
    mould, time, hottest, past = cooling.arriving, [], [], 0.0
    turns = [(turn, air) for span in calms for turn, air in zip(span, (calm.outer, blown.outer), strict=True)]
    starts = [(0.0, blown.outer), *turns, (LONGEST, blown.outer)]
    for (start, outer), (end, _) in pairwise(starts):
        duration = min(end, LONGEST) - max(start, 0.0)
        if duration <= 0:
            continue
        press, mould, outcome = replace(press, outer=outer).hold(
            mould, duration=duration, until=until, tolerance=TOLERANCE
        )
        time.append(past + outcome.history.time)
        hottest.append(outcome.history.hottest[:, 0])
        past += outcome.time
        if outcome.reached:
            break
    one = cooling.times[0]
    late, early = (1.25, 0.8) if one is None else (one.high / one.value, one.low / one.value)
    return _thinned(np.concatenate(time), np.concatenate(hottest), late=late, early=early)


def _calm(cooling: Cooling) -> Cooling:
    """The same press without a supply: its fans stand, and no water runs."""
    place = cooling.shop_press
    bottom, top = (STILL if one.kind == "water" else one for one in (place.film_bottom, place.film_top))
    return replace(cooling, shop_press=replace(place, film_bottom=bottom, film_top=top), fans=False)


def _thinned(time: Array, temperature: Array, *, late: float, early: float) -> Warmth:
    """Few points, closer where the curve begins."""
    at = time[-1] * np.linspace(0.0, 1.0, POINTS) ** 1.5
    return Warmth(
        time=at, temperature=np.interp(at, time, temperature), late=max(1.0, late), early=min(1.0, early)
    )
