"""The run board on a phone of 360 pixels: what stands where comes first, everything else is a tap away."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime

import pytest
from playwright.sync_api import Page, expect

from tests.web.conftest import Served
from tests.web.test_floor_in_a_browser import floor, tile
from tests.web.test_pages_in_a_browser import faults_by_axe

__all__ = ["floor"]

NOW = datetime(2026, 3, 2, 14, 5, tzinfo=UTC)


@pytest.fixture
def phone(page: Page) -> Page:
    page.set_viewport_size({"width": 360, "height": 780})
    return page


def test_what_is_in_the_press_and_its_time_left_are_on_the_first_screen(
    phone: Page, floor: Callable[..., Served]
) -> None:
    phone.goto(floor(NOW).address)
    hot = tile(phone, "HP1")
    for seen in (hot.locator(".word"), hot.locator(".clock"), hot.locator(".what")):
        box = seen.bounding_box()
        assert box is not None
        assert box["y"] + box["height"] <= 780
    assert phone.evaluate("document.documentElement.scrollWidth") <= 360


@pytest.mark.parametrize(
    ("path", "line"), [("**/look/live*.js*", "looking for"), ("**/floor/live*", "no network")]
)
def test_without_its_server_the_danger_button_keeps_its_room(
    phone: Page, floor: Callable[..., Served], path: str, line: str
) -> None:
    """What the line says then is long: before the page has heard anything, and once it hears nothing more."""
    served = floor(NOW)
    phone.route(path, lambda route: route.fulfill(status=204))
    phone.goto(served.address)
    expect(phone.locator("#line")).to_contain_text(line)
    danger = phone.locator(".bar .alarm")
    assert danger.evaluate("button => button.scrollWidth <= button.clientWidth")
    assert phone.evaluate("document.documentElement.scrollWidth") <= 360


def test_danger_is_always_there_and_the_rest_opens_with_one_tap(
    phone: Page, floor: Callable[..., Served]
) -> None:
    phone.goto(floor(NOW).address)
    expect(phone.locator(".bar .alarm")).to_be_visible()
    hand_over = phone.get_by_role("link", name="Hand over")
    expect(hand_over).to_be_hidden()
    phone.get_by_role("button", name="Menu").click()
    expect(phone.get_by_role("link", name="The shop")).to_be_visible()
    assert faults_by_axe(phone) == []
    hand_over.click()
    expect(phone.locator("h1")).to_contain_text("Hand over")
