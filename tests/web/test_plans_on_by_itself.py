"""The rest of a week is planned on by itself where the day has left the plan, whether somebody tapped it or nobody did."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import httpx
import pytest

from flatstock.actions.going_on import behind, counted
from flatstock.actions.lot_book import give_status
from flatstock.running.event import Event
from flatstock.web.planner import Planner
from tests.web.conftest import TUESDAY, Served, demo_kept_to

WEDNESDAY = TUESDAY + timedelta(days=1)


class Begun(Planner):
    """Notes when it was begun, and plans nothing."""

    def go_on(self, shop: Any, events: Any, now: datetime) -> bool:
        began.append(now)
        return True


began: list[datetime] = []


@pytest.fixture
def at(tmp_path: Path, serve: Callable[..., Served]) -> Callable[[datetime], Served]:
    """The demo's board at a moment; nothing was tapped since Monday evening."""
    began.clear()
    folder = demo_kept_to(tmp_path / "shop", TUESDAY, before=TUESDAY.date())

    def served(moment: datetime) -> Served:
        one = serve(folder, moment, replans=True)
        one.app.state.planner = Begun()
        return one

    return served


def look(served: Served) -> str:
    return httpx.get(f"{served.address}/floor", timeout=60).text


def tap(served: Served, **said: Any) -> str:
    at = served.app.state.place.instant().isoformat()
    told = {"id": "t", "at": at, "noted_at": at, "who": [], "facts": {}} | said
    (answer,) = httpx.post(f"{served.address}/floor/taps", json=[told], timeout=60).json()
    return str(answer["outcome"])


def test_a_day_on_which_nobody_tapped_anything_is_planned_on_from_at_the_first_look_and_not_at_every_look(at):
    served = at(WEDNESDAY)
    said = look(served)
    assert len(began) == 1
    assert "23 h 50 min late" in said
    look(served)
    assert len(began) == 1


def test_a_day_that_keeps_to_its_plan_is_left_alone(at):
    look(at(TUESDAY))
    assert began == []


def test_nothing_is_planned_while_a_danger_is_on(at):
    served = at(WEDNESDAY)
    assert tap(served, kind="smoke") == "accepted"
    look(served)
    assert began == []


def test_a_lot_that_is_held_by_whatever_door_is_planned_on_without(at):
    served = at(TUESDAY)
    give_status(
        served.app.state.place.folder, "L-2303", "quarantine", at=TUESDAY, who=["OP4"], why="strangers"
    )
    look(served)
    assert len(began) == 1


def test_a_tap_that_is_undone_is_planned_on_from_where_a_plan_was_made_of_it():
    event = Event(id="t", at=TUESDAY, noted_at=TUESDAY, kind="loaded", sheet="A")
    since = {"since": {"now": (TUESDAY + timedelta(seconds=1)).isoformat()}}
    assert counted(since, event, going=False)
    assert counted({}, event, going=True)
    assert not counted({}, event, going=False)
    assert not counted(since, Event(id="n", at=TUESDAY, noted_at=TUESDAY, kind="note"), going=True)


@pytest.mark.parametrize(
    ("minutes", "awaited", "plans_on"), [(28, False, True), (4, False, False), (28, True, False)]
)
def test_a_mould_that_needs_longer_than_the_plan_leaves_it_is_planned_on_from(minutes, awaited, plans_on):
    plan = {"sheets": [], "tasks": [{"sheet": "S-1", "step": "transfer", "start": TUESDAY.isoformat()}]}
    mould = SimpleNamespace(
        sheet="S-1",
        next=SimpleNamespace(kind="transferred"),
        counts_to=TUESDAY + timedelta(minutes=minutes),
        awaited=awaited,
    )
    found = SimpleNamespace(
        danger=None, measure=(), silences=(), now=TUESDAY, to_do=(), places=[SimpleNamespace(moulds=(mould,))]
    )
    assert behind(plan, found, SimpleNamespace(lots={}), ()) is plans_on
