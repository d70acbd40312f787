"""A sheet's record, its label, and what happened."""

from __future__ import annotations

import io
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import httpx
import pypdf
import pytest
import zxingcpp
from playwright.sync_api import Page, expect

from flatstock.actions.board import Board
from flatstock.actions.kept import kept_plan
from flatstock.actions.practice import noted_by
from flatstock.actions.sheet_record import record_of
from flatstock.actions.workshops import open_workshop
from flatstock.records.store import open_store
from flatstock.running.event import Event
from tests.web.conftest import Served, demo_folder
from tests.web.test_access import _image
from tests.web.test_pages_in_a_browser import faults_by_axe

NOW = datetime(2026, 3, 2, 14, 1, tzinfo=UTC)
LATER = datetime(2026, 3, 2, 15, 35, tzinfo=UTC)


@pytest.fixture(scope="module")
def pressed(tmp_path_factory: pytest.TempPathFactory, serve_module: Callable[..., Served]) -> Served:
    """The demo's Monday up to 14:01."""
    folder = demo_folder(tmp_path_factory.mktemp("pressed") / "shop")
    plan = kept_plan(folder)
    assert plan is not None
    with open_store(folder) as store:
        store.append(noted_by(plan, NOW))
    return serve_module(folder, NOW)


def test_a_record_says_what_was_weighed_when_it_was_pressed_and_by_whom(pressed: Served) -> None:
    text = httpx.get(f"{pressed.address}/record/O-104-01", timeout=30).text
    for said in ("&gt;PE-HD&lt;", "L-2301", "11.74 kg", "08:13", "28 min", "OP1 + OP2", "F12-1"):
        assert said in text


def test_the_qr_on_the_page_is_useful_without_a_server(pressed: Served, page: Page) -> None:
    """Read back by another reader of QR symbols."""
    page.goto(f"{pressed.address}/record/O-104-01")
    (read,) = zxingcpp.read_barcodes(_image(page.locator(".qr svg").screenshot()))
    lines = read.text.splitlines()
    assert lines[:2] == ["O-104-01", ">PE-HD< 12 mm dark, 1200 x 800 mm"]
    assert lines[2] == "pressed 2026-03-02, Lower Sluice Sheet Workshop"
    assert lines[3] == "lots L-2301 11.74 kg"


@pytest.mark.parametrize("on", ["sheet", "62x100", "100x50"])
def test_a_label_comes_in_the_size_of_its_printer(pressed: Served, on: str) -> None:
    answer = httpx.get(f"{pressed.address}/record/O-104-01/label.pdf?on={on}", timeout=30)
    (sheet,) = pypdf.PdfReader(io.BytesIO(answer.content)).pages
    width, height = (round(float(side) / 72 * 25.4) for side in (sheet.mediabox.width, sheet.mediabox.height))
    assert (width, height) == {"sheet": (210, 297), "62x100": (62, 100), "100x50": (100, 50)}[on]
    text = sheet.extract_text()
    assert "O-104-01" in text
    assert "Not for food contact" in text


def test_a_record_on_paper_has_the_whole_way(pressed: Served) -> None:
    answer = httpx.get(f"{pressed.address}/record/O-104-01/paper.pdf", timeout=30)
    text = pypdf.PdfReader(io.BytesIO(answer.content)).pages[0].extract_text()
    for said in ("weighed", "loaded", "transferred", "demoulded", "L-2301"):
        assert said in text


def test_a_sheet_that_nobody_knows_is_said_so(pressed: Served) -> None:
    answer = httpx.get(f"{pressed.address}/record/O-999-01", timeout=30)
    assert answer.status_code == 422
    assert "nothing is on record" in answer.text


