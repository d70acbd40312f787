"""From a lot to whom to tell, from a sheet back to its lots, and how recycled it is, by the worked story of a recall."""

from __future__ import annotations

import io
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path

import httpx
import pypdf
import pytest
from playwright.sync_api import Page, expect

from flatstock.actions.kept import kept_plan
from flatstock.actions.practice import noted_by
from flatstock.records.store import open_store
from flatstock.running.event import Event
from tests.web.conftest import Served, demo_folder
from tests.web.test_pages_in_a_browser import faults_by_axe

NOW = datetime(2026, 3, 2, 14, 1, tzinfo=UTC)
BLUE = (
    "O-101-01"  # 15.82 kg of crates, 1.00 of own regrind, 0.80 virgin: the sheet that the story calls B-014
)
PAGES = ("/store/lot/L-2301/trace", f"/store/sheet/{BLUE}", "/orders/recycled?order=O-101")


@pytest.fixture(scope="module")
def monday(tmp_path_factory: pytest.TempPathFactory, serve_module: Callable[..., Served]) -> Served:
    folder = demo_folder(tmp_path_factory.mktemp("traced") / "shop")
    plan = kept_plan(folder)
    assert plan is not None
    with open_store(folder) as store:
        store.append(noted_by(plan, NOW))
    return serve_module(folder, NOW)


@pytest.fixture(scope="module")
def asks(monday: Served) -> Iterator[httpx.Client]:
    with httpx.Client(base_url=monday.address, timeout=60) as client:
        yield client


def words_of(answer: httpx.Response) -> str:
    return " ".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(answer.content)).pages)


def test_a_blue_sheet_is_as_recycled_as_its_rule_says(page: Page, monday: Served) -> None:
    """89.8 % with own regrind counted as nothing, 95.2 % with it left out of both sides (the worked story of a recall)."""
    page.goto(f"{monday.address}/store/sheet/{BLUE}")
    assert page.locator(".big .digits").all_inner_texts() == ["89.8 %", "95.2 %"]
    expect(page.locator("main")).to_contain_text("ISO 14021")
    expect(page.locator("main")).not_to_contain_text("L-2306")
    came = page.get_by_role("row").filter(has_text="crate flake")
    expect(came.last, "it was weighed, and is in the regrind too").to_contain_text(
        "weighed, and through L-2308"
    )


def test_the_sheets_record_and_its_paper_say_it_with_the_rule(asks: httpx.Client) -> None:
    for text in (asks.get(f"/record/{BLUE}").text, words_of(asks.get(f"/record/{BLUE}/paper.pdf"))):
        for said in ("89.8 %", "95.2 %", "ISO 14021", "own regrind"):
            assert said in text


def test_a_recall_names_no_place_for_a_sheet_that_is_out_of_its_mould(page: Page, monday: Served) -> None:
    page.goto(f"{monday.address}/store/lot/L-2301/trace")
    rows = page.locator("tbody tr")
    expect(rows.filter(has_text=BLUE).locator("[data-name=at]")).to_have_text("HP1")
    expect(
        rows.filter(has_text="O-104-01").filter(has_text="demoulded").locator("[data-name=at]")
    ).to_have_text("")


def test_a_recall_finds_the_dark_sheets_and_the_blue_ones_through_the_regrind(asks: httpx.Client) -> None:
    text = asks.get("/store/lot/L-2301/trace").text
    for sheet in ("O-104-01", BLUE):
        assert f"/record/{sheet}" in text
    assert "O-103-01" not in text  # green, of another lot altogether
    assert "L-2308" in text


def test_a_recall_says_whom_to_tell(page: Page, monday: Served) -> None:
    page.goto(f"{monday.address}/store/lot/L-2301/trace")
    told = page.locator("#orders ~ .wide tbody tr")
    expect(told.first).to_contain_text("flat-pack stool")
    expect(told.first).to_contain_text(BLUE)


def test_a_recall_comes_on_paper_with_room_for_what_was_found(asks: httpx.Client) -> None:
    text = words_of(asks.get("/store/lot/L-2301/trace.pdf"))
    for said in ("Whom to tell", BLUE, "L-2308", "found: by, at"):
        assert said in text


def test_an_order_is_stated_on_paper_with_its_rule_and_sheets(asks: httpx.Client) -> None:
    text = words_of(asks.get("/orders/recycled.pdf?order=O-101"))
    for said in ("89.8", "95.2", "ISO 14021", BLUE, "L-2309"):
        assert said in text


def test_the_labels_of_an_order_come_on_one_sheet_of_paper(asks: httpx.Client) -> None:
    answer = asks.get("/orders/labels.pdf?order=O-104")
    assert len(pypdf.PdfReader(io.BytesIO(answer.content)).pages) == 1
    for sheet in ("O-104-01", "O-104-02", "O-104-03"):
        assert sheet in words_of(answer)
    assert asks.get("/orders/labels.pdf?order=O-107").status_code == 422  # none of it is pressed yet


def test_an_order_that_nothing_was_weighed_for_is_not_known(
    tmp_path: Path, serve: Callable[..., Served]
) -> None:
    served = serve(demo_folder(tmp_path / "shop"), NOW)
    answer = httpx.get(f"{served.address}/orders/recycled?order=O-101", timeout=60)
    assert "not known" in answer.text
    assert httpx.get(f"{served.address}/orders/recycled.pdf?order=O-101", timeout=60).status_code == 422


def test_a_corrected_weighing_counts_as_corrected(tmp_path: Path, serve: Callable[..., Served]) -> None:
    folder = demo_folder(tmp_path / "shop")
    plan = kept_plan(folder)
    assert plan is not None
    events = noted_by(plan, NOW)
    wrong = next(
        one for one in events if one.sheet == BLUE and one.kind == "weighed" and one.facts["lot"] == "L-2308"
    )
    right = Event(
        id="fix", at=wrong.at, noted_at=NOW, kind="corrected", who=("OP1",), corrects=wrong.id,
        facts={"mass_kg": 2.0}, why="read the scale wrong",
    )  # fmt: skip
    with open_store(folder) as store:
        store.append([*events, right])
    text = httpx.get(f"{serve(folder, NOW).address}/record/{BLUE}", timeout=60).text
    assert "85.0 % recycled" in text


@pytest.mark.parametrize("width", [360, 820, 1920])
@pytest.mark.parametrize("address", PAGES)
def test_axe_finds_nothing_where_lots_are_traced(
    page: Page, monday: Served, address: str, width: int
) -> None:
    page.set_viewport_size({"width": width, "height": 800})
    page.goto(monday.address + address)
    assert faults_by_axe(page) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= width
