"""Thick and thin moulds under fans: a thin one stays long where it follows a thick one, and not for being of its kind."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

import pytest

from flatstock.actions.mending import asked, goings
from flatstock.actions.plans import Physics, plan_week
from flatstock.actions.remembered import kinds_in
from flatstock.actions.workshops import open_workshop, zone_of
from flatstock.demo import copy_to
from flatstock.planning.check import judge
from flatstock.planning.dispatch.rule import dispatch
from flatstock.planning.problem.build import set_out
from flatstock.planning.problem.kinds import kinds_of
from flatstock.planning.problem.warmth import in_a_row, opens_after, to_open, warmths
from flatstock.pressing.rehearsal import rehearse

HEAD = "id,what,plastic,colour,thickness_mm,sheets,due,condition_h,lots,note\n"
THICK = "A,bench,hdpe,dark,20,{},2026-03-06T15:00,0,L-2301 100 %,\n"
PANELS = "A,panel,hdpe,dark,12,{},2026-03-06T15:00,0,L-2301 100 %,\n"
THIN = "B,sign,hips,white,4,{},2026-03-06T15:00,0,L-2305 100 %,\n"
THURSDAY = datetime(2026, 3, 5, 7, 0, tzinfo=UTC)


def shop_of(folder, orders, *, presses=2):
    """The demo's workshop with so many hot presses on its one cooling press under fans, frames of 4 and 20 mm."""
    copy_to(folder)
    text = (folder / "shop.toml").read_text("utf-8")
    before, press = text.split("[[hot_presses]]")
    press, after = press.split("[[cooling_presses]]")
    more = [press.replace('"HP1"', f'"HP{n}"') for n in range(1, presses + 1)]
    text = "[[hot_presses]]".join([before, *more]) + "[[cooling_presses]]" + after
    for ids, thick in (('["F06-1", "F06-2"]', 6), ('["F18-1", "F18-2", "F18-3"]', 18)):
        thin = thick == 6
        new = [f"F{4 if thin else 20:02d}-{n}" for n in range(1, 5)]
        old = f"ids = {ids}\nthickness_mm = {thick}\n"
        assert old in text
        listed = ", ".join(f'"{one}"' for one in new)
        text = text.replace(old, f"ids = [{listed}]\nthickness_mm = {4 if thin else 20}\n")
    assert "fans_on = true" in text
    (folder / "shop.toml").write_text(text, "utf-8")
    lots = (folder / "lots.csv").read_text("utf-8").replace(",412,", ",1500,").replace(",140,", ",900,")
    (folder / "lots.csv").write_text(lots, "utf-8")
    (folder / "orders.csv").write_text(HEAD + orders, "utf-8")
    return open_workshop(folder)


def week_of(shop, start=THURSDAY):
    physics = Physics(shop)
    return set_out(shop, physics, zone=zone_of(shop), start=start), physics


def by_one_figure(week):
    """The same week with one stay a kind, as long as a row of it that never rests takes."""
    sheets = (replace(one, kind=replace(one.kind, warming={})) for one in week.sheets)
    return replace(week, sheets=tuple(sheets))


def planned(shop):
    """Shop, week, physics and what the priority rules make of it."""
    week, physics = week_of(shop)
    return shop, week, physics, dispatch(week).schedule


def rehearsed(shop, physics, week, schedule):
    return rehearse(shop, goings(physics.card, shop.orders, week, schedule))


@pytest.fixture(scope="module")
def overloaded(tmp_path_factory):
    """More of both than two days have room for."""
    return planned(shop_of(tmp_path_factory.mktemp("fans") / "shop", THICK.format(16) + THIN.format(24)))


@pytest.fixture(scope="module")
def easy(tmp_path_factory):
    """Few enough of both for two days."""
    return planned(shop_of(tmp_path_factory.mktemp("easy") / "shop", THICK.format(4) + THIN.format(5)))


def test_a_plan_of_thick_and_thin_moulds_is_let_pass_by_the_heat_model_at_once(overloaded, easy):
    for shop, week, physics, plan in (overloaded, easy):
        verdicts = rehearsed(shop, physics, week, plan)
        assert {one.verdict for one in verdicts} == {"good"}


def test_by_one_figure_a_kind_moulds_are_opened_hot_and_once_that_is_mended_sheets_find_no_time(overloaded):
    shop, week, physics, plan = overloaded
    flat, rounds = by_one_figure(week), []
    while len(rounds) < 6:
        schedule = dispatch(flat).schedule
        verdicts = rehearsed(shop, physics, flat, schedule)
        rounds.append(len(schedule.runs))
        again = asked(flat, schedule, verdicts)
        if again is None:
            break
        flat = again
    assert len(rounds) > 1
    assert rounds[-1] < rounds[0]
    assert len(plan.runs) > rounds[-1]


