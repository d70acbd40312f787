"""Sheets a week as whole planned weeks have them, with and without purchases; they go before what is typed."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations

from flatstock.starting.outlay.question import Question

__all__ = ["Measured", "MeasuredWeek", "measurable", "sets_to_measure"]


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasuredWeek:
    """One week planned with everything required and some of the other purchases."""

    sheets: float  #: pressed and out of their moulds by closing
    most: float  #: no plan of that week makes more
    asked: float  #: sheets that were to be planned: where all are made, more may be possible
    tightest: tuple[str, ...]  #: what is busiest, as `gives` names it where it does
    from_less: bool = False  #: fewer things were planned to make more: the rest is left unused


@dataclass(frozen=True)
class Measured:
    """Measured weeks by which of the measurable purchases are there."""

    over: frozenset[str]  #: purchases that say what they add to the shop
    unsaid: frozenset[str]  #: not required, give something, and don't say what they add
    weeks: Mapping[frozenset[str], MeasuredWeek]

    def at(self, names: Iterable[str]) -> MeasuredWeek | None:
        """The week with these purchases there; None where none was measured.

        Things more never make fewer sheets, since they can be left unused: a week counts for at least as many
        as any that was measured with part of its purchases.
        """
        there = frozenset(names)
        if there & self.unsaid:
            return None
        return self._closed.get(there & self.over)

    @cached_property
    def _closed(self) -> dict[frozenset[str], MeasuredWeek]:
        found = {}
        for there, week in self.weeks.items():
            part, best = max(
                ((part, one) for part, one in self.weeks.items() if part <= there),
                key=lambda entry: (entry[1].sheets, entry[0] == there),
            )
            found[there] = week if part == there else MeasuredWeek(
                sheets=best.sheets, most=max(week.most, best.sheets), asked=week.asked, tightest=best.tightest,
                from_less=True,
            )  # fmt: skip
        return found


def measurable(question: Question) -> tuple[frozenset[str], frozenset[str]]:
    """Purchases that are not required and say what they add; those that give something and don't say."""
    rest = [one for one in question.purchases if not one.required]
    over = frozenset(one.id for one in rest if one.adds or one.adds_like)
    return over, frozenset(one.id for one in rest if one.gives and one.id not in over)


def sets_to_measure(question: Question) -> list[frozenset[str]]:
    """Nothing, each purchase alone, each pair: what the table of next purchases shows."""
    over, _ = measurable(question)
    by_id = question.by_id
    chosen = [frozenset(some) for size in (0, 1, 2) for some in combinations(sorted(over), size)]

    def can_be(some: frozenset[str]) -> bool:
        return all(need in some or need not in over for name in some for need in by_id[name].needs)

    return [some for some in chosen if can_be(some)]
