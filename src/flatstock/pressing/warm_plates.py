"""How long a mould cools in a cooling press by how warm its plates are when it is clamped, and how it leaves them.

Plates are told by their warmth: the time that they would take, empty and resting on each other, fans off, until they
are within `COLD` of where they come to rest. Whatever law they cool by, a minute of rest takes a minute off it; where
fans blow on a mould, a minute that it stays takes more than one.
"""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import dataclass, replace

import numpy as np

from flatstock.heat.pile import Until
from flatstock.heat.press import ColdPress, Mould
from flatstock.pressing.cooling import PLATES, Cooling
from flatstock.pressing.rig import cold_press

__all__ = ["WarmPlates", "warm_plates"]

COLD = 1.0  #: K above where they come to rest: a first mould stays less than a hundredth longer for it
LONGEST = 48 * 3600.0  #: s that is looked at
STEP = 600.0  #: s between two looks at resting plates
#: plate temperatures that are tried, shares of the way from rest to where moulds are opened: closer where it bends
SHARES = (0.0, 0.15, 0.3, 0.4, 0.5, 0.55, 0.6, 0.65, 0.7, 0.8, 0.9)
HOTTER = 1.3  #: and of it, how warm plates are at most that are looked at
#: s after it could be opened, between which what a longer stay takes off is read
LATER = (3600.0, 4 * 3600.0)
TOLERANCE = 0.1


@dataclass(frozen=True, slots=True, kw_only=True)
class WarmPlates:
    """One kind of mould in one cooling press; seconds, each at the late end of its band. One entry a warmth, least
    first."""

    warmth: tuple[float, ...]  #: of the plates as it is clamped
    opens: tuple[float, ...]  #: until it may be opened
    ends: tuple[float, ...]  #: until it may be demoulded there; inf: it is never
    leaves: tuple[float, ...]  #: warmth of the plates if it leaves as soon as it may
    fades: float  #: what each second that it stays longer takes off that


def warm_plates(cooling: Cooling, *, late: float, demould_below: float) -> WarmPlates | None:
    """A kind of mould on plates from cold to nearly as warm as it may be opened, fans on where the shop has them so.

    `late`: how much later than the middle the late end of the band lies. `demould_below` [°C]. None: it is never to be
    opened there, or its plates never come to rest.
    """
    resting = _Resting.of(cooling)
    if resting is None:
        return None
    open_until = Until(kind="hottest_below", level=cooling.open_below)
    end_until = Until(kind="hottest_below", level=demould_below)
    rows: list[tuple[float, float, float, float]] = []
    fades = np.inf
    for share in SHARES:
        plates = resting.rest + share * (cooling.open_below - resting.rest)
        press, mould, opened = _at(cooling, plates).hold(
            cooling.arriving, duration=LONGEST, until=open_until, tolerance=TOLERANCE
        )
        if not opened.reached:
            return None
        _, _, ended = press.hold(mould, duration=LONGEST, until=end_until, tolerance=TOLERANCE)
        stay = opened.time * late
        left = _later(press, mould, stay - opened.time)
        rows.append(
            (
                resting.warmth(plates),
                stay,
                (opened.time + ended.time) * late if ended.reached else np.inf,
                resting.warmth(_mean(left)),
            )
        )
        one, other = (resting.warmth(_mean(_later(press, mould, more))) for more in LATER)
        fades = min(fades, max(0.0, (one - other) / (LATER[1] - LATER[0])))
    warmth, opens, ends, leaves = zip(*rows, strict=True)
    return WarmPlates(warmth=warmth, opens=opens, ends=ends, leaves=leaves, fades=fades)


def _at(cooling: Cooling, plates: float) -> ColdPress:
    """The press with its plates at a temperature [°C]."""
    return cold_press(
        cooling.shop_press,
        cooling.mould,
        room=cooling.room,
        fans=cooling.fans,
        plate_cells=PLATES,
        plates=plates,
    )


def _later(press: ColdPress, mould: Mould, seconds: float) -> ColdPress:
    return press if seconds <= 0 else press.hold(mould, duration=seconds, tolerance=TOLERANCE)[0]


def _mean(press: ColdPress) -> float:
    """Of both plates [°C]."""
    cells = (layer.temperature for layer in (press.lower, press.upper))
    return float(np.mean(np.concatenate(list(cells))))


@dataclass(frozen=True, slots=True, eq=False)
class _Resting:
    """Empty plates that cool down, fans off."""

    rest: float  #: where they come to [°C]
    cold: float  #: s after the first look at which they are as good as there
    at: tuple[float, ...]  #: °C every `STEP`, falling

    @classmethod
    def of(cls, cooling: Cooling) -> _Resting | None:
        """From `HOTTER` on; None: they don't come to rest in the time that is looked at."""
        calm = replace(cooling, fans=False)
        rest = _mean(_at(calm, cooling.room).stand_empty(LONGEST, tolerance=TOLERANCE))
        press = _at(calm, rest + HOTTER * max(0.0, cooling.open_below - rest))
        found = [_mean(press)]
        while found[-1] > rest + COLD:
            if len(found) * STEP > LONGEST:
                return None
            press = press.stand_empty(STEP, tolerance=TOLERANCE)
            found.append(_mean(press))
        if len(found) < 2:
            return None
        return cls(rest, _reached(found, rest + COLD), tuple(found))

    def warmth(self, temperature: float) -> float:
        """Of plates at a temperature [s]."""
        return max(0.0, self.cold - _reached(self.at, temperature))


def _reached(at: tuple[float, ...] | list[float], temperature: float) -> float:
    """When falling temperatures come to one, between two looks in a straight line; 0: they begin below it [s]."""
    n = bisect_left(at, -temperature, key=lambda one: -one)
    if n == 0:
        return 0.0
    if n == len(at):
        return (len(at) - 1) * STEP
    return STEP * (n - 1 + (at[n - 1] - temperature) / (at[n - 1] - at[n]))
