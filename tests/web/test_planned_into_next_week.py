"""What finds no time this week is planned on into the next from the week's page, and so is a first sheet by itself."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import httpx
import pytest

from flatstock.actions import weeks_ahead
from flatstock.actions.weeks_ahead import ready_until, with_room
from flatstock.web import planner
from flatstock.web.pages.week import _moment
from flatstock.web.planner import PlanWork
from tests.web.conftest import Served, demo_on_record

FRIDAY = datetime(2026, 3, 6, 15, 0, tzinfo=UTC)


class Asked:
    """In the place of a planner: keeps what it is asked for."""

    def __init__(self) -> None:
        self.until: list[datetime | None] = []

    def state(self) -> PlanWork:
        return PlanWork()

    def begin(self, _shop: object, _now: datetime, *, until: datetime | None = None) -> bool:
        self.until.append(until)
        return True


def left_out(folder: Path, **said: Any) -> Path:
    plan = json.loads((folder / "plan.json").read_text())
    plan["left_out"] = [{"order": "O-103", "because": "2 sheets find no time", "would_help": [], **said}]
    (folder / "plan.json").write_text(json.dumps(plan))
    return folder


@contextmanager
def asking(served: Served) -> Iterator[tuple[httpx.Client, str]]:
    with httpx.Client(base_url=served.address, timeout=60) as client:
        yield client, client.get("/week").text


def test_what_would_be_ready_next_week_is_planned_into_it_by_a_button(
    tmp_path: Path, serve: Callable[..., Served]
) -> None:
    served = serve(left_out(demo_on_record(tmp_path / "shop"), ready="2026-03-10T10:00:00+00:00"), FRIDAY)
    served.app.state.planner = asked = Asked()
    with asking(served) as (client, html):
        form = next(
            one for one in re.findall("<form.*?</form>", html, re.S) if "Plan on into next week" in one
        )
        fields = dict(re.findall('name="([^"]+)" value="([^"]*)"', form))
        assert client.post("/week/plan", data=fields).status_code == 303
    assert asked.until == [datetime(2026, 3, 10, 10, 0, tzinfo=UTC)]


def test_what_no_later_week_helps_has_no_such_button(tmp_path: Path, serve: Callable[..., Served]) -> None:
    served = serve(left_out(demo_on_record(tmp_path / "shop"), ready=None), FRIDAY)
    with asking(served) as (_, html):
        assert "is left out" in html
        assert "Plan on into" not in html


def test_a_plan_that_reaches_into_next_week_does_so_when_it_is_made_again(
    tmp_path: Path, serve: Callable[..., Served]
) -> None:
    folder = demo_on_record(tmp_path / "shop")
    plan = json.loads((folder / "plan.json").read_text())
    plan["end"] = "2026-03-13T15:45:00+00:00"
    (folder / "plan.json").write_text(json.dumps(plan))
    served = serve(folder, FRIDAY)
    served.app.state.planner = asked = Asked()
    with asking(served) as (client, html):
        token = re.findall('name="token" value="([^"]*)"', html)[0]
        client.post("/week/plan", data={"token": token})
    assert asked.until == [datetime(2026, 3, 13, 15, 45, tzinfo=UTC)]


def test_where_no_sheet_finds_time_this_week_the_plan_goes_on_into_the_first_that_has_some(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(
        weeks_ahead,
        "dispatches",
        lambda week, **_: [SimpleNamespace(schedule=SimpleNamespace(runs=week.runs))],
    )
    weeks: Any = [SimpleNamespace(sheets=("a",), runs=runs) for runs in ({}, {}, {"a": 1}, {"a": 1})]
    assert with_room(weeks[0], lambda further: weeks[further]) == (weeks[2], 2)
    assert with_room(weeks[2], lambda further: weeks[further]) == (weeks[2], 0)


def test_an_order_that_no_heat_can_press_asks_for_no_further_week() -> None:
    plan = {"end": "2026-03-06T15:45:00+00:00", "left_out": [{"order": "O-1", "because": "it never melts"}]}
    assert ready_until(plan, FRIDAY) is None
    unknown = {**plan, "left_out": [{"order": "O-1", "because": "no time", "would_help": []}]}
    assert ready_until(unknown, FRIDAY) == datetime(2026, 3, 13, 15, 45, tzinfo=UTC)


def test_a_plan_is_asked_for_as_many_weeks_as_it_is_to_reach_into(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[Any] = []
    monkeypatch.setattr(planner, "plan_week", lambda _shop, **how: asked.append(how["weeks"]) or {})
    monkeypatch.setattr(planner, "keep_plan", lambda *_: None)
    for until in (None, FRIDAY + timedelta(days=7), FRIDAY + timedelta(days=70)):
        one = planner.Planner()
        one.begin(SimpleNamespace(), FRIDAY, until=until)  # type: ignore[arg-type]
        while one.state().going:
            pass
    assert asked == [None, 2, 4]


@pytest.mark.parametrize(
    "said", ["9999-12-31T23:59:59-12:00", "0001-01-01T00:00:00+14:00", "2026-03-09", "next week", ""]
)
def test_what_is_no_moment_everywhere_is_no_moment_to_reach_to(said: str) -> None:
    assert _moment(said) is None


def test_a_reach_of_years_is_not_planned_by_the_minute(tmp_path: Path, serve: Callable[..., Served]) -> None:
    served = serve(demo_on_record(tmp_path / "shop"), FRIDAY)
    served.app.state.planner = asked = Asked()
    with asking(served) as (client, html):
        token = re.search('name="token" value="([^"]+)"', html)
        assert token is not None
        client.post("/week/plan", data={"token": token[1], "until": "4026-03-09T10:00:00+00:00"})
    assert asked.until == [None]
