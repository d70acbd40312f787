"""The wall chart on screen and paper: which rows it shows, in which units, and how large its type is."""

from __future__ import annotations

from collections import Counter

import pytest
from pypdf import PdfReader

from flatstock.prints.pdf import wallchart_pdf
from flatstock.prints.text import wallchart_text


@pytest.fixture
def two(wallchart):
    """The sample, and the same rows for a plastic that the shop has no flake of."""
    rows = [row | {"in_stock": True} for row in wallchart["rows"]]
    return wallchart | {"rows": [*rows, *(row | {"plastic": "abs", "in_stock": False} for row in rows)]}


@pytest.fixture
def full(wallchart):
    """Four plastics, three set-points and three thicknesses: a shop like the demo."""
    row = wallchart["rows"][0]
    rows = [
        row | {"plastic": plastic, "set_point_C": set_point, "thickness_mm": mm, "usual": set_point == 190}
        for plastic in ("hdpe", "ldpe", "pp", "hips")
        for set_point in (180, 190, 200)
        for mm in (6, 12, 18)
    ]
    return wallchart | {"rows": rows}


def sizes(path):
    """How many letters stand in which type size [pt]; pictures apart."""
    found = Counter()

    def count(text, cm, tm, font, size):
        if text.strip():
            found[round(abs(size * tm[3] * cm[3]), 1)] += len(text.strip())

    PdfReader(path).pages[0].extract_text(visitor_text=count)
    return found


def text_of(path):
    return " ".join(" ".join(page.extract_text() for page in PdfReader(path).pages).split())


@pytest.mark.parametrize("paper", ["a3", "tabloid"])
def test_bands_and_notes_are_ten_point_on_the_paper_that_is_hung_up(tmp_path, full, paper):
    """Read at arm's length: 10 pt has small letters of 1.9 mm (common practice, no source)."""
    wallchart_pdf(full, tmp_path / "wall.pdf", paper)
    by_size = sizes(tmp_path / "wall.pdf")
    assert max(by_size, key=by_size.__getitem__) >= 10.0
    assert "sheet, mm" in text_of(tmp_path / "wall.pdf").replace(
        "sheet,mm", "sheet, mm"
    )  # the picture at its foot


def test_plastics_without_flake_are_named_and_not_shown(tmp_path, two):
    said = wallchart_text(two)
    assert "ABS at" not in said
    assert "no released flake of it is here: ABS" in said
    wallchart_pdf(two, tmp_path / "wall.pdf")
    assert "no released flake of it is here: ABS" in text_of(tmp_path / "wall.pdf")


def test_every_plastic_is_shown_where_it_is_asked_for(tmp_path, two):
    assert "ABS at" in wallchart_text(two, every=True)
    wallchart_pdf(two, tmp_path / "wall.pdf", every=True)
    assert "Not shown" not in text_of(tmp_path / "wall.pdf")


def test_a_shop_in_pounds_reads_its_chart_in_pounds(tmp_path, wallchart):
    wallchart_pdf(wallchart, tmp_path / "wall.pdf", "tabloid", "us")
    text = text_of(tmp_path / "wall.pdf")
    for words in ("383 °F", "25.88 lb", "0.472 in (12 mm)"):
        assert words in text
    assert " kg" not in text


@pytest.mark.parametrize("advised", [10.9, 13.0])
def test_a_rounded_dwell_never_reads_later_than_the_latest_beside_it(wallchart, advised):
    late = {
        "value": advised + 2,
        "low": advised + 0.02,
        "high": advised + 4,
        "kind": "computed",
        "source": "",
    }
    row = wallchart["rows"][0] | {"dwell_advised_min": advised, "dwell_latest_min": late}
    line = next(line for line in wallchart_text(wallchart | {"rows": [row]}).splitlines() if "mm  " in line)
    words = line.replace("assumed", "").split()
    said = [float(one) for one in words if one.replace(".", "").isdigit()]
    assert f"{advised:g}" in words
    assert said[-1] >= advised
