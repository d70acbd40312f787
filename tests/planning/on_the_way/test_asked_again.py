"""What a rehearsal asked for is remembered, and a plan that has been shown is not followed by a worse one."""

from __future__ import annotations

import json
from dataclasses import replace
from types import SimpleNamespace

import pytest

from flatstock.actions.happened import today_of
from flatstock.actions.living import begin_records
from flatstock.actions.plan_rounds import agree
from flatstock.actions.plans import Physics
from flatstock.actions.remembered import asks_in, digest_of, remembering
from flatstock.actions.under_way import as_begun, as_changed, plan_to_go_on_from, week_now
from flatstock.planning.solve.found import Found, Level
from flatstock.planning.solve.search import search
from flatstock.workshop.files import read
from tests.planning.heat_says import verdict
from tests.planning.proof.tiny import person, tiny_kind, tiny_week


def week_of(folder, now, *, asks=None):
    """The week under way in a folder, as planning on begins with it; `asks` is asked in the heat model's place."""
    shop = read(folder)
    before = plan_to_go_on_from(shop)
    today = today_of(shop, before, now)
    physics = Physics(as_changed(shop, today), then=Physics(as_begun(shop, before)))
    if asks is not None:
        physics.recipe = asks
    return physics.then.shop, before, week_now(physics, before, today, now)


def test_what_the_heat_model_asked_for_holds_when_the_week_is_planned_on(shop, now):
    begun, before, week = week_of(shop, now)
    assert {one.cool_least for one in week.sheets} == {0}
    asking = tuple(
        one.asks(cool=41, warm_percent=130) if one.order == "O-104" else one for one in week.sheets
    )
    plan = dict(before) | {"remembered": remembering(begun, replace(week, sheets=asking))}
    (shop / "plan.json").write_text(json.dumps(plan), "utf-8")
    again = week_of(shop, now)[2]
    assert {(one.order, one.cool_least, one.warm_percent) for one in again.sheets} == {
        ("O-102", 0, 100), ("O-103", 0, 100), ("O-104", 41, 130),
    }  # fmt: skip


def test_what_it_would_melt_again_and_how_long_it_rests_where_holds_on_too(shop, now):
    begun, before, week = week_of(shop, now)
    others = frozenset({"a soft kind", "another"})
    asking = tuple(
        one.asks(stack=30, melts=others, stays={"ST1": 400}) if one.order == "O-104" else one
        for one in week.sheets
    )
    plan = json.loads(
        json.dumps(dict(before) | {"remembered": remembering(begun, replace(week, sheets=asking))})
    )
    (shop / "plan.json").write_text(json.dumps(plan), "utf-8")
    again = [one for one in week_of(shop, now)[2].sheets if one.order == "O-104"]
    assert {(one.stack_least, one.melts, one.stays_least) for one in again} == {(30, others, (("ST1", 400),))}


def test_a_plan_kept_before_such_things_were_remembered_is_still_read(shop, now):
    begun, before, _ = week_of(shop, now)
    assert "asked" not in before["remembered"]
    assert asks_in(before, begun) == {}


def test_what_a_plan_of_the_files_remembers_holds_where_the_same_workshop_is_read_from_its_records(shop, now):
    files = digest_of(read(shop))
    begin_records(shop, at=now, who=["OP1"], why="the app is opened")
    assert read(shop).form == "records"
    assert digest_of(read(shop)) == files


def test_why_an_order_cannot_be_pressed_is_not_asked_of_the_heat_model_again(shop, now):
    """Bringing the heat model in for it took longer than the whole first answer."""
    with (shop / "orders.csv").open("a", encoding="utf-8") as orders:
        orders.write("O-109,abs,black,6,1,2026-03-06T15:00,0,L-2306 100 %\n")
    begun, before, week = week_of(shop, now)
    (why,) = week.unplaced.values()
    plan = dict(before) | {"remembered": remembering(begun, week)}
    (shop / "plan.json").write_text(json.dumps(plan), "utf-8")

    again = week_of(shop, now, asks=lambda *_: pytest.fail("it was asked again"))[2]
    assert again.unplaced == {"O-109": why}


def test_of_an_answer_that_was_shown_and_those_after_it_the_better_one_stands():
    """The first answer moves 78 minutes and passes the heat model; the search after it came to 105."""
    week = tiny_week([(tiny_kind("dark"), 60)], end=60, people=[person("A", (0, 60)), person("B", (0, 60))])
    plan = search(week, seconds=20)

    def moving(minutes):
        levels = (Level("late_sheets", 0.0, 0.0), Level("moved_min", minutes, 0.0))
        return Found(plan.schedule, plan.people, levels, "feasible", 1.0, values=plan.values)

    def rounds(heat):
        return agree(
            SimpleNamespace(orders={week.sheets[0].order: None}), lambda order, press: None, week, seconds=1.0,
            rehearsed=True, tell=lambda *_: False, say=lambda _: None, before=plan.schedule.runs,
            soonest=frozenset(), like=plan.schedule, shown=moving(78.0), seek=lambda *_, **__: moving(105.0),
            heat=heat,
        )  # fmt: skip

    def moved(agreed):
        return next(level.value for level in agreed.found.levels if level.name == "moved_min")

    asks = iter([60.0])

    def raw_at_first(shop, goings):
        more = next(asks, 0.0)
        return [verdict(one.sheet, "raw" if more else "good", more_dwell=more) for one in goings]

    assert moved(rounds(lambda shop, goings: [verdict(one.sheet, "good") for one in goings])) == 78.0
    # but not where the heat model lets it fail
    assert moved(rounds(raw_at_first)) == 105.0
