"""Plan the rest of the week from what the floor noted, and tell whether what was noted is off the plan."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Iterable, Mapping
from datetime import datetime, timedelta
from typing import Any

from flatstock.actions.kept import kept_plan
from flatstock.actions.replans import plan_from_now
from flatstock.planning.problem.begun import figures_of
from flatstock.running.done import done_rows
from flatstock.running.event import Event
from flatstock.workshop.folder import write_file
from flatstock.workshop.shop import Workshop

__all__ = ["off_plan", "plan_on"]

FILE = "done.csv"
COLUMNS = ("sheet", "step", "start", "end", "place", "people")
#: step of a plan by kind of event, and the end of the step at which its tap stands
STEPS = {"loaded": ("load", "end"), "transferred": ("transfer", "start"), "demoulded": ("demould", "start")}
OFF = timedelta(minutes=5)  #: from the plan: within it nothing else has to move; our own figure


def plan_on(
    shop: Workshop,
    events: Iterable[Event],
    *,
    now: datetime,
    seconds: float,
    tell: Callable[[str, float, float], bool] = lambda *_: False,
    first: Callable[[dict[str, Any]], None] = lambda _: None,
) -> dict[str, Any]:
    """The kept plan, from `now` on, with what the floor noted; `first` hears of an answer found at once.

    What has begun is written to done.csv, from which the command line plans on in the same way. A sheet that no
    plan knows is left out of it. Raises `Refused` as `plan_from_now` does.
    """
    plan_ids = _sheets(shop)
    rows = [row for row in done_rows(events, shop.practice, now=now) if row.sheet in plan_ids]
    out = io.StringIO()
    table = csv.DictWriter(out, COLUMNS, lineterminator="\n")
    table.writeheader()
    table.writerows(row.cells() for row in rows)
    write_file(shop.folder / FILE, out.getvalue())
    return plan_from_now(shop, now=now, seconds=seconds, tell=tell, first=first)


def off_plan(plan: Mapping[str, Any], event: Event) -> bool:
    """Whether a step happened more than five minutes beside its time in the plan, or will not happen at all."""
    if event.kind == "scrapped":
        return True
    step = STEPS.get(event.kind)
    if step is None:
        return False
    task = next(
        (one for one in plan["tasks"] if one["sheet"] == event.sheet and one["step"] == step[0]), None
    )
    return task is not None and abs(event.at - datetime.fromisoformat(task[step[1]])) > OFF


def _sheets(shop: Workshop) -> set[str]:
    plan = kept_plan(shop.folder)
    return set() if plan is None else set(figures_of(plan))
