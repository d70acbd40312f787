"""A sheet that came out bad, as an operator takes it through: the worked stories of a wet charge and of nine readings."""

from __future__ import annotations

import re
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime, timedelta
from pathlib import Path

import httpx
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from playwright.sync_api import Page, Route, expect

from flatstock.actions.kept import kept_plan
from flatstock.actions.practice import noted_by
from flatstock.actions.workshops import open_workshop
from flatstock.quality.faults.guide import guide
from flatstock.records.store import open_store
from flatstock.running.event import Event
from flatstock.web.access.door import Visitor, may
from flatstock.web.access.keys import Role
from tests.web.conftest import Served, demo_folder, demo_kept_to, demo_on_record
from tests.web.still import StillClock, stand_still
from tests.web.test_pages_in_a_browser import faults_by_axe
from tests.web.test_sheets_measured import READINGS, a_png, measured

TUESDAY = datetime(2026, 3, 3, 14, 1, tzinfo=UTC)
MONDAY = datetime(2026, 3, 2, 9, 0, tzinfo=UTC)
PP = "O-103-01"


def a_shop(folder: Path, until: datetime | None = TUESDAY, *more: Event) -> Path:
    """The demo with its floor noted up to a moment."""
    plan = kept_plan(demo_on_record(folder))
    assert plan is not None
    with open_store(folder) as store:
        store.append([*(noted_by(plan, until) if until else ()), *more])
    return folder


@pytest.fixture
def tuesday(tmp_path: Path, serve: Callable[..., Served]) -> Served:
    return serve(a_shop(tmp_path / "shop"), TUESDAY)


def note_fault(page: Page, served: Served, picture: str, *, sheet: str = PP, where: str = "All over") -> None:
    page.goto(f"{served.address}/fault/new/{sheet}")
    page.locator(".pictures label", has_text=picture).click()
    if where == "All over":
        page.get_by_role("button", name=where).click()
    else:
        page.locator(".fields-of-sheet label", has_text=re.compile(f"^{where}$")).click()
    page.get_by_role("button", name="Note it").click()
    expect(page.locator("#causes")).to_be_visible()


def causes(page: Page) -> list[str]:
    expect(page.locator(".causes summary strong").first).to_be_visible()
    said = page.locator(".causes summary strong").all_inner_texts()
    return [one.partition(". ")[2] for one in said]


def tap(page: Page, question: str, answer: str) -> None:
    page.wait_for_load_state("load")  # else the load that is waited for may still be the one before
    with page.expect_event("load"):  # an answer is a form that brings the page again
        page.get_by_role("button", name=f"{question}: {answer}").first.click()


def close_with_the_first(page: Page) -> None:
    """By the likeliest cause, unless an answer has closed it already."""
    expect(page.locator(".told, .closed").first).to_be_visible()
    if not page.locator(".closed").count():
        page.get_by_role("button", name="Close with this cause").first.click()
    expect(page.locator(".closed")).to_be_visible()


def lot_of(served: Served, name: str) -> object:
    return open_workshop(served.app.state.place.folder).lots[name]


def test_not_tried_leaves_the_order_and_puts_the_test_last(page: Page, tuesday: Served) -> None:
    note_fault(page, tuesday, "Bubbles, rough")
    before = page.locator(".causes .share").all_inner_texts()
    tap(page, "Weigh 100 g of the lot's flake, dry it as the plastic is dried, weigh it again", "not tried")
    expect(page.locator(".card .lead")).not_to_contain_text("Weigh 100 g")
    assert page.locator(".causes .share").all_inner_texts() == before


