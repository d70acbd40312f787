"""Offcuts in store that could stand in for a sheet are offered with what they save; the plan presses it all the same."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from types import SimpleNamespace

import pytest

from flatstock.actions.plans import plan_week
from flatstock.actions.workshops import open_workshop
from flatstock.demo import copy_to
from flatstock.planning.check import judge
from flatstock.planning.offers import _turns
from flatstock.prints.text.plan import plan_text

MONDAY = datetime(2026, 3, 2, 7, 0, tzinfo=UTC)
HEAD = "id,what,plastic,colour,thickness_mm,sheets,due,condition_h,lots,offcuts,note\n"
PLANTER = "O-103,planter,pp,green,6,2,2026-03-06T15:00,0,L-2304 100 %,OC-41 OC-42,\n"


def week(folder, orders=PLANTER, seconds=5, **changes):
    copy_to(folder)
    (folder / "orders.csv").write_text(HEAD + orders, "utf-8")
    shop = open_workshop(folder)
    return plan_week(replace(shop, **{name: change(shop) for name, change in changes.items()}), now=MONDAY, seconds=seconds)  # fmt: skip


@pytest.fixture(scope="module")
def planters(tmp_path_factory):
    return week(tmp_path_factory.mktemp("offcuts") / "shop")


def named(document):
    return next(one for one in document["offcuts"] if one["instead_of"] is not None)


def test_offcuts_that_an_order_names_are_offered_in_place_of_one_of_its_sheets(planters):
    offer = named(planters)
    assert offer["order"] == "O-103"
    assert [one["id"] for one in offer["offcuts"]] == ["OC-41", "OC-42"]
    assert {(one["length_mm"], one["width_mm"], one["thickness_mm"]) for one in offer["offcuts"]} == {
        (1190, 95, 6)
    }
    assert offer["instead_of"] in {sheet["id"] for sheet in planters["sheets"]}


def test_what_an_offer_saves_is_what_its_sheet_takes_in_this_plan(planters):
    saves, sheet = named(planters)["saves"], named(planters)["instead_of"]
    tasks = {one["step"]: one for one in planters["tasks"] if one["sheet"] == sheet}

    def minutes(start, end):
        return (datetime.fromisoformat(end) - datetime.fromisoformat(start)).total_seconds() / 60

    assert saves["sheets"] == 1
    assert saves["press_min"] == minutes(tasks["load"]["start"], tasks["transfer"]["end"])
    assert saves["hands_min"] == sum(len(t["people"]) * minutes(t["start"], t["end"]) for t in tasks.values())
    assert saves["charge_kg"] == next(s["charge_kg"] for s in planters["sheets"] if s["id"] == sheet)


def test_an_offer_takes_nothing_out_of_the_plan(planters):
    assert len(planters["sheets"]) == 2
    assert judge(planters) == []


def test_an_offcut_that_no_order_names_is_told_without_a_saving(planters):
    (offer,) = [one for one in planters["offcuts"] if one["instead_of"] is None]
    assert [one["id"] for one in offer["offcuts"]] == ["OC-43"]
    assert offer["saves"] is None


def test_the_plan_on_paper_offers_the_strips_and_says_that_they_cost_less(planters):
    text = " ".join(plan_text(planters).split())
    assert "OC-41 and OC-42" in text
    assert "5.67 kg of flake" in text
    assert "cost less" in text


def test_days_on_which_a_thin_frame_turns_twice_are_told_in_turn_and_each_week_by_itself():
    """Two frames; three moulds on a Wednesday, three on the Tuesday before it, and two on the Tuesday after."""
    kind = SimpleNamespace(frames=("F06-1", "F06-2"), thickness=6)
    days = [2, 2, 2, 1, 1, 1, 8, 8]
    sheets = [SimpleNamespace(id=f"S{n}", kind=kind) for n in range(len(days))]
    runs = {
        one.id: SimpleNamespace(sheet=one.id, prepare=day * 24 * 60)
        for one, day in zip(sheets, days, strict=True)
    }
    clock = SimpleNamespace(moment=lambda minute: MONDAY + timedelta(minutes=minute))
    said = _turns(SimpleNamespace(sheets=sheets, clock=clock), SimpleNamespace(runs=runs), sheets[0])
    assert "a second time on Tue 3 March and Wed 4 March;" in said


def test_an_offcut_that_is_gone_or_of_another_colour_saves_no_sheet_and_the_offer_says_why(tmp_path):
    def blue_and_gone(shop):
        return {"OC-42": replace(shop.offcuts["OC-42"], colour="blue")}

    document = week(tmp_path / "shop", offcuts=blue_and_gone)
    (offer,) = document["offcuts"]
    assert offer["instead_of"] is None
    assert "OC-41 is not in store" in offer["text"]
    assert "OC-42 is blue, not green" in offer["text"]


def test_offcuts_of_another_plastic_or_thickness_are_not_offered(tmp_path):
    document = week(
        tmp_path / "shop", "A,panel,hdpe,green,6,1,,0,L-2301 100 %,,\nB,lid,pp,green,12,1,,0,L-2304 100 %,,\n"
    )
    assert document["offcuts"] == []


def test_where_an_order_slips_the_sheet_that_offcuts_spare_is_tried_like_any_other_help(tmp_path):
    # due when the first mould can be out, and no second one
    document = week(tmp_path / "shop", PLANTER.replace("2026-03-06T15:00", "2026-03-02T09:40"), seconds=8)
    helps = {one["what"] for late in document["late"] for one in late["would_help"]}
    assert any("OC-41 and OC-42 in place of O-103-0" in what for what in helps)
