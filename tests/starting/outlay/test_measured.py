"""Capacity by planned weeks: what a week is planned for, that it goes before what is typed, when it no longer counts."""

import json
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from random import Random

import pytest

from flatstock.actions.measured_file import KEPT, kept_measurements
from flatstock.actions.measuring import measure
from flatstock.actions.outlays import plan_outlay
from flatstock.actions.workshops import copy_demo, open_workshop
from flatstock.errors import Refused
from flatstock.prints.text import outlay_text
from flatstock.starting.outlay.answer import answer
from flatstock.starting.outlay.busiest import busiest
from flatstock.starting.outlay.follow import capacity, follow
from flatstock.starting.outlay.measured import Measured, MeasuredWeek, measurable
from flatstock.starting.outlay.question import Question
from flatstock.starting.outlay.read import read_outlay
from flatstock.starting.outlay.shop_with import shop_with
from flatstock.starting.outlay.stage import stage
from tests.starting.outlay.outlays import best_of_all, random_outlay

NOW = datetime(2026, 3, 4, 9, 0, tzinfo=UTC)


class Planned:
    """Stands in for the week planner: fans are good for ten sheets, eight moulds for a sheet each, a press for none."""

    def __init__(self, stops_after=99):
        self.shops, self.stops_after = [], stops_after

    def __call__(self, shop, *, now, seconds, tell):
        self.shops.append(shop)
        if len(self.shops) > self.stops_after:
            raise KeyboardInterrupt
        assert now == datetime(2026, 3, 2, tzinfo=UTC)
        fans = shop.cooling_presses["CP1"].fan_film is not None
        asked = sum(order.sheets for order in shop.orders.values())
        made = min(asked, len(shop.frames) + (10 if fans else 2))
        return a_plan(made, bound=asked - made)


def a_plan(made, *, bound=0):
    names = [f"S{n}" for n in range(made)]
    start = datetime(2026, 3, 2, 8, tzinfo=UTC)
    task = {"step": "demould", "places": ["LT1"], "people": [], "start": start.isoformat()}
    return {
        "rehearsal": {"rounds": 1, "sheets": [{"sheet": name, "verdict": "good"} for name in names]},
        "tasks": [task | {"sheet": n, "end": (start + timedelta(minutes=6)).isoformat()} for n in names],
        "sheets": [{"id": name, "frame": "F", "skins": "S"} for name in names],
        "resources": [
            {"id": "OP1", "kind": "person", "skills": ["hot_transfer"],
             "present": [{"start": start.isoformat(), "end": (start + timedelta(hours=8)).isoformat()}]},
        ],
        "proof": {"objective": [{"name": "sheets_after_closing", "value": bound, "bound": bound}]},
    }  # fmt: skip


@pytest.fixture
def folder(tmp_path):
    copy_demo(tmp_path / "shop")
    return tmp_path / "shop"


def measured_of(folder, planner, **more):
    shop = open_workshop(folder)
    question, _ = read_outlay(folder, shop)
    return measure(folder, question, shop, now=NOW, seconds=5, plan=planner, **more)


def test_a_week_without_a_purchase_is_planned_without_what_it_adds_and_one_with_it_with_one_more(folder):
    shop = open_workshop(folder)
    question, _ = read_outlay(folder, shop)
    by_id = question.by_id
    bare = shop_with(shop, [], [by_id["FANS"], by_id["MOULDS2"], by_id["HELPER"]])
    assert bare.cooling_presses["CP1"].fan_film is None
    assert shop.cooling_presses["CP1"].fan_film is not None
    assert len(bare.frames) == len(shop.frames) - 4
    assert len(bare.skins) == len(shop.skins) - 4
    assert "OP3" not in bare.people
    assert list(shop_with(shop, [by_id["PRESS2"]], []).hot_presses) == ["HP1", "HP1-no2"]


def test_nothing_each_alone_and_each_pair_are_planned_and_the_table_of_next_purchases_has_them(folder):
    planner = Planned()
    measured, _ = measured_of(folder, planner)
    assert {len(some) for some in measured.weeks} >= {0, 1, 2}
    assert measured.at(["PRESS", "GUARD"]).sheets == 6  # four frames and two
    assert measured.at(["FANS"]).sheets == 14
    assert measured.at(["FANS", "MOULDS2", "PRINTER"]).sheets == 18
    found = plan_outlay(folder).document
    best = next(one for one in found["next"] if one["buy"] == ["FANS", "MOULDS2"])
    assert (best["sheets_per_week"], best["capacity_from"]) == (18, "planned_week")
    sources = {one["capacity_from"] for one in found["by_month"] if not one["missing"]}
    assert sources == {"planned_week"}


