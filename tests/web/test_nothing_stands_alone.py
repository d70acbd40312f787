"""What is seldom tapped stands in rows or columns, and a sheet's name in one line, at the widths of a tablet."""

from __future__ import annotations

import pytest
from playwright.sync_api import Browser, expect

from tests.web.conftest import Served


@pytest.mark.parametrize(("width", "touched"), [(1024, True), (1024, False), (768, True), (360, True)])
def test_no_button_of_the_bar_takes_a_whole_row(
    browser: Browser, served: Served, width: int, touched: bool
) -> None:
    context = browser.new_context(viewport={"width": width, "height": 768}, has_touch=touched)
    page = context.new_page()
    page.goto(served.address)
    expect(page.locator("#line")).to_have_text("live")
    menu = page.locator("#bar-more")
    if menu.is_visible():
        menu.click()
    boxes = [one.bounding_box() for one in page.locator("#bar-buttons > *").all()]
    widths = [box["width"] for box in boxes if box is not None]
    assert len(widths) == 7
    assert max(widths) < 0.6 * width
    context.close()


def test_the_name_of_a_sheet_to_be_loaded_is_on_one_line(browser: Browser, served: Served) -> None:
    """Three lots in the words of the button beside it took its place."""
    context = browser.new_context(viewport={"width": 1024, "height": 768})
    page = context.new_page()
    page.goto(served.address)
    names = page.locator(".coming .what strong")
    expect(names.first).to_be_visible()
    lines = names.evaluate_all("all => all.map(one => one.getClientRects().length)")
    assert lines == [1] * len(lines)
    context.close()
