"""The run board on a wall of 1920 by 1080 pixels, 32 inches, read from four metres; and everything on it at once."""

from __future__ import annotations

import json
import re
import threading
import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from math import atan, degrees
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from flatstock.actions.heat_clocks import HeatClocks
from flatstock.actions.kept import kept_plan
from flatstock.actions.lot_book import give_status
from flatstock.actions.practice import noted_by
from flatstock.records.store import open_store
from flatstock.running.event import Event
from tests.web.conftest import MONDAY, Served, demo_folder, demo_kept_to
from tests.web.test_floor_in_a_browser import floor, tile

__all__ = ["floor"]

PIXEL = 32 * 25.4 / (1920**2 + 1080**2) ** 0.5  # mm
FAR = 4000.0  # mm
TALL = 0.727  # Inter's capitals and digits, of the size
LEAST = (
    16.0  # minutes of arc: the least height of a letter, the ISO 9241 family, from memory; common practice
)
#: what must be read from four metres
FAR_READ = ".machines h2, .piles h2, .mark .word, .machines .what, .pile-tile .what strong, .loud, .calling:first-child"
#: what is read from there however full it is, if not at ease
EVER_READ = ".calling, .calling .after, .machines h2, .piles h2, .mark .word, .machines :is(.what, .gets), .machines .loud, .pile-tile .what strong, .pile-tile .minutes"
STILL = 10.0  # minutes of arc, for what is crowded: common practice, no source
CUT = "() => [...document.querySelectorAll('.calling')].filter(one => one.scrollWidth > one.clientWidth || one.scrollHeight > one.clientHeight).map(one => one.textContent)"
SEEN = """names => [...document.querySelectorAll(names)].filter(one => one.offsetParent && one.textContent.trim())
  .map(one => [one.textContent.trim(), parseFloat(getComputedStyle(one).fontSize), one.getBoundingClientRect().bottom])"""

#: what may not lie below the screen
PARTS = ".calling, .machines .tile, .pile-tile, .do, .caution, .coming li, .rest"


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
    contents = "" if clock == "14:40" else ", .pile-tile .of"  # a call of two lines takes their height
    seen = wall.evaluate(SEEN, FAR_READ + contents)
    assert len(seen) > 8
    assert [(words, arc(size)) for words, size, _ in seen if arc(size) < LEAST] == []


class Model:
    """The heat model of the board's clocks, which answers when it is told to."""

    def __init__(self) -> None:
        self.go = threading.Event()

    def answers(self, served: Served) -> None:
        """Let it answer, and wait until every mould has its clock from it."""
        self.go.set()
        until = time.monotonic() + 120
        while any(m.awaited for place in served.app.state.floor.floor()[1].places for m in place.moulds):
            assert time.monotonic() < until, "the model has not answered"
            time.sleep(0.1)


@pytest.fixture
def model(monkeypatch: pytest.MonkeyPatch) -> Iterator[Model]:
    held, at_once = Model(), HeatClocks._card

    def once_told(*asked: object) -> object:
        held.go.wait()
        return at_once(*asked)  # type: ignore[arg-type]

    monkeypatch.setattr(HeatClocks, "_card", once_told)
    yield held
    held.go.set()


def below(page: Page) -> list[str]:
    """What of the board lies below the screen."""
    page.evaluate("document.fonts.ready.then(() => null)")
    return [words for words, _, bottom in page.evaluate(SEEN, PARTS) if bottom > 1080]


def too_low(page: Page) -> list[str]:
    """What is not read from four metres though it must be, and calls that are cut off."""
    seen = page.evaluate(SEEN, EVER_READ)
    return [words for words, size, _ in seen if arc(size) < STILL] + page.evaluate(CUT)


def without_step(page: Page) -> list[str]:
    """The places in which something is to be done, and no step for it is seen."""
    found: list[str] = page.evaluate(
        """() => [...document.querySelectorAll(".machines .tile[data-sheet], .pile-tile:has(.pile-acts), .coming:has(li)")]
          .filter(tile => ![...tile.querySelectorAll(".do")].some(step => step.offsetParent))
          .map(tile => tile.querySelector("h2").textContent)"""
    )
    return found


