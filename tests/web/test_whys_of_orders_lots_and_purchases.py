"""The reason behind the numbers of orders, lots and purchases, as behind those of cards and clocks."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest
from playwright.sync_api import Page, expect

from flatstock.actions.kept import kept_plan
from flatstock.actions.outlay_reasons import outlay_reasons
from flatstock.actions.outlays import plan_outlay
from flatstock.actions.promise_reasons import promise_reasons
from flatstock.errors import Refused
from tests.web.conftest import Served
from tests.web.test_pages_in_a_browser import faults_by_axe


def test_a_promise_follows_from_the_way_of_the_orders_last_sheet(served: Served) -> None:
    place = served.app.state.place
    order, plan = place.shop().orders["O-104"], kept_plan(place.folder)
    assert plan is not None
    found = promise_reasons(order, plan)
    ready, spare = found["why"]
    last = max((one for one in plan["sheets"] if one["order"] == "O-104"), key=lambda one: one["ready"])
    ends = [datetime.fromisoformat(one["end"]) for one in plan["tasks"] if one["sheet"] == last["id"]]
    assert last["id"] in ready["title"]
    rest = 1 if last["condition_h"] else 0  # the hours that it lies flat
    assert len(ready["inputs"]) == len(ends) + rest + 1  # and how many sheets are planned
    assert max(ends) + timedelta(hours=last["condition_h"]) <= datetime.fromisoformat(last["ready"])
    assert [one["name"] for one in spare["inputs"]] == ["due", "ready"]


def test_an_order_without_a_time_has_no_reason_to_show(served: Served) -> None:
    with pytest.raises(Refused, match="no plan has a time"):
        promise_reasons(served.app.state.place.shop().orders["O-104"], None)


def test_every_promise_of_the_book_leads_to_its_reason(page: Page, served: Served) -> None:
    page.goto(f"{served.address}/orders")
    page.get_by_role("link", name="Why: the promise of O-104").click()
    expect(page.locator("h1")).to_contain_text("Why O-104")
    expect(page.locator("#why-ready")).to_contain_text("in the hot press")
    expect(page.locator("#why-spare")).to_contain_text("the order book")
    assert faults_by_axe(page) == []


def test_a_lots_mass_is_the_sum_of_what_its_book_says(page: Page, served: Served) -> None:
    page.goto(f"{served.address}/store/lot/L-2301")
    page.locator("dt", has_text="On hand").get_by_role("link").click()
    expect(page.locator("#why-on_hand")).to_contain_text("what was written when it came")
    expect(page.locator("#why-tests_in")).to_contain_text("float and sink")
    assert faults_by_axe(page) == []


def test_purchases_say_what_their_numbers_are_made_of(page: Page, served: Served) -> None:
    page.goto(f"{served.address}/before/purchases")
    for of, said in (
        ("npv", "discount, % a year"), ("payback_months", "price of a sheet"),
        ("capacity_per_week", "COOLER"), ("cash_end", "cash at the start"),
    ):  # fmt: skip
        expect(page.locator(f"a.why[href='#why-{of}']").first).to_be_visible()
        expect(page.locator(f"#why-{of}")).to_contain_text(said)
    assert faults_by_axe(page) == []


def test_break_even_is_what_its_inputs_make(served: Served) -> None:
    """fixed / (weeks x (yield x price - variable)), as the formula beside it says."""
    document = plan_outlay(served.app.state.place.folder, made_at=datetime(2026, 3, 2)).document
    reason = next(one for one in outlay_reasons(document)["why"] if one["of"] == "break_even_per_week")
    fixed, weeks, share, price, variable = (float(one["value"].replace(" ", "")) for one in reason["inputs"])
    assert fixed / (weeks * (share * price - variable)) == pytest.approx(
        document["break_even_per_week"], rel=1e-3
    )
