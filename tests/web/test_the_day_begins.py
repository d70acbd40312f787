"""Start checks before the heaters, and what is taken out of its mould first."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from flatstock.actions.kept import kept_plan
from flatstock.actions.practice import noted_by
from flatstock.plastics.safety import rules
from flatstock.records.store import open_store
from tests.web.conftest import Served, demo_folder
from tests.web.test_pages_in_a_browser import faults_by_axe
from tests.web.test_telling_more import pick

MORNING = datetime(2026, 3, 2, 7, 26, tzinfo=UTC)
TUESDAY = datetime(2026, 3, 3, 8, 0, tzinfo=UTC)


@pytest.fixture
def morning(tmp_path: Path, serve: Callable[..., Served]) -> Served:
    return serve(demo_folder(tmp_path / "shop"), MORNING)


@pytest.fixture
def tuesday(tmp_path: Path, serve: Callable[..., Served]) -> Served:
    folder = demo_folder(tmp_path / "shop")
    plan = kept_plan(folder)
    assert plan is not None
    with open_store(folder) as store:
        store.append([one for one in noted_by(plan, TUESDAY) if one.at.date() < TUESDAY.date()])
    return serve(folder, TUESDAY)


def kinds_of(served: Served, now: datetime) -> list[str]:
    return [one.kind for one in served.app.state.floor.board().events(now)]


def test_the_board_asks_for_the_start_checks_until_somebody_has_gone_through_them(
    page: Page, morning: Served
) -> None:
    page.goto(morning.address)
    page.get_by_role("link", name="go through them").click()
    for label in page.locator(".choice.down label").all():
        label.click()
    pick(page, "Who has looked", "OP1")
    page.get_by_role("button", name="All seen").click()
    expect(page.locator("#floor")).to_be_visible()
    expect(page.locator("#floor")).not_to_contain_text("start checks of today are not noted")
    assert "checked" in kinds_of(morning, MORNING)


def test_a_line_that_nobody_has_looked_at_is_not_passed_over(page: Page, morning: Served) -> None:
    page.goto(f"{morning.address}/checks/start")
    page.locator(".choice.down label").first.click()
    pick(page, "Who has looked", "OP1")
    page.get_by_role("button", name="All seen").click()
    expect(page.get_by_role("alert")).to_contain_text(rules().start_check.lines[1])
    assert "checked" not in kinds_of(morning, MORNING)


def test_what_is_not_right_is_noted_and_the_heaters_stay_off(page: Page, morning: Served) -> None:
    page.goto(f"{morning.address}/checks/start")
    for label in page.locator(".choice.down label").all()[1:]:
        label.click()
    pick(page, "Who has looked", "OP1")
    page.get_by_role("button", name="the heaters stay off").click()
    expect(page.get_by_role("alert")).to_contain_text("The heaters stay off")
    expect(page.get_by_role("alert")).to_contain_text(rules().start_check.lines[0])
    assert kinds_of(morning, MORNING)[-1:] == ["note"]


def test_a_mould_that_is_ready_is_taken_out_by_two_and_measured_next(page: Page, tuesday: Served) -> None:
    page.goto(f"{tuesday.address}/demould")
    first = page.locator(".readies > li").first
    expect(first).to_contain_text("ready")
    expect(first).to_contain_text("gloves")  # steel burns, whatever the core may have
    first.locator("summary").click()
    first.get_by_role("group", name="Who took it out").locator("label", has_text="OP1").click()
    first.get_by_role("button", name="Out").click()
    expect(page.get_by_role("alert")).to_be_visible()  # one person alone is refused
    page.locator(".give[open]").get_by_role("group", name="Who took it out").locator(
        "label", has_text="OP1"
    ).click()
    page.locator(".give[open]").get_by_role("group", name="Who took it out").locator(
        "label", has_text="OP2"
    ).click()
    page.locator(".give[open]").get_by_role("button", name="Out").click()
    expect(page.locator("h1")).to_contain_text("Measure")
    assert kinds_of(tuesday, TUESDAY)[-1] == "demoulded"


@pytest.mark.parametrize("width", [360, 820, 1920])
def test_axe_finds_nothing_where_the_day_begins(page: Page, tuesday: Served, width: int) -> None:
    page.set_viewport_size({"width": width, "height": 800})
    for address in ("/checks/start", "/demould", "/"):
        page.goto(tuesday.address + address)
        assert faults_by_axe(page) == []
        assert page.evaluate("document.documentElement.scrollWidth") <= width
