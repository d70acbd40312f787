"""Plans by priority rules: whole plans, in the judge's eyes and the model's, and never better than the best."""

from dataclasses import replace
from datetime import UTC, datetime

import pytest
from hypothesis import given, settings

from flatstock.actions.plans import Physics
from flatstock.actions.workshops import open_workshop, zone_of
from flatstock.demo import copy_to
from flatstock.planning.check import judge
from flatstock.planning.dispatch.floor import Floor
from flatstock.planning.dispatch.rule import How, dispatch, dispatches, reordered
from flatstock.planning.document import plan_document
from flatstock.planning.problem.build import set_out
from flatstock.planning.problem.clock import Span
from flatstock.planning.problem.schedule import Schedule
from flatstock.planning.problem.steps import steps_of
from flatstock.planning.problem.week import Site
from flatstock.planning.solve.people import name_people
from flatstock.planning.solve.search import search
from flatstock.planning.solve.seats import seated
from tests.planning.proof.test_laws import proven, weeks
from tests.planning.proof.tiny import person, tiny_kind, tiny_week

MONDAY = datetime(2026, 3, 2, 7, 0, tzinfo=UTC)


def lots_in(shop):
    """As a plan's document lists them."""
    return [
        {
            "id": lot.id,
            "plastic": lot.plastic,
            "colour": lot.colour,
            "status": lot.status,
            "mass_kg": lot.mass,
        }
        for lot in sorted(shop.lots.values(), key=lambda lot: lot.id)
    ]


def document_by_rule(week, lots, found=None):
    found = found or dispatch(week)
    schedule = Schedule(runs=seated(week, found.schedule.runs), heated=found.schedule.heated)
    sheets = {sheet.id: sheet for sheet in week.sheets}
    steps = [step for name, run in schedule.runs.items() for step in steps_of(week, sheets[name], run)]
    document = plan_document(
        week, schedule, name_people(week, steps), made_at=MONDAY.isoformat(), lots=lots,
        proof={"status": "feasible", "objective": [], "seconds": 1.0}, cautions=[],
    )  # fmt: skip
    if document["left_out"]:
        document["proof"]["status"] = "impossible"
    return document


def test_the_demo_week_by_a_rule_alone_is_whole_in_time_and_passes_the_judge(tmp_path):
    copy_to(tmp_path / "demo")
    shop = open_workshop(tmp_path / "demo")
    physics = Physics(shop)
    week = set_out(shop, physics, zone=zone_of(shop), start=MONDAY)
    lots = lots_in(shop)
    document = document_by_rule(week, lots)
    assert judge(document, takes=physics.takes) == []
    assert len(document["sheets"]) == 33
    assert document["late"] == []


@settings(max_examples=20, deadline=None)
@given(weeks())
def test_a_rules_plan_of_any_small_week_passes_the_judge(week):
    lots = [{"id": "L-1", "plastic": "hdpe", "colour": None, "status": "released", "mass_kg": 99.0}]
    assert judge(document_by_rule(week, lots)) == []


@settings(max_examples=25, deadline=None)
@given(weeks())
def test_no_rules_plan_is_better_than_the_proven_best(week):
    assert dispatch(week).worth[:2] >= proven(week)


@settings(max_examples=25, deadline=None)
@given(weeks())
def test_orders_taken_sooner_and_later_give_no_worse_plan_and_one_that_passes_the_judge(week):
    ruled = dispatch(week)
    better = reordered(week, ruled, tries=6, until=lambda: False)
    assert better.worth <= ruled.worth
    lots = [{"id": "L-1", "plastic": "hdpe", "colour": None, "status": "released", "mass_kg": 99.0}]
    assert judge(document_by_rule(week, lots, better)) == []


def test_an_order_that_its_rule_takes_last_and_is_due_first_is_moved_ahead():
    """By the earliest load one of two kinds alike goes first by its name; the other is due before it."""
    kinds = [tiny_kind(key, dwell=4, whole=6) for key in ("a", "b")]
    people = [person(name, (0, 60)) for name in ("A", "B")]
    week = tiny_week([(kinds[0], 60), (kinds[1], 16)], end=60, people=people)
    how = How(by_earliest_name, (0, 0, 0), True)
    last = next(dispatches(week, hows=[how]))
    assert last.worth[0] == 1
    assert reordered(week, last, tries=40, until=lambda: False).worth[0] == 0


