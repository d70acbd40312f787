"""The run board in a real browser, on a Monday under way: taps, two people, undo, no network, two devices."""

from __future__ import annotations

import re
import time
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import httpx
import pytest
from playwright.sync_api import Browser, Page, expect

from flatstock.actions.kept import kept_plan
from flatstock.actions.practice import noted_by
from flatstock.records.store import open_store
from flatstock.running.event import Event
from tests.web.conftest import Served, demo_folder
from tests.web.still import StillClock, set_on, stand_still
from tests.web.test_pages_in_a_browser import faults_by_axe

LOADED = datetime(2026, 3, 2, 14, 1, tzinfo=UTC)
#: a quarter of an hour on, O-101-01 in HP1 may be transferred; nobody has done so yet
DUE = datetime(2026, 3, 2, 14, 16, tzinfo=UTC)


@pytest.fixture
def floor(tmp_path: Path, serve: Callable[..., Served]) -> Callable[[datetime], Served]:
    """The demo's Monday up to 14:01 on record, served at another moment."""
    folder = demo_folder(tmp_path / "shop")
    plan = kept_plan(folder)
    assert plan is not None
    with open_store(folder) as store:
        store.append(noted_by(plan, LOADED))
    return lambda moment: serve(folder, moment)


def tile(page: Page, place: str) -> Any:
    return page.locator(f"[data-place={place}]")


def transfer(page: Page, *people: str) -> None:
    tile(page, "HP1").locator(".do").click()
    for person in people:
        page.locator("#hands-people button", has_text=person).click()


def test_a_mould_that_must_wait_says_until_when_and_counts_down(
    page: Page, floor: Callable[..., Served]
) -> None:
    page.goto(floor(datetime(2026, 3, 2, 14, 5, tzinfo=UTC)).address)
    hot = tile(page, "HP1")
    expect(hot).to_contain_text("O-101-01")
    expect(hot).to_contain_text(
        re.compile(r"do not open before 14:1[45]")  # by the plan 14:14, by the model's answer 14:15
    )
    expect(hot.locator(".word")).to_have_text("wait")
    first = hot.locator(".seconds").inner_text()
    expect(hot.locator(".seconds")).not_to_have_text(first)


def test_nobody_is_called_when_it_has_melted_through_but_full_pressure_is_still_to_come(
    page: Page, floor: Callable[..., Served]
) -> None:
    page.goto(floor(datetime(2026, 3, 2, 14, 20, tzinfo=UTC)).address)
    hot = tile(page, "HP1")
    expect(hot).to_contain_text(  # once the model has answered
        "contact pressure until 14:28; then breathe twice, then full pressure; out at 14:29"
    )
    expect(hot).to_contain_text("melted through")
    expect(page.locator(".calling")).to_have_count(0)


def test_breathing_and_full_pressure_are_called_at_the_end_of_the_dwell_until_they_are_told(
    page: Page, floor: Callable[..., Served]
) -> None:
    page.goto(floor(datetime(2026, 3, 2, 14, 28, 10, tzinfo=UTC)).address)
    call = page.locator(".calling", has_text="breathe twice, then full pressure: 1 person, face shield")
    expect(call).to_contain_text("O-101-01 in HP1")
    page.locator("button[data-more=HP1]").click()
    page.get_by_role("button", name="O-101-01 breathed").click()
    page.locator("#hands-people button", has_text="OP1").click()
    page.locator("#hands-done").click()
    expect(call).to_have_count(0)


def test_the_call_comes_three_minutes_ahead_by_sight_and_sound(
    page: Page, floor: Callable[..., Served]
) -> None:
    moment = datetime(2026, 3, 2, 14, 26, 30, tzinfo=UTC)
    served = floor(moment)
    StillClock(served, moment)
    page.goto(served.address)
    expect(page.locator(".calling.early")).to_contain_text("Transfer O-101-01 into CP1 in 3 min: 2 people")
    expect(page.locator("#sound")).to_have_text("Sound is off: tap once")
    page.locator("#sound").click()
    expect(page.locator("#sound")).to_have_text("Sound is on")
    assert page.evaluate("flatstock.sounded") >= 2  # that it is on, and the call


