"""What was told wrongly is put right by a further entry: the number, the lot, the sheet, or all of it."""

from __future__ import annotations

from datetime import timedelta
from typing import Any
from urllib.parse import quote

import httpx
import pytest
from playwright.sync_api import Page, expect

from flatstock.actions.lot_book import give_status
from flatstock.running.event import Event
from flatstock.workshop.shop import Workshop
from tests.web.conftest import TUESDAY, Served
from tests.web.test_access import Elsewhere
from tests.web.test_kept_forms import page  # noqa: F401
from tests.web.test_pages_in_a_browser import faults_by_axe
from tests.web.test_telling_more import pick


def weighings(served: Served) -> list[Event]:
    """Of the demo's Monday, in order."""
    store = served.app.state.floor.board().store
    return [one for _, one in store.events(kinds=("weighed",))]


def put_right(served: Served, event: Event, **said: Any) -> httpx.Response:
    address = f"{served.address}/happened/{quote(event.id)}/correct"
    given = {"why": "wrong number", "by": "OP1", "who": list(event.who), **said}
    return httpx.post(address, data=given, timeout=60)


def shop(served: Served) -> Workshop:
    found: Workshop = served.app.state.place.shop()
    return found


def lots_of(served: Served, sheet: str) -> dict[str, float]:
    return dict(served.app.state.floor.record(sheet).lots) if sheet else {}


def test_a_weighing_that_did_not_happen_is_struck_out_and_its_flake_is_back_in_the_book(
    tuesday: Served,
) -> None:
    before = shop(tuesday).lots["L-2301"].mass
    facts: dict[str, Any] = {"lot": "L-2301", "mass_kg": 11.7}
    told = Event(
        id="w", at=TUESDAY, noted_at=TUESDAY, kind="weighed", who=("OP1",), sheet="O-1-9", facts=facts
    )
    tuesday.app.state.floor.board().store.append([told])
    assert shop(tuesday).lots["L-2301"].mass == pytest.approx(before - 11.7)
    assert put_right(tuesday, told, why="it did not happen").status_code == 303
    assert shop(tuesday).lots["L-2301"].mass == pytest.approx(before)
    assert "struck out" in httpx.get(f"{tuesday.address}/happened", params={"q": "O-1-9"}, timeout=60).text


def test_a_second_correction_keeps_what_the_first_put_right(tuesday: Served) -> None:
    wrong = weighings(tuesday)[0]
    sheet, lot = str(wrong.sheet), str(wrong.facts["lot"])
    assert put_right(tuesday, wrong, **{"fact-mass_kg": "5,6"}).status_code == 303
    assert put_right(tuesday, wrong, why="wrong person", who=["OP4"]).status_code == 303
    assert lots_of(tuesday, sheet)[lot] == 5.6


def test_a_correction_that_changes_nothing_is_not_noted(tuesday: Served) -> None:
    told = weighings(tuesday)[0]
    answer = put_right(tuesday, told)
    assert (answer.status_code, "nothing here is other than it stands already" in answer.text) == (422, True)
    same = {"fact-mass_kg": f"{told.facts['mass_kg']:g}"}
    assert put_right(tuesday, told, who=list(told.who), **same).status_code == 422
    assert put_right(tuesday, told, why="tapped late", minutes="-2").status_code == 303


def test_a_weighing_is_put_right_to_the_lot_that_it_really_was(tuesday: Served) -> None:
    wrong = weighings(tuesday)[0]
    other = next(
        one.id
        for one in shop(tuesday).lots.values()
        if one.status == "released" and one.id != wrong.facts["lot"]
    )
    assert put_right(tuesday, wrong, why="wrong lot or sheet", **{"fact-lot": other}).status_code == 303
    assert other in lots_of(tuesday, str(wrong.sheet))


def test_a_weighing_is_not_put_right_to_a_lot_that_is_held(tuesday: Served) -> None:
    wrong = weighings(tuesday)[0]
    held = next(one.id for one in shop(tuesday).lots.values() if one.status == "quarantine")
    put_right(tuesday, wrong, why="wrong lot or sheet", **{"fact-lot": held})
    assert held not in lots_of(tuesday, str(wrong.sheet))