def test_every_set_on_the_way_of_the_plan_is_measured(folder):
    measured, _ = measured_of(folder, Planned())
    shop = open_workshop(folder)
    question, _ = read_outlay(folder, shop)
    question = replace(question, measured=measured)
    orders = stage(question).orders
    for month in range(question.months):
        there = [name for name, at in orders.items() if at + question.by_id[name].lead <= month]
        assert measured.at(there) is not None


def test_measured_weeks_are_kept_and_not_measured_again(folder):
    measured_of(folder, Planned())
    again = Planned()
    measured_of(folder, again)
    assert again.shops == []


def test_a_week_that_is_stopped_leaves_those_before_it_and_the_next_call_goes_on(folder):
    measured, said = measured_of(folder, Planned(stops_after=4))
    assert 0 < len(measured.weeks) < 11
    assert "goes on from here" in said[-1]
    kept = len(measured.weeks)
    rest = Planned()
    measured, _ = measured_of(folder, rest)
    assert len(measured.weeks) >= 11
    assert json.loads((folder / KEPT).read_text("utf-8"))["weeks"]
    assert rest.shops
    assert kept < len(measured.weeks)


def test_a_change_of_the_shop_makes_what_was_measured_count_no_longer_and_says_so(folder):
    measured_of(folder, Planned())
    file = folder / "shop.toml"
    file.write_text(file.read_text("utf-8").replace("loss_W_K = 12", "loss_W_K = 13"), "utf-8")
    found = plan_outlay(folder).document
    assert found["measured"] == []
    assert any("changed" in one and "--measured" in one for one in found["warnings"])
    assert {one["capacity_from"] for one in found["by_month"]} == {"rules", "typed"}


def test_a_new_price_leaves_what_was_measured_as_it_is(folder):
    measured_of(folder, Planned())
    file = folder / "outlay.toml"
    file.write_text(file.read_text("utf-8").replace("cost = 320.0", "cost = 480.0"), "utf-8")
    assert plan_outlay(folder).document["measured"]


def test_a_file_of_measurements_that_is_no_json_is_left_aside(folder):
    (folder / KEPT).write_text("{", "utf-8")
    shop = open_workshop(folder)
    question, _ = read_outlay(folder, shop)
    found, said = kept_measurements(folder, question, shop)
    assert found is None
    assert "can't be read" in said[0]


def test_a_purchase_that_gives_something_and_adds_nothing_is_named_and_counts_as_typed(folder):
    file = folder / "outlay.toml"
    file.write_text(file.read_text("utf-8").replace('adds = ["OP3"]\n', ""), "utf-8")
    measured, said = measured_of(folder, Planned())
    assert said == ["HELPER: nothing says what they add to the shop, so with them capacities are as typed."]
    assert measured.at(["HELPER"]) is None


def test_adding_what_the_shop_does_not_have_is_a_fault_with_its_line(folder):
    file = folder / "outlay.toml"
    file.write_text(file.read_text("utf-8").replace('adds_like = ["HP1"]', 'adds_like = ["HP9"]'), "utf-8")
    with pytest.raises(Refused) as caught:
        plan_outlay(folder)
    (fault,) = caught.value.faults
    assert "HP9" in fault.what
    assert "HP1" in fault.instead
    assert "outlay.toml line" in fault.where


def test_nothing_to_measure_is_said(folder):
    file = folder / "outlay.toml"
    lines = [one for one in file.read_text("utf-8").splitlines() if not one.startswith("adds")]
    file.write_text("\n".join(lines), "utf-8")
    with pytest.raises(Refused, match="adds"):
        measured_of(folder, Planned())


def test_orders_of_no_kind_are_no_usual_week(folder):
    (folder / "orders.csv").write_text("id,plastic,thickness_mm,sheets\n", "utf-8")
    with pytest.raises(Refused, match="usual"):
        measured_of(folder, Planned())


def week(sheets):
    return MeasuredWeek(sheets=sheets, most=99.0, asked=99.0, tightest=("press",))


def test_things_more_never_make_fewer_sheets():
    weeks = {frozenset(): week(12.0), frozenset("A"): week(9.0), frozenset("AB"): week(11.0)}
    measured = Measured(frozenset("AB"), frozenset(), weeks)
    assert measured.at(["A"]).sheets == 12
    assert measured.at(["A", "B"]).sheets == 12
    assert measured.at(["A"]).from_less
    assert measured.at(["B"]) is None


