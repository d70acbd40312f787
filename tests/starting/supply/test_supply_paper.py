"""The supply on paper: two sheets, readable by ear, the same words as the document."""

import pytest
from pypdf import PdfReader

from flatstock import demo
from flatstock.actions.supplies import look_at_supply
from flatstock.prints.pdf.supply import supply_pdf

SIZES = {"a4": (595, 842), "letter": (612, 792)}


@pytest.fixture(scope="module")
def document(tmp_path_factory):
    folder = tmp_path_factory.mktemp("shops") / "demo"
    demo.copy_to(folder)
    return look_at_supply(folder).document


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_it_takes_two_sheets_of_the_shops_paper(document, tmp_path, paper):
    assert supply_pdf(document, tmp_path / "s.pdf", paper) == []
    pages = PdfReader(tmp_path / "s.pdf").pages
    assert len(pages) == 2
    assert (float(pages[0].mediabox.width), float(pages[0].mediabox.height)) == pytest.approx(
        SIZES[paper], abs=1
    )


def test_the_second_sheet_is_the_page_to_hand_over(document, tmp_path):
    supply_pdf(document, tmp_path / "s.pdf")
    first, second = (" ".join(page.extract_text().split()) for page in PdfReader(tmp_path / "s.pdf").pages)
    assert "41.04 41.04 38.34" in first
    assert second.startswith("For the electrician")
    assert all(asked[:40] in second for asked in document["ask_the_electrician"])


@pytest.mark.parametrize("loads", [14, 30])
def test_many_loads_still_take_two_sheets(document, tmp_path, loads):
    many = [document["loads"][0] | {"id": f"LOAD{n}"} for n in range(loads)]
    assert supply_pdf(document | {"loads": many}, tmp_path / "s.pdf") == []
