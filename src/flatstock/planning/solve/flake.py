"""Sheets that no plan has, as there is not flake enough for all of them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from itertools import accumulate

from flatstock.planning.problem.week import Sheet, Week

__all__ = ["DAY", "sheets_without", "short_of_flake", "unpressed_late"]

DAY = 24 * 60
SLACK = 1e-6  #: kg that rounding may take


def short_of_flake(week: Week, sheets: Sequence[Sheet]) -> Iterator[tuple[list[Sheet], int]]:
    """Of some sheets those that draw from one lot, and how many of them at least it has no charge for.

    If all it holds went to those that take least, the others would go without. No sheet is in two of these groups.
    """
    drawing: dict[str, list[Sheet]] = defaultdict(list)
    for sheet in sheets:
        if sheet.work("weigh") is None:  # else it has been drawn, and `week.lots` is what is left
            for lot in sheet.kind.lots:
                drawing[lot].append(sheet)
    found: list[tuple[list[Sheet], int]] = []
    for lot, many in drawing.items():
        masses = accumulate(sorted(sheet.kind.lots[lot] for sheet in many))
        without = sum(mass > week.lots.get(lot, 0.0) + SLACK for mass in masses)
        if without:
            found.append((many, without))
    counted: set[str] = set()
    for many, without in sorted(found, key=lambda one: -one[1]):
        names = {sheet.id for sheet in many}
        if not names & counted:
            counted |= names
            yield many, without


def sheets_without(week: Week, sheets: Sequence[Sheet]) -> int:
    """At least so many of these are in no plan."""
    return sum(without for _, without in short_of_flake(week, sheets))


def unpressed_late(week: Week, sheet: Sheet) -> int:
    """Minutes for which a sheet with a due time counts as late where it is left out: as done a day after the week."""
    assert sheet.due is not None
    return week.end + sheet.condition - sheet.due + DAY
