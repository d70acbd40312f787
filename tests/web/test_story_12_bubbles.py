"""Story 12, bubbles, in a real browser: mass loss is asked for, the lot is dried before use, voids flip the order."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import httpx
import pytest
from playwright.sync_api import Page, expect

from flatstock.actions.fault_steps import dry_first
from flatstock.records.store import open_store
from tests.web.conftest import Served, demo_folder
from tests.web.test_faults import (
    MONDAY,
    PP,
    a_shop,
    causes,
    close_with_the_first,
    lot_of,
    note_fault,
    tap,
    tuesday,
)

__all__ = ["tuesday"]


def test_story_12_many_rough_bubbles_ask_for_mass_loss_and_end_with_a_lot_that_is_dried_before_use(
    page: Page, tuesday: Served
) -> None:
    note_fault(page, tuesday, "Bubbles, rough")
    listed = causes(page)
    assert listed[0] == "Water in the flake"
    assert listed.index("Water in the flake") < listed.index("Shrinking without pressure that follows")
    expect(page.locator(".card .lead")).to_contain_text("dry it as the plastic is dried, weigh it again")
    page.get_by_label("Mass lost").fill("0,35")
    page.get_by_role("button", name="Note the number").click()
    for said in ("0.35 % of 5.67 kg is 20 g of water", "L of steam at", "stands out"):
        expect(page.locator(".causes li").first).to_contain_text(said)
    expect(page.locator(".card .lead")).to_contain_text("Press one more of the same lot, dried first")
    tap(page, "Press one more of the same lot, dried first", "repeat dried: clean")
    closed = page.locator(".closed")
    for said in ("closed", "water in the flake", "repeat dried: clean", "Dry before use: L-2304"):
        expect(closed).to_contain_text(said)
    # the demo's plan has all five PP charges weighed on Monday, and O-103-02 waits for Wednesday
    expect(closed).to_contain_text("Dry these charges too before they are loaded")
    lot = lot_of(tuesday, "L-2304")
    assert lot.dry_first
    assert lot.moisture == pytest.approx(0.0035)


def test_what_was_found_and_tried_stands_in_words_on_the_sheets_record_and_in_the_store(
    page: Page, tuesday: Served
) -> None:
    note_fault(page, tuesday, "Bubbles, rough")
    tap(page, "Press one more of the same lot, dried first", "repeat dried: clean")
    close_with_the_first(page)
    expect(page.locator(".closed")).to_be_visible()
    page.goto(f"{tuesday.address}/record/{PP}")
    expect(page.get_by_role("link", name="bubbles, rough, many, all over")).to_be_visible()
    for said in ("dried first: repeat dried: clean", "water in the flake; dried before use: L-2304"):
        expect(page.locator("#way ~ *")).to_contain_text(said)
    page.goto(f"{tuesday.address}/store")
    expect(page.locator("tr", has_text="L-2304").first).to_contain_text("dry before use")


def test_after_story_12_the_card_and_the_scale_ask_for_dry_flake(
    page: Page, tmp_path: Path, serve: Callable[..., Served]
) -> None:
    served = serve(a_shop(tmp_path / "shop", None), MONDAY)
    note_fault(page, served, "Bubbles, rough")
    tap(
        page,
        "Weigh 100 g of the lot's flake, dry it as the plastic is dried, weigh it again",
        "loses more than 0.1 %",
    )
    tap(page, "Press one more of the same lot, dried first", "repeat dried: clean")
    page.goto(f"{served.address}/card?plastic=pp&thickness=6")
    expect(page.locator("main")).to_contain_text("Dry L-2304 before it is weighed, 1.5 h at 66 °C")
    now = served.app.state.place.instant().isoformat()
    event = {
        "id": "w1", "at": now, "noted_at": now, "kind": "weighed", "who": ["OP2"],
        "sheet": "O-103-02", "facts": {"lot": "L-2304", "mass_kg": 5.67},
    }  # fmt: skip
    (answer,) = httpx.post(f"{served.address}/floor/taps", json=[event], timeout=30).json()
    assert answer["outcome"] == "refused"
    assert "to be dried before it is weighed" in answer["faults"][0]
    event |= {"id": "w2", "facts": {"lot": "L-2304", "mass_kg": 5.67, "dried": True}}
    (answer,) = httpx.post(f"{served.address}/floor/taps", json=[event], timeout=30).json()
    assert answer["outcome"] == "accepted"


def test_the_scale_on_the_board_waits_for_the_word_that_a_lot_is_dry(
    page: Page, tmp_path: Path, serve: Callable[..., Served]
) -> None:
    folder = demo_folder(tmp_path / "shop")
    dry_first(folder, ["L-2301"], True, at=MONDAY, who=("OP1",), why="tried here")
    served = serve(folder, MONDAY.replace(hour=8))
    page.goto(served.address)
    page.get_by_role("button", name=re.compile(r"Weigh .* of L-2301 \(dried\)")).first.click()
    page.locator("#hands-people button").first.click()
    expect(page.locator("#hands-done")).to_be_disabled()
    expect(page.locator("#hands-faults")).to_contain_text("is it dried?")
    page.get_by_role("button", name="it is dried").click()
    with page.expect_response("**/floor/taps") as answered:
        page.locator("#hands-done").click()
    assert answered.value.json()[0]["outcome"] == "accepted"
    with open_store(folder) as store:
        (told,) = [one for _, one in store.events(kinds=("weighed",))]
    assert told.facts["dried"] is True


def test_story_12_single_glossy_voids_in_the_middle_flip_the_ranking(page: Page, tuesday: Served) -> None:
    note_fault(page, tuesday, "Bubbles, rough")
    assert causes(page)[0] == "Water in the flake"
    for question, answer in (
        ("Break one open and look at its wall", "glossy, smooth"),
        ("How many are there", "single ones"),
    ):
        page.locator(".was", has_text=question).locator("summary").click()
        tap(page, question, answer)
    tap(page, "Look at a sawn edge: how deep do they lie", "in the middle plane")
    listed = causes(page)
    assert {listed[0], listed[1]} == {
        "Shrinking without pressure that follows",
        "The frame carries the press while the sheet shrinks",
    }
    assert listed.index("Water in the flake") > 3
