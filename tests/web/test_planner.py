"""The planner beside the pages: on a machine that is too busy for a first answer it takes more time by itself."""

from __future__ import annotations

import threading
import time
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from flatstock.actions.plans import NotInTime
from flatstock.actions.workshops import copy_demo, open_workshop
from flatstock.errors import Fault, Refused
from flatstock.running.event import Event
from flatstock.web import planner
from flatstock.web.planner import SOON, Planner
from flatstock.workshop.shop import Workshop

NOW = datetime(2026, 3, 2, 9, 0, tzinfo=UTC)


@pytest.fixture
def shop(tmp_path: Path) -> Workshop:
    copy_demo(tmp_path / "shop")
    return open_workshop(tmp_path / "shop")


def tried(monkeypatch: pytest.MonkeyPatch, shop: Workshop, answers: list[Any]) -> tuple[list[float], Planner]:
    """The seconds of each try, and the planner when it has ended."""
    asked: list[float] = []

    def plan_on(*_: object, seconds: float, **__: object) -> dict[str, Any]:
        asked.append(seconds)
        answer = answers[len(asked) - 1]
        if isinstance(answer, Exception):
            raise answer
        return dict(answer)

    monkeypatch.setattr(planner, "plan_on", plan_on)
    one = Planner()
    assert one.go_on(shop, [], NOW)
    ended(one)
    return asked, one


def ended(one: Planner) -> None:
    """Wait until it plans no longer."""
    until = time.monotonic() + 20
    while one.state().going and time.monotonic() < until:
        time.sleep(0.01)


def test_a_search_that_finds_nothing_in_its_time_is_given_more(
    monkeypatch: pytest.MonkeyPatch, shop: Workshop
) -> None:
    none = NotInTime(Fault("the plan", "no plan was found in the time given", "give it more"))
    asked, one = tried(monkeypatch, shop, [none, {"format": "flatstock.plan/1"}])
    assert asked == list(SOON[:2])
    assert one.state().faults == ()
    assert (shop.folder / "plan.json").is_file()


def test_what_the_longest_search_does_not_find_is_told(
    monkeypatch: pytest.MonkeyPatch, shop: Workshop
) -> None:
    none = NotInTime(Fault("the plan", "no plan was found in the time given", "give it more"))
    asked, one = tried(monkeypatch, shop, [none] * len(SOON))
    assert asked == list(SOON)
    assert one.state().faults == none.faults


def test_what_more_time_cannot_mend_is_told_at_once(monkeypatch: pytest.MonkeyPatch, shop: Workshop) -> None:
    never = Refused(Fault("the plan", "no plan is possible", "look at people, places and times"))
    asked, one = tried(monkeypatch, shop, [never])
    assert asked == [SOON[0]]
    assert one.state().faults == never.faults


def test_what_was_noted_this_very_second_has_happened(
    monkeypatch: pytest.MonkeyPatch, shop: Workshop
) -> None:
    """A tap is planned on from at once: the plan that it brings about knows it."""
    told: list[datetime] = []

    def plan_on(*_: object, now: datetime, **__: object) -> dict[str, Any]:
        told.append(now)
        return {"format": "flatstock.plan/1"}

    monkeypatch.setattr(planner, "plan_on", plan_on)
    one = Planner()
    tapped = NOW + timedelta(milliseconds=665)
    assert one.go_on(shop, [], NOW)
    ended(one)
    assert tapped <= told[0] <= NOW + timedelta(seconds=1)


def test_what_comes_while_a_plan_is_made_is_planned_on_afterwards(
    monkeypatch: pytest.MonkeyPatch, shop: Workshop
) -> None:
    """Only the last of it: that knows the others too."""
    asked: list[object] = []
    may_end = threading.Event()

    def plan_on(_: Workshop, events: object, **__: object) -> dict[str, Any]:
        asked.append(events)
        may_end.wait(20)
        return {"format": "flatstock.plan/1"}

    monkeypatch.setattr(planner, "plan_on", plan_on)
    one = Planner()
    tap = Event(id="t", at=NOW, noted_at=NOW, kind="note")
    assert one.go_on(shop, [], NOW)
    assert not one.go_on(shop, [tap], NOW)
    assert not one.go_on(shop, [tap, tap], NOW)
    may_end.set()
    ended(one)
    assert asked == [[], [tap, tap]]