def test_a_two_person_step_takes_two_different_people(page: Page, floor: Callable[..., Served]) -> None:
    page.goto(floor(DUE).address)
    transfer(page, "OP1")
    expect(page.locator("#hands-done")).to_be_disabled()
    page.locator("#hands-people button", has_text="OP1").click()  # again: it is taken back, not counted twice
    expect(page.locator("#hands-faults")).to_have_text("2 more people")
    page.locator("#hands-people button", has_text="OP1").click()
    page.locator("#hands-people button", has_text="OP2").click()
    page.locator("#hands-done").click()
    expect(tile(page, "CP1")).to_contain_text("O-101-01")
    expect(tile(page, "HP1")).to_contain_text("empty")


def test_a_tap_is_undone_within_ten_seconds(page: Page, floor: Callable[..., Served]) -> None:
    served = floor(DUE)
    StillClock(served, DUE)
    stand_still(page)
    page.goto(served.address)
    transfer(page, "OP1", "OP2")
    page.locator("#hands-done").click()
    expect(tile(page, "CP1")).to_contain_text("O-101-01")
    page.locator("#undo button").click()
    expect(tile(page, "HP1")).to_contain_text("O-101-01")
    expect(tile(page, "CP1")).to_contain_text("empty")


def test_undo_is_offered_for_ten_seconds_and_no_longer(page: Page, floor: Callable[..., Served]) -> None:
    stand_still(page)
    page.goto(floor(DUE).address)
    transfer(page, "OP1", "OP2")
    page.locator("#hands-done").click()
    expect(page.locator("#undo button")).to_have_text("Undo (10)")  # a tap is kept before undo is offered
    set_on(page, 9.9)
    expect(page.locator("#undo button")).to_have_text("Undo (1)")
    set_on(page, 10.1)
    expect(page.locator("#undo")).to_be_hidden()


def test_a_tap_on_one_device_is_seen_on_the_other(browser: Browser, floor: Callable[..., Served]) -> None:
    address = floor(DUE).address
    tablet, phone = (browser.new_context().new_page() for _ in range(2))
    for one in (tablet, phone):
        one.goto(address)
        expect(one.locator("#line")).to_have_text("live")
    transfer(tablet, "OP1", "OP2")
    tablet.locator("#hands-done").click()
    expect(tile(phone, "CP1")).to_contain_text("O-101-01")
    for one in (tablet, phone):
        one.context.close()


def test_without_network_it_says_so_keeps_its_clocks_and_sends_each_tap_once(
    browser: Browser, floor: Callable[..., Served]
) -> None:
    served = floor(DUE)
    context = browser.new_context()
    page = context.new_page()
    page.goto(served.address)
    expect(page.locator("#line")).to_have_text("live")
    context.set_offline(True)
    transfer(page, "OP1", "OP2")
    page.locator("#hands-done").click()
    expect(tile(page, "HP1").locator(".unsent")).to_contain_text("not sent yet")
    expect(page.locator("#line")).to_contain_text(
        "no network: clocks go on, taps are kept 1 tap not sent yet"
    )
    before = tile(page, "HP1").locator(".seconds").inner_text()
    expect(tile(page, "HP1").locator(".seconds")).not_to_have_text(before)
    context.set_offline(False)
    expect(tile(page, "CP1")).to_contain_text("O-101-01")
    expect(page.locator("#line")).to_have_text("live")
    noted = [
        event
        for _, event in served.app.state.floor.board().store.events()
        if event.kind == "transferred" and event.sheet == "O-101-01"
    ]
    assert len(noted) == 1
    assert (noted[0].noted_at - DUE).total_seconds() < 300  # when it was tapped
    context.close()


def test_two_devices_that_tell_it_differently_are_both_kept_and_asked_about(
    browser: Browser, floor: Callable[..., Served]
) -> None:
    """One tablet, without network, says that the mould went into the cooling press; another gives the mould up."""
    served = floor(DUE)
    clock = StillClock(served, DUE)
    away, here = (browser.new_context() for _ in range(2))
    tablet, phone = away.new_page(), here.new_page()
    for one in (tablet, phone):
        stand_still(one)
        one.goto(served.address)
        expect(one.locator("#line")).to_have_text("live")
    away.set_offline(True)
    transfer(tablet, "OP1", "OP2")
    tablet.locator("#hands-done").click()
    expect(tile(tablet, "HP1").locator(".unsent")).to_be_visible()
    tile(phone, "HP1").locator(".more").click()
    phone.get_by_role("button", name="O-101-01 given up").click()
    phone.locator("#hands-whys button", has_text="spilled").click()
    phone.locator("#hands-people button", has_text="OP1").click()
    phone.locator("#hands-done").click()
    expect(tile(phone, "HP1")).to_contain_text("empty")
    clock.ahead = 11  # later than what counts as told at once
    away.set_offline(False)
    noted = served.app.state.floor.board().store
    until = time.monotonic() + 120
    while time.monotonic() < until:
        kinds = [event.kind for _, event in noted.events() if event.sheet == "O-101-01"]
        if "transferred" in kinds:
            break
        tablet.wait_for_timeout(200)
    assert {"transferred", "scrapped"} <= set(kinds)
    away.close()
    here.close()


