"""Moulds in a hot press that are not heated as their kind is: loaded before elements of it failed, heat cut on the way,
laid in while it heated up."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from flatstock.planning.problem.clock import Clock
from flatstock.planning.problem.week import Dwell, Sheet
from flatstock.workshop.today import InPress

__all__ = ["as_heated", "as_loaded"]


def as_heated(sheet: Sheet, known: InPress, clock: Clock) -> Sheet:
    """The sheet with the dwell that the heat on record gives it: the same that the run board counts to."""
    inside = sheet.inside
    if inside is None or known.not_before is None:
        return sheet
    laid_in = inside.load.end
    least = clock.minute(known.not_before, up=True) - laid_in
    latest = None if known.latest is None else max(least, clock.minute(known.latest) - laid_in)
    return _with(
        sheet,
        inside.press,
        replace(inside.dwell, least=least, planned=least, latest=latest, of_kind=inside.dwell),
    )


def as_loaded(sheet: Sheet, figures: Mapping[str, Any], failed: Mapping[str, int]) -> Sheet:
    """The sheet with dwells that are safe for both: the longer least, the earlier latest.

    The kind's dwells are those of the press as it heats now. How much of its heat the mould had before is not asked:
    its core may need all that the weaker press takes, its face may have had enough when the whole press would have
    given it that.

    Parameters
    ----------
    figures
        What the plan that it was loaded by says of it.
    failed
        By hot press: the minute from which it heats with fewer elements.
    """
    inside = sheet.inside
    if inside is None or inside.press not in failed or inside.load.start >= failed[inside.press]:
        return sheet
    now = inside.dwell
    bounds = [one for one in (now.latest, figures["dwell_latest_min"]) if one is not None]
    latest = min(bounds) if bounds else None
    least = max(now.least, figures["dwell_min"])
    if latest is not None:  # where both can't be the face goes before
        least = min(least, latest)
    planned = max(least, now.planned if latest is None else min(now.planned, latest))
    return _with(sheet, inside.press, replace(now, least=least, planned=planned, latest=latest))


def _with(sheet: Sheet, press: str, dwell: Dwell) -> Sheet:
    return replace(sheet, kind=replace(sheet.kind, dwell={**sheet.kind.dwell, press: dwell}))