@pytest.mark.parametrize("clock", ["14:05", "14:27", "14:31"])
def test_every_machine_pile_and_step_lies_on_the_screen(
    wall: Page, floor: Callable[..., Served], model: Model, clock: str
) -> None:
    hour, minute = map(int, clock.split(":"))
    served = floor(datetime(2026, 3, 2, hour, minute, tzinfo=UTC))
    wall.goto(served.address)
    expect(tile(wall, "HP1")).to_contain_text("O-101-01")
    assert below(wall) == []
    model.answers(served)
    wall.reload()
    assert below(wall) == []


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
    expect(held).to_contain_text("Held: lot L-2301 is blocked")
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


def piled(
    folder: Path, moment: datetime, until: datetime, places: Sequence[str], *, moved: bool = False
) -> Path:
    """The demo's Monday as planned up to `until`, and moulds that stand in `places` since five hours before `moment`."""
    plan = kept_plan(demo_folder(folder))
    assert plan is not None
    begun = noted_by(plan, until)
    stood = {one.sheet for one in begun if one.kind in ("prepared", "loaded")}
    others = [sheet["id"] for sheet in plan["sheets"] if sheet["id"] not in stood]
    carried = {"kind": "moved", "who": ("OP1", "OP2"), "facts": {"lift": "LT1"}}
    with open_store(folder) as store:
        store.append(begun)
        for n, (place, sheet) in enumerate(zip(places, others, strict=False)):
            at = moment - timedelta(hours=5, minutes=-5 * n)
            store.append([Event(id=f"moved {n}", at=at, noted_at=at, sheet=sheet, place=place, **carried)])
    if moved:
        one = next(task for task in plan["tasks"] if task["sheet"] == "O-101-02" and task["step"] == "load")
        told = {
            "sheet": "O-101-02",
            "step": "load",
            "from": one["start"],
            "to": one["end"],
            "because": "late",
        }
        (folder / "plan.json").write_text(json.dumps({**plan, "since": {"moved": [told]}}))
    return folder


def on_monday(clock: str) -> datetime:
    return datetime.fromisoformat(f"2026-03-02T{clock}+00:00")


RACK, STACK = ["R1"] * 4, ["ST1"] * 8


@pytest.mark.parametrize(
    ("clock", "until", "places"),
    [
        ("07:30", "07:30", []),  # the press heats up
        ("13:00", "07:00", RACK),
        ("13:00", "07:00", STACK),
        ("13:00", "07:00", RACK + STACK),
        ("11:30", "11:05", RACK),  # both presses full
        ("11:45", "11:05", RACK + STACK),  # and the call of three minutes ahead, and what moved
        ("12:40", "11:05", RACK + STACK),  # and overdue
        ("15:30", "14:01", []),  # overdue, and heaters that nobody will watch
    ],
)
def test_before_and_after_the_models_answer_no_step_lies_below_a_wall_and_what_counts_is_read_from_afar(
    wall: Page,
    tmp_path: Path,
    serve: Callable[..., Served],
    model: Model,
    clock: str,
    until: str,
    places: list[str],
) -> None:
    folder = piled(tmp_path / "shop", on_monday(clock), on_monday(until), places, moved=clock == "11:45")
    served = serve(folder, on_monday(clock))
    wall.goto(served.address)
    expect(wall.locator("#line")).to_contain_text("live")
    assert (below(wall), without_step(wall), too_low(wall)) == ([], [], [])
    model.answers(served)
    wall.reload()
    assert (below(wall), without_step(wall), too_low(wall)) == ([], [], [])
    assert wall.evaluate("document.documentElement.scrollWidth") <= 1920


