"""Which sheets come out of a frame: the rule by which cards choose one, and orders that no frame of the shop makes."""

from __future__ import annotations

from collections.abc import Iterable

from flatstock.workshop.row import Row
from flatstock.workshop.spots import Notes

__all__ = ["RULE", "THICKER_MOST", "THINNER_MOST", "check_thicknesses", "makes"]

THINNER_MOST = 0.75e-3  #: m: a frame this much under the sheet still holds its melt
#: m: a frame this much over the sheet still counts as of its thickness: 0.4725 in for 12 mm (assumed)
THICKER_MOST = 0.05e-3
RULE = "a frame is 0 to 0.75 mm thinner than its sheet"
_SLACK = 1e-9


def makes(frame: float, sheet: float) -> bool:
    """Whether a sheet of this thickness comes out of a frame of that one, both in m.

    >>> makes(0.0115, 0.012), makes(0.012, 0.010)
    (True, False)
    """
    return -THICKER_MOST - _SLACK <= sheet - frame <= THINNER_MOST + _SLACK


def check_thicknesses(frames: Iterable[Row], orders: Iterable[Row], notes: Notes) -> None:
    """Warn of every order that is thicker or thinner than what the shop's frames make."""
    there = sorted({row.number("thickness") for row in frames if row.has("thickness")})
    if not there:
        return
    for order in orders:
        if order.has("thickness") and not any(makes(frame, order.number("thickness")) for frame in there):
            sheet = order.number("thickness")
            listed = ", ".join(f"{one * 1e3:.4g} mm" for one in there)
            notes.warn(
                *order.at("thickness"),
                f"no frame of shop.toml makes {sheet * 1e3:.4g} mm, it can't be pressed yet: {RULE}, and there are "
                f"frames of {listed}. Add one that does, or ask for another thickness.",
            )
