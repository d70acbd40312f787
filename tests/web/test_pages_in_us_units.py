"""A shop in US units and with am and pm reads no millimetre, kilogram, degree Celsius or 24 hours on its pages."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import UTC, datetime

import pytest
from playwright.sync_api import Page, expect

from flatstock.actions.kept import kept_plan
from flatstock.actions.practice import noted_by
from flatstock.actions.room_kept import keep_room
from flatstock.actions.rooms import place_room
from flatstock.records.store import open_store
from flatstock.running.event import Event
from tests.web.conftest import Served, demo_folder

NOTED = datetime(2026, 3, 2, 14, 1, tzinfo=UTC)
METRIC = re.compile(r"\d\s?(?:mm|kg|°C)\b")
HOURS = re.compile(r"(?<![\d:T.-])(?:[01]?\d|2[0-3]):[0-5]\d(?!\d|:\d|\s?[ap]m)")


@pytest.fixture(scope="module")
def served(tmp_path_factory: pytest.TempPathFactory, serve_module: Callable[..., Served]) -> Served:
    folder = demo_folder(tmp_path_factory.mktemp("us") / "shop")
    shop = folder / "shop.toml"
    said = shop.read_text("utf-8").replace('units = "metric"', 'units = "us"\nclock_face = "am_pm"')
    shop.write_text(said, "utf-8")
    plan = kept_plan(folder)
    assert plan is not None
    with open_store(folder) as store:
        store.append(noted_by(plan, NOTED))
    return serve_module(folder, datetime(2026, 3, 2, 14, 5, tzinfo=UTC))


@pytest.mark.parametrize(
    "address", ["/demould", "/handover", "/week", "/why/O-101-01", "/record/O-101-01/measure", "/store/water"]
)
def test_a_page_says_everything_in_the_units_and_the_hours_of_the_shop(
    page: Page, served: Served, address: str
) -> None:
    page.goto(f"{served.address}{address}")
    page.evaluate("document.querySelectorAll('details').forEach(one => { one.open = true; })")
    said = page.locator("main").inner_text()
    drawn = " ".join(page.locator("main svg text").all_text_contents())
    assert METRIC.findall(f"{said} {drawn}") == []
    assert HOURS.findall(said) == []


def test_each_lot_of_a_charge_is_in_pounds_as_its_sum_is(page: Page, served: Served) -> None:
    """15.82, 1.00 and 0.80 kg of three lots stood behind a sum in pounds, without a unit."""
    page.goto(f"{served.address}/week?day=2026-03-02")
    expect(page.locator("#hands").locator("..")).to_contain_text(
        "38.85 lb: L-2302 34.88 + L-2308 2.20 + L-2309 1.76"
    )


def test_a_stack_is_asked_about_in_the_hours_of_the_shop(page: Page, served: Served) -> None:
    page.goto(f"{served.address}/stack?plastic=hdpe&thickness=0.5&arrives=15:10&at=08:00")
    expect(page.locator("input[name=arrives]")).to_have_value("3:10 pm")
    expect(page.locator("input[name=at]")).to_have_value("8:00 am")
    page.goto(f"{served.address}/stack?plastic=hdpe&thickness=0.5&arrives=12:10+pm&at=7:30+PM")
    expect(page.locator("#answer")).to_contain_text("Hottest at 7:30 pm")
    expect(page.locator("#answer")).to_contain_text("12:10 pm")


def test_a_room_in_feet_says_no_metres(page: Page, served: Served) -> None:
    """Walks, ways out, warnings, air and where each number comes from."""
    folder = served.app.state.place.folder
    keep_room(folder, place_room(folder, first=True, seconds=60))
    for address in ("/before", "/before/room"):
        page.goto(f"{served.address}{address}")
        page.evaluate("document.querySelectorAll('details').forEach(one => { one.open = true; })")
        said = page.locator("main").inner_text()
        assert re.search(r"\d ft walked a day", said), address
        assert re.findall(r".{20}\d m(?![\w/²³]).{9}", said) == []
        assert re.findall(r".{20}\d kN/m².{9}", said) == []
    expect(page.get_by_role("link", name="Room and machines as forms")).to_be_visible()


def test_a_tap_is_answered_in_the_units_and_the_hours_of_the_shop(page: Page, served: Served) -> None:
    page.goto(served.address)
    page.locator("[data-place=HP1] .do").click()
    for person in ("OP1", "OP2"):
        page.locator("#hands-people button", has_text=person).click()
    page.locator("#hands-done").click()
    expect(page.locator("#told")).to_contain_text(re.compile(r"do not open before 2:1\d pm: core \d+ °F"))


def test_what_was_measured_is_read_in_pounds_and_inches(page: Page, served: Served) -> None:
    facts = {"t1_mm": 12.7, "mass_kg": 11.2}
    told = Event(
        id="m", at=NOTED, noted_at=NOTED, kind="measured", who=("OP1",), sheet="O-104-01", facts=facts
    )
    served.app.state.floor.board().store.append([told])
    page.goto(f"{served.address}/record/O-104-01")
    measured = page.locator("[aria-labelledby=measured]")
    expect(measured).to_contain_text("24.69 lb")
    expect(measured).to_contain_text("0.500 in")
