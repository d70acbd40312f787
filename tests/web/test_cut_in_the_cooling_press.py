"""A power cut while a mould stands in the cooling press: its fans stop, and somebody has to say that they blow again."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import datetime, timedelta

from playwright.sync_api import Page, expect

from flatstock.running.event import Event
from tests.web.conftest import Served
from tests.web.test_floor_in_a_browser import DUE, floor, tile

__all__ = ["floor"]


def told(kind: str, at: datetime, **more: object) -> Event:
    # of what `more` may be, each field knows its own
    return Event(id=f"{kind} {at:%H:%M}", at=at, noted_at=at, kind=kind, **more)  # type: ignore[arg-type]


def minutes_left(page: Page) -> int:
    return int(tile(page, "CP1").locator(".minutes").inner_text())


def test_the_clock_waits_for_still_air_until_the_fans_are_said_to_run_again(
    page: Page, floor: Callable[..., Served]
) -> None:
    served = floor(DUE + timedelta(minutes=5))
    store = served.app.state.floor.board().store
    laid = told("transferred", DUE, sheet="O-101-01", place="CP1", who=("OP1", "OP2"))
    cut, back = (told(kind, DUE + timedelta(minutes=n)) for n, kind in ((1, "power_cut"), (3, "power_back")))
    store.append([laid, cut, back])
    page.goto(served.address)
    expect(tile(page, "CP1")).to_contain_text("reckoned without fans", timeout=120_000)
    still = minutes_left(page)
    tile(page, "CP1").get_by_role("button", name=re.compile("The fans run again")).click()
    page.locator("#hands-people button", has_text="OP1").click()
    page.locator("#hands-done").click()
    expect(tile(page, "CP1")).not_to_contain_text("reckoned without fans", timeout=120_000)
    expect(tile(page, "CP1").get_by_role("button", name=re.compile("The fans run again"))).to_have_count(0)
    expect(tile(page, "CP1")).not_to_contain_text("being worked out", timeout=120_000)
    assert 0 < minutes_left(page) < still
