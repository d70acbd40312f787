"""How long a sheet is pressed hot and cooled under pressure."""

from __future__ import annotations

from collections.abc import Iterator

from flatstock.planning.check.document import Plan, minutes
from flatstock.planning.check.finding import Finding

__all__ = ["dwells", "figures", "press_cools"]

_SAME = 1e-6  # minutes; a hair over the rounding of a float


def figures(plan: Plan) -> Iterator[Finding]:
    """Least, planned and latest dwell in their order."""
    for sheet in plan.sheets.values():
        latest = sheet.dwell_latest
        if sheet.dwell_planned < sheet.dwell - _SAME:
            what = f"dwell_planned_min {sheet.dwell_planned:g} is under dwell_min {sheet.dwell:g}"
            yield Finding(sheet.id, what, "plan at least the least dwell", "dwell_figures")
        if latest is not None and latest < sheet.dwell_planned - _SAME:
            what = f"dwell_latest_min {latest:g} is under dwell_planned_min {sheet.dwell_planned:g}"
            yield Finding(sheet.id, what, "plan at most the latest dwell", "dwell_figures")


def dwells(plan: Plan) -> Iterator[Finding]:
    """From the beginning of dwell to the beginning of transfer."""
    for sheet in plan.sheets.values():
        dwell, transfer = plan.step(sheet.id, "dwell"), plan.step(sheet.id, "transfer")
        if dwell is None or transfer is None:
            continue
        took = minutes(dwell.start, transfer.start)
        said = f"it begins {took:g} min after dwell"
        if took < sheet.dwell - _SAME:
            yield Finding(
                transfer.where, said, f"at least {sheet.dwell:g} min", "dwell_short", transfer.start
            )
        elif took < sheet.dwell_planned - _SAME:
            instead = f"at least the {sheet.dwell_planned:g} min planned"
            yield Finding(transfer.where, said, instead, "dwell_advised", transfer.start)
        if sheet.dwell_latest is not None and took > sheet.dwell_latest + _SAME:
            yield Finding(
                transfer.where, said, f"at most {sheet.dwell_latest:g} min", "dwell_long", transfer.start
            )


def press_cools(plan: Plan) -> Iterator[Finding]:
    """Time under pressure in the cooling press."""
    for sheet in plan.sheets.values():
        task = plan.step(sheet.id, "press_cool")
        if task is not None and task.lasts < sheet.press_cool - _SAME:
            what, instead = f"it lasts {task.lasts:g} min", f"at least {sheet.press_cool:g} min"
            yield Finding(task.where, what, instead, "press_cool_short", task.end)
