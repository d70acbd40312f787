"""*Before the first sheet* answers at once: a room that has to be looked for is looked for beside the page."""

from __future__ import annotations

import json
import re
import time
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path
from threading import Event, Thread
from threading import enumerate as enumerate_threads

import httpx
import pytest
from playwright.sync_api import Page, expect

from flatstock.actions import room_kept
from flatstock.actions.setting_up import put
from flatstock.errors import OutOfRange
from flatstock.web import room_search
from tests.web.conftest import Served, demo_folder
from tests.web.test_pages_in_a_browser import faults_by_axe

LOOKING = "is being looked for"


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    return demo_folder(tmp_path / "shop")


@pytest.fixture
def asks(shop: Path, serve: Callable[..., Served]) -> Iterator[httpx.Client]:
    with httpx.Client(base_url=serve(shop).address, timeout=60) as client:
        yield client


@pytest.fixture
def slow(monkeypatch: pytest.MonkeyPatch) -> Event:
    """A search that finds its plan only once the event is set, or ends when it is stopped."""
    find, may_end = room_search.place_room, Event()

    def wait(*args: object, **given: object) -> object:
        stop = given["stop"]
        while not (may_end.is_set() or stop()):  # type: ignore[operator]
            time.sleep(0.01)
        return find(*args, **given)  # type: ignore[arg-type]

    monkeypatch.setattr(room_search, "place_room", wait)
    return may_end


def until(ask: Callable[[], bool], seconds: float = 60.0) -> None:
    end = time.monotonic() + seconds
    while not ask():
        assert time.monotonic() < end, "it did not come about"
        time.sleep(0.05)


def post(asks: httpx.Client, address: str) -> httpx.Response:
    token = re.findall(r'data-token="([^"]+)"', asks.get("/before").text)[0]
    return asks.post(address, data={"token": token}, follow_redirects=True)


def test_what_is_known_is_told_at_once_and_the_room_is_filled_in(
    page: Page, shop: Path, serve: Callable[..., Served], slow: Event
) -> None:
    page.goto(f"{serve(shop).address}/before")
    expect(page.locator("main")).to_contain_text(LOOKING)
    expect(page.locator("main section").nth(1)).not_to_be_empty()
    slow.set()
    expect(page.locator("main")).to_contain_text("m walked a day")
    page.goto(page.url + "/room")
    expect(page.locator("figure.plan svg")).to_be_visible()


def test_a_search_that_is_stopped_says_that_nothing_is_known_and_can_be_begun_again(
    asks: httpx.Client, slow: Event
) -> None:
    assert "Stop looking" in asks.get("/before/room").text
    assert asks.get("/before/room.pdf").status_code == 422
    post(asks, "/before/room/stop")
    until(lambda: "Stopped" in asks.get("/before/room").text)
    assert "was stopped" in asks.get("/before").text
    assert "Stop looking" in post(asks, "/before/room/look").text
    slow.set()
    until(lambda: "What stands where" in asks.get("/before/room").text)
    assert asks.get("/before/room.pdf").content.startswith(b"%PDF")


@pytest.mark.parametrize("address", ["/before", "/before/room"])
def test_axe_finds_nothing_while_the_room_is_looked_for(
    page: Page, shop: Path, serve: Callable[..., Served], slow: Event, address: str
) -> None:
    page.goto(f"{serve(shop).address}{address}")
    expect(
        page.get_by_role("status").filter(has_text="Looking for where everything can stand")
    ).to_be_visible()
    assert faults_by_axe(page) == []
    slow.set()


def test_a_plan_that_was_found_is_known_at_once_when_the_app_is_opened_again(
    asks: httpx.Client, shop: Path, serve: Callable[..., Served], monkeypatch: pytest.MonkeyPatch
) -> None:
    until(lambda: "m walked a day" in asks.get("/before").text)
    first = asks.get("/before/room").text
    monkeypatch.setattr(room_search, "place_room", lambda *_, **__: pytest.fail("it is looked for again"))
    again = serve(shop)
    with httpx.Client(base_url=again.address, timeout=60) as client:
        found = client.get("/before/room").text
    assert re.findall(r"<figure.*?</figure>", found, re.S) == re.findall(r"<figure.*?</figure>", first, re.S)


def test_the_room_is_looked_for_again_when_room_toml_says_something_else(
    asks: httpx.Client, shop: Path, slow: Event
) -> None:
    slow.set()
    until(lambda: "m walked a day" in asks.get("/before").text)
    slow.clear()
    kept = json.loads((shop / room_kept.KEPT).read_text("utf-8"))
    text = (shop / "room.toml").read_text("utf-8")
    wider = text.replace("depth_mm = 800", "depth_mm = 790", 1)
    assert wider != text
    put(shop, "room.toml", wider, was=text, at=datetime(2026, 3, 2, 9, tzinfo=UTC), who=["OP4"])
    assert LOOKING in asks.get("/before").text
    slow.set()
    until(lambda: "m walked a day" in asks.get("/before").text)
    assert json.loads((shop / room_kept.KEPT).read_text("utf-8"))["items"] != kept["items"]


def searches() -> set[Thread]:
    return {one for one in enumerate_threads() if one.name == "room" and one.is_alive()}


def test_a_search_ends_with_the_app(shop: Path, serve: Callable[..., Served], slow: Event) -> None:
    others, served = searches(), serve(shop)
    httpx.get(f"{served.address}/before", timeout=60)
    assert searches() - others
    served.stop()
    assert not searches() - others


def test_an_app_that_ends_waits_for_a_search_that_takes_its_time_to_end(
    shop: Path, serve: Callable[..., Served], monkeypatch: pytest.MonkeyPatch
) -> None:
    def takes_its_time(*_: object, stop: Callable[[], bool], **__: object) -> None:
        until(stop)
        time.sleep(3.5)
        raise OutOfRange("stopped before anything was found")

    monkeypatch.setattr(room_search, "place_room", takes_its_time)
    others, served = searches(), serve(shop)
    httpx.get(f"{served.address}/before", timeout=60)
    (search,) = searches() - others
    served.stop()
    assert not search.is_alive()
    assert not search.daemon
