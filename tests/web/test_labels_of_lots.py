"""Labels of lots: on a sheet of eight and in the sizes of label printers, useful without a server."""

from __future__ import annotations

import io
from datetime import UTC, datetime
from typing import ClassVar

import httpx
import pypdf
import pytest
from hypothesis import given
from hypothesis import strategies as st
from playwright.sync_api import Page, expect

from flatstock.actions.lot_label import lot_label, lots_to_label
from flatstock.errors import Refused
from flatstock.workshop.shop import Lot, Workshop
from tests.web.conftest import Served

NOW = datetime(2026, 3, 2, 9, 0, tzinfo=UTC)


@pytest.fixture
def shop(served: Served) -> Workshop:
    found: Workshop = served.app.state.place.shop()
    return found


def pages_of(served: Served, address: str) -> list[pypdf.PageObject]:
    answer = httpx.get(served.address + address, timeout=30)
    assert answer.headers["content-type"] == "application/pdf", answer.text
    return list(pypdf.PdfReader(io.BytesIO(answer.content)).pages)


def test_what_the_qr_says_is_useful_without_a_server(shop: Workshop) -> None:
    assert lot_label(shop, "L-2308", now=NOW, address="http://shop:8765")["text"].splitlines() == [
        "L-2308",
        ">PE-HD< dark regrind",
        "origin own regrind, Lower Sluice Sheet Workshop",
        "released, 38 kg on 2026-03-02",
        "made from L-2301, L-2302",
        "http://shop:8765/store/lot/L-2308",
    ]


@pytest.mark.parametrize("on", ["sheet", "62x100", "100x50"])
def test_a_lots_label_comes_in_the_size_of_its_printer(served: Served, on: str) -> None:
    (sheet,) = pages_of(served, f"/store/lot/L-2301/label.pdf?on={on}")
    width, height = (round(float(side) / 72 * 25.4) for side in (sheet.mediabox.width, sheet.mediabox.height))
    assert (width, height) == {"sheet": (210, 297), "62x100": (62, 100), "100x50": (100, 50)}[on]
    text = " ".join(sheet.extract_text().split())
    for said in (
        "L-2301",
        ">PE-HD<",
        "dark caps",
        "released on 2026-03-02",
        "origin: packaging",
        "412.00 kg",
    ):
        assert said in text
    assert "A hold that came after this print counts" in text


def test_a_held_lots_label_says_that_it_is_held(served: Served) -> None:
    (sheet,) = pages_of(served, "/store/lot/L-2306/label.pdf")
    assert "QUARANTINE: can't be weighed" in " ".join(sheet.extract_text().split())


def test_all_lots_of_which_something_is_left_come_eight_on_a_sheet(served: Served, shop: Workshop) -> None:
    names = lots_to_label(shop)
    pages = pages_of(served, "/store/labels.pdf")
    assert len(pages) == -(-len(names) // 8)
    text = " ".join(page.extract_text() for page in pages)
    assert all(name in text for name in names)


def test_a_label_of_nothing_is_refused(served: Served, shop: Workshop) -> None:
    with pytest.raises(Refused, match="no lot is called"):
        lot_label(shop, "L-9", now=NOW)
    assert httpx.get(f"{served.address}/store/lot/L-9/label.pdf", timeout=30).status_code == 422
    assert httpx.get(f"{served.address}/store/lot/L-2301/label.pdf?on=stone", timeout=30).status_code == 422


def test_the_lots_page_offers_its_label(page: Page, served: Served) -> None:
    page.goto(f"{served.address}/store/lot/L-2301")
    link = page.get_by_role("link", name="62x100 mm")
    expect(link).to_have_attribute("href", "/store/lot/L-2301/label.pdf?on=62x100")


@given(name=st.text(st.characters(categories=("L", "N")), min_size=1, max_size=12), mass=st.floats(0, 1e5))
def test_a_qr_begins_with_the_lots_name_and_tells_state_and_date(name: str, mass: float) -> None:
    lot = Lot(id=name, plastic="pp", form="", colour=None, mass=mass, status="blocked", origin="unknown")
    lines = lot_label(_Shop(name, lot), name, now=NOW)["text"].splitlines()
    assert lines[0] == name
    assert lines[3] == f"blocked, {mass:g} kg on 2026-03-02"


class _Shop:
    """As much of a workshop as a label asks for."""

    name = "Somewhere"
    plastic_overrides: ClassVar[dict[str, dict[str, object]]] = {}

    def __init__(self, name: str, lot: Lot) -> None:
        self.lots = {name: lot}
