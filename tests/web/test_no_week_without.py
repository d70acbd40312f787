"""A shop that lacks what any week needs has its cards, and reads on the board and the week what to add."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from flatstock.workshop.start import StartAnswers, usual_answers, write_new
from tests.web.conftest import Served


def a_shop(folder: Path, answers: StartAnswers) -> Path:
    write_new(folder, answers)
    return folder


@pytest.mark.parametrize("address", ["/", "/week"])
def test_a_shop_without_a_cooling_press_reads_why_it_has_no_week_and_where_to_add_one(
    page: Page, tmp_path: Path, serve: Callable[..., Served], address: str
) -> None:
    served = serve(a_shop(tmp_path / "new", replace(usual_answers(), cooling_press=False)), None)
    page.goto(f"{served.address}{address}")
    expect(page.locator("main")).to_contain_text("No week can be planned: there is no cooling press on file")
    page.get_by_role("link", name="Add the cooling press").click()
    expect(page.locator("form input[name=_of]")).to_have_value("cooling_presses")


def test_a_shop_with_one_trained_person_reads_that_a_transfer_takes_two(
    page: Page, tmp_path: Path, serve: Callable[..., Served]
) -> None:
    page.goto(f"{serve(a_shop(tmp_path / 'new', replace(usual_answers(), people=1)), None).address}/week")
    expect(page.locator("main")).to_contain_text("take two different people trained for hot transfers")
    expect(page.get_by_role("button", name="Plan the week")).to_have_count(0)


def test_a_shop_that_lacks_nothing_is_offered_its_week(
    page: Page, tmp_path: Path, serve: Callable[..., Served]
) -> None:
    page.goto(f"{serve(a_shop(tmp_path / 'new', usual_answers()), None).address}/week")
    expect(page.get_by_role("button", name="Plan the week")).to_be_visible()
