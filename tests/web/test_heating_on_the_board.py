"""A press that heats up, on the board: how long until the first mould may go in."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

from playwright.sync_api import Page, expect

from flatstock.actions.kept import kept_plan
from flatstock.actions.practice import noted_by
from flatstock.records.store import open_store
from tests.web.conftest import Served, demo_folder


def test_a_press_that_heats_counts_to_the_moment_it_is_ready_to_load(
    page: Page, tmp_path: Path, serve: Callable[..., Served]
) -> None:
    folder = demo_folder(tmp_path / "shop")
    plan = kept_plan(folder)
    assert plan is not None
    moment = datetime(2026, 3, 2, 7, 30, tzinfo=UTC)
    with open_store(folder) as store:
        store.append(noted_by(plan, moment))
    page.goto(serve(folder, moment).address)
    hot = page.locator("[data-place=HP1]")
    expect(hot.locator(".word")).to_have_text("wait")
    expect(hot).to_contain_text("at 195 °C about 07:5")
    expect(hot).to_contain_text("ready to load about 08:")
    expect(hot.locator(".minutes")).to_have_text("39")
