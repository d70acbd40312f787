"""A regrind of a held lot: released itself, it says everywhere that it is held, and through which lot."""

from __future__ import annotations

import io
from collections.abc import Callable
from pathlib import Path

import httpx
import pypdf
import pytest

from flatstock.actions.lot_book import give_status
from flatstock.actions.lot_label import lot_label
from tests.web.conftest import MONDAY, Served, demo_on_record

SAID = "made from L-2301, which is blocked"


@pytest.fixture(scope="module")
def served(tmp_path_factory: pytest.TempPathFactory, serve_module: Callable[..., Served]) -> Served:
    folder: Path = demo_on_record(tmp_path_factory.mktemp("regrind") / "shop")
    give_status(folder, "L-2301", "blocked", at=MONDAY, who=["OP4"], why="PVC found")
    return serve_module(folder)


@pytest.mark.parametrize("page", ["/store?q=L-2308", "/store/lot/L-2308", "/store/lot/L-2301/trace"])
def test_a_page_does_not_call_a_regrind_of_a_blocked_lot_fit_to_be_pressed(served: Served, page: str) -> None:
    text = httpx.get(served.address + page, timeout=60).text
    assert SAID in text
    assert "may be pressed" not in text


def test_its_label_says_that_it_is_held(served: Served) -> None:
    label = lot_label(served.app.state.place.shop(), "L-2308", now=MONDAY)
    assert (label["status"], label["held"]) == ("held", SAID)
    assert label["text"].splitlines()[3].startswith("held, ")


def test_the_list_on_paper_says_so(served: Served) -> None:
    paper = httpx.get(f"{served.address}/store/lot/L-2301/trace.pdf", timeout=60).content
    text = " ".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(paper)).pages)
    assert f"held: {SAID}" in " ".join(text.split())


def test_a_regrind_of_released_lots_may_be_pressed_as_before(
    tmp_path: Path, serve: Callable[..., Served]
) -> None:
    other = serve(demo_on_record(tmp_path / "shop"))
    assert "may be pressed" in httpx.get(f"{other.address}/store/lot/L-2308", timeout=60).text