@pytest.mark.parametrize(
    ("rows", "first"),
    [
        ((READINGS, READINGS, READINGS), "Platens not parallel"),
        ((READINGS[::-1], READINGS, READINGS), "Heap not spread level"),
    ],
)
def test_story_8_three_wedges_alike_are_the_platens_and_three_apart_the_spreading(
    page: Page, tmp_path: Path, serve: Callable[..., Served], rows: tuple[tuple[float, ...], ...], first: str
) -> None:
    sheets = ("O-104-01", "O-104-02", "O-104-03")
    events = [measured(sheet, row, n) for n, (sheet, row) in enumerate(zip(sheets, rows, strict=True))]
    served = serve(a_shop(tmp_path / "shop", TUESDAY, *events), TUESDAY)
    note_fault(page, served, "Wedge", sheet=sheets[-1], where="back right")
    assert causes(page)[0] == first
    if first == "Platens not parallel":
        for said in ("0.46 mm over 1350 mm under the right side", "0.33 mm over 950 mm under the back",
                     "isolated and locked"):  # fmt: skip
            expect(page.locator(".causes li").first).to_contain_text(said)
    expect(page.locator("#found ~ ul")).to_contain_text("the last three sheets of HP1")
    expect(page.locator("#map ~ figure svg")).to_be_visible()


def test_a_remedy_is_proved_by_the_next_sheet_which_asks_when_it_is_measured(
    page: Page, tmp_path: Path, serve: Callable[..., Served]
) -> None:
    folder = a_shop(tmp_path / "shop", MONDAY + timedelta(hours=5))
    served = serve(folder, MONDAY + timedelta(hours=5))
    note_fault(page, served, "Voids, glossy", sheet="O-104-01")
    item = page.locator(".causes li").first
    cause = causes(page)[0]
    after = item.locator("input[type=radio]").first.get_attribute("value")
    assert after is not None
    item.get_by_role("button", name="Do this").click()
    expect(page.locator("#proof")).to_contain_text(after)
    served.stop()
    plan = kept_plan(folder)
    assert plan is not None
    with open_store(folder) as store:
        known = {one.id for _, one in store.events()}
        store.append([one for one in noted_by(plan, TUESDAY + timedelta(days=3)) if one.id not in known])
    later = serve(folder, TUESDAY + timedelta(days=3))
    page.goto(f"{later.address}/record/{after}")
    expect(page.get_by_text("This sheet proves a remedy")).to_be_visible()
    page.goto(f"{later.address}/record/{after}/measure")
    page.get_by_label("Point 1, mm", exact=False).fill("12.0")
    page.locator("label", has_text="OP1").last.click()
    page.get_by_role("button", name="Note it").click()
    expect(page.locator("#proof")).to_contain_text(after)
    page.locator("label", has_text="OP1").last.click()
    page.get_by_role("button", name="Clean", exact=True).click()
    expect(page.locator(".closed")).to_contain_text(cause.lower())


def test_acrid_smell_says_first_what_to_do_and_holds_the_lot_in_one_tap(page: Page, tuesday: Served) -> None:
    note_fault(page, tuesday, "Acrid smell", sheet="O-104-01", where="middle")
    first = page.locator(".first")
    for said in ("Extract up, everybody out", "Do not open the press", "Nobody smells it"):
        expect(first).to_contain_text(said)
    box, card = first.bounding_box(), page.locator(".card").bounding_box()
    assert box is not None
    assert card is not None
    assert box["y"] < card["y"]
    with page.expect_response(lambda got: got.request.method == "POST"):  # the causes stand there before, too
        page.get_by_role("button", name="Hold the lot now").click()
    expect(page.locator("#causes")).to_be_visible()
    assert lot_of(tuesday, "L-2301").status == "quarantine"


def test_an_entry_is_taken_back_within_ten_seconds_and_the_lot_is_as_it_was(
    page: Page, tuesday: Served
) -> None:
    StillClock(tuesday, TUESDAY)
    stand_still(page)
    note_fault(page, tuesday, "Bubbles, rough")
    tap(page, "Press one more of the same lot, dried first", "repeat dried: clean")
    close_with_the_first(page)
    assert lot_of(tuesday, "L-2304").dry_first
    with page.expect_response(lambda got: got.request.method == "POST") as answer:
        page.get_by_role("button", name="Take the last entry back").click()
    assert answer.value.status == 303, page.locator("main").inner_text()
    expect(page.locator(".closed")).to_have_count(0)
    assert not lot_of(tuesday, "L-2304").dry_first


