"""The run board on a wall of 1920 by 1080 pixels, 32 inches, read from four metres; and everything on it at once."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from math import atan, degrees
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from flatstock.actions.kept import kept_plan
from flatstock.actions.lot_book import give_status
from flatstock.actions.practice import noted_by
from flatstock.records.store import open_store
from flatstock.running.event import Event
from tests.web.conftest import MONDAY, Served, demo_folder
from tests.web.test_floor_in_a_browser import floor, tile

__all__ = ["floor"]

PIXEL = 32 * 25.4 / (1920**2 + 1080**2) ** 0.5  # mm
FAR = 4000.0  # mm
TALL = 0.727  # Inter's capitals and digits, of the size
LEAST = (
    16.0  # minutes of arc: the least height of a letter, the ISO 9241 family, from memory; common practice
)
#: what must be read from four metres
FAR_READ = ".machines h2, .piles h2, .mark .word, .machines .what, .pile-tile .what strong, .pile-tile .of, .loud, .calling"
SEEN = """names => [...document.querySelectorAll(names)].filter(one => one.offsetParent && one.textContent.trim())
  .map(one => [one.textContent.trim(), parseFloat(getComputedStyle(one).fontSize), one.getBoundingClientRect().bottom])"""


def arc(size: float) -> float:
    """Minutes of arc of a letter of that size in pixels, from four metres."""
    return 60 * degrees(atan(size * TALL * PIXEL / FAR))


@pytest.fixture
def wall(page: Page) -> Page:
    page.set_viewport_size({"width": 1920, "height": 1080})
    return page


@pytest.mark.parametrize("clock", ["14:05", "14:20", "14:27", "14:31", "14:40"])
def test_place_state_contents_and_what_counts_are_read_from_four_metres(
    wall: Page, floor: Callable[..., Served], clock: str
) -> None:
    hour, minute = map(int, clock.split(":"))
    wall.goto(floor(datetime(2026, 3, 2, hour, minute, tzinfo=UTC)).address)
    expect(tile(wall, "HP1")).to_contain_text("O-101-01")
    seen = wall.evaluate(SEEN, FAR_READ)
    assert len(seen) > 8
    assert [(words, arc(size)) for words, size, _ in seen if arc(size) < LEAST] == []


@pytest.mark.parametrize("clock", ["14:05", "14:27", "14:31"])
def test_every_machine_pile_and_step_lies_on_the_screen(
    wall: Page, floor: Callable[..., Served], clock: str
) -> None:
    hour, minute = map(int, clock.split(":"))
    wall.goto(floor(datetime(2026, 3, 2, hour, minute, tzinfo=UTC)).address)
    expect(tile(wall, "HP1")).to_contain_text("O-101-01")
    wall.wait_for_function("document.fonts.status === 'loaded'")
    seen = wall.evaluate(SEEN, ".machines .tile, .pile-tile, .do, .coming li, .rest")
    assert [one for one in seen if one[2] > 1080] == []


def test_the_next_two_to_load_are_shown_and_the_others_named_until_they_are_asked_for(
    wall: Page, tmp_path: Path, serve: Callable[..., Served]
) -> None:
    wall.goto(serve(demo_folder(tmp_path / "shop"), datetime(2026, 3, 2, 7, 30, tzinfo=UTC)).address)
    rows, rest = wall.locator(".coming .layers > li"), wall.locator(".coming .rest")
    expect(rows.locator("visible=true >> strong")).to_have_count(2)
    expect(rest).to_contain_text("and 2 more")
    for row in rows.all()[2:]:
        expect(rest).to_contain_text(row.get_attribute("data-sheet") or "?")
    rest.click()
    expect(rows.locator("visible=true >> strong")).to_have_count(4)
    expect(rest).to_be_hidden()


def test_a_sheet_whose_lot_is_held_says_so_once_before_it_is_tapped(
    wall: Page, tmp_path: Path, serve: Callable[..., Served]
) -> None:
    folder = demo_folder(tmp_path / "shop")
    give_status(folder, "L-2301", "blocked", at=MONDAY.replace(hour=7), who=["OP4"], why="PVC found")
    wall.goto(serve(folder, datetime(2026, 3, 2, 7, 30, tzinfo=UTC)).address)
    held = wall.locator(".coming .held").first
    expect(held).to_contain_text("Held: lot L-2301 has the status 'blocked'")
    assert held.inner_text().count("L-2301") == 1


def test_from_four_metres_the_minutes_are_the_largest_thing(page: Page, floor: Callable[..., Served]) -> None:
    """70 mm on a 32-inch wall screen of 1920 pixels (0.37 mm each) asks for digits 190 pixels tall, common practice, no source."""
    page.set_viewport_size({"width": 1920, "height": 1080})
    page.goto(floor(datetime(2026, 3, 2, 14, 5, tzinfo=UTC)).address)
    size = page.evaluate(
        "parseFloat(getComputedStyle(document.querySelector('[data-place=HP1] .minutes')).fontSize)"
    )
    assert size * 0.727 >= 170  # Inter's digits are 0.727 of the size


def filling(folder: Path, serve: Callable[..., Served], hour: int) -> Served:
    """The demo's Monday, on which what the plan demoulds is carried to the rack instead, so that it fills."""
    moment = datetime(2026, 3, 2, hour, 5, tzinfo=UTC)
    plan = kept_plan(demo_folder(folder))
    assert plan is not None
    with open_store(folder) as store:
        for one in noted_by(plan, moment):
            kept = one.kind == "demoulded"
            store.append([replace(one, kind="moved", place="R1", facts={}) if kept else one])
    return serve(folder, moment)


