"""A whole Monday on the demo's floor, tapped on two devices in turn, as its plan has it: weigh, prepare, load,
transfer, move, demould, and the hand-over at its end. In the middle the tablet loses the network and the server dies."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

from flatstock.actions.kept import kept_plan
from flatstock.web.clockwork import Clockwork
from tests.web.conftest import Served, demo_folder
from tests.web.test_the_day_begins import sign

START = datetime(2026, 3, 2, 7, 10, tzinfo=UTC)
CLOSES = datetime(2026, 3, 2, 16, 0, tzinfo=UTC)
TAPPED = {
    "weigh": "weighed", "prepare": "prepared", "load": "loaded", "transfer": "transferred", "move": "moved",
    "demould": "demoulded",
}  # fmt: skip
SERVER_DIES = ("loaded", "O-104-03")  #: just before this
NETWORK_GONE = ("transferred", "O-104-03")  #: where this is tapped
#: what is tapped when the step is over; the others when they begin
AT_END = {"weigh", "prepare", "load"}


@dataclass(frozen=True)
class Step:
    """One tap of the day."""

    at: datetime
    kind: str
    sheet: str
    people: tuple[str, ...]
    lift: str | None
    to: str | None
    taps: int  #: one for each lot that is weighed


class Hour:
    """A clock that the test sets on, for the app and through it for its pages."""

    def __init__(self, start: datetime) -> None:
        self.start, self.ahead = start, 0.0

    def clock(self) -> Clockwork:
        return Clockwork(self.start, passing=lambda: time.monotonic() + self.ahead)

    def set_on(self, clock: Clockwork, moment: datetime) -> None:
        self.ahead += max(0.0, (moment - clock.now()).total_seconds())


@dataclass
class Day:
    """The app on a demo's folder, and the devices that are open on it."""

    served: Served
    clock: Clockwork
    hour: Hour
    devices: list[Page]
    serve: Callable[..., Served]

    def restart(self) -> None:
        """The server dies and comes back at the same address, with the same clock."""
        folder, port = self.served.app.state.place.folder, int(self.served.address.rsplit(":", 1)[1])
        self.served.stop()
        for page in self.devices:
            expect(page.locator("#line")).to_contain_text("no network: clocks go on")
        self.served = self.serve(folder, self.clock.now(), port=port)
        self.served.app.state.place.clock = self.clock
        for page in self.devices:
            expect(page.locator("#line")).to_have_text("live")

    def reach(self, moment: datetime) -> None:
        self.hour.set_on(self.clock, moment)
        for page in self.devices:
            page.evaluate("document.dispatchEvent(new CustomEvent('floor:ask'))")

    def wait_for(self, step: Step, times: int, page: Page) -> None:
        """Until the server has noted a step that often."""
        ends = time.monotonic() + 120
        while len(self.noted(step.kind, step.sheet)) != times:
            assert time.monotonic() < ends, page.locator("#told").inner_text()
            page.wait_for_timeout(50)

    def noted(self, kind: str, sheet: str | None = None) -> list[Any]:
        store = self.served.app.state.floor.board().store
        return [e for _, e in store.events() if e.kind == kind and sheet in (None, e.sheet)]


@pytest.fixture
def day(tmp_path: Path, browser: Browser, serve: Callable[..., Served]) -> Iterator[Day]:
    folder = demo_folder(tmp_path / "shop")
    hour = Hour(START)
    served, clock = serve(folder, START), hour.clock()
    served.app.state.place.clock = clock
    contexts = [browser.new_context(viewport={"width": w, "height": h}) for w, h in ((1180, 820), (390, 844))]
    devices = [context.new_page() for context in contexts]
    for page in devices:
        page.goto(served.address)
        expect(page.locator("#line")).to_have_text("live")
    yield Day(served, clock, hour, devices, serve)
    for context in contexts:
        context.close()


def steps_of(folder: Path) -> list[Step]:
    """What the plan has for the sheets that are loaded on Monday, in the order of the clock.

    Charges are weighed just before they are prepared, by whoever does that: the board offers those that come next.
    """
    plan = kept_plan(folder)
    assert plan is not None
    kinds = {one["id"]: one["kind"] for one in plan["resources"]}
    tasks = [one for one in plan["tasks"] if one["step"] in TAPPED]
    monday = {t["sheet"] for t in tasks if t["step"] == "load" and _at(t, "start") < CLOSES}
    prepared = {t["sheet"]: t for t in tasks if t["step"] == "prepare"}
    lots = {one["id"]: len(one["lots"]) for one in plan["sheets"]}
    found = []
    for task in tasks:
        if task["sheet"] not in monday:
            continue
        step = task["step"]
        at, people = _at(task, "end" if step in AT_END else "start"), tuple(task["people"])
        if step == "weigh":
            late = _at(prepared[task["sheet"]], "start")
            at, people = max((at, people), (late, tuple(prepared[task["sheet"]]["people"])))
        lifts = [p for p in task["places"] if kinds[p] == "lift"] if step in ("move", "demould") else []
        to = [p for p in task["places"] if kinds[p] in ("stack", "rack")] if step == "move" else []
        lift, place = (one[0] if one else None for one in (lifts, to))
        taps = lots[task["sheet"]] if step == "weigh" else 1
        found.append(Step(at, TAPPED[step], task["sheet"], people, lift, place, taps))
    return sorted((one for one in found if one.at < CLOSES), key=lambda one: one.at)