def test_a_take_back_that_was_tapped_in_time_counts_though_it_comes_late(page: Page, tuesday: Served) -> None:
    clock = StillClock(tuesday, TUESDAY)
    stand_still(page)
    note_fault(page, tuesday, "Bubbles, rough")
    tap(page, "Press one more of the same lot, dried first", "repeat dried: clean")
    close_with_the_first(page)

    def slow(route: Route) -> None:
        clock.ahead += 11
        route.continue_()

    page.route("**/fault/*", slow)
    with page.expect_response(lambda got: got.request.method == "POST") as answer:
        page.get_by_role("button", name="Take the last entry back").click(no_wait_after=True)
    assert answer.value.status == 303
    page.wait_for_load_state("load")
    page.unroute_all(behavior="ignoreErrors")
    assert not lot_of(tuesday, "L-2304").dry_first


def test_a_fault_that_was_closed_meanwhile_is_not_closed_once_more(page: Page, tuesday: Served) -> None:
    note_fault(page, tuesday, "Bubbles, rough")
    tap(page, "Press one more of the same lot, dried first", "repeat dried: clean")
    close_with_the_first(page)
    token = page.locator("[name=token]").first.input_value()
    again = {"do": "close:mistake", "who": "OP2", "token": token}
    answer = page.request.post(page.url, form=again, headers={"origin": tuesday.address})
    assert answer.status == 422
    assert "closed it meanwhile" in answer.text()


def a_wet_charge(served: Served) -> str:
    """The address of a fault that is noted and ready to be closed by its water."""
    said = {"fault": "bubbles", "who": "OP1"}
    found = httpx.post(f"{served.address}/fault/new/{PP}", data=said, headers={"x-kept": "1"}, timeout=60)
    return f"{served.address}{found.headers['x-next']}"


def at_once(address: str, *tellings: dict[str, str]) -> list[int]:
    """What each is answered when all are sent at the same moment."""

    def send(said: dict[str, str]) -> int:
        return httpx.post(address, data=said, headers={"x-kept": "1"}, timeout=60).status_code

    with ThreadPoolExecutor(len(tellings)) as together:
        return sorted(together.map(send, tellings))


def closings(served: Served) -> list[Event]:
    return [one for _, one in served.app.state.floor.board().store.events(kinds=("fault_closed",))]


def test_two_devices_that_close_a_fault_at_the_same_moment_close_it_once(tuesday: Served) -> None:
    address = a_wet_charge(tuesday)
    said = {"do": "close:moisture"}
    assert at_once(address, said | {"who": "OP1"}, said | {"who": "OP2"}) == [204, 422]
    (one,) = closings(tuesday)
    assert one.facts["dried_lots"] == "L-2304"


def test_a_closing_and_its_undoing_that_are_told_twice_leave_the_lot_as_it_was(tuesday: Served) -> None:
    address = a_wet_charge(tuesday)
    at = tuesday.app.state.place.instant().isoformat()
    said = {"do": "close:moisture", "who": "OP1", "told_id": "0123456789abcdef" * 2, "told_at": at}
    assert at_once(address, said, said) == [204, 204]
    (one,) = closings(tuesday)
    assert one.facts["dried_lots"] == "L-2304"
    assert lot_of(tuesday, "L-2304").dry_first
    back = {"do": f"undo:{one.id}", "who": "OP1", "told_id": "fedcba9876543210" * 2, "told_at": at}
    assert [at_once(address, back), at_once(address, back)] == [[204], [204]]
    assert not lot_of(tuesday, "L-2304").dry_first


def test_only_the_entry_that_was_seen_as_the_last_is_taken_back(page: Page, tuesday: Served) -> None:
    clock = StillClock(tuesday, TUESDAY)
    stand_still(page)
    note_fault(page, tuesday, "Bubbles, rough")
    tap(page, "Press one more of the same lot, dried first", "repeat dried: clean")
    close_with_the_first(page)
    undo = page.get_by_role("button", name="Take the last entry back")
    token, seen = (page.locator(f"[name={name}]").first.input_value() for name in ("token", "told_id"))
    closed = page.locator("[value^='undo:']").get_attribute("value")
    assert seen
    other = {"do": "answer:mass_loss:no", "who": "OP2", "token": token}
    clock.ahead = 1
    page.request.post(page.url, form=other, headers={"origin": tuesday.address})
    undo.click()
    expect(page.get_by_role("alert").first).to_contain_text("something was noted of it meanwhile")
    assert closed != page.locator("[value^='undo:']").get_attribute("value")


