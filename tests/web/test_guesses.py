"""The set-up of a new shop by its forms: what is assumed reads as a number, and stays assumed until it is changed."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from flatstock.workshop.start import usual_answers, write_new
from tests.web.conftest import Served


@pytest.fixture
def served(tmp_path: Path, serve: Callable[..., Served]) -> Served:
    """A shop as `flatstock new` writes it, with most of its numbers assumed."""
    write_new(tmp_path / "new", usual_answers())
    return serve(tmp_path / "new", None)


def test_an_assumed_number_reads_as_a_number_and_stays_assumed_until_it_is_changed(
    page: Page, served: Served
) -> None:
    page.goto(f"{served.address}/shop/part/shop")
    row = page.get_by_role("row").filter(has_text="practice")
    expect(row).to_contain_text("soak 15 min (assumed)")
    expect(page.locator("main")).not_to_contain_text("{ value")
    row.get_by_role("link").click()
    expect(page.locator("[name=soak_min]")).to_have_value("15")
    page.locator("[name=load_min]").fill("4")
    page.get_by_role("button", name="Check and write").click()
    page.wait_for_url("**kept=**")
    assert served.app.state.place.shop().practice.load_time == 240.0
    expect(row).to_contain_text("soak 15 min (assumed); load 4 min;")


def test_one_tap_says_that_an_assumed_number_is_right(page: Page, served: Served) -> None:
    page.goto(f"{served.address}/shop/part/shop")
    row = page.get_by_role("row").filter(has_text="practice")
    row.get_by_role("link").click()
    page.get_by_label("soak 15 min is right here").check()
    page.get_by_role("button", name="Check and write").click()
    page.wait_for_url("**kept=**")
    expect(row).to_contain_text("soak 15 min;")
    row.get_by_role("link").click()
    expect(page.locator("[name=soak_min]")).to_have_value("15")
    expect(page.get_by_label("soak 15 min is right here")).to_have_count(0)


def test_what_was_tapped_as_right_stays_tapped_where_another_field_has_a_fault(
    page: Page, tmp_path: Path, serve: Callable[..., Served]
) -> None:
    write_new(tmp_path / "new", usual_answers())
    page.goto(f"{serve(tmp_path / 'new', None).address}/shop/part/shop")
    page.get_by_role("row").filter(has_text="practice").get_by_role("link").click()
    page.get_by_label("soak 15 min is right here").check()
    page.locator("[name=load_min]").fill("4 kg")
    page.get_by_role("button", name="Check and write").click()
    expect(page.locator(".field.wrong")).to_contain_text("is a mass")
    expect(page.get_by_label("soak 15 min is right here")).to_be_checked()
