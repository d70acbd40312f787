"""A mould that the plan keeps in its cooling press is carried on by taps, behind *More*."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta
from pathlib import Path

from playwright.sync_api import Page, expect

from flatstock.running.event import Event
from tests.web.conftest import MONDAY, Served, demo_folder

BOTH = ("OP1", "OP2")


def test_a_mould_is_carried_on_though_it_was_to_stay(
    tmp_path: Path, page: Page, serve: Callable[..., Served]
) -> None:
    served = serve(demo_folder(tmp_path / "shop"), MONDAY)
    store, instant = served.app.state.floor.board().store, served.app.state.place.instant()
    for kind, place, ago in (("loaded", "HP1", 80), ("transferred", "CP1", 45)):
        at = instant - timedelta(minutes=ago)
        store.append([Event(id=kind, at=at, noted_at=at, kind=kind, who=BOTH, sheet="O-104-01", place=place)])
    page.goto(served.address)
    expect(page.locator("[data-place=CP1] .what")).to_contain_text("O-104-01")
    expect(page.locator("[data-place=CP1] .do").first).to_contain_text("Demould")
    page.locator("[data-more=CP1]").click()
    page.get_by_role("button", name="Move O-104-01").click()
    hands = page.locator("#hands")
    hands.locator("#hands-places button", has_text="ST1").click()
    for person in BOTH:
        hands.locator("#hands-people button", has_text=person).first.click()
    hands.locator("#hands-done").click()
    expect(page.locator("[data-place=ST1]")).to_contain_text("O-104-01")
    expect(page.locator("[data-place=CP1]")).to_contain_text("empty")
    assert [e.place for _, e in store.events() if e.kind == "moved"] == ["ST1"]
