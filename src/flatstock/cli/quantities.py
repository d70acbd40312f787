"""Words of a call that stand for a quantity, or for shares of a charge."""

from __future__ import annotations

from collections.abc import Sequence

from flatstock.errors import Fault, WrongWords
from flatstock.units import parse_quantity

__all__ = ["quantity", "shares", "switch"]


def quantity(text: str | None, dimension: str, option: str) -> float | None:
    """SI value of an option (°C for temperatures), None where it was not given.

    >>> quantity("1/2in", "length", "--thickness")
    0.0127
    """
    return None if text is None else parse_quantity(text, dimension, where=option)


def switch(word: str | None) -> bool | None:
    """True for "on", False for "off", None where it was not said."""
    return None if word is None else word == "on"


def shares(words: Sequence[str], option: str = "--lot") -> dict[str, float]:
    """Lots and their shares of the charge; one lot alone may stand without a share.

    Raises
    ------
    WrongWords
        A share is missing or no number, a lot stands twice, or the shares don't sum to 1.

    >>> shares(["L-1=70%", "L-2=0.3"])
    {'L-1': 0.7, 'L-2': 0.3}
    """
    found: dict[str, float] = {}
    for word in words:
        lot, equals, share = (part.strip() for part in word.partition("="))
        if not lot or (not equals and len(words) > 1):
            raise WrongWords(Fault(option, f"{word!r} has no share", f"write {option} {lot or 'L-1'}=0.5"))
        if lot in found:
            raise WrongWords(Fault(option, f"{lot} stands twice", "write each lot once"))
        found[lot] = parse_quantity(share, "share", where=option) if equals else 1.0
    total = sum(found.values())
    if found and abs(total - 1) > 1e-6:
        listed = " + ".join(f"{share:g}" for share in found.values())
        raise WrongWords(
            Fault(option, f"the shares {listed} sum to {total:g}, not to 1", "make them sum to 1")
        )
    return found
