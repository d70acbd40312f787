"""Priority rules go on from a week that is under way: what stands in the shop is finished, and the judge passes it."""

from __future__ import annotations

import json
import shutil
from datetime import datetime, timedelta

import pytest

from flatstock.actions.plans import Physics
from flatstock.actions.under_way import as_changed, plan_to_go_on_from, week_now
from flatstock.planning.check import judge
from flatstock.planning.dispatch.rule import dispatch, dispatches
from flatstock.planning.problem.begun import figures_of
from flatstock.planning.solve.first import as_in
from flatstock.planning.solve.week_model import WeekModel
from flatstock.workshop.files import read
from flatstock.workshop.today import read_today
from tests.planning.on_the_way.conftest import done_by
from tests.planning.on_the_way.two_presses import keep_a_plan
from tests.planning.proof.test_dispatch import document_by_rule

CHANGES = {
    "nothing": "",
    "press": '[[out_of_order]]\nplace = "HP1"\nuntil = {then}\n',
    "rack": '[[out_of_order]]\nplace = "R1"\nuntil = {then}\n',
    "frame": '[[out_of_order]]\nplace = "F18-1"\nuntil = {then}\n',
    "person": '[[absences]]\nperson = "OP2"\nfrom = {soon}\nuntil = {then}\n',
    "nobody": '[[absences]]\nperson = "OP1"\nuntil = {then}\n[[absences]]\nperson = "OP3"\nuntil = {then}\n',
}


@pytest.fixture(scope="module")
def folder(planned, tmp_path_factory):
    copy = tmp_path_factory.mktemp("rules") / "shop"
    shutil.copytree(planned, copy)
    return copy


@pytest.fixture(scope="module")
def two_presses(tmp_path_factory):
    folder = tmp_path_factory.mktemp("two") / "shop"
    keep_a_plan(folder)
    return folder


def at(text):
    return datetime.fromisoformat(text)


def moments(folder, share):
    """A minute after the start of one step of hands in `share`."""
    plan = json.loads((folder / "plan.json").read_text("utf-8"))
    starts = sorted({at(task["start"]) for task in plan["tasks"] if task["people"]})
    return [start + timedelta(minutes=1) for start in starts[::share]]


def week_at(folder, moment, changes="", *, late=0, soon=timedelta(hours=2), then=timedelta(hours=5)):
    """The week as it stands at a moment in a shop that kept to its plan until `late` minutes before. `soon` and `then`
    stand in `changes`, so long after the moment."""
    plan = json.loads((folder / "plan.json").read_text("utf-8"))
    done = done_by(plan, moment - timedelta(minutes=late))
    (folder / "done.csv").write_text(done, "utf-8")
    times = {"soon": moment + soon, "then": moment + then}
    text = changes.format(**{name: f"{one:%Y-%m-%dT%H:%M:%S}" for name, one in times.items()})
    (folder / "changes.toml").write_text(text, "utf-8")
    shop = read(folder)
    before = plan_to_go_on_from(shop)
    today = read_today(shop, sheets=figures_of(before).keys(), now=moment)
    physics = Physics(as_changed(shop, today), then=Physics(shop))
    return week_now(physics, before, today, moment, roughly=True), before["lots"]


def as_done(week, document):
    """Where the document tells otherwise of what was done."""
    told = {(one["sheet"], one["step"]): one for one in document["tasks"]}
    return [
        (sheet.id, work.step)
        for sheet in week.sheets
        for work in (sheet.done.works if sheet.done else ())
        if told.get((sheet.id, work.step), {}).get("start") != week.clock.text(work.start)
    ]


def too_soon(week, document):
    """Steps with hands that begin before now though they had not begun."""
    begun = {(sheet.id, work.step) for sheet in week.sheets if sheet.done for work in sheet.done.works}
    gone = {(one["sheet"], task["step"]) for one in document["given_up"] for task in one["tasks"]}
    now = week.clock.moment(week.now)
    return [
        one["id"]
        for one in document["tasks"]
        if one["people"] and at(one["start"]) < now and (one["sheet"], one["step"]) not in begun | gone
    ]


