"""How few of the things that need not stand must be left out: every smaller choice is refused by a proof, or tried."""

from __future__ import annotations

import time
from dataclasses import dataclass, replace
from itertools import combinations

from flatstock.starting.room.question import Question
from flatstock.starting.room.solve.hopeful import open_spots
from flatstock.starting.room.solve.race import race
from flatstock.starting.room.solve.search import Found
from flatstock.starting.room.variants import without

__all__ = ["Fewest", "fewest_left_out"]

A_CHOICE_S = 2.0  # [s] for one choice, or a third of what is left


@dataclass(frozen=True, slots=True)
class Fewest:
    """How far it is known."""

    best: Found  #: a plan with as few left out as were found
    at_least: int  #: so many must be left out, proven

    @property
    def proven(self) -> bool:
        """True where no plan leaves fewer out."""
        return self.best.left_out <= self.at_least

    def because(self) -> str:
        """What is said of one that is left out."""
        out = self.best.left_out
        if self.proven:
            one = "one thing" if out == 1 else f"{out} things"
            return f"not everything can stand: {one} at least must be left out, proven"
        if self.at_least:
            return f"no place was found for it beside the rest; of {out} left out {self.at_least} must be, proven"
        return "no place was found for it beside the rest"


def fewest_left_out(question: Question, best: Found, *, impossible: bool, until: float) -> Fewest:
    """Try to leave out fewer than a plan does; `impossible`: proven already that not everything can stand."""
    may = [item.id for item in question.items if item.optional and item.placed is None]
    at_least = 1 if impossible else 0
    while at_least < best.left_out and time.monotonic() < until:
        known = True
        for some in combinations(may, at_least):
            fewer = without(question, some)
            left = until - time.monotonic()
            end = time.monotonic() + min(left, max(A_CHOICE_S, left / 3))
            found = race(_all_stand(fewer), open_spots(fewer), until=end, first=True)
            if found.best is not None:
                return Fewest(Found(found.best.where, 0, len(some), found.best.walk), at_least)
            known = known and found.impossible
            if not known:
                return Fewest(best, at_least)
        at_least += 1
    return Fewest(best, at_least)


def _all_stand(question: Question) -> Question:
    """The question in which nothing may be left out any more."""
    return replace(question, items=tuple(replace(item, optional=False) for item in question.items))
