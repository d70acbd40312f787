"""Plan the rest of the week from what the floor noted, and tell whether the day has left the plan."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Collection, Iterable, Mapping
from datetime import datetime, timedelta
from typing import Any

from flatstock.actions.kept import kept_plan
from flatstock.actions.plan_held import held_in
from flatstock.actions.replans import plan_from_now
from flatstock.planning.problem.begun import figures_of
from flatstock.running.done import done_rows
from flatstock.running.event import Event
from flatstock.running.view import Floor
from flatstock.workshop.folder import write_file
from flatstock.workshop.shop import Workshop

__all__ = ["behind", "counted", "off_plan", "plan_on"]

FILE = "done.csv"
COLUMNS = ("sheet", "step", "start", "end", "place", "people")
#: step of a plan by kind of event, and the end of the step at which its tap stands
STEPS = {"loaded": ("load", "end"), "transferred": ("transfer", "start"), "demoulded": ("demould", "start")}
OFF = timedelta(minutes=5)  #: from the plan: within it nothing else has to move; our own figure
#: nobody has tapped a mould that was to be loaded so long ago: it was not loaded; our own figure
BEHIND = timedelta(minutes=30)


def plan_on(
    shop: Workshop,
    events: Iterable[Event],
    *,
    now: datetime,
    seconds: float,
    tell: Callable[[str, float, float], bool] = lambda *_: False,
    first: Callable[[dict[str, Any]], None] = lambda _: None,
    until: datetime | None = None,
) -> dict[str, Any]:
    """The kept plan, from `now` on, with what the floor noted; `first` hears of an answer found at once.

    What has begun is written to done.csv, from which the command line plans on in the same way. A sheet that no
    plan knows is left out of it. `until`, and what is raised: see `plan_from_now`.
    """
    plan_ids = _sheets(shop)
    rows = [row for row in done_rows(events, shop.practice, now=now) if row.sheet in plan_ids]
    out = io.StringIO()
    table = csv.DictWriter(out, COLUMNS, lineterminator="\n")
    table.writeheader()
    table.writerows(row.cells() for row in rows)
    write_file(shop.folder / FILE, out.getvalue())
    return plan_from_now(shop, now=now, seconds=seconds, tell=tell, first=first, until=until)


def off_plan(plan: Mapping[str, Any], event: Event) -> bool:
    """Whether a step happened more than five minutes beside its time in the plan, or will not happen at all."""
    if event.kind in ("scrapped", "set_aside"):
        return True
    if event.kind == "released":  # what waits for a lot may wait for this one
        return bool(plan.get("left_out") or plan.get("set_aside"))
    step = STEPS.get(event.kind)
    if step is None:
        return False
    task = next(
        (one for one in plan["tasks"] if one["sheet"] == event.sheet and one["step"] == step[0]), None
    )
    return task is not None and abs(event.at - datetime.fromisoformat(task[step[1]])) > OFF


def counted(plan: Mapping[str, Any], event: Event, *, going: bool) -> bool:
    """Whether a plan was made from an event that has been taken back since, or is being made from it (`going`)."""
    if event.kind not in (*STEPS, "scrapped", "set_aside", "released"):
        return False
    since = plan.get("since")
    return going or (since is not None and datetime.fromisoformat(since["now"]) >= event.noted_at)


def behind(plan: Mapping[str, Any], found: Floor, shop: Workshop, begun: Collection[str]) -> bool:
    """Whether the day has left the plan though nobody tapped anything: steps that were not done, lots held since.

    `begun`: sheets that have been laid into a press or given up.
    Not while the heat of a press is asked about: what becomes of the mould in it follows from the answer.
    """
    if found.danger is not None or found.measure or found.silences:
        return False
    if any(one.loads is not None and found.now - one.loads > BEHIND for one in found.to_do):
        return True
    if _longer(plan, found):
        return True
    # what was weighed of a lot before it was used up is pressed all the same
    return any(shop.lots[one.lot].status != "empty" for one in held_in(plan, shop, begun))


def _longer(plan: Mapping[str, Any], found: Floor) -> bool:
    """Whether a mould in a hot press needs longer than the plan leaves it, by the heat that it has had."""
    leaves = {one["sheet"]: one["start"] for one in plan["tasks"] if one["step"] == "transfer"}
    return any(
        mould.next.kind == "transferred"
        and mould.counts_to is not None
        and not mould.awaited
        and mould.sheet in leaves
        and mould.counts_to - datetime.fromisoformat(leaves[mould.sheet]) > OFF
        for place in found.places
        for mould in place.moulds
    )


def _sheets(shop: Workshop) -> set[str]:
    plan = kept_plan(shop.folder)
    return set() if plan is None else set(figures_of(plan))