def test_people_of_a_sheet_are_put_right_after_its_lot_was_held(tuesday: Served) -> None:
    store = tuesday.app.state.floor.board().store
    loaded = next(one for _, one in store.events(kinds=("loaded",)))
    lot = next(iter(lots_of(tuesday, str(loaded.sheet))))
    give_status(shop(tuesday).folder, lot, "blocked", at=TUESDAY, who=["OP4"], why="PVC found")
    answer = put_right(tuesday, loaded, why="tapped late", minutes="-2")
    assert answer.status_code == 303, answer.text


def test_what_is_older_than_the_fortnight_on_the_board_is_put_right_too(tuesday: Served) -> None:
    board = tuesday.app.state.floor.board()
    old = TUESDAY - timedelta(days=40)
    facts: dict[str, Any] = {"t1_mm": 12.4, "mass_kg": 11.2}
    told = Event(
        id="long ago", at=old, noted_at=old, kind="measured", who=("OP1",), sheet="O-9-01", facts=facts
    )
    board.store.append([told])
    assert put_right(tuesday, told, **{"fact-t1_mm": "12.2"}).status_code == 303
    record = tuesday.app.state.floor.record("O-9-01")
    assert (record.measures["t1_mm"], record.measures["mass_kg"]) == (12.2, 11.2)


def test_a_lot_that_was_blocked_is_not_freed_by_striking_that_out(tuesday: Served) -> None:
    lot = str(weighings(tuesday)[0].facts["lot"])
    old = TUESDAY - timedelta(hours=1)
    block = Event(id="b", at=old, noted_at=old, kind="blocked", who=("OP1",), facts={"lot": lot}, why="PVC")
    tuesday.app.state.floor.board().store.append([block])
    answer = put_right(tuesday, block, why="it did not happen")
    assert (answer.status_code, "stays held" in answer.text) == (422, True)
    assert shop(tuesday).lots[lot].status == "blocked"


def test_an_operators_device_puts_no_release_right(tuesday: Served) -> None:
    away = Elsewhere(shop(tuesday).folder)
    lot = str(weighings(tuesday)[0].facts["lot"])
    given = Event(
        id="r", at=TUESDAY, noted_at=TUESDAY, kind="released", who=("OP1",), facts={"lot": lot}, why="tested"
    )
    away.app.state.floor.board().store.append([given])
    away.pair("operator")
    said = {"why": "wrong number", "by": "OP1", "token": away.token()}
    answer = away.ask("POST", "/happened/r/correct", said)
    assert (answer.status_code, "ask a lead" in answer.text) == (422, True)


def test_a_visitors_device_puts_nothing_right(tuesday: Served) -> None:
    away = Elsewhere(shop(tuesday).folder)
    away.pair("visitor")
    said = {"why": "wrong number", "by": "OP1", "token": away.token()}
    answer = away.ask("POST", f"/happened/{quote(weighings(tuesday)[0].id)}/correct", said)
    assert answer.status_code == 403


def test_a_correction_without_a_network_is_kept_and_told_once_it_is_back(page: Page, tuesday: Served) -> None:  # noqa: F811
    wrong = weighings(tuesday)[0]
    page.goto(f"{tuesday.address}/happened/{quote(wrong.id)}/correct")
    assert faults_by_axe(page) == []
    page.context.set_offline(True)
    expect(page.locator(".away")).to_contain_text("kept on this device")
    for key in "5,6":  # what stood there is written over
        page.locator(f"#pad [data-key='{key}']").click()
    expect(page.get_by_label("mass, kg")).to_have_value("5,6")
    pick(page, "Why", "wrong number")
    pick(page, "Who corrects it", "OP1")
    page.get_by_role("button", name="Correct it").click()
    expect(page.locator("main .unsent")).to_contain_text("Correction of weighed")
    page.context.set_offline(False)
    expect(page.locator("main .unsent")).to_contain_text(": sent.")
    assert lots_of(tuesday, str(wrong.sheet))[str(wrong.facts["lot"])] == 5.6
