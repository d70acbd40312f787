"""Correcting, handing over and measuring, in a real browser."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from flatstock.running.event import Event
from tests.web.conftest import Served, demo_folder, demo_kept_to
from tests.web.test_pages_in_a_browser import faults_by_axe

NOW = datetime(2026, 3, 2, 14, 1, tzinfo=UTC)


@pytest.fixture
def floor(tmp_path: Path, serve: Callable[..., Served]) -> Served:
    return serve(demo_kept_to(tmp_path / "shop", NOW), NOW)


def last_of(served: Served, kind: str) -> Event:
    """The newest event of a kind."""
    events = served.app.state.floor.board().events(NOW)
    return next(one for one in reversed(events) if one.kind == kind)


def pick(page: Page, legend: str, word: str) -> None:
    page.get_by_role("group", name=legend, exact=True).locator("label", has_text=word).first.click()


def test_a_load_that_was_tapped_late_is_corrected_and_its_clock_follows(page: Page, floor: Served) -> None:
    page.goto(f"{floor.address}/happened")
    page.get_by_role("link", name="Correct: loaded O-101-01").click()
    page.get_by_role("button", name="5 minutes earlier").click()
    pick(page, "Why", "tapped late")
    pick(page, "Who corrects it", "OP1")
    page.get_by_role("button", name="Correct it").click()
    expect(page.locator("h1")).to_have_text("What happened")
    fix = last_of(floor, "corrected")
    assert fix.why == "tapped late, says OP1"
    page.goto(floor.address)
    expect(page.locator("[data-place=HP1]")).to_contain_text("do not open before 14:09")


def test_a_correction_shows_the_time_of_day_that_it_makes(page: Page, floor: Served) -> None:
    page.goto(f"{floor.address}/happened")
    page.get_by_role("link", name="Correct: loaded O-101-01").click()
    expect(page.locator("[data-became]")).to_have_text("13:47")
    page.get_by_role("button", name="5 minutes earlier").click()
    expect(page.locator("[data-became]")).to_have_text("13:42")
    page.get_by_label("Minutes later than it was told for").fill("-827")
    expect(page.locator("[data-became]")).to_have_text("00:00")
    page.get_by_label("Minutes later than it was told for").fill("-828")
    expect(page.locator("[data-became]")).to_have_text("Sun 23:59")
    page.get_by_role("button", name="Correct it").click()  # nobody says why: the form comes back as it was
    expect(page.get_by_role("alert")).to_be_visible()
    expect(page.locator("[data-became]")).to_have_text("Sun 23:59")


def test_a_correction_without_a_reason_is_refused(page: Page, floor: Served) -> None:
    page.goto(f"{floor.address}/happened")
    page.get_by_role("link", name="Correct: loaded O-101-01").click()
    pick(page, "Who corrects it", "OP1")
    page.get_by_role("button", name="Correct it").click()
    expect(page.get_by_role("alert")).to_contain_text("reason")


def test_the_hand_over_says_the_same_minute_as_the_board(page: Page, floor: Served) -> None:
    page.goto(floor.address)
    until = page.locator("[data-place=HP1] .until")
    expect(until).to_contain_text("melted through")  # once the model has answered
    said = until.inner_text()
    page.goto(f"{floor.address}/handover")
    closed = page.locator("tr", has_text="O-101-01").locator("[data-name='closed until']").inner_text()
    assert f", {closed}" in said


def test_a_day_is_handed_over_by_two_after_the_closing_check(page: Page, floor: Served) -> None:
    page.goto(f"{floor.address}/handover")
    expect(page.locator("main")).to_contain_text("O-101-01")
    expect(page.locator("main")).to_contain_text("heaters on")
    page.get_by_role("button", name="Handed over").click()
    expect(page.get_by_role("alert")).to_contain_text("Heaters off at the isolator.")
    for label in page.locator(".choice.down label").all():
        label.click()
    pick(page, "Two sign", "OP1")
    page.get_by_role("button", name="Handed over").click()
    expect(page.get_by_role("alert")).to_contain_text("two different people sign")
    pick(page, "Two sign", "OP2")  # the first stays tapped
    page.get_by_role("button", name="Handed over").click()
    expect(page.locator("h1")).to_have_text("What happened")
    assert last_of(floor, "handed_over").who == ("OP1", "OP2")
    assert last_of(floor, "checked").facts["list"] == "closing"


def test_nine_points_are_measured_on_the_keypad_with_a_comma(page: Page, floor: Served) -> None:
    """The readings of the worked story."""
    readings = ("11.62", "11,80", "11.99", "11.74", "11.95", "12.10", "11.85", "12.04", "12.24")
    page.goto(f"{floor.address}/record/O-104-01/measure")
    for reading in readings:
        for key in reading:
            page.locator(f"#pad [data-key='{key}']").click()
        page.locator("#pad [data-key=next]").click()
    pick(page, "The face that is up now was, in the press, the", "top")
    pick(page, "Who measures", "OP2")
    page.get_by_role("button", name="Note it").click()
    expect(page).to_have_url(f"{floor.address}/record/O-104-01")
    told = last_of(floor, "measured")
    assert [told.facts[f"t{n}_mm"] for n in range(1, 10)] == [
        float(one.replace(",", ".")) for one in readings
    ]
    assert told.facts["face_up"] == "top"


def test_a_slip_of_the_decimal_sign_is_asked_about(page: Page, floor: Served) -> None:
    page.goto(f"{floor.address}/record/O-104-01/measure")
    page.get_by_label("Point 1, mm").fill("1.162")
    pick(page, "Who measures", "OP2")
    page.get_by_role("button", name="Note it").click()
    expect(page.get_by_role("alert")).to_contain_text("a slip of the decimal sign? Measure again.")


def test_a_weighing_is_told_as_thickness(page: Page, tmp_path: Path, serve: Callable[..., Served]) -> None:
    """350 g short is 0.37 mm thin on 12 mm."""
    folder = demo_folder(tmp_path / "weigh")
    page.goto(serve(folder, datetime(2026, 3, 2, 7, 40, tzinfo=UTC)).address)
    line = page.locator("li[data-sheet^='O-104']").first
    line.locator(".do").click()
    for key in "11,39":
        page.locator(f"#hands [data-key='{key}']").click()
    loud = page.locator("#hands-faults strong")
    expect(loud).to_have_text("0.35 kg short: 0.36 mm too thin; not right: up to 0.05 kg off is allowed")
    expect(page.locator("#hands-faults .shape.late")).to_be_visible()
    for key in ("back", "back", "back", "back", "back", *"11,72"):
        page.locator(f"#hands [data-key='{key}']").click()
    expect(page.locator("#hands-faults")).to_contain_text("too thin; right: up to 0.05 kg off is allowed")
    expect(loud).to_have_count(0)


@pytest.mark.parametrize("width", [360, 1180])
@pytest.mark.parametrize("address", ["/handover", "/record/O-104-01/measure", "/happened"])
def test_axe_finds_nothing_where_more_is_told(page: Page, floor: Served, address: str, width: int) -> None:
    page.set_viewport_size({"width": width, "height": 800})
    page.goto(floor.address + address)
    assert faults_by_axe(page) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= width


@pytest.mark.parametrize("address", ["/access", "/pair", "/shop/part/orders", "/week"])
def test_axe_finds_nothing_on_the_rest(page: Page, floor: Served, address: str) -> None:
    page.goto(floor.address + address)
    assert faults_by_axe(page) == []
