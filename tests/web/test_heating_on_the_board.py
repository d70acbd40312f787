"""A press that heats up, on the board: how long until the first mould may go in."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

from playwright.sync_api import Page, expect

from flatstock.actions.kept import kept_plan
from flatstock.actions.practice import noted_by
from flatstock.records.store import open_store
from flatstock.running.event import Event
from tests.web.conftest import Served, demo_folder


def on_record(folder: Path, moment: datetime, *more: Event) -> Path:
    """The demo with everything on record that was planned until then, and more."""
    plan = kept_plan(demo_folder(folder))
    assert plan is not None
    with open_store(folder) as store:
        store.append([*noted_by(plan, moment), *more])
    return folder


def test_a_press_that_heats_counts_to_the_moment_it_is_ready_to_load(
    page: Page, tmp_path: Path, serve: Callable[..., Served]
) -> None:
    moment = datetime(2026, 3, 2, 7, 30, tzinfo=UTC)
    page.goto(serve(on_record(tmp_path / "shop", moment), moment).address)
    hot = page.locator("[data-place=HP1]")
    expect(hot.locator(".word")).to_have_text("wait")
    expect(hot).to_contain_text("at 195 °C about 07:5")
    expect(hot).to_contain_text("ready to load about 08:")
    expect(hot.locator(".minutes")).to_have_text("39")


def test_a_reading_that_is_too_old_is_struck_out_and_the_heaters_beside_it_are_not(
    page: Page, tmp_path: Path, serve: Callable[..., Served]
) -> None:
    """Read at 09:00, looked at at 11:10: who reads it from afar must not take heaters that are on for off."""
    moment, at = (datetime(2026, 3, 2, hour, minute, tzinfo=UTC) for hour, minute in ((11, 10), (9, 0)))
    read = Event(
        id="read",
        at=at,
        noted_at=at,
        kind="platen_read",
        who=("OP1",),
        place="HP1",
        facts={"temperature_C": 194.0},
    )
    page.goto(serve(on_record(tmp_path / "shop", moment, read), moment).address)
    heat = page.locator("[data-place=HP1] .heat")
    expect(heat).to_have_text("heaters on, set 195 °C; read 194 °C, 2 h 10 min old")
    struck = "element => getComputedStyle(element).textDecorationLine"
    assert (heat.evaluate(struck), heat.locator(".reading").evaluate(struck)) == ("none", "line-through")


def test_a_press_that_is_heated_is_set_anew_by_a_button_that_says_so(
    page: Page, tmp_path: Path, serve: Callable[..., Served]
) -> None:
    moment = datetime(2026, 3, 2, 7, 30, tzinfo=UTC)
    page.goto(serve(on_record(tmp_path / "shop", moment), moment).address)
    for press, words in (("HP1", "Heaters of HP1 on at another set-point"), ("CP1", "Plates of CP1 read")):
        page.locator(f"[data-more={press}]").click()
        expect(page.get_by_role("button", name=words, exact=True)).to_be_visible()
        page.keyboard.press("Escape")
