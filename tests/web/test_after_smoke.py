"""After smoke or an accident nobody knows of itself whether somebody reached the isolator: it is asked."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from tests.web.conftest import Served, demo_kept_to

LOADED = datetime(2026, 3, 2, 8, 14, tzinfo=UTC)
NOW = datetime(2026, 3, 2, 8, 24, tzinfo=UTC)


@pytest.fixture
def pressing(tmp_path: Path, serve: Callable[..., Served]) -> Served:
    """A mould has been in the hot press for ten minutes."""
    return serve(demo_kept_to(tmp_path / "shop", LOADED), NOW)


def over(page: Page, served: Served, danger: str) -> None:
    """Tapped, read, over; and the platens read."""
    page.goto(served.address)
    page.get_by_role("button", name="Danger").click()
    page.locator("#danger").get_by_role("button", name=danger).click()
    page.locator("#takeover button").click()
    page.locator(".danger-now .do", has_text="It is over").click()
    page.locator("#hands-people button", has_text="OP1").click()
    page.locator("#hands-done").click()
    page.locator(".danger-after .do", has_text="Platens of HP1 read").click()
    for key in "181":
        page.locator(f"#hands [data-key='{key}']").click()
    page.locator("#hands-people button", has_text="OP1").click()
    expect(page.locator("#hands-faults")).to_have_text("were its heaters off meanwhile?")
    expect(page.locator("#hands-done")).to_be_disabled()


@pytest.mark.parametrize("danger", ["Smoke, fire, fume", "Somebody hurt"])
def test_heaters_that_were_off_meanwhile_stay_off_until_a_hand_switches_them_on(
    page: Page, pressing: Served, danger: str
) -> None:
    over(page, pressing, danger)
    page.locator("#hands-people button", has_text="heaters were off").click()
    page.locator("#hands-done").click()
    hot = page.locator("[data-place=HP1]")
    expect(hot).to_contain_text("leave it closed; the heat is off")
    expect(hot.get_by_role("button", name="Heaters of HP1 on")).to_be_visible()
    page.goto(f"{pressing.address}/record/O-104-01")
    expect(page.locator("main")).to_contain_text("Cut test: heat of HP1 was off")


def test_heaters_that_stayed_on_leave_the_clock_to_what_the_platens_read(
    page: Page, pressing: Served
) -> None:
    # empty while the model works; off meanwhile, it would have no time at all
    clock = page.locator("[data-place=HP1][data-counts]:not([data-counts=''])")
    page.goto(pressing.address)
    before = int(clock.get_attribute("data-counts") or "")
    over(page, pressing, "Smoke, fire, fume")
    page.locator("#hands-people button", has_text="heaters stayed on").click()
    page.locator("#hands-done").click()
    expect(page.locator(".danger-after")).to_have_count(0)
    expect(clock).to_have_attribute("data-counts", re.compile(r"^\d+$"))
    assert abs(int(clock.get_attribute("data-counts") or "") - before) < 120_000
