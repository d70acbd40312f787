"""Which plastic a name means: an id, a symbol of ISO 1043-1, a mark of ISO 11469, or a plain name."""

from __future__ import annotations

import re
from collections.abc import Mapping
from difflib import get_close_matches
from functools import cache

from flatstock.errors import Fault, UserError
from flatstock.plastics.datafile import read
from flatstock.plastics.model import Plastic

__all__ = ["SHORT", "find", "meant_by"]

SHORT = 3  #: letters: any two such symbols look alike ("PE" and "PET"), so no guess is made


def find(name: str, known: Mapping[str, Plastic], *, where: str = "") -> Plastic:
    """The plastic called `name` by its id, symbol or another of its names; case, blanks and signs don't count.

    Raises
    ------
    UserError
        No plastic of that name is on file, or it is a word for several; the fault names them.
    """
    word = name.strip().lower()
    if word in known:
        return known[word]
    for plastic in known.values():
        if word in (plastic.symbol.lower(), plastic.name.lower()):
            return plastic
    bare = _bare(name)
    for plastic in known.values():
        if bare and bare in (_bare(plastic.id), _bare(plastic.symbol), _bare(plastic.name)):
            return plastic
    for key in _meant("also", bare):
        if key in known:
            return known[key]
    kinds = [key for key in _meant("several", bare) if key in known]
    if kinds:
        listed = [f"{key} ({known[key].symbol})" for key in kinds]
        raise UserError(
            Fault(
                where=where,
                what=f"{name!r} may be {', '.join(listed[:-1])} or {listed[-1]}, which are pressed differently",
                instead=f"write the one that it was identified as: {' or '.join(kinds)}",
            )
        )
    near = [] if len(bare) <= SHORT else get_close_matches(word, list(known))
    raise UserError(
        Fault(
            where=where,
            what=f"no plastic {name!r} is on file (nearest: {' or '.join(near) or 'none is close'})",
            instead=f"write one of {', '.join(known)}, or add {name!r} to plastics.toml",
        )
    )


def meant_by(name: str, known: Mapping[str, Plastic]) -> list[Plastic]:
    """Every plastic on file that a name may mean: one, several that share a word, or none."""
    try:
        return [find(name, known)]
    except UserError:
        return [known[key] for key in _meant("several", _bare(name)) if key in known]


def _meant(table: str, bare: str) -> tuple[str, ...]:
    """Ids that a name without its signs means."""
    return _table(table).get(bare, ()) if bare else ()


@cache
def _table(table: str) -> Mapping[str, tuple[str, ...]]:
    found: dict[str, tuple[str, ...]] = {}
    for key, names in read("names")[table].items():
        for one in names:
            found[_bare(one)] = (*found.get(_bare(one), ()), key)
    return found


def _bare(name: str) -> str:
    """Letters and digits alone: ">PE-HD<" is "pehd"."""
    return re.sub(r"[^a-z0-9]+", "", name.lower())
