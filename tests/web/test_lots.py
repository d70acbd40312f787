"""A lot from its delivery to its release: quarantine that nothing gets round, tests, holds, the book."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from flatstock.actions.lot_book import give_status, lot_history
from flatstock.actions.workshops import open_workshop
from flatstock.running.event import Event
from tests.web.conftest import Served, demo_folder
from tests.web.test_pages_in_a_browser import faults_by_axe
from tests.web.test_telling_more import pick

NOW = datetime(2026, 3, 2, 9, 0, tzinfo=UTC)


class Store:
    """An app on a folder of its own."""

    def __init__(self, folder: Path, served: Served) -> None:
        self.folder, self.address, self.app = folder, served.address, served.app

    def lot(self, name: str) -> str:
        return f"{self.address}/store/lot/{name}"

    def status(self, name: str) -> str:
        return open_workshop(self.folder).lots[name].status


@pytest.fixture
def store(tmp_path: Path, serve: Callable[..., Served]) -> Store:
    folder = demo_folder(tmp_path / "shop")
    return Store(folder, serve(folder, NOW))


def take_in(page: Page, store: Store, *, origin: str = "crates", mass: str = "48,5") -> None:
    page.goto(f"{store.address}/store/new")
    for key in mass:
        page.locator(f"#pad [data-key='{key}']").click()
    page.get_by_label("Plastic, as it is said to be").select_option("hdpe")
    page.get_by_label("What it was").fill("crate flake")
    page.get_by_label("Colour").fill("red")
    pick(page, "Where it comes from", origin)
    pick(page, "Who takes it in", "OP1")
    page.get_by_role("button", name="Take it in").click()


def note_test(page: Page, store: Store, lot: str, test: str, word: str, number: str = "") -> None:
    page.goto(f"{store.lot(lot)}/test?test={test}")
    for key in number:
        page.locator(f"#pad [data-key='{key}']").click()
    pick(page, "What came out", word)
    pick(page, "Who tested", "OP1")
    page.get_by_role("button", name="Note it").click()
    expect(page).to_have_url(store.lot(lot))


def test_origin_says_at_once_which_tests_a_lot_needs(page: Page, store: Store) -> None:
    page.goto(f"{store.address}/store/new")
    pick(page, "Where it comes from", "electrical")
    expect(page.locator("#tests-asked")).to_contain_text("Bromine result from a laboratory")
    pick(page, "Where it comes from", "virgin")
    expect(page.locator("#tests-asked")).not_to_contain_text("Bromine")
    expect(page.locator("#tests-asked")).to_contain_text("data sheet or delivery note")


def test_a_lot_that_is_taken_in_waits_in_quarantine(page: Page, store: Store) -> None:
    take_in(page, store)
    expect(page.locator("h1")).to_contain_text("L-2310")
    assert store.status("L-2310") == "quarantine"
    assert open_workshop(store.folder).lots["L-2310"].mass == 48.5
    assert lot_history(store.folder, "L-2310")[0].who == ("OP1",)


def test_a_lot_is_released_only_when_each_test_is_in_and_passed(page: Page, store: Store) -> None:
    take_in(page, store)
    release = page.locator("summary", has_text="Release it")
    expect(release).to_have_count(0)
    expect(page.locator("main")).to_contain_text("4 tests must be in and passed")
    for test, word, number in (
        ("float_sink", "as expected", ""), ("zero_find", "clean enough", ""), ("moisture", "dry enough", "0.05"),
    ):  # fmt: skip
        note_test(page, store, "L-2310", test, word, number)
    expect(release).to_have_count(0)
    note_test(page, store, "L-2310", "bulk_density", "as usual", "360")
    release.click()
    pick(page, "Why", "all its tests are in")
    page.locator(".give[open]").get_by_role("group", name="Who decides it").locator(
        "label", has_text="OP2"
    ).click()
    page.get_by_role("button", name="Release it").click()
    expect(page.locator(".big .state")).to_have_text("released")
    assert store.status("L-2310") == "released"
    lot = open_workshop(store.folder).lots["L-2310"]
    assert lot.moisture == pytest.approx(0.0005)
    assert lot.bulk_density == pytest.approx(360)


def test_a_tap_that_releases_an_untested_lot_is_refused_too(page: Page, store: Store) -> None:
    """By every door: the board's taps are another one."""
    take_in(page, store)
    token = page.locator("html").get_attribute("data-token") or ""
    event = Event(
        id="r1", at=NOW, noted_at=NOW, kind="released", who=("OP1",), facts={"lot": "L-2310"}, why="fine"
    )
    answer = page.request.post(
        f"{store.address}/floor/taps", data=[event.as_json()], headers={"x-token": token}
    ).json()
    assert answer[0]["outcome"] == "refused"
    assert "no result is in" in " ".join(answer[0]["faults"])
    assert store.status("L-2310") == "quarantine"