def test_with_two_moulds_in_a_rack_every_step_is_on_the_screen(
    wall: Page, tmp_path: Path, serve: Callable[..., Served]
) -> None:
    wall.goto(filling(tmp_path / "shop", serve, 12).address)
    expect(tile(wall, "R1").locator(".layers li")).to_have_count(2)
    expect(wall.locator(".coming li:visible")).to_have_count(2)
    wall.wait_for_function("document.fonts.status === 'loaded'")
    seen = wall.evaluate(SEEN, ".machines .tile, .pile-tile, .do, .coming li, .rest")
    assert [one for one in seen if one[2] > 1080] == []


@pytest.mark.parametrize(("hour", "in_rack"), [(8, 0), (12, 2), (15, 4)])
def test_on_a_wall_no_place_lies_over_another(
    page: Page, tmp_path: Path, serve: Callable[..., Served], hour: int, in_rack: int
) -> None:
    page.set_viewport_size({"width": 1920, "height": 1080})
    page.goto(filling(tmp_path / "shop", serve, hour).address)
    expect(tile(page, "R1").locator(".layers li")).to_have_count(in_rack)
    over = page.evaluate(
        """() => {
          const tiles = [...document.querySelectorAll(".places .tile")].map(t => [t.innerText, t.getBoundingClientRect()]);
          return tiles.flatMap(([name, a], i) => tiles.slice(i + 1).filter(([, b]) =>
            a.left < b.right - 1 && b.left < a.right - 1 && a.top < b.bottom - 1 && b.top < a.bottom - 1
          ).map(([other]) => [name, other]));
        }"""
    )
    assert over == []


def test_long_overdue_in_a_pile_stands_in_its_own_column(page: Page, floor: Callable[..., Served]) -> None:
    page.set_viewport_size({"width": 1920, "height": 1080})
    page.goto(floor(datetime(2026, 3, 2, 15, 30, tzinfo=UTC)).address)
    rows = page.locator(".pile-tile .layers li").filter(has_text=re.compile(r"\+\d\d"))
    expect(rows.first).to_be_visible()
    for row in rows.all():
        digits, words = row.locator(".clock").bounding_box(), row.locator(".what strong").bounding_box()
        assert digits is not None
        assert words is not None
        assert row.locator(".clock").evaluate("node => node.scrollWidth <= node.clientWidth + 1")
        assert digits["x"] + digits["width"] <= words["x"] or digits["y"] + digits["height"] <= words["y"]


@pytest.mark.parametrize(("place", "many", "steps"), [("R1", 4, 1), ("ST1", 8, 0)])
def test_a_full_pile_says_what_is_in_each_mould_and_has_one_step_where_one_is_ready(
    wall: Page, tmp_path: Path, serve: Callable[..., Served], place: str, many: int, steps: int
) -> None:
    folder, moment = demo_folder(tmp_path / "shop"), datetime(2026, 3, 2, 13, 0, tzinfo=UTC)
    plan = kept_plan(folder)
    assert plan is not None
    early = moment - timedelta(hours=5)
    moved = {"kind": "moved", "place": place, "who": ("OP1", "OP2"), "facts": {"lift": "LT1"}}
    with open_store(folder) as store:
        for n, sheet in enumerate(plan["sheets"][:many]):
            at = early + timedelta(minutes=5 * n)
            store.append([Event(id=f"moved {n}", at=at, noted_at=at, sheet=sheet["id"], **moved)])
    wall.goto(serve(folder, moment).address)
    rows = tile(wall, place).locator(".layers li")
    expect(rows).to_have_count(many)
    for row in rows.all():
        expect(row.locator(".of")).to_be_visible()
        assert row.locator(".of").evaluate("node => node.scrollHeight <= node.clientHeight + 2")
        expect(row.locator(".do")).to_be_hidden()
    expect(tile(wall, place).locator(".pile-acts .do")).to_have_count(
        steps, timeout=120_000
    )  # once the model knows
    wall.wait_for_function("document.fonts.status === 'loaded'")
    box = tile(wall, place).bounding_box()
    assert box is not None
    assert box["x"] + box["width"] <= 1920
    assert box["y"] + box["height"] <= 1080
