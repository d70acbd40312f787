"""What the board says to a tap: as low as it can be, so that clocks and steps stay in sight, and gone with the next."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime

import pytest
from playwright.sync_api import Page, expect

from tests.web.conftest import Served
from tests.web.test_floor_in_a_browser import floor, tile

__all__ = ["floor"]

EARLY = datetime(2026, 3, 2, 14, 5, tzinfo=UTC)


def refused(page: Page) -> None:
    """A mould is said to be transferred before its time."""
    tile(page, "HP1").locator(".do").click()
    for person in ("OP1", "OP2"):
        page.locator("#hands-people button", has_text=person).click()
    page.locator("#hands-done").click()
    expect(page.locator("#told")).to_contain_text("do not open before 14:1")


@pytest.mark.parametrize(("width", "height"), [(1920, 1080), (1180, 820), (390, 844)])
def test_why_a_tap_is_refused_covers_neither_the_clock_nor_the_step(
    page: Page, floor: Callable[..., Served], width: int, height: int
) -> None:
    page.set_viewport_size({"width": width, "height": height})
    page.goto(floor(EARLY).address)
    refused(page)
    said = page.locator("#told").bounding_box()
    clock = tile(page, "HP1").locator(".clock").bounding_box()
    assert said is not None
    assert clock is not None
    assert clock["y"] + clock["height"] <= said["y"]
    assert said["y"] + said["height"] <= height + 1
    assert said["height"] <= height / 2


def test_what_a_melting_core_needs_is_no_limit(page: Page, floor: Callable[..., Served]) -> None:
    page.goto(floor(EARLY).address)
    refused(page)
    expect(page.locator("#told")).to_contain_text("°C, needs ")


def test_what_was_said_to_one_tap_is_gone_with_the_next(page: Page, floor: Callable[..., Served]) -> None:
    page.goto(floor(EARLY).address)
    refused(page)
    page.locator("[data-more=HP1]").click()
    page.get_by_role("button", name="Platens of HP1 read").click()
    expect(page.locator("#told")).to_be_hidden()


def test_what_was_said_to_a_tap_is_closed_by_the_escape_key(page: Page, floor: Callable[..., Served]) -> None:
    page.goto(floor(EARLY).address)
    refused(page)
    page.keyboard.press("Escape")
    expect(page.locator("#told")).to_be_hidden()


def test_a_step_is_told_by_the_keyboard_alone(page: Page, floor: Callable[..., Served]) -> None:
    page.goto(floor(datetime(2026, 3, 2, 14, 31, tzinfo=UTC)).address)
    tile(page, "HP1").locator(".do").focus()
    page.keyboard.press("Enter")
    for person in ("OP1", "OP2"):
        one = page.locator("#hands-people button", has_text=person)
        for _ in range(8):
            if one.evaluate("made => made === document.activeElement"):
                break
            page.keyboard.press("Tab")
        page.keyboard.press("Enter")
        expect(one).to_be_focused()  # drawn anew, and still where the hands are
        expect(one).to_have_attribute("aria-pressed", "true")
    for _ in range(8):
        if page.locator("#hands-done").evaluate("made => made === document.activeElement"):
            break
        page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    expect(tile(page, "CP1")).to_contain_text("O-101-01")


def test_every_step_on_the_board_says_to_a_screen_reader_of_which_sheet_it_is(
    page: Page, floor: Callable[..., Served]
) -> None:
    page.goto(floor(EARLY).address)
    steps = page.locator("#floor [data-sheet] .do")
    assert steps.count() >= 3
    for step in steps.all():
        sheet = step.locator("xpath=ancestor::*[@data-sheet][1]").get_attribute("data-sheet")
        expect(step).to_have_accessible_description(str(sheet))


def test_a_number_may_be_typed_where_there_is_a_keyboard(page: Page, floor: Callable[..., Served]) -> None:
    page.goto(floor(EARLY).address)
    page.locator("[data-more=HP1]").click()
    page.get_by_role("button", name="Platens of HP1 read").click()
    page.keyboard.type("18")
    page.keyboard.press("Backspace")
    page.keyboard.type("95,5")
    expect(page.locator("#hands-number")).to_have_text("195.5")
