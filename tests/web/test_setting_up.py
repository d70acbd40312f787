"""The shop's set-up as forms, and a first hour from an empty folder, in a real browser."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import httpx
import pytest
from playwright.sync_api import Page, expect

from flatstock.actions.lot_book import give_status
from flatstock.actions.setting_up import sheaf_of
from flatstock.actions.workshops import open_workshop
from flatstock.web.meanwhile import as_shown
from flatstock.workshop.files import read
from tests.records.some import a_weighing
from tests.web.conftest import MONDAY, Served, demo_folder
from tests.web.test_pages_in_a_browser import faults_by_axe


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return demo_folder(tmp_path / "shop")


def test_a_press_is_changed_by_its_form_and_the_cards_follow(
    page: Page, folder: Path, serve: Callable[..., Served]
) -> None:
    address = serve(folder).address
    page.goto(f"{address}/shop/part/shop")
    page.get_by_role("link", name="Change HP1").click()
    page.get_by_label("daylight").fill("175")
    page.get_by_role("button", name="Check and write").click()
    expect(page.get_by_role("status")).to_contain_text("written")
    assert read(folder).hot_presses["HP1"].daylight == pytest.approx(0.175)
    assert "daylight_mm = 180" in (folder / "shop.toml.before").read_text()
    page.goto(f"{address}/card?plastic=hdpe&thickness=12")
    expect(page.locator("#answer")).to_contain_text("of 175 mm daylight")


def test_a_form_has_the_checks_of_the_file_and_writes_nothing_that_fails_them(
    page: Page, folder: Path, serve: Callable[..., Served]
) -> None:
    before = (folder / "shop.toml").read_text()
    page.goto(f"{serve(folder).address}/shop/part/shop")
    page.get_by_role("link", name="Change HP1").click()
    page.get_by_label("daylight").fill("180 kg")
    page.get_by_role("button", name="Check and write").click()
    expect(page.locator(".field.wrong")).to_contain_text("is a mass, not a length")
    assert (folder / "shop.toml").read_text() == before


def test_a_lot_that_is_held_and_weighed_while_its_form_stands_open_stays_held_and_weighed(
    page: Page, folder: Path, serve: Callable[..., Served]
) -> None:
    served = serve(folder)
    page.goto(f"{served.address}/shop/part/lots")
    page.get_by_role("link", name="Change L-2301").click()
    store = served.app.state.floor.board().store
    store.append([a_weighing(lot="L-2301", mass=12.0)])
    give_status(folder, "L-2301", "quarantine", at=MONDAY, who=["OP4"], why="smells of solvent")
    page.get_by_label("note").fill("opened on Monday")
    page.get_by_role("button", name="Check and write").click()
    expect(page.get_by_role("status")).to_contain_text("written")
    lot = open_workshop(folder).lots["L-2301"]
    assert (lot.note, lot.status, lot.mass) == ("opened on Monday", "quarantine", 400.0)


def test_a_number_that_somebody_else_has_changed_meanwhile_is_asked_about(
    folder: Path, serve: Callable[..., Served]
) -> None:
    address = f"{serve(folder).address}/shop/part/lots/form"
    entry = next(one for one in sheaf_of(folder, "lots").entries if one.title == "L-2301")
    form = {"_at": str(entry.at), "_of": "", "_was": as_shown(entry.title, entry.values), **entry.values}
    for mass, status, left in (("390", 303, 390.0), ("395", 422, 390.0)):
        answer = httpx.post(address, data=form | {"mass_kg": mass}, timeout=60)
        assert answer.status_code == status
        assert open_workshop(folder).lots["L-2301"].mass == left
    assert "it has become 390" in answer.text


def test_a_form_never_writes_on_another_row_than_it_was_opened_for(
    folder: Path, serve: Callable[..., Served]
) -> None:
    address = f"{serve(folder).address}/shop/part/orders/form"
    first, second = sheaf_of(folder, "orders").entries[:2]
    form = {"_at": str(first.at), "_of": "", "_was": as_shown(first.title, first.values)}
    assert httpx.post(address, data=form | {"_do": "away"}, timeout=60).status_code == 303
    answer = httpx.post(address, data=form | first.values | {"sheets": "7"}, timeout=60)
    assert f"{first.title} no longer stands here" in answer.text
    assert sheaf_of(folder, "orders").entries[0].values == second.values


def test_an_order_is_added_with_a_decimal_comma(
    page: Page, folder: Path, serve: Callable[..., Served]
) -> None:
    address = serve(folder).address
    page.goto(f"{address}/shop/part/orders")
    page.get_by_role("link", name="an order", exact=True).click()
    for name, value in (
        ("short name", "O-200"),
        ("plastic", "hdpe"),
        ("thickness mm", "12,5"),
        ("sheets", "2"),
    ):
        page.get_by_label(name).first.fill(value)
    page.get_by_role("button", name="Check and write").click()
    expect(page.get_by_role("status")).to_contain_text("written")
    assert read(folder).orders["O-200"].thickness == pytest.approx(0.0125)
    page.goto(f"{address}/orders")
    expect(page.locator("tr", has_text="O-200")).to_contain_text("not planned")


def test_a_lot_in_quarantine_is_not_among_those_that_a_card_offers(
    page: Page, folder: Path, serve: Callable[..., Served]
) -> None:
    page.goto(f"{serve(folder).address}/card?plastic=abs")
    expect(page.locator("#answer")).not_to_contain_text("L-2306")
    page.goto(page.url.split("/card")[0] + "/card?plastic=abs&lot=L-2306")
    expect(page.get_by_role("alert")).to_contain_text("L-2306")


def test_a_file_with_faults_can_be_mended_as_text(folder: Path, serve: Callable[..., Served]) -> None:
    good = (folder / "shop.toml").read_text()
    (folder / "shop.toml").write_text(good.replace("room_C = 18", "room_C = hot"))
    address = serve(folder).address  # no records are begun from files with faults
    answer = httpx.get(f"{address}/card", timeout=30)
    assert answer.status_code == 422
    assert "shop.toml" in answer.text
    sent = httpx.post(f"{address}/shop/files", data={"name": "shop", "text": good}, timeout=30)
    assert sent.status_code == 303
    assert httpx.get(f"{address}/card", timeout=30).status_code == 200


def test_from_an_empty_folder_to_the_first_card(
    page: Page, tmp_path: Path, serve: Callable[..., Served]
) -> None:
    """The whole of it without a keyboard but for the name: ten minutes are enough."""
    empty = tmp_path / "mine"
    empty.mkdir()
    page.goto(serve(empty, None).address)
    expect(page.locator("h1")).to_have_text("A new workshop")
    assert faults_by_axe(page) == []
    page.get_by_label("What is the workshop called?").fill("Quay Street Sheets")
    page.get_by_role("button", name="Start the workshop").click()
    expect(page.locator("h1")).to_have_text("Sheet card")
    expect(page.locator(".shop")).to_have_text("Quay Street Sheets")
    expect(page.locator(".big .digits").first).to_contain_text("kg")


def test_a_new_workshop_may_be_in_inches(page: Page, tmp_path: Path, serve: Callable[..., Served]) -> None:
    empty = tmp_path / "mine"
    empty.mkdir()
    page.goto(serve(empty, None).address)
    page.locator("label", has_text="inches, pounds").click()
    expect(page.locator("input[name=platen_length]")).to_have_value("28")
    page.get_by_role("button", name="Start the workshop").click()
    expect(page.locator(".big .digits").first).to_contain_text("lb")


def test_an_answer_that_cannot_be_is_said_at_its_question(
    page: Page, tmp_path: Path, serve: Callable[..., Served]
) -> None:
    empty = tmp_path / "mine"
    empty.mkdir()
    page.goto(serve(empty, None).address)
    page.locator("input[name=daylight]").fill("150 kg")
    page.get_by_role("button", name="Start the workshop").click()
    expect(page.locator("fieldset.wrong")).to_contain_text("is a mass, not a length")
    assert list(empty.iterdir()) == []


def test_an_order_is_planned_from_the_browser_and_promised(
    page: Page, tmp_path: Path, serve: Callable[..., Served]
) -> None:
    empty = tmp_path / "mine"
    empty.mkdir()
    served = serve(empty, None)
    served.app.state.planner.seconds = 8.0
    page.goto(served.address)
    page.get_by_role("button", name="Start the workshop").click()
    expect(page.locator("h1")).to_have_text("Sheet card")
    page.goto(f"{served.address}/shop/part/orders")
    page.get_by_role("link", name="an order", exact=True).click()
    for name, value in (("short name", "O-1"), ("plastic", "hdpe"), ("thickness mm", "12"), ("sheets", "1")):
        page.get_by_label(name).first.fill(value)
    page.get_by_role("button", name="Check and write").click()
    expect(page.get_by_role("status")).to_contain_text("written")
    page.goto(f"{served.address}/week")
    page.get_by_role("button", name="Plan the week").click()
    expect(page.locator("#planning")).to_contain_text("Planning")
    expect(page.locator("main")).to_contain_text(
        re.compile("sheets, none late|left out|Not possible"), timeout=90_000
    )


@pytest.mark.parametrize(
    "address",
    ["/shop", "/shop/part/shop", "/shop/part/shop/form?at=3&of=hot_presses", "/shop/files?name=lots"],
)
@pytest.mark.parametrize("width", [360, 1180])
def test_axe_finds_nothing_in_the_forms(page: Page, served: Served, address: str, width: int) -> None:
    page.set_viewport_size({"width": width, "height": 800})
    page.goto(served.address + address)
    assert faults_by_axe(page) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= width