def test_a_release_of_one_lot_is_not_corrected_into_that_of_an_untested_one(page: Page, store: Store) -> None:
    take_in(page, store)
    give_status(store.folder, "L-2302", "quarantine", at=NOW, who=["OP1"], why="looks odd")
    first = give_status(store.folder, "L-2302", "released", at=NOW, who=["OP1"], why="looked at again: clean")
    token = page.locator("html").get_attribute("data-token") or ""
    other = replace(first, id="c1", kind="corrected", corrects=first.id, facts={"lot": "L-2310"}, why="slip")
    answer = page.request.post(
        f"{store.address}/floor/taps", data=[other.as_json()], headers={"x-token": token}
    ).json()
    assert answer[0]["outcome"] == "refused"
    assert store.status("L-2310") == "quarantine"


def test_chlorine_blocks_a_lot_and_its_regrind_at_once(page: Page, store: Store) -> None:
    note_test(page, store, "L-2301", "chlorine", "found")
    assert store.status("L-2301") == "blocked"
    page.goto(f"{store.address}/card?plastic=hdpe&thickness=12&lot=L-2308")
    expect(page.get_by_role("alert")).to_contain_text("L-2301")


def test_a_lot_is_held_by_taps_with_who_and_why(page: Page, store: Store) -> None:
    page.goto(store.lot("L-2302"))
    page.locator("summary", has_text="Hold it").click()
    page.locator(".give[open]").get_by_role("button", name="Hold it").click()
    expect(page.get_by_role("alert")).to_contain_text("who")
    assert store.status("L-2302") == "released"
    page.goto(store.lot("L-2302"))
    page.locator("summary", has_text="Hold it").click()
    pick(page, "Why", "looks odd")
    page.locator(".give[open]").get_by_role("group", name="Who decides it").locator(
        "label", has_text="OP3"
    ).click()
    page.locator(".give[open]").get_by_role("button", name="Hold it").click()
    expect(page.locator(".big .state")).to_have_text("quarantine")
    newest = lot_history(store.folder, "L-2302")[-1]
    assert (newest.status, newest.who, newest.why) == ("quarantine", ("OP3",), "looks odd")


def test_a_held_lot_is_offered_nowhere(page: Page, store: Store) -> None:
    note_test(page, store, "L-2302", "zero_find", "too many strangers")
    assert store.status("L-2302") == "quarantine"
    page.goto(f"{store.address}/card?plastic=hdpe&thickness=12")
    assert "L-2302" not in page.locator("#lot option").all_inner_texts()
    page.goto(f"{store.address}/orders/ask")
    assert "L-2302" not in page.locator("#lot option").all_inner_texts()


def test_less_than_the_book_is_said_before_it_is_written(page: Page, store: Store) -> None:
    page.goto(store.lot("L-2305"))
    page.locator("summary", has_text="Weigh the whole lot").click()
    for key in "138.2":
        page.locator(f"#pad [data-key='{key}']").click()
    page.get_by_role("button", name="Hold it against the book").click()
    expect(page.locator("#book ~ dl")).to_contain_text("less than on the book")
    assert open_workshop(store.folder).lots["L-2305"].mass == 140.0
    pick(page, "Who weighed", "OP4")
    page.get_by_role("button", name="Write it into the book").click()
    expect(page).to_have_url(store.lot("L-2305"))
    assert open_workshop(store.folder).lots["L-2305"].mass == 138.2


def test_a_density_bracket_is_noted_for_its_lot(page: Page, store: Store) -> None:
    page.goto(f"{store.address}/store/float?lot=L-2306&seen=998.2:sinks&seen=1080:floats")
    pick(page, "Note it for L-2306", "as expected")
    pick(page, "Who looked", "OP1")
    page.get_by_role("button", name="Note it").click()
    expect(page.locator(".tests li").first).to_contain_text("abs")


def test_a_flake_that_its_lots_plastic_would_not_be_is_never_noted_as_expected(
    page: Page, store: Store
) -> None:
    """L-2306 is said to be ABS, of about 1.045 g/cm³: it doesn't float in water."""
    page.goto(f"{store.address}/store/float?lot=L-2306&seen=998.2:floats")
    expect(page.locator(".answer")).to_contain_text(
        "L-2306 is said to be ABS, and a flake of that would not do this"
    )
    expect(page.get_by_role("group", name="Note it for L-2306").locator("label")).to_have_text(
        ["not as expected"]
    )
    token = page.locator("html").get_attribute("data-token") or ""
    said = {"test": "float_sink", "result": "passed", "seen": "998.2:floats", "who": "OP1", "token": token}
    answer = page.request.post(f"{store.lot('L-2306')}/test", form=said, headers={"origin": store.address})
    assert answer.status == 422
    assert "would not do what was seen" in answer.text()


@pytest.mark.parametrize("ground", ["light", "dark"])
@pytest.mark.parametrize("width", [360, 820, 1920])
def test_axe_finds_nothing_on_lots(page: Page, store: Store, width: int, ground: str) -> None:
    page.emulate_media(color_scheme=ground)  # type: ignore[arg-type]
    page.set_viewport_size({"width": width, "height": 800})
    for address in ("/store/new", "/store/lot/L-2306", "/store/lot/L-2301/test?test=bromine", "/store"):
        page.goto(store.address + address)
        assert faults_by_axe(page) == []
        assert page.evaluate("document.documentElement.scrollWidth") <= width
