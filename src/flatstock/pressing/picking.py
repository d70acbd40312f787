"""Things of a workshop by their ids."""

from __future__ import annotations

from collections.abc import Mapping
from difflib import get_close_matches
from typing import TypeVar

from flatstock.errors import Fault, Refused

__all__ = ["pick"]

Thing = TypeVar("Thing")


def pick(
    named: str | None, known: Mapping[str, Thing], *, what: str, where: str, default: str | None = None
) -> Thing:
    """The thing called `named`, or the default, or the only one. Ids are matched whatever their case."""
    if not known:
        raise Refused(
            Fault(
                where=where,
                what=f"the workshop has no {what}",
                instead=f"add a {what} to {'lots.csv' if what == 'lot' else 'shop.toml'}",
            )
        )
    name = named or default or next(iter(known))
    for key, thing in known.items():
        if key.lower() == name.lower():
            return thing
    near = " or ".join(get_close_matches(name, list(known))) or ", ".join(known)
    raise Refused(
        Fault(where=where, what=f"there is no {what} {name!r} in this workshop", instead=f"write {near}")
    )
