"""Who scans a sheet whose lot was held since is told to keep it back, through regrind too, on the page and on paper."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from io import BytesIO
from pathlib import Path

import pytest
from pypdf import PdfReader

from flatstock.actions.kept import kept_plan
from flatstock.actions.lot_book import give_status
from flatstock.actions.practice import noted_by
from flatstock.records.store import open_store
from tests.web.conftest import MONDAY, demo_folder
from tests.web.test_access import Elsewhere

NOTED = datetime(2026, 3, 2, 14, 1, tzinfo=UTC)
DIRECT, THROUGH_REGRIND = "O-104-01", "O-101-01"  # of L-2301; of L-2308, which was made of L-2301 and L-2302


@pytest.fixture
def phone(tmp_path: Path) -> Iterator[Elsewhere]:
    """Anybody's, where the records of sheets are open to the network."""
    folder = demo_folder(tmp_path / "shop")
    plan = kept_plan(folder)
    assert plan is not None
    with open_store(folder) as store:
        store.append(noted_by(plan, NOTED))
    one = Elsewhere(folder)
    one.app.state.keys.open_records(True)
    yield one
    one.close()
    Elsewhere.opened.remove(one)


def hold(phone: Elsewhere, status: str) -> None:
    give_status(phone.app.state.place.folder, "L-2301", status, at=MONDAY, who=["OP1"], why="PVC found")


def test_a_sheet_of_released_lots_says_nothing_of_it(phone: Elsewhere) -> None:
    assert "Keep it back" not in phone.ask("GET", f"/record/{DIRECT}").text


@pytest.mark.parametrize(("status", "said"), [("blocked", "blocked"), ("quarantine", "held in quarantine")])
def test_a_sheet_of_a_lot_that_is_held_since_is_to_be_kept_back(
    phone: Elsewhere, status: str, said: str
) -> None:
    hold(phone, status)
    page = phone.ask("GET", f"/record/{DIRECT}").text
    assert "Keep it back" in page
    assert f"L-2301 is {said}." in page


def test_through_regrind_it_is_said_which_lot_it_came_in_with(phone: Elsewhere) -> None:
    hold(phone, "blocked")
    assert (
        "L-2301, of which L-2308 was made, is blocked." in phone.ask("GET", f"/record/{THROUGH_REGRIND}").text
    )


def test_the_record_on_paper_says_it_too(phone: Elsewhere) -> None:
    hold(phone, "blocked")
    pdf = phone.ask("GET", f"/record/{DIRECT}/paper.pdf").content
    said = "\n".join(page.extract_text() for page in PdfReader(BytesIO(pdf)).pages)
    assert "L-2301 is blocked." in said


def test_a_sheet_that_is_only_planned_is_held_by_its_lot_and_not_to_be_kept_back(tmp_path: Path) -> None:
    one = Elsewhere(demo_folder(tmp_path / "shop"))
    one.app.state.keys.open_records(True)
    hold(one, "blocked")
    assert "Keep it back" not in one.ask("GET", f"/record/{DIRECT}").text
    one.close()
    Elsewhere.opened.remove(one)