def test_a_photograph_stands_on_the_faults_page(page: Page, tuesday: Served, tmp_path: Path) -> None:
    picture = tmp_path / "sheet.png"
    picture.write_bytes(a_png())
    page.goto(f"{tuesday.address}/fault/new/{PP}")
    page.locator(".pictures label", has_text="Scorch").click()
    page.get_by_label("3. A photograph", exact=False).set_input_files(picture)
    page.get_by_role("button", name="Note it").click()
    shot = page.get_by_role("img", name="Scorch, yellow, brown on O-103-01")
    expect(shot).to_be_visible()
    expect(shot).to_have_js_property("naturalWidth", 40)


def test_a_file_that_is_no_picture_is_refused_and_nothing_is_noted(
    page: Page, tuesday: Served, tmp_path: Path
) -> None:
    wrong = tmp_path / "sheet.png"
    wrong.write_bytes(b"MZ not a picture")
    page.goto(f"{tuesday.address}/fault/new/{PP}")
    page.locator(".pictures label", has_text="Scorch").click()
    page.get_by_label("3. A photograph", exact=False).set_input_files(wrong)
    page.get_by_role("button", name="Note it").click()
    expect(page.get_by_role("alert")).to_contain_text("neither a JPEG nor a PNG")
    page.goto(f"{tuesday.address}/fault")
    expect(page.locator("main")).to_contain_text("None is on record")


def test_a_fault_is_noted_by_keyboard_alone(page: Page, tuesday: Served) -> None:
    page.goto(f"{tuesday.address}/fault/new/{PP}")
    page.locator("input[name=fault]").first.focus()
    page.keyboard.press("ArrowRight")
    page.keyboard.press("Tab")
    page.keyboard.press("Space")
    page.get_by_role("button", name="Note it").focus()
    page.keyboard.press("Enter")
    expect(page.locator("h1")).to_contain_text("Voids, glossy, single")
    expect(page.locator("h1")).to_contain_text("back left")


def test_every_picture_leads_to_causes_with_something_to_do(tuesday: Served) -> None:
    for picture in guide().pictures.values():
        form = {"fault": picture.id, "cell": "5", "who": "OP1"}
        # each time as somebody whose browser has no cookie yet
        text = httpx.post(
            f"{tuesday.address}/fault/new/{PP}", data=form, timeout=60, follow_redirects=True
        ).text
        assert "What it may be, likeliest first" in text, picture.id
        assert "Test to do now" in text or "Look at this now" in text, picture.id
        assert re.findall(r"<script(?![^>]*src=)|\sstyle=|\son[a-z]+=", text) == []


def test_what_is_out_of_its_mould_can_be_told_to_have_come_out_bad_and_nothing_in_a_press(
    tmp_path: Path, serve: Callable[..., Served]
) -> None:
    moment = MONDAY.replace(hour=11, minute=40)
    served = serve(demo_kept_to(tmp_path / "shop", moment), moment)
    listed = httpx.get(f"{served.address}/store/sheets", timeout=60).text
    events = [event for _, event in served.app.state.floor.board().store.events() if event.sheet]
    out = {event.sheet for event in events if event.kind == "demoulded"}
    pressed = {event.sheet for event in events if event.kind == "loaded"}
    assert set() < out < pressed
    for sheet in pressed:
        record = httpx.get(f"{served.address}/record/{sheet}", timeout=60).text
        offered = f'href="/fault/new/{sheet}"' in listed, "It came out bad" in record
        assert offered == (sheet in out, sheet in out)