def test_with_two_moulds_in_a_rack_every_step_is_on_the_screen(
    wall: Page, tmp_path: Path, serve: Callable[..., Served], model: Model
) -> None:
    served = filling(tmp_path / "shop", serve, 12)
    wall.goto(served.address)
    expect(tile(wall, "R1").locator(".layers li")).to_have_count(2)
    expect(wall.locator(".coming li:visible")).to_have_count(2)
    assert below(wall) == []
    model.answers(served)
    expect(tile(wall, "R1").locator(".pile-acts .do")).to_be_visible()  # on the open page, by its stream
    expect(tile(wall, "R1").locator(".caution")).to_have_text("Steel still burns at a touch: gloves.")
    expect(wall.locator(".coming li:visible")).to_have_count(2)
    assert (below(wall), without_step(wall)) == ([], [])


def test_a_press_with_nothing_in_it_shows_what_it_gets_next_and_who_that_takes(
    wall: Page, tmp_path: Path, serve: Callable[..., Served]
) -> None:
    wall.goto(filling(tmp_path / "shop", serve, 12).address)
    hot = tile(wall, "HP1")
    expect(hot.locator(".word")).to_have_text("free")
    expect(hot.locator(".gets")).to_have_text("next 13:00")
    expect(hot.locator(".what")).to_have_text("O-104-04 HDPE dark 12 mm")
    expect(hot.locator(".do")).to_have_text("Load into HP1 2 people")
    expect(wall.locator(".coming [data-sheet='O-104-04']")).to_have_count(0)
    expect(wall.locator(".coming h2")).to_have_text("To load after that")
    far = wall.evaluate(SEEN, "[data-place=HP1] :is(.gets, .what)")
    assert [words for words, size, _ in far if arc(size) < LEAST] == []


def test_what_is_long_overdue_stays_within_its_tile_and_its_row(
    wall: Page, tmp_path: Path, serve: Callable[..., Served]
) -> None:
    wall.goto(serve(demo_kept_to(tmp_path / "shop", on_monday("07:37")), on_monday("08:50")).address)
    expect(tile(wall, "HP1").locator(".gets")).to_contain_text("weighing 75 min late")
    expect(wall.locator(".coming")).to_contain_text("weighing 67 min late")
    outside = wall.evaluate(
        """() => [...document.querySelectorAll(".tile *, .coming .do *")].filter(one => one.offsetParent
          && one.getBoundingClientRect().right > one.closest(".do, .tile").getBoundingClientRect().right + 1)
          .map(one => one.textContent.trim())"""
    )
    assert outside == []
    assert below(wall) == []


def test_steel_that_still_burns_is_said_by_the_step_of_a_cooling_press_too(
    wall: Page, tmp_path: Path, serve: Callable[..., Served], model: Model
) -> None:
    served = serve(piled(tmp_path / "shop", on_monday("11:45"), on_monday("11:05"), []), on_monday("11:45"))
    model.answers(served)
    wall.goto(served.address)
    expect(tile(wall, "CP1").locator(".do")).to_contain_text("Demould")
    expect(tile(wall, "CP1").locator(".caution")).to_have_text("Steel still burns at a touch: gloves.")


def test_what_is_not_crowded_gives_nothing_away(wall: Page, floor: Callable[..., Served]) -> None:
    wall.goto(floor(on_monday("14:05")).address)
    expect(tile(wall, "HP1")).to_contain_text("O-101-01")
    expect(wall.locator("body")).to_have_attribute("data-tight", "")


def test_on_a_tablet_nothing_gives_way(page: Page, tmp_path: Path, serve: Callable[..., Served]) -> None:
    folder = piled(tmp_path / "shop", on_monday("13:00"), on_monday("07:00"), RACK + STACK)
    page.goto(serve(folder, on_monday("13:00")).address)
    expect(tile(page, "ST1").locator(".layers li")).to_have_count(8)
    expect(page.locator("body")).to_have_attribute("data-tight", "")
    expect(page.locator(".coming li:visible")).to_have_count(4)


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
    wall.evaluate("document.fonts.ready.then(() => null)")
    box = tile(wall, place).bounding_box()
    assert box is not None
    assert box["x"] + box["width"] <= 1920
    assert box["y"] + box["height"] <= 1080
    names = rows.locator("strong").evaluate_all(
        "all => all.map(one => parseFloat(getComputedStyle(one).fontSize))"
    )
    assert min(arc(size) for size in names) >= STILL