def _at(task: dict[str, Any], end: str) -> datetime:
    return datetime.fromisoformat(task[end])


def offered(page: Page, step: Step) -> Any:
    """The button for a step, where the board offers it and nothing stands in its way."""
    return page.locator(f"#floor [data-sheet='{step.sheet}'] .do:not([data-why])").and_(
        page.locator(f'[data-do*=\'"kind": "{step.kind}"\']')
    )


def tap(page: Page, step: Step) -> str:
    """Note a step by taps alone; what the button said."""
    button = offered(page, step)
    expect(button, f"{step} is offered").to_be_visible()
    said: str = button.inner_text()
    button.click()
    hands = page.locator("#hands")
    if step.to:
        hands.locator("#hands-places button", has_text=step.to).or_(
            hands.locator("#hands-title")
        ).first.click()
    if step.lift:
        hands.get_by_role("button", name=f"with {step.lift}").click()
    for person in step.people:
        hands.locator("#hands-people button", has_text=person).first.click()
    expect(hands.locator("#hands-done")).to_be_enabled()
    hands.locator("#hands-done").click()
    return said


def test_a_whole_monday_on_two_devices(day: Day) -> None:
    tablet, phone = day.devices
    heat(day, tablet)
    for number, step in enumerate(steps_of(day.served.app.state.place.folder)):
        day.reach(step.at)
        mine, other = (tablet, phone) if number % 2 == 0 else (phone, tablet)
        if (step.kind, step.sheet) == SERVER_DIES:
            day.restart()
        for done in range(1, step.taps + 1):
            away = (step.kind, step.sheet) == NETWORK_GONE
            mine.context.set_offline(away)
            said = tap(mine, step)
            if away:
                expect(mine.locator("#floor .unsent")).to_be_visible()
                mine.context.set_offline(False)
            day.wait_for(step, done, mine)
            read_cautions(mine)
            expect(offered(mine, step).filter(has_text=said)).to_have_count(0)
        expect(offered(other, step), f"{step} is done on the other device too").to_have_count(0)
    day.reach(CLOSES - timedelta(minutes=30))
    close_up(day, phone)


def read_cautions(page: Page) -> None:
    """What the board says to a tap is a caution to be read, never that it was not noted."""
    told = page.locator("#told")
    if told.is_visible():
        expect(told.locator(".verdict")).to_have_text("Noted")
        told.get_by_role("button", name="I have read it").click()


def heat(day: Day, page: Page) -> None:
    """The start checks signed and the heaters on with somebody there, as the plan has it."""
    plan = kept_plan(day.served.app.state.place.folder)
    assert plan is not None
    up = next(one for one in plan["settings"] if one["kind"] == "heat_up")
    day.reach(_at(up, "start"))
    page.locator("[data-more=HP1]").click()
    page.get_by_role("button", name="Heaters of HP1 on").click()
    sign(page)
    for key in f"{up['to_C']:g}":
        page.locator(f"#hands [data-key='{key}']").click()
    page.locator("#hands-people button", has_text="OP1").click()
    page.locator("#hands-done").click()
    expect(page.locator("[data-place=HP1] .heat")).to_contain_text(f"heaters on, set {up['to_C']:g}")


def close_up(day: Day, page: Page) -> None:
    """Heaters off; what stands where is read, the closing check gone through, and two sign."""
    page.locator("[data-more=HP1]").click()
    page.get_by_role("button", name="Heaters of HP1 off").click()
    page.locator("#hands-people button", has_text="OP1").click()
    page.locator("#hands-done").click()
    expect(page.locator("[data-place=HP1] .heat")).to_contain_text("heaters off")
    page.goto(f"{day.served.address}/handover")
    expect(page.get_by_role("row").filter(has_text="O-106-01")).to_contain_text("CP1")
    expect(page.get_by_role("row").filter(has_text="O-101-01")).to_contain_text("R1")
    lines = page.locator("input[name=line]")
    for n in range(lines.count()):
        lines.nth(n).locator("xpath=..").click()
    for person in ("OP1", "OP2"):
        page.locator(f"input[name=who][value={person}]").locator("xpath=..").click()
    page.get_by_role("button", name="Handed over").click()
    expect(page).to_have_url(f"{day.served.address}/happened")
    assert [sorted(one.who) for one in day.noted("handed_over")] == [["OP1", "OP2"]]
