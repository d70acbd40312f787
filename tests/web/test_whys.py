"""Why behind a number, by one and the same means on every page that has numbers."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import httpx
import pytest
from playwright.sync_api import Page, expect

from flatstock.actions.kept import kept_plan
from flatstock.actions.plan_reasons import plan_reasons
from flatstock.actions.practice import noted_by
from flatstock.prints.plan_words import GOAL_WORDS
from flatstock.records.store import open_store
from tests.web.conftest import Served, demo_folder
from tests.web.test_pages_in_a_browser import faults_by_axe

NOW = datetime(2026, 3, 2, 14, 1, tzinfo=UTC)


@pytest.fixture(scope="module")
def floor(tmp_path_factory: pytest.TempPathFactory, serve_module: Callable[..., Served]) -> Served:
    folder = demo_folder(tmp_path_factory.mktemp("whys") / "shop")
    plan = kept_plan(folder)
    assert plan is not None
    with open_store(folder) as store:
        store.append(noted_by(plan, NOW))
    return serve_module(folder, NOW)


def test_a_clock_of_the_board_says_what_it_counts_to_and_whose_answer_that_is(
    page: Page, floor: Served
) -> None:
    page.goto(floor.address)
    page.get_by_role("link", name="Why: the clock of O-101-01").click()
    expect(page.locator("h1")).to_contain_text("Why O-101-01 waits")
    own = page.locator("#why-counts_to")
    expect(own).to_contain_text("press closed")
    expect(own).to_contain_text("13:47")
    expect(own).to_contain_text("planned dwell")  # it melts through sooner: that is not what is counted to
    expect(page.locator("#why-dwell_min")).to_contain_text("Melted through")
    assert faults_by_axe(page) == []


def test_a_sheet_that_stands_nowhere_has_no_clock(floor: Served) -> None:
    answer = httpx.get(f"{floor.address}/why/O-104-01", timeout=60)
    assert answer.status_code == 422
    assert "stands in no press" in answer.text


def test_each_goal_of_the_week_says_how_it_is_counted_and_what_is_proven(page: Page, floor: Served) -> None:
    page.goto(f"{floor.address}/week")
    page.get_by_role("link", name="Why: Sheets late or without a time").click()
    reason = page.locator("#why-late_sheets")
    expect(reason.locator(".formula")).to_be_visible()
    expect(reason).to_contain_text("no plan can have less than 0, proven")


def test_no_goal_of_a_plan_is_called_by_the_name_of_its_field(tmp_path: Path) -> None:
    plan = kept_plan(demo_folder(tmp_path / "shop"))
    assert plan is not None
    names = sorted(set(GOAL_WORDS) - {"ready_min"})  # what a promise seeks, never a week
    sought = [{"name": name, "value": 0, "bound": 0} for name in names]
    reasons = plan_reasons({**plan, "proof": {**plan["proof"], "objective": sought}})
    said = {one["of"]: one for one in reasons if one["of"] in names}
    assert [name for name in names if said[name]["title"] == name.replace("_", " ")] == []
    assert [name for name in names if said[name]["formula"] == "counted over the plan"] == []


@pytest.mark.parametrize(
    "address",
    [
        "/card?plastic=hdpe&thickness=12",
        "/before/supply",
        "/week",
        "/why/O-101-01",
        "/store/sample",
        "/store/water",
        "/store/sheet/O-101-01",
        "/orders/recycled?order=O-101",
    ],
)
def test_every_why_leads_to_a_reason_with_a_formula_and_a_source(
    page: Page, floor: Served, address: str
) -> None:
    page.goto(floor.address + address)
    asked = page.locator("main a.why").evaluate_all("all => all.map(one => one.hash.slice(1))")
    there = page.locator("details.reason")
    assert there.count() > 0
    assert set(asked) <= set(there.evaluate_all("all => all.map(one => one.id)"))
    assert there.locator(".formula").count() == there.count()
    assert there.locator("p", has_text="Source: ").count() >= there.count()


@pytest.mark.parametrize("width", [360, 820, 1920])
def test_the_reasons_of_a_clock_fit_the_screen(page: Page, floor: Served, width: int) -> None:
    page.set_viewport_size({"width": width, "height": 800})
    page.goto(f"{floor.address}/why/O-101-01")
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    assert faults_by_axe(page) == []
