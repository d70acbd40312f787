"""Words of a call that say where something stands: ITEM=X,Y,TURN."""

from __future__ import annotations

from collections.abc import Sequence

from flatstock.errors import Fault, WrongWords
from flatstock.units import parse_number, parse_quantity

__all__ = ["placements"]

Spot = tuple[int, int, int]


def placements(words: Sequence[str], option: str = "--fix") -> dict[str, Spot]:
    """Item to x [mm], y [mm] and turn [°]; a bare number is millimetres, the turn may be left out.

    Raises
    ------
    WrongWords
        It can't be read so, or an item stands twice.

    >>> placements(["SAW=4600,0,90", "HOT=10ft,3.5m"])
    {'SAW': (4600, 0, 90), 'HOT': (3048, 3500, 0)}
    """
    found: dict[str, Spot] = {}
    for word in words:
        item, equals, spot = (part.strip() for part in word.partition("="))
        parts = [part.strip() for part in spot.split(",")]
        if not item or not equals or len(parts) not in (2, 3):
            raise WrongWords(Fault(option, f"{word!r} says no place", f"write {option} SAW=4600,0,90"))
        if item in found:
            raise WrongWords(Fault(option, f"{item} stands twice", "write each item once"))
        x, y = (_millimetres(part, option) for part in parts[:2])
        found[item] = (x, y, _turn(parts[2], option) if len(parts) == 3 else 0)
    return found


def _millimetres(text: str, option: str) -> int:
    if text[-1:].isdigit():
        return round(parse_number(text, where=option))
    minus = text.startswith("-")
    return round(parse_quantity(text.removeprefix("-"), "length", where=option) * 1000) * (-1 if minus else 1)


def _turn(text: str, option: str) -> int:
    if text not in ("0", "90", "180", "270"):
        raise WrongWords(Fault(option, f"{text!r} is no quarter turn", "write 0, 90, 180 or 270"))
    return int(text)
