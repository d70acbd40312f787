"""A shop of inches and pounds, comma, am and pm: its prints from the app say no metric unit, no point, no 24 hours."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from io import BytesIO

import httpx
import pytest
from pypdf import PdfReader

from flatstock.actions.kept import kept_plan
from flatstock.actions.practice import noted_by
from flatstock.records.store import open_store
from tests.web.conftest import Served, demo_folder

NOTED = datetime(2026, 3, 2, 14, 1, tzinfo=UTC)
METRIC = re.compile(r"\d\s?(?:mm|°C|MPa)\b")
POINT = re.compile(r"(?<![\w.,:/-])\d+\.\d+(?![\w.]*\.\w|[A-Za-z_])")
HOURS = re.compile(r"(?<![\d:T.-])(?:[01]\d|2[0-3]):[0-5]\d(?!\d|:\d|\s?[ap]m)")


@pytest.fixture(scope="module")
def asks(
    tmp_path_factory: pytest.TempPathFactory, serve_module: Callable[..., Served]
) -> Iterator[httpx.Client]:
    folder = demo_folder(tmp_path_factory.mktemp("comma") / "shop")
    shop = folder / "shop.toml"
    way = 'units = "us"\nclock_face = "am_pm"\ndecimal_mark = "comma"'
    shop.write_text(shop.read_text("utf-8").replace('units = "metric"', way), "utf-8")
    plan = kept_plan(folder)
    assert plan is not None
    with open_store(folder) as store:
        store.append(noted_by(plan, NOTED))
    with httpx.Client(base_url=serve_module(folder, NOTED).address, timeout=120) as client:
        yield client


def words_of(pdf: bytes) -> str:
    return "\n".join(page.extract_text() for page in PdfReader(BytesIO(pdf)).pages)


@pytest.mark.parametrize(
    "paper",
    ["record/O-104-01/paper.pdf", "record/O-104-01/label.pdf?on=sheet", "store/lot/L-2301/trace.pdf",
     "store/lot/L-2301/label.pdf?on=100x50", "orders/recycled.pdf?order=O-104", "before/supply.pdf"],
)  # fmt: skip
def test_a_print_says_everything_as_the_shop_reads_it(asks: httpx.Client, paper: str) -> None:
    answer = asks.get(f"/{paper}")
    assert answer.headers["content-type"] == "application/pdf"
    said = words_of(answer.content)
    assert len(said) > 80
    assert METRIC.findall(said) == []
    assert POINT.findall(said) == []
    assert HOURS.findall(said) == []


def test_a_card_on_paper_has_commas_and_says_metric_only_beside_what_is_marked_so(asks: httpx.Client) -> None:
    said = words_of(asks.get("/card.pdf").content)
    assert "0,472 in" in said
    assert POINT.findall(said) == []
    assert HOURS.findall(said) == []


def test_a_refusal_says_its_reason_in_the_shops_units(asks: httpx.Client) -> None:
    said = asks.get("/card?plastic=ldpe").text
    assert "of 7,09 in daylight" in said
    assert METRIC.findall(re.sub(r"<[^>]+>", " ", said.split('role="alert"')[1].split("</div>")[0])) == []


def test_money_in_a_shop_of_commas_has_no_comma_between_thousands(asks: httpx.Client) -> None:
    page = re.sub(r"<[^>]+>", " ", asks.get("/before/purchases").text)
    assert re.findall(r"\d,\d{3},\d|\d,\d{3}\.\d", page) == []


def test_where_a_number_comes_from_is_said_with_commas_too(asks: httpx.Client) -> None:
    page = re.sub(r"<[^>]+>", " ", asks.get("/store/lot/L-2301").text.split("Where each number")[1])
    assert POINT.findall(page) == []