def test_what_was_told_twice_is_said_at_the_top_and_each_telling_has_its_time_and_people(
    page: Page, floor: Callable[..., Served]
) -> None:
    served = floor(DUE)
    tellings = [
        Event(id=f"t{n}", at=DUE + timedelta(minutes=n), noted_at=DUE + timedelta(minutes=n), kind="transferred",
              who=("OP1", who), sheet="O-101-01", place="CP1")
        for n, who in ((-2, "OP2"), (-1, "OP3"))
    ]  # fmt: skip
    served.app.state.floor.board().store.append(tellings)
    page.goto(served.address)
    expect(page.locator(".asked-first")).to_contain_text("1 thing told can't be so: answer below")
    said = [
        f"Take back telling {n}: {one.at:%H:%M}, {' + '.join(one.who)}" for n, one in enumerate(tellings, 1)
    ]
    expect(page.locator(".questions button")).to_have_text(said)


def test_a_queued_tap_outlives_the_page(browser: Browser, floor: Callable[..., Served]) -> None:
    """The server is killed, the tablet falls off the wall; both come back."""
    served = floor(DUE)
    context = browser.new_context()
    page = context.new_page()
    page.goto(served.address)
    context.set_offline(True)
    transfer(page, "OP1", "OP2")
    page.locator("#hands-done").click()
    expect(tile(page, "HP1").locator(".unsent")).to_be_visible()
    page.close()
    context.set_offline(False)
    again = context.new_page()
    again.goto(served.address)
    expect(tile(again, "CP1")).to_contain_text("O-101-01")
    context.close()


def test_danger_says_what_to_do_before_it_asks_for_anything(page: Page, floor: Callable[..., Served]) -> None:
    page.goto(floor(datetime(2026, 3, 2, 14, 5, tzinfo=UTC)).address)
    page.locator(".bar [data-panel=danger]").click()
    page.locator("#danger [data-danger=power_cut]").click()
    expect(page.locator("#takeover .headline")).to_have_text("POWER CUT: leave the press closed")
    page.locator("#takeover button").click()
    expect(page.locator(".danger-now .headline")).to_contain_text("POWER CUT: leave the press closed")
    expect(page.locator("#hands-keys")).to_be_hidden()
    page.locator(".danger-now .do").click()  # the supply is back
    after = page.locator(".danger-after")
    expect(after).to_contain_text("measure the platens")
    after.locator(".do").click()
    for key in "171,5":
        page.locator(f"#hands [data-key='{key}']").click()
    page.locator("#hands-people button", has_text="OP1").click()
    page.locator("#hands-done").click()
    expect(page.locator(".danger-after")).to_have_count(0)


def test_danger_is_said_without_a_network_too(browser: Browser, floor: Callable[..., Served]) -> None:
    context = browser.new_context()
    page = context.new_page()
    page.goto(floor(DUE).address)
    context.set_offline(True)
    page.locator(".bar [data-panel=danger]").click()
    page.locator("#danger [data-danger=smoke]").click()
    expect(page.locator("#takeover .headline")).to_have_text("SMOKE OR FUME: everybody out")
    context.close()


def test_a_server_that_has_ended_is_said_to_be_gone_as_soon_as_its_stream_breaks_off(
    browser: Browser, floor: Callable[..., Served]
) -> None:
    served, context = floor(DUE), browser.new_context()
    page = context.new_page()
    page.add_init_script(
        "performance.now = () => 1"
    )  # however long it waits, to the page it is no time at all
    page.goto(served.address)
    expect(page.locator("#line")).to_have_text("live")
    served.stop()
    expect(page.locator("#line")).to_contain_text("no network")
    context.close()