def test_at_every_moment_of_a_kept_week_each_rules_plan_passes_the_judge_and_leaves_nothing_begun_out(folder):
    for moment in moments(folder, 5):
        week, lots = week_at(folder, moment)
        found = list(dispatches(week, most=80))
        assert found, moment
        for one in found:
            document = document_by_rule(week, lots, one)
            assert judge(document) == [], moment
            assert as_done(week, document) == [], moment
            assert too_soon(week, document) == [], moment


@pytest.mark.parametrize("wrong", CHANGES)
def test_whatever_has_gone_wrong_a_rules_plan_passes_the_judge_or_there_is_none(folder, wrong):
    found = 0
    for moment in moments(folder, 12):
        week, lots = week_at(folder, moment, CHANGES[wrong])
        one = dispatch(week, most=80)
        if one is not None:
            found += 1
            document = document_by_rule(week, lots, one)
            assert judge(document) == [], moment
            assert too_soon(week, document) == [], moment
    assert found


def test_a_press_out_of_order_takes_nothing_new_until_it_works_again(folder, now):
    week, _ = week_at(folder, now, CHANGES["press"])
    (gone,) = week.sites["HP1"].absent
    begun = {sheet.id for sheet in week.sheets if sheet.work("load")}
    loads = [run.load for name, run in dispatch(week).schedule.runs.items() if name not in begun]
    assert loads
    assert min(loads) >= gone.end


def test_a_mould_in_the_press_is_taken_out_within_its_dwell(folder, now):
    week, _ = week_at(folder, now)
    (sheet,) = (one for one in week.sheets if one.work("load") and not one.work("transfer"))
    run, dwell = dispatch(week).schedule.runs[sheet.id], sheet.kind.dwell["HP1"]
    took = run.transfer - sheet.work("load").end
    assert dwell.planned <= took
    assert dwell.latest is None or took <= dwell.latest


def test_a_press_that_is_hot_is_not_heated_up_again_for_the_mould_that_follows(folder, now):
    week, lots = week_at(folder, now)
    document = document_by_rule(week, lots, dispatch(week))
    today = [
        one
        for one in document["settings"]
        if one["kind"] == "heat_up" and at(one["start"]).date() == now.date()
    ]
    assert len(today) == 1
    assert at(today[0]["start"]) < now


def test_with_nothing_done_for_an_hour_what_stands_prepared_is_loaded_after_now(folder, now):
    week, lots = week_at(folder, now + timedelta(minutes=15), late=60)
    one = dispatch(week)
    document = document_by_rule(week, lots, one)
    assert too_soon(week, document) == []
    assert {finding.rule for finding in judge(document)} <= {"dwell_long", "dwell_figures"}


def test_the_solvers_model_takes_a_rules_plan_of_a_week_under_way_as_it_is(folder):
    for moment in moments(folder, 15):
        week, _ = week_at(folder, moment)
        model = WeekModel(week)
        assert as_in(model.m, week, model.chains, model.heated, dispatch(week).schedule), moment


@pytest.mark.parametrize("wrong", ["nothing", "press", "person"])
def test_with_two_hot_presses_the_rules_finish_what_stands_in_both(two_presses, wrong):
    both = 0
    for moment in moments(two_presses, 23):
        week, lots = week_at(two_presses, moment, CHANGES[wrong])
        one = dispatch(week, most=100)
        assert one is not None, moment
        both += sum(bool(sheet.work("load") and not sheet.work("transfer")) for sheet in week.sheets) == 2
        document = document_by_rule(week, lots, one)
        assert judge(document) == [], moment
        assert as_done(week, document) == [], moment
        assert too_soon(week, document) == [], moment
        assert {sheet.id for sheet in week.sheets if sheet.done} <= one.schedule.runs.keys()
    assert both or wrong != "nothing"


def test_a_day_that_ends_early_is_planned_without_loss_by_the_first_few_of_them(folder, now):
    """There is no time for more before the first answer: those that come first differ in rule and the saw's time."""
    end = "from = {soon}\nuntil = {then}\n"
    gone = "".join(f'[[absences]]\nperson = "OP{n}"\n{end}' for n in (1, 2, 3))
    week, _ = week_at(folder, now, gone, soon=timedelta(hours=3), then=timedelta(hours=12))
    found = list(dispatches(week, most=6 * len(week.sheets)))
    assert len({one.how.saw for one in found}) > 1
    assert min(one.worth for one in found) == (0.0, 0.0, 0.0)
