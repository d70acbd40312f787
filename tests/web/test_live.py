"""The live stream: every page hears of a tap, fifty at once, and is let go when it leaves."""

from __future__ import annotations

import re
import threading
import time
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import httpx
import pytest

from flatstock.web import live
from tests.web.conftest import MONDAY, Served, demo_folder

TABLETS = 50


@pytest.fixture
def served_floor(tmp_path: Path, serve: Callable[..., Served]) -> Served:
    return serve(demo_folder(tmp_path / "shop"))


def note(address: str, name: str) -> None:
    """A note from a device."""
    at = MONDAY.astimezone(UTC).isoformat()
    tap = {"id": name, "at": at, "noted_at": at, "kind": "note", "facts": {"text": name}}
    answer = httpx.post(f"{address}/floor/taps", json=[tap], timeout=30)
    assert answer.json()[0]["outcome"] == "accepted", answer.text


def test_a_stream_begins_with_where_things_stand_and_numbers_each_event(served_floor: Served) -> None:
    with httpx.stream("GET", f"{served_floor.address}/floor/live", timeout=60) as stream:
        assert stream.headers["content-type"].startswith("text/event-stream")
        lines = stream.iter_lines()
        assert next(lines) == "id: 0"
        assert next(lines) == "event: floor"


def test_a_page_that_has_seen_the_last_event_is_only_told_that_the_line_is_alive(
    served_floor: Served,
) -> None:
    note(served_floor.address, "one")
    heads = {"last-event-id": "1"}
    with httpx.stream("GET", f"{served_floor.address}/floor/live", headers=heads, timeout=60) as stream:
        assert next(stream.iter_lines()) == "event: beat"


@pytest.fixture
def seldom(monkeypatch: pytest.MonkeyPatch) -> None:
    """The next sign of life is an hour away: whatever comes sooner is told at once, however busy the machine."""
    monkeypatch.setattr(live, "BEAT", 3600.0)


@pytest.mark.usefixtures("seldom")
def test_fifty_tablets_hear_of_a_tap_at_once_and_are_let_go_when_they_leave(served_floor: Served) -> None:
    heard: list[str] = []
    ready = threading.Barrier(TABLETS + 1)

    def listen() -> None:
        with httpx.stream("GET", f"{served_floor.address}/floor/live", timeout=120) as stream:
            lines = stream.iter_lines()
            for line in lines:
                if line.startswith("data:"):
                    break
            ready.wait(120)
            for line in lines:
                if line == "id: 1":
                    heard.append(line)
                    return

    threads = [threading.Thread(target=listen, daemon=True) for _ in range(TABLETS)]
    for one in threads:
        one.start()
    ready.wait(120)
    assert served_floor.app.state.live.listeners == TABLETS
    note(served_floor.address, "one")
    for one in threads:
        one.join(120)
    assert len(heard) == TABLETS
    until = time.monotonic() + 60
    while served_floor.app.state.live.listeners and time.monotonic() < until:
        time.sleep(0.1)
    assert served_floor.app.state.live.listeners == 0


def test_what_another_program_writes_is_heard_too(served_floor: Served) -> None:
    from flatstock.records.store import open_store
    from flatstock.running.event import Event

    with httpx.stream("GET", f"{served_floor.address}/floor/live", timeout=60) as stream:
        lines = stream.iter_lines()
        assert next(lines) == "id: 0"
        at = datetime(2026, 3, 2, 9, 0, tzinfo=UTC)
        with open_store(served_floor.app.state.place.folder) as store:
            store.append([Event(id="cli", at=at, noted_at=at, kind="note", facts={})])
        assert "id: 1" in (line for line in lines)


@pytest.mark.usefixtures("seldom")
def test_a_server_that_stops_ends_its_streams_by_itself(tmp_path: Path, serve: Callable[..., Served]) -> None:
    served = serve(demo_folder(tmp_path / "shop"))
    with httpx.stream("GET", f"{served.address}/floor/live", timeout=60) as stream:
        lines = stream.iter_lines()
        next(lines)
        threading.Thread(target=served.stop, daemon=True).start()
        for _ in lines:  # one that is cut off breaks off with an error
            pass


def said_by(page: str, name: str) -> str:
    """What the board on a page has seen: its number, or its mark."""
    found = re.search(f'data-{name}="([^"]*)"', page)
    assert found is not None
    return found[1]


def test_what_came_between_a_page_and_its_stream_is_told_first(served_floor: Served) -> None:
    """An answer of the heat model adds no event, so the number alone would not show it."""
    page = httpx.get(f"{served_floor.address}/floor", timeout=30).text
    seen = {name: said_by(page, name) for name in ("number", "mark")}
    served_floor.app.state.floor._ready()
    asked = {"seen": seen["number"], "mark": seen["mark"]}
    with httpx.stream("GET", f"{served_floor.address}/floor/live", params=asked, timeout=60) as stream:
        lines = stream.iter_lines()
        assert [next(lines), next(lines)] == ["id: 0", "event: floor"]


def test_a_page_that_has_seen_all_there_is_has_only_a_beat(served_floor: Served) -> None:
    page = httpx.get(f"{served_floor.address}/floor", timeout=30).text
    asked = {"seen": "0", "mark": said_by(page, "mark")}
    with httpx.stream("GET", f"{served_floor.address}/floor/live", params=asked, timeout=60) as stream:
        assert next(stream.iter_lines()) == "event: beat"