def test_a_round_after_the_first_loses_no_sheet_that_the_heat_model_lets_pass(overloaded):
    shop, week, physics, first = overloaded
    again = asked(week, first, rehearsed(shop, physics, week, first)) or week
    assert len(dispatch(again).schedule.runs) >= len(first.runs)


def test_a_thin_mould_stays_long_after_a_thick_one_and_short_where_none_came_before(overloaded):
    _, week, _, plan = overloaded
    runs = plan.runs
    warmth, sheets = warmths(week, runs), {one.id: one for one in week.sheets}
    inside = sorted(runs.values(), key=lambda run: run.transfer)
    rests = week.times.move + week.times.transfer
    right_after, cold = [], []
    for before, run in zip([None, *inside], inside, strict=False):
        sheet = sheets[run.sheet]
        if sheet.order != "B":
            continue
        stay = opens_after(sheet, "CP1", warmth[sheet.id])
        assert run.leave - run.transfer - week.times.transfer >= stay
        if before is not None and sheets[before.sheet].order == "A" and run.transfer - before.leave <= rests:
            right_after.append(stay)
        if warmth[sheet.id] == 0:
            cold.append(stay)
    assert cold
    assert max(cold) <= 2
    assert all(stay > 8 for stay in right_after)


def test_thin_moulds_that_never_follow_a_thick_one_keep_the_short_stay(overloaded):
    """Each alone on plates that were left alone for a night, whatever others of its kind were asked for."""
    shop, week, physics, hot = overloaded
    one = next(sheet for sheet in week.sheets if sheet.order == "B")
    runs = dispatch(replace(week, sheets=(one,))).schedule.runs
    assert opens_after(one, "CP1", warmths(week, runs)[one.id]) <= 2
    verdict = rehearsed(shop, physics, week, replace(hot, runs=runs))[0]
    assert verdict.good
    warmth = warmths(week, hot.runs)
    last = max((name for name in hot.runs if name.startswith("B")), key=lambda name: warmth[name])
    lacking = replace(verdict, sheet=last, verdict="opened hot", more_cool=600.0, more_rest=600.0)
    again = asked(week, hot, [lacking])
    assert again is not None
    for sheet in again.sheets:
        if sheet.order == "B":
            assert opens_after(sheet, "CP1", 0) == opens_after(one, "CP1", 0)
            assert opens_after(sheet, "CP1", 730) > opens_after(one, "CP1", 730)


@pytest.mark.parametrize("order", ["A", "B"])
def test_more_warmth_never_shortens_a_stay(overloaded, order):
    _, week, _, _ = overloaded
    sheet = next(one for one in week.sheets if one.order == order)
    stays = [opens_after(sheet, "CP1", warmth) for warmth in range(0, 900, 5)]
    assert stays == sorted(stays)
    assert stays[-1] > 2 * stays[0]


def test_the_plan_that_is_kept_tells_each_sheet_its_own_stay_and_remembers_what_plates_ask(tmp_path):
    shop = shop_of(tmp_path / "shop", THICK.format(4) + THIN.format(5))
    document = plan_week(shop, now=THURSDAY, seconds=8)
    assert judge(document) == []
    assert len(document["sheets"]) == 9
    assert document["rehearsal"]["faults"] == []
    asks = {one["id"]: one["press_cool_min"] for one in document["sheets"]}
    clamped = sorted((t["start"], t["sheet"]) for t in document["tasks"] if t["step"] == "press_cool")
    assert len({asks[sheet] for _, sheet in clamped if sheet.startswith("A")}) > 1
    for kind in kinds_in(document, shop).values():
        assert kind.by_warmth == kind.warming != {}


def test_where_cooling_keeps_pace_one_figure_a_kind_is_enough_and_what_plates_ask_is_kept_for_later(tmp_path):
    shop = shop_of(tmp_path / "shop", PANELS.format(4), presses=1)
    week, _ = week_of(shop)
    kind = week.sheets[0].kind
    assert kind.warming == {}
    assert to_open(kind, "CP1", in_a_row(kind, "CP1", rest=6)) + 6 <= kind.dwell["HP1"].planned + 6


def test_what_is_ordered_later_makes_plates_matter_to_kinds_that_are_remembered_and_then_they_do_on(tmp_path):
    shop = shop_of(tmp_path / "one", PANELS.format(9), presses=1)
    both = shop_of(tmp_path / "both", PANELS.format(9) + THIN.format(40), presses=1)
    alone = kinds_of(shop, Physics(shop))[0]["A"]
    assert alone.warming == {}
    known = {shop.orders["A"].recipe: alone}
    together = kinds_of(both, Physics(both), known)[0]
    assert all(kind.warming for kind in together.values())
    assert kinds_of(shop, Physics(shop), {shop.orders["A"].recipe: together["A"]})[0]["A"].warming
