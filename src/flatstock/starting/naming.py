"""A thing of a file by the name that somebody has typed: ids are matched whatever their case, as everywhere."""

from __future__ import annotations

from collections.abc import Sequence
from difflib import get_close_matches

from flatstock.errors import Fault, Refused

__all__ = ["known_as"]


def known_as(names: Sequence[str], known: Sequence[str], *, where: str, none: str) -> list[str]:
    """The ids that `names` stand for, each as the file has it.

    Raises
    ------
    Refused
        One fault for each name that is nobody's, with the nearest; `none` says of it that there is no such thing.

    >>> known_as(["saw", "HOT"], ["HOT", "SAW"], where="--without", none="no item {} here")
    ['SAW', 'HOT']
    """
    alike = {one.lower(): one for one in reversed(known)}
    found, faults = [], []
    for name in names:
        if name in known or name.lower() in alike:
            found.append(name if name in known else alike[name.lower()])
            continue
        near = get_close_matches(name.lower(), alike, n=1, cutoff=0.5)
        instead = f"the nearest is {alike[near[0]]}" if near else f"one of {', '.join(known)}"
        faults.append(Fault(where, none.format(repr(name)), instead))
    if faults:
        raise Refused(faults)
    return found