def test_a_shop_that_reads_pounds_and_fahrenheit_reads_them_here(
    page: Page, tmp_path: Path, serve: Callable[..., Served]
) -> None:
    folder = demo_folder(tmp_path / "shop")
    shop = folder / "shop.toml"
    text = shop.read_text("utf-8")
    assert 'units = "metric"' in text
    shop.write_text(text.replace('units = "metric"', 'units = "us"'), "utf-8")
    served = serve(folder, MONDAY)
    note_fault(page, served, "Bubbles, rough")
    page.get_by_label("Mass lost").fill("0.35")
    with page.expect_event("load"):
        page.get_by_role("button", name="Note the number").click()
    said = page.locator(".causes li").first.inner_text()
    assert "°F" in said
    assert "°C" not in said


@pytest.mark.parametrize(("ground", "width"), [("light", 360), ("dark", 820), ("light", 1920)])
def test_axe_finds_nothing_on_faults(page: Page, tuesday: Served, ground: str, width: int) -> None:
    page.emulate_media(color_scheme=ground)  # type: ignore[arg-type]
    page.set_viewport_size({"width": width, "height": 800})
    page.goto(f"{tuesday.address}/fault/new/{PP}")
    assert faults_by_axe(page) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    note_fault(page, tuesday, "Acrid smell")
    for address in (page.url, f"{tuesday.address}/fault"):
        page.goto(address)
        assert faults_by_axe(page) == []
        assert page.evaluate("document.documentElement.scrollWidth") <= width
    note_fault(page, tuesday, "Bubbles, rough")
    assert faults_by_axe(page) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= width


def test_what_is_tapped_in_gloves_is_20_mm_and_more(page: Page, tuesday: Served) -> None:
    """96 pixels to the inch: 20 mm are 75.6 of them."""
    note_fault(page, tuesday, "Bubbles, rough")
    page.set_viewport_size({"width": 820, "height": 1180})
    sizes = page.locator("main button:visible:not(.unseen)").evaluate_all(
        """all => all.map(one => [one.innerText, one.getBoundingClientRect()])
          .map(([words, box]) => [words, Math.min(box.width, box.height)])"""
    )  # at once: the one that takes the last entry back goes after ten seconds
    assert len(sizes) > 10
    assert [one for one in sizes if one[1] < 75] == []


def test_an_operators_device_notes_faults_a_visitors_looks_and_nobody_else_sees_them() -> None:
    def asks(role: Role | None, method: str, path: str) -> bool:
        visitor = Visitor(role=role, here=False, name="", session="", device="d")
        return may(visitor, method, path, open_records=True)

    form, faults = "/fault/new/O-103-01", "/fault"
    assert asks("operator", "GET", form)
    assert asks("operator", "POST", form)
    assert asks("visitor", "GET", faults)
    assert not asks("visitor", "GET", form)
    assert not asks("visitor", "POST", form)
    assert not asks(None, "GET", faults)


TAPS = (
    "answer:many:yes", "answer:many:perhaps", "typed:mass_loss", "typed:many", "pick:moisture", "pick:x", "proof:yes",
    "close:moisture", "close:", "hold:pvc", "hold:x", "undo", "",
)  # fmt: skip
FORMS = st.fixed_dictionaries(
    {"do": st.sampled_from(TAPS) | st.text(max_size=20), "who": st.sampled_from(["OP1", "OP9", ""])},
    optional={
        name: st.text(max_size=20)
        | st.sampled_from(["0.2", "10", "nan", "1e999", "-1", "bubbles", "5", "O-103-02"])
        for name in ("number", "before", "after", "fault", "cell", "next-moisture")
    },
)


def test_no_form_however_odd_is_answered_by_a_500(tuesday: Served) -> None:
    answer = httpx.post(
        f"{tuesday.address}/fault/new/{PP}", data={"fault": "bubbles", "who": "OP1"}, timeout=60
    )
    fault = answer.headers["location"]
    told = []

    @settings(max_examples=30, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))
    @given(FORMS, st.sampled_from([fault, f"/fault/new/{PP}", "/fault/none", "/fault/new/none"]))
    def ask(form: dict[str, str], address: str) -> None:
        told.append(httpx.post(tuesday.address + address, data=form, timeout=60).status_code)
        told.append(httpx.get(tuesday.address + address, timeout=60).status_code)

    ask()
    assert max(told) < 500
    assert {303, 422, 200} <= set(told)