def by_earliest_name(sheet, _way):
    return (100.0 * (sheet.kind.key == "b"),)


@settings(max_examples=15, deadline=None)
@given(weeks())
def test_a_search_that_is_stopped_at_once_has_the_rules_plan(week):
    found = search(week, seconds=20, tell=lambda *_: True)
    values = tuple(level.value for level in found.levels[:3])
    assert found.schedule is not None
    assert values <= dispatch(week).worth


def test_rules_whose_time_is_over_bring_one_plan_to_its_end_and_no_other():
    asked = late_week()
    every = list(dispatches(asked))
    (one,) = dispatches(asked, until=lambda: True)
    assert len(every) > 2
    assert one.schedule == every[0].schedule
    assert dispatch(asked, until=lambda: True).schedule == one.schedule


def test_a_rules_plan_that_is_under_way_when_time_is_over_is_left():
    asked, looks = late_week(), []

    def until():
        looks.append(1)
        return len(looks) > 2  # one look before the second plan, one before its first sheet

    assert len(list(dispatches(asked, until=until))) == 1


def test_ctrl_c_while_the_rules_are_at_work_leaves_the_best_of_their_plans(monkeypatch):
    asked = late_week()
    first = dispatch(asked, until=lambda: True)

    def broken_off(week, *, heard, **_):
        heard(first)
        raise KeyboardInterrupt

    monkeypatch.setattr("flatstock.planning.solve.beginning.dispatch", broken_off)
    found = search(asked, seconds=30)
    assert found.stopped
    assert found.seconds < 15
    assert tuple(level.value for level in found.levels[:3]) <= first.worth


def late_week():
    """Two sheets of a kind and one place for each step: one of them is late whatever goes first."""
    crew = [person(name, (0, 60)) for name in ("A", "B")]
    return tiny_week([(tiny_kind("dark", dwell=4, whole=6), 16)] * 2, end=60, people=crew)


def stack_alone():
    """Ten moulds in three short days that can cool in a stack alone, each for a third of a day: two days' moulds lie
    there over night, and the first that is opened on its own day keeps the rest of that day off the stack."""
    kind = tiny_kind(
        "dark", dwell=2, latest=3, whole=60, rest={"ST1": 12}, frames=[f"F{n}" for n in range(8)],
        skins=[f"S{n}" for n in range(8)],
    )  # fmt: skip
    crew = [person(name, *((1440 * day, 1440 * day + 36) for day in range(3))) for name in "ABC"]
    stack = Site(id="ST1", kind="stack", capacity=6, more={"order": "last_in_first_out"})
    return tiny_week(
        [(kind, 2916)] * 10, end=2916, people=crew, stays=[stack], frames=kind.frames, skins=kind.skins
    )


def test_where_moulds_cool_in_a_stack_alone_a_night_is_filled_and_opened_in_the_morning():
    week = stack_alone()
    best = min(dispatches(week), key=lambda one: one.worth)
    assert best.how.overnight
    assert len(best.schedule.runs) == 10
    lots = [{"id": "L-1", "plastic": "hdpe", "colour": None, "status": "released", "mass_kg": 99.0}]
    assert judge(document_by_rule(week, lots, best)) == []


def test_moulds_opened_on_their_own_day_leave_some_of_these_without_a_time():
    others = [one for one in dispatches(stack_alone()) if not one.how.overnight]
    assert others
    assert max(len(one.schedule.runs) for one in others) < 10


def promised(*minutes, new=1):
    """Sheets that are promised for a minute each, in a day for one press, and new ones that anybody may wait for."""
    kind = tiny_kind("dark", dwell=3, cool=2, whole=4, frames=("F1", "F2"))
    crew = [person(name, (0, 60)) for name in ("A", "B")]
    week = tiny_week([(kind, 60)] * (len(minutes) + new), end=60, people=crew, frames=("F1", "F2"))
    sheets = [replace(one, due=None, promised=by) for one, by in zip(week.sheets, minutes, strict=False)]
    return replace(week, sheets=(*sheets, *(replace(one, due=None) for one in week.sheets[len(minutes) :])))


