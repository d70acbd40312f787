"""Start checks before the heaters, and what is taken out of its mould first."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import httpx
import pytest
from playwright.sync_api import Browser, Page, expect

from flatstock.plastics.safety import rules
from tests.web.conftest import TUESDAY, Served, demo_folder
from tests.web.test_pages_in_a_browser import faults_by_axe
from tests.web.test_telling_more import pick

MORNING = datetime(2026, 3, 2, 7, 26, tzinfo=UTC)


@pytest.fixture
def morning(tmp_path: Path, serve: Callable[..., Served]) -> Served:
    return serve(demo_folder(tmp_path / "shop"), MORNING)


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
    expect(page.locator("#floor")).not_to_contain_text("start checks of today are not signed")
    assert "checked" in kinds_of(morning, MORNING)


def test_a_line_that_nobody_has_looked_at_is_not_passed_over(page: Page, morning: Served) -> None:
    page.goto(f"{morning.address}/checks/start")
    page.locator(".choice.down label").first.click()
    pick(page, "Who has looked", "OP1")
    page.get_by_role("button", name="All seen").click()
    expect(page.get_by_role("alert")).to_contain_text(rules().start_check.lines[1])
    assert "checked" not in kinds_of(morning, MORNING)


def test_who_is_not_here_by_the_shops_hours_says_on_the_page_that_they_have_come(morning: Served) -> None:
    lines = list(rules().start_check.lines)
    form = {"line": lines, "who": "OP3", "do": "seen"}  # OP3 comes from Tuesday on
    refused = httpx.post(f"{morning.address}/checks/start", data=form, timeout=60)
    assert refused.status_code == 422
    assert "OP3 has come: note it" in refused.text
    came = httpx.post(f"{morning.address}/checks/start", data={**form, "do": "came"}, timeout=60)
    assert came.text.count("checked>") == len(lines) + 1  # every line stays tapped, and who has looked
    assert "OP3 has come" not in came.text
    assert httpx.post(f"{morning.address}/checks/start", data=form, timeout=60).status_code == 303
    assert kinds_of(morning, MORNING)[-2:] == ["arrived", "checked"]


def test_what_is_not_right_is_noted_and_the_heaters_stay_off(page: Page, morning: Served) -> None:
    page.goto(f"{morning.address}/checks/start")
    for label in page.locator(".choice.down label").all()[1:]:
        label.click()
    pick(page, "Who has looked", "OP1")
    page.get_by_role("button", name="the heaters stay off").click()
    expect(page.locator("main .refusal")).to_contain_text("The heaters stay off")
    expect(page.locator("main .refusal")).to_contain_text(rules().start_check.lines[0])
    said = morning.app.state.floor.board().events(MORNING)[-1]
    assert (said.kind, said.facts["wrong"]) == ("checked", rules().start_check.lines[0])
    page.goto(morning.address)
    expect(page.locator(".asked-first.held")).to_contain_text("Heaters stay off")


def test_the_first_heaters_of_the_day_wait_for_the_signed_checks(page: Page, morning: Served) -> None:
    page.goto(morning.address)
    page.locator("[data-more=HP1]").click()
    page.get_by_role("button", name="Heaters of HP1 on").click()
    checks = page.locator("#checks")
    expect(checks).to_be_visible()
    expect(page.locator("#hands")).not_to_be_visible()
    sign(page)
    for key in "195":
        page.locator(f"#hands [data-key='{key}']").click()
    page.locator("#hands-people button", has_text="OP1").click()
    page.locator("#hands-done").click()
    expect(page.locator("[data-place=HP1] .heat")).to_contain_text("heaters on, set 195")
    assert kinds_of(morning, MORNING) == ["checked", "heating_on"]


def test_checks_signed_without_a_network_are_told_once_it_is_back(browser: Browser, morning: Served) -> None:
    page = browser.new_page()
    page.goto(morning.address)
    expect(page.locator("#line")).to_have_text("live")
    page.context.set_offline(True)
    page.locator("[data-more=HP1]").click()
    page.get_by_role("button", name="Heaters of HP1 on").click()
    sign(page)
    expect(page.locator("#hands")).to_be_visible()
    assert kinds_of(morning, MORNING) == []
    page.context.set_offline(False)
    expect(page.locator(".asked-first")).to_have_count(0)
    assert kinds_of(morning, MORNING) == ["checked"]
    page.context.close()


def test_on_the_board_who_has_come_says_so_and_a_line_that_is_not_right_keeps_the_heaters_off(
    page: Page, morning: Served
) -> None:
    page.goto(morning.address)
    page.locator("[data-more=HP1]").click()
    page.get_by_role("button", name="Heaters of HP1 on").click()
    checks = page.locator("#checks")
    for line in checks.locator("[data-line]").all()[1:]:
        line.click()
    expect(page.locator("#checks-done")).to_be_disabled()
    expect(page.locator("#checks-wrong")).to_be_disabled()  # nobody has looked
    page.get_by_role("button", name="OP3 has come").click()  # OP3 comes from Tuesday on
    expect(page.locator("#checks-people [aria-pressed=true]")).to_have_text("OP3")
    expect(page.locator("#checks-say")).to_have_text("1 line not looked at")
    page.locator("#checks-wrong").click()
    expect(checks).to_be_hidden()
    expect(page.locator(".asked-first.held")).to_contain_text(rules().start_check.lines[0])
    expect(page.locator("#hands")).to_be_hidden()
    assert kinds_of(morning, MORNING) == ["arrived", "checked"]
    # what is tapped again asks again
    page.locator("[data-more=HP1]").click()
    page.get_by_role("button", name="Heaters of HP1 on").click()
    expect(checks).to_be_visible()


def test_heaters_told_by_a_program_are_held_too(morning: Served) -> None:
    at = MORNING.isoformat()
    tap = {"id": "a-program-says-it", "at": at, "noted_at": at, "kind": "heating_on", "who": ["OP1"], "sheet": None,
           "place": "HP1", "facts": {"set_point_C": 195}}  # fmt: skip
    answer = httpx.post(f"{morning.address}/floor/taps", json=[tap], timeout=60).json()
    assert answer[0]["outcome"] == "refused"
    assert "start checks of today are not signed" in answer[0]["faults"][0]


def sign(page: Page) -> None:
    """Every line of the checks on the board, and who has looked."""
    for line in page.locator("#checks [data-line]").all():
        line.click()
    page.locator("#checks-people button", has_text="OP1").click()
    page.locator("#checks-done").click()


def test_a_mould_that_is_ready_is_taken_out_by_two_and_measured_next(page: Page, tuesday: Served) -> None:
    page.goto(f"{tuesday.address}/demould")
    first = page.locator(".readies > li").first
    expect(first).to_contain_text("ready")
    expect(first).to_contain_text("gloves")  # steel burns, whatever the core may have
    first.locator("summary").click()
    first.get_by_role("group", name="Who took it out").locator("label", has_text="OP1").click()
    first.get_by_role("button", name="Out").click()
    expect(page.get_by_role("alert")).to_be_visible()  # one person alone is refused, and stays tapped
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


def test_what_was_weighed_the_day_before_is_gone_from_its_lot(tuesday: Served) -> None:
    shop = tuesday.app.state.place.shop()
    weighed = [one for one in tuesday.app.state.floor.board().events(TUESDAY) if one.kind == "weighed"]
    white = sum(float(one.facts["mass_kg"]) for one in weighed if one.facts["lot"] == "L-2303")
    assert white > 0
    assert shop.lots["L-2303"].mass == pytest.approx(96 - white)


def test_who_took_a_mould_out_stays_tapped_when_a_second_is_missing(page: Page, tuesday: Served) -> None:
    page.goto(f"{tuesday.address}/demould")
    first = page.locator(".readies > li").first
    first.locator("summary").click()
    first.get_by_role("group", name="Who took it out").locator("label", has_text="OP1").click()
    first.get_by_role("button", name="Out").click()
    expect(page.get_by_role("alert").first).to_contain_text("two people")
    first.get_by_role("group", name="Who took it out").locator("label", has_text="OP2").click()
    first.get_by_role("button", name="Out").click()
    expect(page.locator("h1")).to_contain_text("Measure")
