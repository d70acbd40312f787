"""The week by the clock: shelves, a day's places and people, how good the plan is, and planning it again."""

from __future__ import annotations

from datetime import MAXYEAR, MINYEAR, UTC, date, datetime, time, timedelta
from typing import Annotated, Any, NamedTuple

from fastapi import APIRouter, Form, Query, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from markupsafe import Markup

from flatstock.actions.kept import kept_plan
from flatstock.actions.moved import AS_DONE, elsewhere_in, moved_in
from flatstock.actions.plan_held import held_in
from flatstock.actions.plan_lacks import plan_lacks
from flatstock.actions.plan_reasons import plan_reasons
from flatstock.actions.weeks_ahead import MOST, ready_until, weeks_to
from flatstock.prints.clock_face import worded
from flatstock.prints.drawing.plan import day_svg, week_svg
from flatstock.prints.given_up_words import given_up
from flatstock.prints.pdf.plan import paper_names
from flatstock.prints.plan_view import View
from flatstock.prints.plan_words import GOAL_WORDS, SETTING_WORDS, STEP_WORDS, failing, proof_words, to_do
from flatstock.prints.text.closing import belonging
from flatstock.prints.words import day as day_words
from flatstock.times import lasting
from flatstock.web.floorwork import Floorwork
from flatstock.web.instants import instants_said
from flatstock.web.page import in_units, place_of, show
from flatstock.web.planner import Planner
from flatstock.web.reasons import reasons_of

__all__ = ["router"]

router = APIRouter()
CAUTIONS = ("hot", "unattended", "saw", "lifting")


@router.get("/week", response_class=HTMLResponse)
def week(request: Request, day: Annotated[str, Query(max_length=10)] = "") -> Response:
    """The week; one day of it in full."""
    place = place_of(request)
    plan = kept_plan(place.folder)
    planner: Planner = request.app.state.planner
    shop = place.shop()
    given: dict[str, Any] = {
        "plan": plan,
        "work": planner.state(),
        "orders": len(shop.orders),
        "lacks": plan_lacks(shop),
        "say": in_units(place),
        "lasting": lasting,
        "picture": lambda drawing: Markup(worded(drawing, in_units(place))),
    }
    if plan is not None:
        view = View(plan, shop.units_shown)
        chosen = _day(day, view, view.day_of(place.now()))
        given |= {
            "view": view,
            "chosen": chosen,
            "dates": view.dates,
            "noon": lambda one: datetime.combine(one, time(12)),
            "drawing": week_svg(plan),
            "day_drawing": day_svg(plan, chosen) if chosen else "",
            "works": [one for one in view.works_on(chosen) if one.people] if chosen else [],
            "settings": view.settings_on(chosen) if chosen else [],
            "step_words": STEP_WORDS,
            "setting_words": SETTING_WORDS,
            "to_do": lambda work: to_do(view, work),
            "proof": proof_words(view),
            "failing": failing(plan),
            "goals": GOAL_WORDS,
            "moved": moved_in(plan),
            "elsewhere": elsewhere_in(plan),
            "since": plan.get("since"),
            "given_up": list(given_up(plan)),
            "held": held_in(plan, shop, _board(request).begun()),
            "further": _further(plan, place.now()),
            "notes": [one for one in plan["warnings"] if not one.startswith(AS_DONE)],
            "as_done": _as_done(plan["warnings"], place.now()),
            "cautions": belonging(plan["cautions"], CAUTIONS),
            "papers": _papers(plan, shop.paper),
            "offcuts": plan.get("offcuts", ()),
            "reasons": reasons_of(_with_reasons(plan), place.shown()),
        }
    return show(request, "week.html", **given)


def _papers(plan: Any, paper: str) -> list[tuple[str, str]]:
    """Name and words of each paper but the days', which stand with their day."""
    words = {"week-board": "Week board", "time-chart": "Time chart, a page a day"}
    found = [(name, *name.rsplit("-", 1)) for name in paper_names(plan, paper)]
    return [(name, f"{words[what]}, {size.capitalize()}") for name, what, size in found if what in words]


def _board(request: Request) -> Floorwork:
    work: Floorwork = request.app.state.floor
    return work


def _with_reasons(plan: Any) -> dict[str, Any]:
    """The goals' numbers and a `why` of each."""
    goals = {
        one["name"]: None if one["value"] is None else f"{one['value']:,.0f}".replace(",", " ")
        for one in plan["proof"]["objective"]
    }
    return goals | {"why": plan_reasons(plan)}


@router.post("/week/plan")
def plan_again(request: Request, until: Annotated[str, Form(max_length=40)] = "") -> Response:
    """Plan the week afresh, or go on from what has happened of it; `until`: and the weeks after it as well."""
    place = place_of(request)
    planner: Planner = request.app.state.planner
    work: Floorwork = request.app.state.floor
    now = place.now()
    events = work.board().events(place.instant())
    plan = work.plan()
    sheets = {one["id"] for one in plan["sheets"]} if plan else set()
    reach = _moment(until)
    if reach is not None and weeks_to(reach, now) > MOST:
        reach = None  # no button asks for it
    if any(one.sheet in sheets for one in events):
        planner.go_on(place.shop(), events, now, until=reach)
    else:
        planner.begin(place.shop(), now, until=_reach(plan, reach, now))
    return RedirectResponse("/week", 303)


@router.get("/week/progress", response_class=HTMLResponse)
def progress(request: Request) -> Response:
    """How far the planning is; asked for every other second while it goes on."""
    planner: Planner = request.app.state.planner
    work = planner.state()
    heads = {} if work.going else {"HX-Refresh": "true"}
    return show(request, "week_progress.html", headers=heads, work=work, goals=GOAL_WORDS)


def _as_done(warnings: list[str], now: datetime) -> list[str]:
    found = (one.removeprefix(AS_DONE) for one in warnings if one.startswith(AS_DONE))
    return [instants_said(one, now) for one in found]


class Further(NamedTuple):
    """How a plan that leaves something out for want of time can be planned on."""

    until: str  #: the moment to reach to, as a form sends it
    words: str  #: on the button


def _further(plan: Any, now: datetime) -> Further | None:
    until = ready_until(plan, now)
    if until is None:
        return None
    ahead = weeks_to(until, now) - 1
    monday = until.astimezone(now.tzinfo).date() - timedelta(days=until.astimezone(now.tzinfo).weekday())
    week = "next week" if ahead == 1 else f"the week of {day_words(datetime.combine(monday, time(0)))}"
    return Further(until.isoformat(), f"Plan on into {week}")


def _moment(said: str) -> datetime | None:
    """The moment that a form sends; None where it sends none, or what is none in any zone."""
    try:
        found = datetime.fromisoformat(said)
        at = found.astimezone(UTC) if found.tzinfo is not None else None
    except (ValueError, OverflowError):
        return None
    # the first and the last years have no moment in some zone
    return at if at is not None and MINYEAR < at.year < MAXYEAR else None


def _reach(plan: Any, until: datetime | None, now: datetime) -> datetime | None:
    """A plan of more weeks than this one stays one of them; None: nothing asks for more than this week."""
    ends = [until] if until is not None else []
    if plan is not None:
        ends.append(datetime.fromisoformat(plan["end"]))
    reach = max(ends, default=None)
    return reach if reach is not None and weeks_to(reach, now) > 1 else None


def _day(asked: str, view: View, today: date) -> date | None:
    """The day asked for, else today, else the first with work."""
    try:
        wanted = date.fromisoformat(asked)
    except ValueError:
        wanted = today
    if wanted in view.dates:
        return wanted
    return view.dates[0] if view.dates else None