def test_a_correction_shows_in_the_record_and_the_mark_follows_the_mass(tmp_path: Path) -> None:
    folder = demo_folder(tmp_path / "shop")
    plan, shop = kept_plan(folder), open_workshop(folder)
    assert plan is not None
    events = noted_by(plan, NOW)
    before = record_of("O-104-01", events, plan, shop)
    wrong = next(one for one in events if one.kind == "weighed" and one.sheet == "O-104-01")
    right = Event(
        id="fix", at=wrong.at, noted_at=NOW, kind="corrected", who=("OP1",), corrects=wrong.id,
        facts={"mass_kg": 11.7}, why="read the scale wrong",
    )  # fmt: skip
    after = record_of("O-104-01", [*events, right], plan, shop)
    assert dict(after.lots) == {"L-2301": 11.7}
    assert after.mark != before.mark
    assert any(line.corrected for line in after.way)


def test_a_load_told_late_between_platens_that_were_not_ready_asks_for_a_cut_test(tmp_path: Path) -> None:
    """As a tablet that had no network tells it: nobody was asked, so nobody said that they were cold.

    The demo's press reaches 195 °C in 39.5 min from 18 °C and soaks 15 min (demo.md); the record is read from a store.
    """
    folder = demo_folder(tmp_path / "shop")
    plan, shop = kept_plan(folder), open_workshop(folder)
    assert plan is not None

    def heated(at: str) -> list[str]:
        begun = datetime.fromisoformat(f"2026-03-02T{at}:00+00:00")
        heating = Event(
            id=f"heating {at}", at=begun, noted_at=begun, kind="heating_on", who=("OP1",), place="HP1",
            facts={"set_point_C": 195.0},
        )  # fmt: skip
        events = [one for one in noted_by(plan, NOW) if one.kind not in ("heating_on", "heating_off")]
        (tmp_path / at[3:]).mkdir()
        with open_store(tmp_path / at[3:]) as store:
            store.append([heating, *events])
            record = record_of("O-104-01", Board(store).of_sheet("O-104-01"), plan, shop)
        return [one.what for one in record.deviations if one.cut_test]

    assert heated("07:10") == []  # loaded at 08:13
    assert heated("07:40") == ["laid in before the platens were ready"]


@pytest.mark.parametrize("address", ["/record/O-104-01", "/happened"])
@pytest.mark.parametrize("width", [360, 1180])
def test_axe_finds_nothing_in_records(page: Page, pressed: Served, address: str, width: int) -> None:
    page.set_viewport_size({"width": width, "height": 800})
    page.goto(pressed.address + address)
    assert faults_by_axe(page) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= width


def test_what_happened_leads_to_each_sheets_record(page: Page, pressed: Served) -> None:
    page.goto(f"{pressed.address}/happened")
    page.get_by_role("link", name="O-101-01").first.click()
    expect(page.locator("h1")).to_contain_text("O-101-01")


def test_edges_that_are_sawn_are_told_on_the_record_of_a_sheet(
    page: Page, tmp_path: Path, serve: Callable[..., Served]
) -> None:
    folder = demo_folder(tmp_path / "shop")
    plan = kept_plan(folder)
    assert plan is not None
    with open_store(folder) as store:
        store.append([one for one in noted_by(plan, LATER) if one.kind != "trimmed"])
    page.goto(f"{serve(folder, LATER).address}/record/O-104-01")
    page.get_by_text("Its edges are sawn").click()
    page.get_by_role("group", name="Who sawed").locator("label", has_text="OP1").click()
    page.get_by_role("button", name="Sawn").click()
    expect(page.locator("[aria-labelledby=way]")).to_contain_text("edges sawn")
    expect(page.get_by_text("Its edges are sawn")).to_have_count(0)


def test_a_sheet_that_is_still_in_its_mould_is_neither_measured_nor_sawn(pressed: Served, page: Page) -> None:
    page.goto(f"{pressed.address}/record/O-101-01")
    expect(page.locator("h1")).to_contain_text("O-101-01")
    expect(page.get_by_role("link", name="Measure it")).to_have_count(0)
    expect(page.get_by_text("Its edges are sawn")).to_have_count(0)
