"""A new order's promise: asked on a page, worked out beside it, stopped, and never said before it is known."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from flatstock.web import asking
from tests.web.conftest import MONDAY, Served, demo_folder
from tests.web.test_pages_in_a_browser import faults_by_axe

FOUND: dict[str, Any] = {
    "format": "flatstock.promise/1", "shop": "x", "made_at": MONDAY.isoformat(), "plastic": "hdpe", "colour": "blue",
    "thickness_mm": 12.0, "count": 3, "earliest": "2026-03-05T14:10:00+00:00",
    "by_day": [{"date": "2026-03-04", "sheets": 2}, {"date": "2026-03-05", "sheets": 1}],
    "because": ["frames of 12 mm are short: with one more frame it would be ready 5 h sooner than this"],
    "moves": [], "warnings": [], "cautions": [],
}  # fmt: skip


class Slow:
    """A promise that waits for the test, and can be stopped."""

    def __init__(self) -> None:
        self.may_end = threading.Event()
        self.answer = dict(FOUND)

    def __call__(self, *_: Any, tell: Callable[[str, float, float], bool], **__: Any) -> dict[str, Any]:
        stopped = False
        while not self.may_end.wait(0.05):
            if tell("late_sheets", 0.0, 0.0):
                stopped = True
                break
        return self.answer | ({"earliest": None, "by_day": [], "because": ["none"]} if stopped else {})


@pytest.fixture
def slow(monkeypatch: pytest.MonkeyPatch) -> Iterator[Slow]:
    made = Slow()
    monkeypatch.setattr(asking, "promise", made)
    yield made
    made.may_end.set()


@pytest.fixture
def orders(tmp_path: Path, serve: Callable[..., Served]) -> Served:
    return serve(demo_folder(tmp_path / "shop"))


def ask_for_three(page: Page, served: Served) -> None:
    page.goto(f"{served.address}/orders")
    page.get_by_role("link", name="When can a new order be ready?").click()
    page.get_by_label("Plastic").select_option("hdpe")
    page.get_by_label("Sheets", exact=True).fill("3")
    page.get_by_label("Colour").fill("blue")
    page.get_by_role("button", name="Ask", exact=True).click()


def test_until_it_is_known_the_page_says_so_and_then_says_the_time_by_itself(
    page: Page, orders: Served, slow: Slow
) -> None:
    ask_for_three(page, orders)
    expect(page.locator("#asking")).to_contain_text("not known yet")
    expect(page.get_by_role("button", name="Ask", exact=True)).to_be_disabled()
    assert faults_by_axe(page) == []
    slow.may_end.set()
    expect(page.locator(".answer .digits").first).to_have_text("Thu 14:10")
    expect(page.locator(".answer")).to_contain_text("with one more frame it would be ready 5 h sooner")
    expect(page.locator(".answer")).not_to_contain_text("not known yet")
    assert faults_by_axe(page) == []


def test_a_promise_that_is_stopped_before_a_time_was_found_is_not_called_impossible(
    page: Page, orders: Served, slow: Slow
) -> None:
    ask_for_three(page, orders)
    page.get_by_role("button", name="Stop").click()
    expect(page.locator(".answer")).to_contain_text("stopped before a time was found")
    expect(page.locator(".answer")).not_to_contain_text("no time found")


def test_a_second_promise_waits_for_the_first(page: Page, orders: Served, slow: Slow) -> None:
    ask_for_three(page, orders)
    expect(page.locator("#asking")).to_contain_text("not known yet")
    token = page.locator("html").get_attribute("data-token") or ""
    answer = page.request.post(
        f"{orders.address}/orders/ask", form={"token": token, "plastic": "pp", "thickness": "6", "count": "1"}
    )
    assert answer.status == 422
    assert "another promise is being worked out" in answer.text()


@pytest.mark.parametrize(
    ("said", "fault"),
    [
        ({"count": "2,5"}, "write a whole number"),
        ({"plastic": "pvc"}, "be pressed here"),
        ({"lot": "L-9"}, "no lot is called"),
        ({"count": "many"}, "sheets"),
    ],
)
def test_what_can_t_be_meant_is_told_beside_the_form(
    page: Page, orders: Served, said: dict[str, str], fault: str
) -> None:
    page.goto(f"{orders.address}/orders/ask")
    token = page.locator("html").get_attribute("data-token") or ""
    form = {"token": token, "plastic": "hdpe", "thickness": "12", "count": "2"} | said
    answer = page.request.post(f"{orders.address}/orders/ask", form=form)
    assert answer.status == 422
    assert fault in answer.text()


@pytest.mark.parametrize("width", [360, 820, 1920])
def test_the_form_fits_its_screen(page: Page, orders: Served, width: int) -> None:
    page.set_viewport_size({"width": width, "height": 800})
    page.goto(f"{orders.address}/orders/ask")
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    assert faults_by_axe(page) == []
