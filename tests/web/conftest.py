"""A demo workshop with a plan, the app on it, and a real browser."""

from __future__ import annotations

import os
import shutil
import socket
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import suppress
from datetime import UTC, date, datetime
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import httpx
import pytest
import uvicorn
from playwright.sync_api import Browser, Page, expect, sync_playwright
from playwright.sync_api import Error as PlaywrightError

from flatstock.actions.kept import kept_plan
from flatstock.actions.living import begin_records
from flatstock.actions.practice import noted_by
from flatstock.actions.room_kept import keep_room
from flatstock.actions.rooms import place_room
from flatstock.actions.workshops import copy_demo
from flatstock.records.store import open_store
from flatstock.web.app import create_app
from flatstock.web.awake import Awake
from flatstock.web.serving import Ending
from flatstock.web.workplace import Workplace
from tools.browser import find_browser

PLAN = Path(__file__).parent / "demo_week.json"  # the demo's week as `flatstock plan` once answered it
OPENED = datetime(2026, 3, 2, 7, 0, tzinfo=UTC)
MONDAY = datetime(2026, 3, 2, 9, 0, tzinfo=UTC)
TUESDAY = datetime(2026, 3, 3, 8, 0, tzinfo=UTC)


def demo_folder(path: Path, *, plan: bool = True) -> Path:
    """A copy of the demo's workshop, with a plan of its week."""
    copy_demo(path)
    if plan:
        shutil.copy(PLAN, path / "plan.json")
    return path


@pytest.fixture(scope="session")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Its room is known, so that no page of it is made anew while a test looks at it."""
    folder = demo_folder(tmp_path_factory.mktemp("demo") / "shop")
    keep_room(folder, place_room(folder, first=True, seconds=60))
    return folder


class Served:
    """An app on a port of this machine."""

    def __init__(self, folder: Path, now: datetime | None, *, replans: bool = False, port: int = 0) -> None:
        self.socket = socket.create_server(("127.0.0.1", port))
        self.address = f"http://127.0.0.1:{self.socket.getsockname()[1]}"
        place = Workplace(folder, now_is=now)
        self.app = create_app(place, replans=replans, silences=Awake(place).silences())
        self.app.state.rooms.shortens = False  # its minute of search would slow every other test
        config = uvicorn.Config(self.app, log_level="error", timeout_graceful_shutdown=2, lifespan="off")
        self.server = Ending(config, self.app.state.live)
        self.thread = threading.Thread(target=self.server.run, kwargs={"sockets": [self.socket]}, daemon=True)
        self.thread.start()
        until = time.monotonic() + 20
        while not self.server.started and time.monotonic() < until:
            time.sleep(0.02)

    def stop(self) -> None:
        self.server.should_exit = True
        self.thread.join(10)
        self.socket.close()
        self.app.state.rooms.end()
        self.app.state.floor.close()
        self.app.state.place.close()


def serving() -> Iterator[Callable[..., Served]]:
    """Starts an app on a folder; all of them end with the test, or the module, that they were started for."""
    running: list[Served] = []

    def start(folder: Path, now: datetime | None = MONDAY, *, replans: bool = False, port: int = 0) -> Served:
        running.append(Served(folder, now, replans=replans, port=port))
        return running[-1]

    yield start
    for one in running:
        one.stop()


serve = pytest.fixture(serving)
serve_module = pytest.fixture(serving, scope="module")


@pytest.fixture(scope="session")
def served(demo: Path) -> Iterator[Served]:
    one = Served(demo, MONDAY)
    yield one
    one.stop()


@pytest.fixture(scope="session")
def client(served: Served) -> Iterator[httpx.Client]:
    """Asks the app on the demo."""
    with httpx.Client(base_url=served.address, timeout=60) as asks:
        yield asks


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """Chromium, the system's or the environment's own; a machine without one fails here, and says so."""
    found = find_browser()
    assert found is not None, (
        "these tests need Chromium: `./check` fetches it, or as root: apt install chromium"
    )
    expect.set_options(timeout=60_000)  # a busy machine fails nothing; what never comes still does
    with sync_playwright() as play:
        started = play.chromium.launch(
            executable_path=found.path, env={**os.environ, **found.environ}, args=["--no-sandbox"]
        )
        # and so do a page that is slow to open and a button that is slow to come, which wait half a minute otherwise
        started.on("context", lambda context: context.set_default_timeout(120_000))
        yield started
        started.close()


@pytest.fixture
def page(browser: Browser, serve: object) -> Iterator[Page]:
    """A page on which nothing may go wrong unseen: an error in its console fails the test.

    It is closed before the apps that the test started end.
    """
    context = browser.new_context(viewport={"width": 1180, "height": 820})
    opened = context.new_page()
    wrong: list[str] = []
    opened.on("pageerror", lambda error: wrong.append(str(error)))
    opened.on(
        "console",
        lambda said: wrong.append(said.text) if said.type == "error" and "422" not in said.text else None,
    )
    yield opened
    with suppress(PlaywrightError):
        # what it has said by now is heard with the answer; a page between two documents may never give one
        opened.wait_for_function("true", timeout=10_000)
    said = [*wrong]
    context.close()  # breaks off what is under way, which the page tells as an error too
    assert said == []


@cache
def _once(moment: datetime | None = None, before: date | None = None) -> TemporaryDirectory[str]:
    """A folder with the demo on record, made once to be copied: that takes a hundredth of the time."""
    kept = TemporaryDirectory(prefix="demo-on-record-")
    folder = Path(kept.name) / "shop"
    if moment is None:
        begin_records(demo_folder(folder), at=OPENED, who=(), why="the app was opened")
        return kept
    plan = kept_plan(demo_on_record(folder))
    assert plan is not None
    with open_store(folder) as store:
        store.append([one for one in noted_by(plan, moment) if before is None or one.at.date() < before])
    return kept


def demo_on_record(path: Path) -> Path:
    """The same, its records begun on the Monday before anything of the floor: what is weighed is booked."""
    shutil.copytree(Path(_once().name) / "shop", path)
    return path


def demo_kept_to(folder: Path, moment: datetime, *, before: date | None = None) -> Path:
    """The demo, of which everything that was planned until `moment` is on record, of the days `before` one."""
    shutil.copytree(Path(_once(moment, before).name) / "shop", folder)
    return folder


@pytest.fixture
def tuesday(tmp_path: Path, serve: Callable[..., Served]) -> Served:
    """The demo on its second morning, with all of Monday on record as planned."""
    return serve(demo_kept_to(tmp_path / "shop", TUESDAY, before=TUESDAY.date()), TUESDAY)
