"""What a page does where things come in another order than usual: a script, the device's own store, an answer late."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, Request, Route, expect

from tests.web.conftest import Served, demo_folder, demo_kept_to
from tests.web.still import StillClock, set_on, stand_still
from tests.web.test_kept_forms import demoulded, fill, noted

MORNING = datetime(2026, 3, 2, 7, 26, tzinfo=UTC)
#: O-101-01 in HP1 may be transferred; nobody has done so yet
DUE = datetime(2026, 3, 2, 14, 16, tzinfo=UTC)
LONG = 1500  # ms; what is not held back until something has happened has come by then

#: what is kept on the device is kept only when a test lets it go on
HELD = """() => {
    const kept = flatstock.taps.tap;
    window.goes = new Promise((go) => { window.goOn = go; });
    flatstock.taps.tap = async (event) => { const tap = await kept(event); await window.goes; return tap; };
}"""


@pytest.fixture
def floor(tmp_path: Path, serve: Callable[..., Served]) -> Served:
    return serve(demo_kept_to(tmp_path / "shop", DUE.replace(minute=1)), DUE)


@pytest.fixture
def context(browser: Browser) -> Iterator[BrowserContext]:
    opened = browser.new_context(viewport={"width": 1180, "height": 820})
    yield opened
    opened.close()


def opened_with_a_late(script: str, context: BrowserContext, address: str) -> Page:
    """A page whose script comes when everything else has been there for long."""
    page, held = context.new_page(), list[Route]()
    page.route(f"**/{script}*", lambda route: held.append(route))
    page.goto(address, wait_until="commit")
    expect(page.locator("h1")).to_be_attached()
    page.wait_for_timeout(LONG)
    assert held
    for one in held:
        one.continue_()
    return page


def test_a_tap_that_is_refused_is_said_so_on_a_board_whose_scripts_come_late(
    context: BrowserContext, floor: Served
) -> None:
    StillClock(floor, DUE)  # what is told ten seconds late is asked about, not refused
    page = context.new_page()
    stand_still(page)
    page.goto(floor.address)
    context.set_offline(True)
    page.evaluate(
        "flatstock.taps.tap({ kind: 'loaded', sheet: 'O-101-01', place: 'HP1', who: ['OP1', 'OP2'] })"
    )
    page.close()
    context.set_offline(False)
    again = opened_with_a_late("hands.js", context, floor.address)
    expect(again.locator("#told")).to_contain_text("Not noted")


def test_a_form_that_was_refused_is_shown_on_a_page_whose_scripts_come_late(
    context: BrowserContext, tuesday: Served
) -> None:
    page = context.new_page()
    page.goto(f"{tuesday.address}/demould")
    first = page.locator(".readies > li").first
    first.locator("summary").click()
    context.set_offline(True)
    first.get_by_role("group", name="Who took it out").locator("label", has_text="OP1").click()
    first.get_by_role("button", name="Out").click()
    context.set_offline(False)
    expect(page.locator("#kept")).to_contain_text("was not taken")
    page.close()
    again = opened_with_a_late("keeps.js", context, tuesday.address)
    expect(again.locator("#kept")).to_contain_text("was not taken")


def test_a_page_that_counts_waits_for_its_clock(context: BrowserContext, tuesday: Served) -> None:
    page = context.new_page()
    page.goto(f"{tuesday.address}/fault/new/{demoulded(tuesday)}")
    page.locator("input[name=fault]").first.locator("xpath=..").click()
    page.get_by_role("group", name="Who found it").locator("label", has_text="OP1").click()
    page.get_by_role("button", name="Note it").click()
    page.wait_for_url("**/fault/*")
    page.get_by_role("group", name="Who answers").locator("label", has_text="OP1").click()
    wrong: list[str] = []
    context.on("weberror", lambda one: wrong.append(str(one.error)))
    with page.expect_event("load"):
        page.locator("#looks ~ ul li").first.locator("button.yes").click()
    page.close()
    again = opened_with_a_late("clocks.js", context, page.url)
    expect(again.locator("[data-until]")).to_have_count(0)  # by its clock it is over by and by
    assert wrong == []


def test_what_is_begun_before_a_step_is_kept_changes_no_word_of_it(
    context: BrowserContext, floor: Served
) -> None:
    page = context.new_page()
    page.goto(floor.address)
    page.evaluate(HELD)
    page.evaluate(
        "document.getElementById('floor').dataset.extract = 'off'; document.querySelector('[data-place=HP1] .do').click()"
    )
    for word in ("the extract runs", "OP1", "OP2"):
        page.locator("#hands-people button", has_text=word).click()
    title = page.locator("#hands-title").inner_text()
    page.locator("#hands-done").click()
    page.locator("[data-more=HP1]").click()
    page.get_by_role("button", name="Platens of HP1 read").click()
    expect(page.locator("#hands-title")).to_have_text("Platens of HP1 read")
    page.evaluate("window.goOn()")
    expect(page.locator("#undo p")).to_have_text(title)


def test_checks_signed_while_an_older_board_is_on_its_way_are_not_asked_for_twice(
    context: BrowserContext, tmp_path: Path, serve: Callable[..., Served]
) -> None:
    page = context.new_page()
    page.goto(serve(demo_folder(tmp_path / "shop"), MORNING).address)
    page.locator("[data-more=HP1]").click()
    page.get_by_role("button", name="Heaters of HP1 on").click()
    for line in page.locator("#checks [data-line]").all():
        line.click()
    page.locator("#checks-people button", has_text="OP1").first.click()
    page.evaluate(HELD)
    page.locator("#checks-done").click()
    page.evaluate("document.getElementById('floor').dataset.checked = 'no'; window.goOn()")
    expect(page.locator("#hands")).to_be_visible()
    expect(page.locator("#checks")).to_be_hidden()


def test_a_form_goes_after_the_taps_that_are_on_their_way(context: BrowserContext, tuesday: Served) -> None:
    page, held, told = context.new_page(), list[Route](), list[str]()

    def heard(one: Request) -> None:
        if one.method == "POST":
            told.append(one.url.removeprefix(tuesday.address))

    page.on("requestfinished", heard)
    page.route("**/floor/taps", lambda route: held.append(route))
    sheet = demoulded(tuesday)
    page.goto(f"{tuesday.address}/record/{sheet}/measure")
    page.evaluate("flatstock.taps.tap({ kind: 'extract_on', who: ['OP1'] })")
    fill(page)
    page.get_by_role("button", name="Note it").click()
    expect(page.locator("main .unsent")).to_contain_text("on its way")  # after a second without an answer
    assert held
    for one in held:
        one.continue_()
    page.wait_for_url(lambda url: not url.endswith("/measure"))
    assert noted(tuesday, "measured")
    assert told == ["/floor/taps", f"/record/{sheet}/measure"]


def test_a_clock_loses_nothing_while_its_answer_waits_for_a_finger(
    context: BrowserContext, floor: Served
) -> None:
    clock, page = StillClock(floor, DUE), context.new_page()
    stand_still(page)
    page.goto(floor.address)
    expect(page.locator("#line")).to_have_text("live")
    page.mouse.move(5, 5)
    page.mouse.down()
    page.evaluate("""() => new Promise((came) => {
        const asked = window.fetch;
        window.fetch = async (...what) => { const answer = await asked(...what); came(); return answer; };
        window.shows = Promise.race([
            new Promise((go) => { document.addEventListener("floor:shown", () => go(flatstock.time.now()), { once: true }); }),
            new Promise((go) => { setTimeout(go, 60000); }),
        ]);
        document.dispatchEvent(new CustomEvent("floor:ask"));
    })""")
    clock.ahead = 3  # longer than a finger holds the board
    set_on(page, 3)
    assert page.evaluate("window.shows") == (DUE.timestamp() + 3) * 1000


def test_a_page_whose_neighbour_had_the_stream_takes_it_over_before_it_misses_it(
    context: BrowserContext, floor: Served
) -> None:
    leads, follows = context.new_page(), context.new_page()
    stand_still(follows)  # however long it takes, to it no time goes by without a sign of life
    follows.add_init_script(  # and it waits for its neighbour's word, which else has 300 ms to come
        "const after = setTimeout; window.setTimeout = (act, ms) => after(act, ms === 300 ? 300000 : ms);"
    )
    for page in (leads, follows):
        page.goto(floor.address)
    follows.evaluate(
        "new Promise((go) => { new BroadcastChannel('flatstock-floor').onmessage = () => go(); })"
    )
    with follows.expect_request("**/floor/live*", timeout=60_000):
        leads.goto("about:blank")
    expect(follows.locator("#line")).to_have_text("live")
