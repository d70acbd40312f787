"""A mould that stays in a hot press whose heaters are off: when its charge is cold enough to be taken out."""

from __future__ import annotations

from dataclasses import replace

from flatstock.heat.pile import Until
from flatstock.pressing.card_numbers import Card

__all__ = ["LONGEST", "cold_after"]

CELLS, PLATEN_CELLS, TOLERANCE = 20, 6, 0.2
LONGEST = 7 * 86400.0  #: s that it is looked at
COLD = 60.0  #: °C where a plastic has no release limit on file: warm to the hand, our own figure


def cold_after(card: Card, heated: float) -> float | None:
    """Seconds without heat, after `heated` seconds with it, until the hottest point is below the release limit.

    The whole column with its platens is marched (`heat.press`), so that what the platens keep counts. None: not within
    a week.
    """
    heating, limit = card.heating, card.setting.process.demould_below
    press, mould = heating.loaded(CELLS, PLATEN_CELLS)
    if heated > 0:
        press, mould, _ = press.hold(mould, duration=heated, tolerance=TOLERANCE)
    off = replace(press, heaters=(None, None))
    until = Until(kind="hottest_below", level=COLD if limit is None else limit.value)
    _, _, outcome = off.hold(mould, duration=LONGEST, until=until, loaded=heated <= 0, tolerance=TOLERANCE)
    return outcome.time if outcome.reached else None
