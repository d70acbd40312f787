"""When the rest of a week is planned on by itself: after what happened beside its time, and where nothing happened."""

from __future__ import annotations

from collections.abc import Iterable

from fastapi import Request

from flatstock.actions.board import Event, Floor
from flatstock.actions.going_on import behind, counted, off_plan
from flatstock.web.floorwork import Floorwork
from flatstock.web.page import place_of
from flatstock.web.planner import Planner

__all__ = ["plan_on", "plan_on_after", "plan_on_behind"]


def plan_on(request: Request) -> None:
    """Plan the rest of the week on from what is on record now, where there is a plan to go on from."""
    work: Floorwork = request.app.state.floor
    if request.app.state.replans and work.plan() is not None:
        place = place_of(request)
        now = place.now()
        request.app.state.planner.go_on(place.shop(), work.board().events(place.instant()), now)


def plan_on_after(request: Request, noted: Iterable[Event]) -> None:
    """The same, where one of these happened well beside its time, or changes what can be pressed."""
    work: Floorwork = request.app.state.floor
    plan, told = work.plan(), list(noted)
    if plan is None:
        return
    back = {one.corrects for one in told if one.kind == "undone"}
    known = (
        [one for one in work.board().events(place_of(request).instant()) if one.id in back] if back else ()
    )
    going = request.app.state.planner.state().going
    if any(off_plan(plan, one) for one in told) or any(counted(plan, one, going=going) for one in known):
        plan_on(request)


def plan_on_behind(request: Request, found: Floor) -> None:
    """The same, where the board shows that the day has left the plan and nobody's tap said so.

    A plan that could not be made is tried again after a while, not at every look at the board.
    """
    work: Floorwork = request.app.state.floor
    planner: Planner = request.app.state.planner
    plan, place = work.plan(), place_of(request)
    if plan is None or not request.app.state.replans or not planner.may_catch_up(found.now):
        return
    if behind(plan, found, place.shop(), work.begun()):
        planner.caught_up(found.now)
        plan_on(request)
