"""Sheets a week as whole planned weeks have them, with and without purchases; they go before what is typed."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property

__all__ = ["Measured", "MeasuredWeek"]


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
