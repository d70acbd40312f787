"""The demo's Monday under way."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

from flatstock.actions.kept import kept_plan
from flatstock.actions.practice import begin_day, busiest, noted_by
from flatstock.records.store import open_store
from flatstock.running.event import Event
from flatstock.running.kinds import incomplete
from tests.web.conftest import demo_folder


def test_everything_noted_is_complete_by_its_kind(tmp_path: Path) -> None:
    plan = kept_plan(demo_folder(tmp_path / "shop"))
    assert plan is not None
    events = noted_by(plan, datetime(2026, 3, 7, tzinfo=UTC))
    assert len(events) > 200
    assert [fault for event in events for fault in incomplete(event)] == []


def test_the_busiest_moment_is_four_minutes_before_a_transfer_of_the_first_day(tmp_path: Path) -> None:
    plan = kept_plan(demo_folder(tmp_path / "shop"))
    assert plan is not None
    moment = busiest(plan)
    starts = {datetime.fromisoformat(one["start"]) for one in plan["tasks"] if one["step"] == "transfer"}
    assert moment is not None
    assert moment + timedelta(minutes=4) in starts
    assert moment.date().isoformat() == "2026-03-02"


def test_a_day_begun_twice_is_noted_once(tmp_path: Path) -> None:
    folder = demo_folder(tmp_path / "shop")
    plan = kept_plan(folder)
    assert plan is not None
    assert begin_day(folder, plan) == begin_day(folder, plan)
    with open_store(folder) as store:
        ids = [event.id for _, event in store.events()]
    assert len(ids) == len(set(ids)) > 20


def test_what_somebody_has_tapped_is_left_alone(tmp_path: Path) -> None:
    folder = demo_folder(tmp_path / "shop")
    plan = kept_plan(folder)
    assert plan is not None
    at = datetime(2026, 3, 2, 8, 0, tzinfo=UTC)
    with open_store(folder) as store:
        store.append([Event(id="a", at=at, noted_at=at, kind="note", device="tablet")])
    assert begin_day(folder, plan) is None
    with open_store(folder) as store:
        assert store.last() == 1