def test_a_killed_server_comes_back_with_the_same_clocks(
    browser: Browser, floor: Callable[..., Served]
) -> None:
    first, page = floor(DUE), browser.new_context().new_page()
    page.goto(first.address)
    expect(tile(page, "HP1").locator(".until")).to_contain_text(  # once the model has answered
        "melted through"
    )
    said = tile(page, "HP1").locator(".until").inner_text()
    first.stop()
    expect(page.locator("#line")).to_contain_text("no network")
    assert tile(page, "HP1").locator(".until").inner_text() == said  # the page has not loaded itself again
    page.goto(floor(DUE).address)
    expect(tile(page, "HP1").locator(".until")).to_have_text(said)
    page.context.close()


@pytest.mark.parametrize(("width", "height"), [(360, 740), (1180, 820), (1920, 1080)])
@pytest.mark.parametrize("ground", ["light", "dark"])
def test_axe_finds_nothing_on_the_board(
    page: Page, floor: Callable[..., Served], width: int, height: int, ground: Any
) -> None:
    page.emulate_media(color_scheme=ground)
    page.set_viewport_size({"width": width, "height": height})
    page.goto(floor(DUE).address)
    expect(page.locator("#line")).to_have_text("live")
    assert faults_by_axe(page) == []
    tile(page, "HP1").locator(".do").click()
    assert faults_by_axe(page) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= width


def test_every_target_of_the_board_and_of_a_sheets_forms_takes_a_glove(
    browser: Browser, floor: Callable[..., Served]
) -> None:
    """20 mm: 126 pixels on a tablet of 160 pixels an inch, common practice, no source."""
    context = browser.new_context(viewport={"width": 1280, "height": 800}, has_touch=True, is_mobile=True)
    page = context.new_page()
    served = floor(DUE)
    page.goto(served.address)
    tile(page, "HP1").locator(".do").click()
    small = """() => [...document.querySelectorAll('main button, dialog[open] button, main .choice .row label')]
      .filter(one => one.offsetParent).map(one => [one.textContent.trim(), one.getBoundingClientRect()])
      .map(([words, box]) => [words, box.width, box.height]).filter(([, wide, high]) => Math.min(wide, high) < 125.5)"""
    assert page.evaluate(small) == []
    for address in ("/fault", "/fault/new/O-104-01", "/record/O-104-01/measure"):
        page.goto(served.address + address)
        assert page.evaluate(small) == [], address
    context.close()


def test_nothing_moves_under_a_finger_and_its_tap_counts(page: Page, floor: Callable[..., Served]) -> None:
    stand_still(page)  # a finger holds the board for two seconds, which a busy machine may take to look
    page.goto(floor(DUE).address)
    button = tile(page, "HP1").locator(".do").first
    expect(button).to_be_visible()
    expect(page.locator("#line")).to_have_text("live")
    button.hover()
    page.mouse.down()
    page.evaluate(
        "document.getElementById('floor').dataset.mine = '1'; document.dispatchEvent(new CustomEvent('floor:ask'))"
    )
    page.wait_for_timeout(900)  # long enough for the answer, and for it to be put in the board's place
    assert page.locator("#floor[data-mine]").count() == 1
    page.mouse.up()
    expect(page.locator("#hands-title")).to_be_visible()
    expect(page.locator("#floor[data-mine]")).to_have_count(0)


def test_a_sentence_gives_the_reason(page: Page, floor: Callable[..., Served]) -> None:
    page.goto(floor(DUE).address)
    expect(tile(page, "R1")).to_contain_text(re.compile("do not open before|ready since"))


def test_a_step_well_beside_its_time_plans_the_rest_on_and_says_what_moved(
    page: Page, tmp_path: Path, serve: Callable[..., Served]
) -> None:
    """O-101-01 is transferred at 14:20 where the plan has 14:29."""
    folder = demo_folder(tmp_path / "shop")
    plan = kept_plan(folder)
    assert plan is not None
    with open_store(folder) as store:
        store.append(noted_by(plan, LOADED))
    served = serve(folder, datetime(2026, 3, 2, 14, 20, tzinfo=UTC), replans=True)
    page.goto(served.address)
    transfer(page, "OP1", "OP2")
    page.locator("#hands-done").click()
    expect(tile(page, "CP1")).to_contain_text("O-101-01")
    expect(page.locator(".replanned")).to_contain_text("moved", timeout=240_000)
    page.goto(f"{served.address}/week")
    expect(page.locator("#moved")).to_contain_text("What moved, as of 14:20")
    assert faults_by_axe(page) == []


