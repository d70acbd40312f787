"""The first look after a start, while the model still works: it says so, and is put right by itself."""

from __future__ import annotations

import threading

from playwright.sync_api import Page, expect

from flatstock.actions.heat_clocks import HeatClocks
from tests.web.conftest import Served


def test_how_hot_a_mould_is_comes_by_itself_once_it_is_worked_out(page: Page, tuesday: Served) -> None:
    board = tuesday.app.state.floor.board()
    clocks = board.clocks
    assert isinstance(clocks, HeatClocks)
    go = threading.Event()
    clocks._worker.submit(go.wait)  # whatever else it is asked stands behind this
    page.goto(f"{tuesday.address}/demould")
    first = page.locator("[data-what]").first
    expect(first).to_contain_text("is being worked out")
    go.set()
    expect(page.locator("[data-what]", has_text="is being worked out")).to_have_count(0)
    expect(first).not_to_have_attribute("hx-get", "/demould")
