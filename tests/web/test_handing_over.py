"""Handing over in the middle of a day and at its end: the heaters, who stays with them, and the sheet on paper."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import httpx
import pytest
from playwright.sync_api import Page, expect

from flatstock.actions.kept import kept_plan
from flatstock.actions.practice import noted_by
from flatstock.plastics.safety import rules
from flatstock.records.store import open_store
from tests.web.conftest import TUESDAY, Served, demo_folder
from tests.web.test_pages_in_a_browser import faults_by_axe
from tests.web.test_telling_more import pick

CLOSED = {"line": list(rules().closing_check.lines), "then": "the shop closes"}
ON = {
    "id": "on", "at": TUESDAY.isoformat(), "noted_at": TUESDAY.isoformat(), "kind": "heating_on", "who": ["OP1"],
    "place": "HP1", "facts": {"set_point_C": 195},
}  # fmt: skip
CHECKED = {"id": "ok", "at": TUESDAY.isoformat(), "noted_at": TUESDAY.isoformat(), "kind": "checked", "who": ["OP1"],
           "facts": {"list": "start"}}  # fmt: skip


@pytest.fixture
def heated(tuesday: Served) -> Served:
    """The press is heated, with nothing in it."""
    httpx.post(f"{tuesday.address}/floor/taps", json=[CHECKED, ON], timeout=60)
    assert heats(tuesday)
    return tuesday


def heats(served: Served) -> bool:
    press = next(one for one in served.app.state.floor.floor()[1].places if one.id == "HP1")
    return bool(press.heat.on)


def hand_over(served: Served, **said: Any) -> httpx.Response:
    return httpx.post(f"{served.address}/handover", data=said, timeout=60)


def test_a_shift_hands_over_a_heated_press_to_somebody_who_may_stay_with_it(heated: Served) -> None:
    assert hand_over(heated, then="work goes on", who=["OP3", "OP2"]).status_code == 303
    assert heats(heated)


def test_a_heated_press_is_not_left_with_two_who_may_not_stay_with_it(heated: Served) -> None:
    answer = hand_over(heated, then="work goes on", who=["OP4", "V1"])
    assert (answer.status_code, "neither of the two may be left with it" in answer.text) == (422, True)


def test_nobody_signs_who_is_not_here(heated: Served) -> None:
    answer = hand_over(heated, then="work goes on", who=["OP2", "V1"])
    assert (answer.status_code, "V1 is not here at" in answer.text) == (422, True)


@pytest.mark.parametrize("address", ["/handover", "/store/new", "/store/lot/L-2301/test?test=bromine"])
def test_whoever_is_not_here_is_marked_where_people_are_chosen(
    page: Page, heated: Served, address: str
) -> None:
    page.goto(heated.address + address)
    for person, away in (("OP1", False), ("V1", True)):
        choice = page.locator("label", has=page.locator(f"input[name=who][value={person}]"))
        expect(choice).to_have_text(f"{person} not here now" if away else person)


def test_once_the_closing_check_says_that_the_heaters_are_off_the_board_says_so_too(heated: Served) -> None:
    assert hand_over(heated, **CLOSED, who=["OP1", "OP2"]).status_code == 303
    assert not heats(heated)


def test_a_shop_is_not_closed_without_its_closing_check(heated: Served) -> None:
    answer = hand_over(heated, then="the shop closes", who=["OP1", "OP2"])
    assert (answer.status_code, "Heaters off at the isolator." in answer.text) == (422, True)
    assert heats(heated)


def test_on_paper_it_has_the_closing_check_and_room_for_two_names(page: Page, heated: Served) -> None:
    page.goto(f"{heated.address}/handover")
    assert faults_by_axe(page) == []
    expect(page.locator(".on-paper")).to_be_hidden()
    page.emulate_media(media="print")
    expect(page.locator(".on-paper")).to_contain_text("☐ Last look for fire")
    expect(page.locator(".on-paper")).to_contain_text("Handed over by")
    expect(page.get_by_role("button", name="Print it")).to_be_hidden()


def test_whoever_has_signed_need_not_sign_again_when_the_second_is_missing(
    page: Page, heated: Served
) -> None:
    page.goto(f"{heated.address}/handover")
    pick(page, "What comes then", "work goes on")
    pick(page, "Two sign", "OP1")
    page.get_by_role("button", name="Handed over").click()
    expect(page.get_by_role("alert")).to_contain_text("two different people sign")
    pick(page, "Two sign", "OP2")
    page.get_by_role("button", name="Handed over").click()
    expect(page.locator("h1")).to_contain_text("What happened")


def test_a_mould_that_lies_prepared_is_handed_over_too(tmp_path: Path, serve: Callable[..., Served]) -> None:
    """The demo's plan prepares O-104-03 at 09:30 and loads it at 11:00."""
    folder, moment = demo_folder(tmp_path / "shop"), datetime(2026, 3, 2, 10, 0, tzinfo=UTC)
    plan = kept_plan(folder)
    assert plan is not None
    with open_store(folder) as store:
        store.append(noted_by(plan, moment))
    text = httpx.get(f"{serve(folder, moment).address}/handover", timeout=60).text
    row = next(one for one in text.split("<tr>") if "on the bench" in one)
    assert all(
        said in row for said in ("O-104-03 HDPE dark 12 mm", "Load O-104-03 into HP1, 2 people, 11:00")
    )
