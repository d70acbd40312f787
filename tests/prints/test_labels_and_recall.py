"""A label is one piece of its roll, and a recall's columns stand clear of each other."""

from __future__ import annotations

import pytest
from pypdf import PdfReader

from flatstock.prints.pdf.labels import label_pdf
from flatstock.prints.pdf.recall import recall_pdf

SHEET = {
    "sheet": "O-101-01",
    "marking": ">PE-HD<",
    "thickness_mm": 18.0,
    "colour": "blue",
    "length_mm": 1200.0,
    "width_mm": 800.0,
    "pressed": "Mon 2 March 2026",
    "lots": [("L-2302", 15.82, 0.898), ("L-2308", 1.0, 0.057), ("L-2309", 0.8, 0.045)],
    "not_before": "Tue 3 March 2026, 02:30",
    "mark": "28a21a55",
    "held": [],
    "shop": "A workshop with quite a long name indeed",
    "text": "O-101-01 >PE-HD< 18 mm blue, pressed 2026-03-02, L-2302 89.8 %, L-2308 5.7 %, L-2309 4.5 %, #28a21a55",
}


@pytest.mark.parametrize("on", ["62x100", "100x50"])
def test_a_sheet_of_several_lots_has_one_label_with_all_that_belongs_on_it(tmp_path, on):
    """Its caution, or its QR, came out on a second one."""
    path = tmp_path / "label.pdf"
    assert label_pdf([SHEET, SHEET], path, on) == []
    pages = PdfReader(path).pages
    assert len(pages) == 2
    for page in pages:
        words = " ".join(page.extract_text().split())
        assert words.startswith("O-101-01")
        assert "L-2309 4.5 %" in words
        assert "unless tested" in words


@pytest.mark.parametrize("on", ["62x100", "100x50", "sheet"])
def test_the_label_of_a_sheet_of_a_blocked_lot_says_to_keep_it_back(tmp_path, on):
    held = {**SHEET, "held": ["L-2301, of which L-2308 was made, is blocked"]}
    label_pdf([held], tmp_path / "held.pdf", on)
    label_pdf([SHEET], tmp_path / "free.pdf", on)
    (page,) = PdfReader(tmp_path / "held.pdf").pages
    words = " ".join(page.extract_text().split())
    assert "KEEP BACK: L-2301, of which L-2308 was made, is blocked" in words
    assert "1200 × 800 mm" in words
    assert "KEEP BACK" not in PdfReader(tmp_path / "free.pdf").pages[0].extract_text()


def test_who_is_to_be_told_of_a_recall_stands_beside_what_is_not_weighed_yet(tmp_path):
    """A long list of what is not weighed yet was set over the sheets that are."""
    path = tmp_path / "recall.pdf"
    later = ", ".join(f"O-107-{n:02d}" for n in range(1, 9))
    document = {
        "lot": "L-2301", "status": "blocked", "sheets": [], "lots": [], "offcuts": [], "planned": [],
        "orders": [("O-107", "divider", "O-107-11, O-107-12", later)], "shop": "A shop", "as_of": "as of now",
        "cautions": [], "foot": "", "made_at": "2026-03-02T14:30:00+00:00",
    }  # fmt: skip
    recall_pdf(document, path)
    found: dict[str, float] = {}

    def note(text, page, line, *font):
        for words in ("sheets of it", "not weighed", "O-107-11", "O-107-01"):
            if words in text:
                found[words] = page[4] + line[4]

    PdfReader(path).pages[0].extract_text(visitor_text=note)
    assert found["O-107-01"] - found["O-107-11"] > 80, found
    assert found["not weighed"] - found["sheets of it"] > 80, found
