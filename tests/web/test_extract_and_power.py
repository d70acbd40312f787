"""What four metres must tell besides the presses: extract, power headroom, people."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from flatstock.actions.kept import kept_plan
from flatstock.actions.power_now import power_now, said_of_saw
from flatstock.actions.practice import begin_day
from flatstock.running.extract import Extract
from flatstock.workshop.files import read
from tests.web.conftest import Served, demo_folder
from tests.web.test_pages_in_a_browser import faults_by_axe


@pytest.fixture(scope="module")
def busy(tmp_path_factory: pytest.TempPathFactory, serve_module: Callable[..., Served]) -> Served:
    """The demo four minutes before the transfer at which most stands somewhere."""
    folder = demo_folder(tmp_path_factory.mktemp("busy") / "shop")
    plan = kept_plan(folder)
    assert plan is not None
    return serve_module(folder, begin_day(folder, plan))


@pytest.fixture
def due(tmp_path: Path, serve: Callable[..., Served]) -> Served:
    """The transfer is due, and the extract has been told off."""
    folder = demo_folder(tmp_path / "shop")
    plan = kept_plan(folder)
    assert plan is not None
    begin_day(folder, plan)
    return serve(folder, datetime(2026, 3, 2, 10, 14, 30, tzinfo=UTC))


def noted(served: Served) -> list[str]:
    return [one.kind for _, one in served.app.state.floor.board().store.events() if one.device != "practice"]


def extract(page: Page) -> None:
    page.locator("[data-panel=extract]").click()
    page.locator("#hands-people button", has_text="OP1").click()
    page.locator("#hands-done").click()


def test_the_saw_stays_off_while_the_press_is_heated_with_the_figures_of_story_11(busy: Served) -> None:
    """The worked story of a supply: everything on is 41.0 / 41.0 / 38.3 A against 40 A."""
    _, floor = busy.app.state.floor.floor()
    found = power_now(floor, busy.app.state.place.shop())
    assert found is not None
    assert found.saw is not None
    assert [round(one, 1) for one in found.amps] == [34.7, 26.0, 32.0]
    assert [round(one, 1) for one in found.saw.amps] == [41.0, 41.0, 38.3]
    assert (found.saw.may, found.saw.over, found.most) == (False, ("L1", "L2"), 0)


def test_the_board_counts_what_the_chart_under_the_plan_counts(busy: Served) -> None:
    plan = kept_plan(busy.app.state.place.folder)
    assert plan is not None
    now = datetime(2026, 3, 2, 10, 10, tzinfo=UTC)
    piece = next(
        one for one in plan["power"]
        if datetime.fromisoformat(one["start"]) <= now < datetime.fromisoformat(one["end"])
    )  # fmt: skip
    found = power_now(busy.app.state.floor.floor()[1], busy.app.state.place.shop())
    assert found is not None
    assert list(found.amps) == pytest.approx([piece["L1_A"], piece["L2_A"], piece["L3_A"]], abs=0.01)


def test_with_the_heaters_off_the_saw_may_start_and_the_line_with_least_left_is_named(busy: Served) -> None:
    _, floor = busy.app.state.floor.floor()
    cold = replace(floor, places=tuple(replace(one, heat=None, moulds=()) for one in floor.places))
    found = power_now(cold, busy.app.state.place.shop())
    assert found is not None
    assert said_of_saw(found) == {"word": "the saw may start", "why": "40 A left on L2, it takes 15 A"}


def test_the_saw_stays_off_while_the_extract_is_off_however_much_current_is_left(busy: Served) -> None:
    """As after a power cut: nothing is heated, and nothing draws the dust off."""
    _, floor = busy.app.state.floor.floor()
    at = floor.now
    for extract in (Extract(False, at, cut=True), Extract(False, at)):
        cold = replace(
            floor, extract=extract, places=tuple(replace(one, heat=None, moulds=()) for one in floor.places)
        )
        found = power_now(cold, busy.app.state.place.shop())
        assert found is not None
        assert found.saw is not None
        assert not found.saw.may
        said = {"word": "keep the saw off", "why": "the extract is off: say first that it runs"}
        assert said_of_saw(found) == said


def test_a_pump_that_runs_while_moulds_are_handled_keeps_the_saw_off_meanwhile(busy: Served) -> None:
    """Without a mould in the cooling press the pump rests between two handlings."""
    _, floor = busy.app.state.floor.floor()
    shop = busy.app.state.place.shop()
    assert shop.supply is not None
    without = tuple(replace(one, moulds=()) if one.kind == "cooling_press" else one for one in floor.places)
    loads = tuple(replace(one, power=3000.0) if one.id == "PUMP" else one for one in shop.supply.loads)
    larger = replace(shop, supply=replace(shop.supply, rated=42.0, loads=loads))
    said = said_of_saw(power_now(replace(floor, places=without), larger))
    assert said is not None
    assert said["word"] == "the saw may start"
    assert "not while a mould is loaded or transferred" in said["why"]


def test_a_shop_without_a_supply_on_file_is_told_nothing_of_power(tmp_path: Path, busy: Served) -> None:
    folder = demo_folder(tmp_path / "shop", plan=False)
    (folder / "supply.toml").unlink()
    assert power_now(busy.app.state.floor.floor()[1], read(folder)) is None


def test_the_board_says_extract_power_and_people_and_why(page: Page, busy: Served) -> None:
    page.goto(busy.address)
    expect(page.locator(".house .extract")).to_contain_text("Extract on since 07:14")
    expect(page.locator(".house .power")).to_contain_text("L1 35 A of 40: keep the saw off")
    expect(page.locator("[data-panel=people]")).to_contain_text("People here: 3")
    page.locator(".house .why").click()
    expect(page.locator("table").first.get_by_role("row").nth(2)).to_contain_text("41.0")
    assert faults_by_axe(page) == []


def test_extract_off_is_told_by_two_taps_in_word_shape_and_colour(page: Page, due: Served) -> None:
    page.goto(due.address)
    extract(page)
    shown = page.locator(".house .extract[data-state=off]")
    expect(shown).to_contain_text("Extract off since 10:14")
    expect(shown.locator(".shape.late")).to_be_visible()
    assert noted(due) == ["extract_off"]
    assert faults_by_axe(page) == []


def test_a_hot_mould_is_opened_only_after_somebody_has_said_that_the_extract_runs(
    page: Page, due: Served
) -> None:
    page.goto(due.address)
    take_out(page)
    extract(page)
    expect(page.locator(".house .extract[data-state=off]")).to_be_visible()
    page.locator("[data-place=HP1] .do").click()
    for person in ("OP1", "OP2"):
        page.locator("#hands-people button", has_text=person).click()
    expect(page.locator("#hands-faults")).to_contain_text("does the extract run?")
    expect(page.locator("#hands-done")).to_be_disabled()
    page.get_by_role("button", name="the extract runs").click()
    page.locator("#hands-done").click()
    expect(page.locator(".house .extract[data-state=on]")).to_be_visible()
    expect(page.locator("[data-place=CP1]")).to_contain_text("O-104-02")
    assert noted(due)[-2:] == ["extract_on", "transferred"]


def take_out(page: Page) -> None:
    """The mould that stands in the cooling press goes first."""
    page.locator("[data-place=CP1] .do").click()
    for person in ("OP1", "OP2"):
        page.locator("#hands-people button", has_text=person).click()
    page.locator("#hands-done").click()
    expect(page.locator("[data-place=CP1] .clock.empty")).to_be_visible()
    page.get_by_role("button", name="I have read it").click()
