"""A long list a page at a time, with a search that narrows it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Generic, TypeVar
from urllib.parse import urlencode

__all__ = ["Leaf", "leaf_of"]

One = TypeVar("One")


@dataclass(frozen=True, slots=True, kw_only=True)
class Leaf(Generic[One]):
    """One page of a list."""

    rows: Sequence[One]
    number: int  #: of this page, from 1
    pages: int  #: at least 1
    found: int  #: how many there are on all of them
    first: int  #: number of the first row here, from 1
    word: str  #: what was looked for; empty: nothing

    @property
    def last(self) -> int:
        """Number of the last row here."""
        return self.first + len(self.rows) - 1

    def at(self, number: int) -> str:
        """The part of the address that asks for another page of the same list."""
        return "?" + urlencode({"q": self.word, "page": number} if self.word else {"page": number})


def leaf_of(
    rows: Sequence[One], *, word: str, number: int, most: int, words: Callable[[One], str]
) -> Leaf[One]:
    """Page `number` of the rows whose `words` hold every word of `word`, in small or large letters; the last page
    where there is no such one.

    >>> leaf_of(["HD red", "PP red", "HD blue"], word="hd", number=2, most=1, words=str).rows
    ['HD blue']
    """
    wanted = word.casefold().split()
    found = [one for one in rows if all(part in words(one).casefold() for part in wanted)] if wanted else rows
    pages = max(1, -(-len(found) // most))
    number = min(max(number, 1), pages)
    begin = (number - 1) * most
    shown = found[begin : begin + most]
    return Leaf(rows=shown, number=number, pages=pages, found=len(found), first=begin + 1, word=word.strip())