def random_measured(draw, question: Question) -> Question:
    """The same outlay, half its optional purchases measured, in sets that chance picks."""
    purchases = tuple(
        one if one.required or draw.random() < 0.3 else replace(one, adds=(one.id,))
        for one in question.purchases
    )
    question = replace(question, purchases=purchases)
    over, unsaid = measurable(question)
    weeks = {frozenset(): week(float(draw.choice([0, 5, 10])))}
    for _ in range(4):
        some = frozenset(name for name in over if draw.random() < 0.5)
        weeks[some] = week(float(draw.choice([0, 5, 10, 20])))
    return replace(question, measured=Measured(over, unsaid, weeks))


@pytest.mark.parametrize("seed", range(60))
def test_the_search_finds_the_best_of_all_plans_with_measured_weeks_too(seed):
    draw = Random(seed)
    question = random_measured(draw, random_outlay(draw, purchases=4, months=4))
    key, _ = best_of_all(question) or (None, None)
    found = stage(question)
    if key is None:
        assert found.orders is None
    else:
        assert follow(question, found.orders)[-1].end == pytest.approx(-key[0], abs=1e-6)


def test_the_futures_of_a_plan_make_what_its_months_make():
    draw = Random(5)
    question = random_measured(draw, random_outlay(draw, purchases=4, months=6))
    found = answer(replace(question, ranges=()), runs=3)
    assert found.risk.p50 == pytest.approx(found.npv, abs=1e-6)
    assert capacity(question, [one.id for one in question.required])[0] >= 0


def test_what_is_taken_most_of_the_hours_is_busiest(folder):
    shop = open_workshop(folder)
    question, _ = read_outlay(folder, shop)
    start = datetime(2026, 3, 2, 8, tzinfo=UTC)

    def stretch(first, last):
        return {
            "start": (start + timedelta(hours=first)).isoformat(),
            "end": (start + timedelta(hours=last)).isoformat(),
        }

    document = {
        "resources": [
            {"id": "HP1", "kind": "hot_press"}, {"id": "CP1", "kind": "cooling_press"},
            {"id": "F1", "kind": "frame"}, {"id": "F2", "kind": "frame"},
            {"id": "OP1", "kind": "person", "skills": ["hot_transfer"], "present": [stretch(0, 8)]},
        ],
        "sheets": [{"id": "S", "frame": "F1", "skins": "P"}],
        "tasks": [
            {"sheet": "S", "step": "prepare", "places": ["B"], "people": ["OP1"], **stretch(0, 1)},
            {"sheet": "S", "step": "dwell", "places": ["HP1"], "people": [], **stretch(1, 3)},
            {"sheet": "S", "step": "press_cool", "places": ["CP1"], "people": [], **stretch(3, 20)},
            {"sheet": "S", "step": "demould", "places": ["LT1"], "people": ["OP1"], **stretch(24, 25)},
        ],
    }  # fmt: skip
    # hot press 2 of 8 h, cooling press 5 of 8, frames 8 of 16, people 1 of 8: cooling, which FANS calls so
    assert busiest(document, question, shop) == ("cooling",)


def test_a_week_that_is_full_is_asked_for_more_and_what_limits_is_that_of_the_larger_one(folder):
    asked = []

    def plan(shop, **_):
        count = sum(order.sheets for order in shop.orders.values())
        asked.append(count)
        return a_plan(count if count <= 16 else 15, bound=0 if count <= 16 else 2)

    shop = open_workshop(folder)
    question, _ = read_outlay(folder, shop)
    measured, _ = measure(folder, question, shop, now=NOW, seconds=0, plan=plan)
    assert asked[:2] == [16, 21]  # as typed, then three tenths more
    week = measured.at([])
    assert (week.sheets, week.asked, week.most) == (16, 21, 19)
    assert week.tightest == ("people",)


def test_the_terminal_shows_each_planned_week_and_which_months_rest_on_them(folder):
    measured_of(folder, Planned())
    told = outlay_text(plan_outlay(folder, runs=10).document)
    assert "Weeks planned to measure this" in told
    (week,) = [one.split() for one in told.splitlines() if one.split()[:3] == ["HELPER", "+", "PRESS2"]][:1]
    assert week[3:6] == ["8", "6", "6"]  # asked, made, at most
    assert "as planned weeks have it in months" in " ".join(told.split())
    assert all(len(line) <= 80 for line in told.splitlines())