def test_what_is_overdue_says_since_when_and_no_longer_until(
    page: Page, floor: Callable[..., Served]
) -> None:
    page.goto(floor(DUE.replace(minute=29)).address)
    hot = tile(page, "HP1")
    expect(hot.locator(".minutes")).to_have_text(re.compile(r"\+\d+"))
    expect(hot.locator(".until")).to_contain_text("since its transfer was due")
    expect(hot.locator(".until")).not_to_contain_text("until transfer")


def test_heaters_are_offered_the_set_point_that_the_plan_has_next(
    page: Page, tmp_path: Path, serve: Callable[..., Served]
) -> None:
    served = serve(demo_folder(tmp_path / "shop"), datetime(2026, 3, 2, 7, 20, tzinfo=UTC))
    plan = kept_plan(served.app.state.place.folder)
    assert plan is not None
    page.goto(served.address)
    expect(page.locator("[data-more=HP1]")).to_have_attribute("data-point", str(plan["settings"][0]["to_C"]))


def test_a_step_out_of_turn_is_refused_in_words_of_the_floor(floor: Callable[..., Served]) -> None:
    served = floor(DUE)
    at = DUE.isoformat()
    tap = {"id": "cools-already", "at": at, "noted_at": at, "kind": "loaded", "who": ["OP1", "OP2"],
           "sheet": "O-101-01", "place": "HP1", "facts": {}}  # fmt: skip
    (told,) = httpx.post(f"{served.address}/floor/taps", json=[tap], timeout=60).json()
    assert told["outcome"] == "refused"
    assert "it is in the hot press; it can be loaded only while it is planned" in told["faults"][0]


def test_a_step_that_several_things_stand_in_the_way_of_names_them_all(
    page: Page, floor: Callable[..., Served]
) -> None:
    now = datetime(2026, 3, 2, 14, 5, tzinfo=UTC)
    served = floor(now)
    cut = [Event(id=kind, at=now, noted_at=now, kind=kind) for kind in ("power_cut", "power_back")]
    served.app.state.floor.tap(cut)
    page.goto(served.address)
    page.locator(".coming .do", has_text="Load").first.click()
    expect(page.locator("#hands-say")).to_contain_text("its heaters are off since 14:05")
    expect(page.locator("#hands-say")).to_contain_text("O-101-01 is in it")


@pytest.mark.parametrize("step", ["Weigh", "Platens"])
def test_on_a_tablet_a_number_its_people_and_done_are_seen_without_scrolling(
    browser: Browser, tmp_path: Path, serve: Callable[..., Served], step: str
) -> None:
    served = serve(demo_folder(tmp_path / "shop"), datetime(2026, 3, 2, 7, 30, tzinfo=UTC))
    context = browser.new_context(viewport={"width": 1280, "height": 800}, has_touch=True)
    tablet = context.new_page()
    tablet.goto(served.address)
    if step == "Weigh":
        tablet.locator(".coming .do", has_text=step).first.click()
    else:
        tablet.locator("[data-more=HP1]").click()
        tablet.get_by_role("button", name="Platens of HP1 read").click()
    names = "#hands-number, #hands .keys button, #hands-people button, #hands-done, #hands-close"
    seen = tablet.locator(names).evaluate_all(
        "all => all.map(one => [one.textContent, one.getBoundingClientRect()]).map(([words, box]) => [words, box.top, box.bottom, Math.min(box.width, box.height)])"
    )
    assert len(seen) > 14
    assert [one for one in seen if one[1] < 0 or one[2] > 800] == []
    assert [one for one in seen if one[0] != "\u2013" and not one[0].startswith("11") and one[3] < 75] == []
    assert tablet.evaluate(
        "document.getElementById('hands').scrollHeight <= document.getElementById('hands').clientHeight + 1"
    )
    context.close()


def test_on_a_tablet_the_step_that_is_due_is_seen_without_scrolling(
    browser: Browser, floor: Callable[..., Served]
) -> None:
    """What is seldom tapped is behind Menu there; that the sound is off stays in sight."""
    context = browser.new_context(viewport={"width": 1180, "height": 820}, has_touch=True, is_mobile=True)
    tablet = context.new_page()
    tablet.goto(floor(DUE).address)
    step = tile(tablet, "HP1").locator(".do").bounding_box()
    assert step is not None
    assert step["y"] + step["height"] <= 820
    expect(tablet.locator("#sound")).to_be_visible()
    expect(tablet.get_by_role("link", name="Hand over")).to_be_hidden()
    tablet.locator("#bar-more").click()
    expect(tablet.get_by_role("link", name="Hand over")).to_be_visible()
    context.close()
