"""Forms without a network: what a device can keep it keeps and tells once; what it can't is refused before it is lost."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import timedelta
from threading import Event as Signal

import httpx
import pytest
from playwright.sync_api import Browser, Page, Request, Route, expect

from flatstock.running.event import Event
from tests.web.conftest import TUESDAY, Served
from tests.web.test_sheets_measured import a_png
from tests.web.test_telling_more import pick

ID = "0123456789abcdef" * 2


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    """A page that loses its network, which its console says too."""
    opened = browser.new_page(viewport={"width": 1180, "height": 820})
    yield opened
    opened.context.close()


def noted(served: Served, kind: str) -> list[Event]:
    store = served.app.state.floor.board().store
    return [one for _, one in store.events(kinds=(kind,)) if one.device != "practice"]


def demoulded(served: Served) -> str:
    """A sheet that was taken out and not measured yet."""
    store = served.app.state.floor.board().store
    return next(str(one.sheet) for _, one in store.events(kinds=("demoulded",)))


def fill(page: Page) -> None:
    for n in range(1, 10):
        page.locator(f"input[name=t{n}_mm]").fill("12.0")
    pick(page, "Who measures", "OP1")


def fill_lot(page: Page) -> None:
    page.locator("input[name=mass]").fill("48.5")
    page.get_by_label("Plastic, as it is said to be").select_option("hdpe")
    page.get_by_label("Colour").fill("red")
    pick(page, "Where it comes from", "crates")
    pick(page, "Who takes it in", "OP1")


def test_measures_are_kept_without_a_network_and_told_once_it_is_back(page: Page, tuesday: Served) -> None:
    sheet = demoulded(tuesday)
    page.goto(f"{tuesday.address}/record/{sheet}/measure")
    fill(page)
    page.context.set_offline(True)
    expect(page.locator(".away")).to_contain_text("kept on this device")
    page.get_by_role("button", name="Note it").click()
    expect(page.locator("main .unsent")).to_contain_text(f"Measures of {sheet}: kept on this device")
    expect(page.locator("#kept")).to_contain_text("waits for the server")
    assert noted(tuesday, "measured") == []
    page.context.set_offline(False)
    expect(page.locator("main .unsent")).to_contain_text(": sent.")
    expect(page.locator("#kept")).to_be_hidden()
    (one,) = noted(tuesday, "measured")
    assert one.facts["t9_mm"] == 12.0
    assert one.at == one.noted_at
    page.get_by_role("link", name="Go on").click()
    expect(page.locator("h1")).to_contain_text(sheet)


def test_what_is_kept_outlives_its_page_and_is_told_by_the_board(page: Page, tuesday: Served) -> None:
    sheet = demoulded(tuesday)
    page.goto(f"{tuesday.address}/record/{sheet}/measure")
    fill(page)
    page.context.set_offline(True)
    page.get_by_role("button", name="Note it").click()
    expect(page.locator("#kept")).to_contain_text("waits for the server")
    page.goto("about:blank")
    page.context.set_offline(False)
    with page.expect_response(
        lambda got: got.request.method == "POST"
    ):  # until then nothing is kept there either
        page.goto(tuesday.address)
    expect(page.locator("#line")).to_have_text("live")
    expect(page.locator("#kept")).to_be_hidden()
    assert len(noted(tuesday, "measured")) == 1


def test_a_mould_that_was_taken_out_without_a_network_is_told_later(page: Page, tuesday: Served) -> None:
    page.goto(f"{tuesday.address}/demould")
    first = page.locator(".readies > li").first
    first.locator("summary").click()
    page.context.set_offline(True)
    for person in ("OP1", "OP2"):
        first.get_by_role("group", name="Who took it out").locator("label", has_text=person).click()
    first.get_by_role("button", name="Out").click()
    expect(first.locator(".unsent")).to_contain_text("is out: kept on this device")
    page.context.set_offline(False)
    expect(first.locator(".unsent")).to_contain_text(": sent.")
    assert len(noted(tuesday, "demoulded")) == 1


def test_a_kept_form_that_is_refused_stays_with_its_reason_until_somebody_decides(
    page: Page, tuesday: Served
) -> None:
    page.goto(f"{tuesday.address}/demould")
    first = page.locator(".readies > li").first
    first.locator("summary").click()
    page.context.set_offline(True)
    first.get_by_role("group", name="Who took it out").locator("label", has_text="OP1").click()
    first.get_by_role("button", name="Out").click()
    page.context.set_offline(False)
    kept = page.locator("#kept")
    expect(kept).to_contain_text("was not taken")
    expect(kept).to_contain_text("two people")
    page.goto(tuesday.address)  # it is asked on the board of that device as well
    expect(kept).to_contain_text("was not taken")
    page.on("dialog", lambda dialog: dialog.accept())
    kept.get_by_role("button", name="Throw it away").click()
    expect(kept).to_be_hidden()
    assert noted(tuesday, "demoulded") == []


def test_a_hand_over_signed_without_a_network_is_told_once_it_is_back(page: Page, tuesday: Served) -> None:
    page.goto(f"{tuesday.address}/handover")
    page.context.set_offline(True)
    for line in page.locator("input[name=line]").all():
        line.locator("xpath=..").click()
    for person in ("OP1", "OP2"):
        page.locator(f"input[name=who][value={person}]").locator("xpath=..").click()
    page.get_by_role("button", name="Handed over").click()
    expect(page.locator("main .unsent")).to_be_visible()
    page.context.set_offline(False)
    expect(page.locator("main .unsent")).to_contain_text(": sent.")
    (one,) = noted(tuesday, "handed_over")
    assert sorted(one.who) == ["OP1", "OP2"]


def test_a_form_that_no_device_keeps_says_so_and_loses_nothing_that_was_typed(
    page: Page, tuesday: Served
) -> None:
    page.goto(f"{tuesday.address}/store/new")
    page.context.set_offline(True)
    expect(page.locator(".away")).to_contain_text("nothing can be sent from this page now")
    fill_lot(page)
    page.get_by_role("button", name="Take it in").click()
    expect(page.locator(".away")).to_contain_text("Not sent: there is no network")
    expect(page.get_by_label("Colour")).to_have_value("red")
    page.context.set_offline(False)
    expect(page.locator(".away")).to_be_hidden()


def test_a_server_that_dies_is_noticed_before_a_form_is_sent(page: Page, tuesday: Served) -> None:
    page.goto(f"{tuesday.address}/store/new")
    tuesday.stop()
    expect(page.locator(".away")).to_contain_text("No network")


def test_a_form_sent_just_as_the_server_died_is_kept(page: Page, tuesday: Served) -> None:
    sheet = demoulded(tuesday)
    page.goto(f"{tuesday.address}/record/{sheet}/measure")
    fill(page)
    tuesday.stop()
    page.get_by_role("button", name="Note it").click()
    expect(page.locator("main .unsent")).to_contain_text(f"Measures of {sheet}: kept on this device")


def test_a_form_told_twice_is_noted_once_and_answered_twice(tuesday: Served) -> None:
    sheet, at = demoulded(tuesday), TUESDAY - timedelta(minutes=20)
    said = {"told_id": ID, "told_at": at.isoformat(), "who": "OP1", "t1_mm": "12.0"}
    for _ in range(2):
        answer = httpx.post(
            f"{tuesday.address}/record/{sheet}/measure", data=said, headers={"x-kept": "1"}, timeout=60
        )
        assert answer.status_code == 204
        assert answer.headers["x-next"].startswith("/")
    (one,) = noted(tuesday, "measured")
    assert (one.id, one.at) == (ID, at)


@pytest.mark.parametrize(
    ("name", "at"), [("short", TUESDAY.isoformat()), (ID, "yesterday"), (ID, "1999-01-01T00:00:00+00:00")]
)
def test_what_no_device_of_ours_would_tell_is_noted_as_of_now(tuesday: Served, name: str, at: str) -> None:
    sheet = demoulded(tuesday)
    said = {"told_id": name, "told_at": at, "who": "OP1", "t1_mm": "12.0"}
    assert httpx.post(f"{tuesday.address}/record/{sheet}/measure", data=said, timeout=60).status_code == 303
    (one,) = noted(tuesday, "measured")
    assert one.id != name
    assert one.at >= TUESDAY


def test_nothing_is_noted_later_than_now(tuesday: Served) -> None:
    sheet = demoulded(tuesday)
    said = {"told_id": ID, "told_at": "2030-01-01T00:00:00+00:00", "who": "OP1", "t1_mm": "12.0"}
    httpx.post(f"{tuesday.address}/record/{sheet}/measure", data=said, timeout=60)
    (one,) = noted(tuesday, "measured")
    assert one.at < TUESDAY + timedelta(minutes=5)


def test_a_lot_counted_without_a_network_is_told_once_with_the_moment_of_its_count(
    page: Page, tuesday: Served
) -> None:
    page.goto(f"{tuesday.address}/store/lot/L-2301")
    page.get_by_text("Weigh the whole lot").click()
    page.context.set_offline(True)
    expect(page.locator(".away")).to_contain_text("Count of L-2301: this can be noted still")
    expect(page.get_by_role("button", name="Hold it against the book")).to_be_disabled()
    page.locator("input[name=mass]").fill("300,5")
    pick(page, "Who weighed", "OP1")
    page.get_by_role("button", name="Write it into the book").click()
    expect(page.locator("main .unsent")).to_contain_text("Count of L-2301: kept on this device")
    page.context.set_offline(False)
    expect(page.locator("main .unsent")).to_contain_text(": sent.")
    (one,) = noted(tuesday, "counted")
    assert one.facts == {"lot": "L-2301", "mass_kg": 300.5}
    assert tuesday.app.state.place.shop().lots["L-2301"].mass == 300.5


def test_a_count_told_twice_is_noted_once_and_answered_twice(tuesday: Served) -> None:
    at = TUESDAY - timedelta(minutes=20)
    said = {"told_id": ID, "told_at": at.isoformat(), "who": "OP1", "mass": "300.5", "do": "write"}
    for _ in range(2):
        address = f"{tuesday.address}/store/lot/L-2301/count"
        assert httpx.post(address, data=said, headers={"x-kept": "1"}, timeout=60).status_code == 204
    (one,) = noted(tuesday, "counted")
    assert (one.id, one.at) == (ID, at)


def test_a_fault_found_without_a_network_is_told_once_it_is_back(page: Page, tuesday: Served) -> None:
    sheet = demoulded(tuesday)
    page.goto(f"{tuesday.address}/fault/new/{sheet}")
    page.context.set_offline(True)
    expect(page.locator(".away")).to_contain_text("kept on this device")
    page.locator("input[name=fault]").first.locator("xpath=..").click()
    pick(page, "Who found it", "OP1")
    page.get_by_role("button", name="Note it").click()
    expect(page.locator("main .unsent")).to_contain_text(f"Fault of {sheet}: kept on this device")
    page.context.set_offline(False)
    expect(page.locator("main .unsent")).to_contain_text(": sent.")
    (one,) = noted(tuesday, "fault")
    page.get_by_role("link", name="Go on").click()
    expect(page).to_have_url(f"{tuesday.address}/fault/{one.id}")


def test_answers_on_a_fault_are_kept_one_after_the_other(page: Page, tuesday: Served) -> None:
    sheet = demoulded(tuesday)
    said = {"told_id": ID, "told_at": TUESDAY.isoformat(), "who": "OP1", "fault": "bubbles"}
    found = httpx.post(f"{tuesday.address}/fault/new/{sheet}", data=said, headers={"x-kept": "1"}, timeout=60)
    page.goto(f"{tuesday.address}{found.headers['x-next']}")
    pick(page, "Who answers", "OP1")
    page.context.set_offline(True)
    for n in range(2):
        page.locator("#looks ~ ul li").nth(n).locator("button.yes").click()
        expect(page.locator("main .unsent")).to_have_count(n + 1)
    page.context.set_offline(False)
    expect(page.locator("main .unsent", has_text=": sent.")).to_have_count(2)
    assert len({one.facts["question"] for one in noted(tuesday, "fault_tested")}) == 2


def test_a_photograph_with_a_fault_that_is_told_twice_is_kept_once(tuesday: Served) -> None:
    sheet = demoulded(tuesday)
    said = {"told_id": ID, "told_at": TUESDAY.isoformat(), "who": "OP1", "fault": "bubbles"}
    for _ in range(2):
        picture = {"photo": ("sheet.png", a_png(), "image/png")}
        address = f"{tuesday.address}/fault/new/{sheet}"
        answer = httpx.post(address, data=said, files=picture, headers={"x-kept": "1"}, timeout=60)
        assert answer.status_code == 204
    assert len(noted(tuesday, "photographed")) == 1


@pytest.fixture
def slowly(tuesday: Served) -> Iterator[Signal]:
    """The server takes its time over what is noted until this is set."""
    goes = Signal()
    board = tuesday.app.state.floor.board()
    at_once = board.tap

    def tap(*said: object) -> object:
        goes.wait(60)
        return at_once(*said)

    board.tap = tap
    yield goes
    goes.set()


def test_a_form_to_a_slow_server_says_that_it_is_on_its_way_and_goes_once(
    page: Page, tuesday: Served, slowly: Signal
) -> None:
    sheet = demoulded(tuesday)
    page.goto(f"{tuesday.address}/record/{sheet}/measure")
    fill(page)
    page.get_by_role("button", name="Note it").click()
    expect(page.locator("main .unsent")).to_contain_text("on its way, the server has not answered yet")
    page.get_by_role("button", name="Note it").click()  # somebody who has lost patience
    expect(page.locator("input[name=t1_mm]")).to_have_value("12.0")
    slowly.set()
    page.wait_for_url(lambda url: not url.endswith("/measure"))
    expect(page.locator("#kept")).to_be_hidden()
    assert len(noted(tuesday, "measured")) == 1


def test_a_form_whose_server_is_killed_before_it_answers_is_sent_once_when_it_is_back(
    page: Page, tuesday: Served, slowly: Signal, serve: Callable[..., Served]
) -> None:
    sheet = demoulded(tuesday)
    page.goto(f"{tuesday.address}/record/{sheet}/measure")
    fill(page)
    page.get_by_role("button", name="Note it").click()
    expect(page.locator("main .unsent")).to_contain_text("on its way")
    folder, port = tuesday.app.state.place.folder, int(tuesday.address.rpartition(":")[2])
    tuesday.stop()
    expect(page.locator("main .unsent")).to_contain_text("kept on this device, not sent yet")
    again = serve(folder, TUESDAY, port=port)
    expect(page.locator("main .unsent")).to_contain_text(": sent.")
    assert len(noted(again, "measured")) == 1


def test_a_form_that_is_refused_at_once_shows_its_reason_beside_what_was_typed(
    page: Page, tuesday: Served
) -> None:
    page.goto(f"{tuesday.address}/record/{demoulded(tuesday)}/measure")
    page.locator("input[name=t1_mm]").fill("120")
    page.get_by_role("button", name="Note it").click()
    expect(page.get_by_role("alert").first).to_be_visible()
    expect(page.locator("input[name=t1_mm]")).to_have_value("120")
    expect(page.locator("#kept")).to_be_hidden()


@pytest.mark.parametrize(
    "when",
    [
        "setTimeout(tap, 3000)",
        # once the page knows that the server answers nothing at all
        """window.fetch = (_, how) => new Promise((_, no) => how.signal.addEventListener("abort", () => {
            no(how.signal.reason);
            setTimeout(tap, 100);
        }))""",
    ],
)
def test_a_form_that_no_device_keeps_is_sent_once_however_often_it_is_tapped(
    page: Page, tuesday: Served, slowly: Signal, when: str
) -> None:
    page.goto(f"{tuesday.address}/store/lot/L-2302/test?test=zero_find")
    sent: list[str] = []

    def heard(one: Request) -> None:
        if one.method == "POST":
            sent.append(one.url)
        elif one.url.endswith("/floor/alive?tapped-again"):
            slowly.set()

    page.on("request", heard)
    pick(page, "What came out", "clean enough")
    pick(page, "Who tested", "OP1")
    # a page that is being left answers nobody: it notes itself what it says, and taps once more
    page.evaluate(
        """() => {
            const banner = document.querySelector(".away"), button = document.querySelector("main form button.main");
            new MutationObserver(() => sessionStorage.setItem("said", banner.textContent)).observe(banner, { childList: true });
            button.click();
            const real = window.fetch, tap = () => { button.click(); real("/floor/alive?tapped-again"); };
            WHEN;
        }""".replace("WHEN", when)
    )
    expect(page.locator("h1")).to_contain_text("L-2302")
    page.wait_for_url(f"{tuesday.address}/store/lot/L-2302")
    assert "on its way" in page.evaluate("sessionStorage.getItem('said')")
    assert len(sent) == 1


def test_a_form_tapped_while_the_server_is_slow_goes_out_by_itself_when_it_answers(
    page: Page, tuesday: Served
) -> None:
    page.goto(f"{tuesday.address}/store/new")

    def unanswered(route: Route) -> None:
        """The request hangs until its page gives it up."""

    page.route("**/floor/alive", unanswered)
    expect(page.locator(".away")).to_contain_text("The server is slow to answer")
    fill_lot(page)
    page.get_by_role("button", name="Take it in").click(no_wait_after=True)
    expect(page.locator(".away")).to_contain_text("Not sent yet: the server is slow")
    page.unroute("**/floor/alive")
    page.wait_for_url("**/store/lot/L-*")
    (lot,) = [one for one in tuesday.app.state.place.shop().lots.values() if one.colour == "red"]
    assert lot.mass == 48.5


def test_a_form_that_this_device_has_no_room_for_stays_on_its_page(page: Page, tuesday: Served) -> None:
    page.goto(f"{tuesday.address}/record/{demoulded(tuesday)}/measure")
    full = "() => { throw new DOMException('full', 'QuotaExceededError'); }"
    page.evaluate(f"() => {{ IDBObjectStore.prototype.add = {full}; }}")
    fill(page)
    tuesday.stop()
    page.get_by_role("button", name="Note it").click()
    expect(page.locator("main .unsent").last).to_contain_text("no room to keep it")
    expect(page.locator("input[name=t1_mm]")).to_have_value("12.0")
