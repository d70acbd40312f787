"""Disk full or folder read-only: a tap stays on the device that made it, and is told once that is mended."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from playwright.sync_api import Browser, expect

from flatstock.errors import Fault, NotNow
from flatstock.records.store import Store
from tests.web.conftest import Served, demo_folder

FULL = Fault(
    "records.db", "the disk is full or failing: nothing of this was kept", "make room, then do it again"
)


def test_a_tap_on_a_full_disk_waits_on_its_device_and_is_kept_when_there_is_room(
    browser: Browser, tmp_path: Path, serve: Callable[..., Served], monkeypatch: pytest.MonkeyPatch
) -> None:
    served = serve(demo_folder(tmp_path / "shop"))
    page = browser.new_page()
    page.goto(served.address)
    expect(page.locator("#line")).to_have_text("live")

    @contextmanager
    def full(_: Store) -> Iterator[None]:
        raise NotNow(FULL)
        yield

    with monkeypatch.context() as disk:
        disk.setattr(Store, "writing", full)
        page.get_by_role("button", name="People here").click()
        page.locator("#people button", has_text="OP3 is not here").click()
        expect(page.locator("#told")).to_contain_text("Not on record yet: it is kept on this device")
        expect(page.locator("#told")).to_contain_text("the disk is full")
        expect(page.locator("#line")).to_contain_text("1 tap not sent yet")
    expect(page.locator("#line")).to_have_text("live")
    events = served.app.state.floor.board().store.events(kinds=("arrived",))
    assert [one.who for _, one in events] == [("OP3",)]
    page.close()
