"""What stands behind a source id: its kind and the words shown for it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from flatstock.evidence import Kind
from flatstock.plastics.datafile import read

__all__ = ["Source", "label", "sources"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """One source of the data files; its full citation stands in docs/sources.md."""

    id: str
    kind: Kind  #: the evidence that a value gets from it
    label: str


@cache
def sources() -> Mapping[str, Source]:
    """Every source of the data files, by id."""
    return {name: Source(id=name, **entry) for name, entry in read("sources").items()}


def label(source: str) -> str:
    """The words shown for the `source` of a `Value`; what is no list of ids is shown as it is.

    >>> label("maker_dsc_pe, memory_dsc")
    "maker's data page, read; textbook and everyday practice of thermal analysis, from memory"
    """
    known = sources()
    ids = source.split(", ")
    if not all(name in known for name in ids):
        return source
    return "; ".join(dict.fromkeys(known[name].label for name in ids))