def test_a_rules_plan_keeps_every_promise_and_finds_the_new_sheet_a_time():
    week = promised(16, 24)
    found = dispatch(week)
    runs = found.schedule.runs
    assert [runs[one.id].ready <= one.promised for one in week.sheets[:2]] == [True, True]
    assert week.sheets[2].id in runs


def test_a_rules_plan_that_breaks_a_promise_is_none():
    assert dispatch(promised(16, 16)) is None


def heavy(*, two_may_lift):
    """Four moulds that cool in a stack alone, in a day in which three of them lie on each other."""
    kind = tiny_kind("dark", dwell=2, latest=3, whole=60, rest={"ST1": 12}, frames=[f"F{n}" for n in range(4)],
                     skins=[f"S{n}" for n in range(4)])  # fmt: skip
    stack = Site(id="ST1", kind="stack", capacity=6, more={"order": "last_in_first_out"})
    week = tiny_week([(kind, 80)] * 4, end=80, people=[person(name, (0, 80)) for name in "ABC"], stays=[stack],
                     frames=kind.frames, skins=kind.skins)  # fmt: skip
    return replace(week, two_person_lift=two_may_lift)


def most_on_each_other(found):
    stays = [(run.leave, run.demould) for run in found.schedule.runs.values() if run.stay == "ST1"]
    return max(sum(a <= moment < b for a, b in stays) for moment, _ in stays)


@pytest.mark.parametrize("plan", [dispatch, lambda week: search(week, seconds=3)])
def test_what_two_people_may_not_lift_is_laid_onto_no_other_mould_where_no_lift_bears_it(plan):
    assert most_on_each_other(plan(heavy(two_may_lift=9.0))) == 1


def test_what_two_people_may_lift_is_laid_onto_others():
    assert most_on_each_other(search(heavy(two_may_lift=10.0), seconds=3)) > 1


def test_in_a_rack_that_is_out_of_order_to_the_end_no_minute_is_looked_for():
    looked: set[str] = set()

    class Watched(Floor):
        def _moved(self, place, *others):
            looked.add(place)
            return super()._moved(place, *others)

    racks = (Site(id="R1", kind="rack", absent=(Span(0, 31),)), Site(id="R2", kind="rack"))
    kind = tiny_kind("dark", rest={"R1": 2, "R2": 2})
    week = tiny_week([(kind, 30)], end=30, people=[person(name, (0, 30)) for name in "AB"], stays=racks)
    assert {one.stay for one in Watched(week).cooled(week.sheets[0], "CP1", 10)} == {None, "R2"}
    assert looked == {"R2"}


def one_soon_cold():
    """A mould that is cold in its press ten minutes after it may be opened, and in the stack only after two hours, due
    last; and three that have to cool in the stack meanwhile, which nobody can lay on it and take off again in time."""
    things = {"dwell": 2, "cool": 2, "frames": ("F1", "F2", "F3", "F4"), "skins": ("S1", "S2", "S3", "S4")}
    first = tiny_kind("first", whole=12, rest={"ST1": 45}, **things)
    others = tiny_kind("others", whole=400, rest={"ST1": 60}, **things)
    stack = Site(id="ST1", kind="stack", capacity=4, more={"order": "last_in_first_out"})
    crew = [person(name, (0, 200)) for name in "ABC"]
    return tiny_week(
        [(first, 20), (others, 110), (others, 110), (others, 110)], end=200, people=crew, stays=[stack],
        frames=things["frames"], skins=things["skins"],
    )  # fmt: skip


def test_what_is_soon_cold_stays_in_its_press_where_a_stack_would_keep_it():
    found = list(dispatches(one_soon_cold()))
    patient = [one for one in found if one.how.patient]
    assert min(one.worth for one in patient) < min(
        one.worth for one in found if not one.how.patient and one.how.clear
    )
