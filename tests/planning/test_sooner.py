"""Of plans that are equal in every level the one that begins soonest is taken, where the heat model lets it."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace

import pytest

from flatstock.actions.plan_rounds import agree
from flatstock.planning.solve import sooner as sooning
from flatstock.planning.solve.search import search
from flatstock.planning.solve.sooner import sooner, when_ripe
from tests.planning.heat_says import verdict
from tests.planning.proof.tiny import person, tiny_kind, tiny_week

DAY = 24 * 60


def free_week():
    """Two sheets without a due date, and far more time than they take."""
    week = tiny_week(
        [(tiny_kind("dark"), 90)] * 2, end=90, people=[person("A", (0, 90)), person("B", (0, 90))]
    )
    return replace(week, sheets=tuple(replace(one, due=None) for one in week.sheets))


def three_days():
    """A free week of three days of half an hour, and a plan of the last."""
    days = [(n * DAY, n * DAY + 30) for n in range(3)]
    people = [person("A", *days), person("B", *days)]
    week = tiny_week([(tiny_kind("dark"), 2 * DAY + 30)] * 2, end=2 * DAY + 30, people=people)
    week = replace(week, sheets=tuple(replace(one, due=None) for one in week.sheets))
    return week, search(replace(week, now=2 * DAY), seconds=20)


def planned_late(week, **_):
    """A plan that begins in the middle of the week; nothing that is sought says that it should not."""
    return search(replace(week, now=45), seconds=20)


@pytest.fixture(scope="module")
def late():
    return planned_late(free_week())


def loads(found):
    return sorted(run.load for run in found.schedule.runs.values())


def agreed(heat):
    week = free_week()
    shop = SimpleNamespace(orders={one.order: None for one in week.sheets})
    return agree(
        shop, lambda order, press: None, week, seconds=8.0, rehearsed=True, tell=lambda *_: False,
        say=lambda _: None, before={}, soonest=frozenset(), like=None, seek=planned_late, heat=heat,
    )  # fmt: skip


def verdicts(goings, word):
    return [verdict(one.sheet, word) for one in goings]


def test_a_sheet_without_a_due_date_is_pressed_as_soon_as_hands_and_press_are_there(late):
    found = sooner(free_week(), late, seconds=20, tell=lambda *_: False)
    assert loads(late)[0] > 45
    assert loads(found)[0] == 2  # weighed and prepared while the press heats up
    assert found.levels == late.levels


def test_what_is_as_soon_as_can_be_stays_as_it_is():
    week = free_week()
    first = sooner(week, planned_late(week), seconds=20, tell=lambda *_: False)
    assert sooner(week, first, seconds=20, tell=lambda *_: False) is None


def test_a_free_week_is_pressed_on_its_first_day_whatever_plan_it_was_begun_from():
    """Begun from a plan of the last day, whose heating costs as much: no level said that it should be sooner."""
    week, last = three_days()
    assert loads(last)[0] > 2 * DAY
    again = search(week, seconds=20, like=last.schedule, by_rule=False)
    assert loads(again)[1] < 30
    assert [level.value for level in again.levels] == [level.value for level in last.levels]


def test_a_day_is_moved_as_a_whole_where_there_is_no_time_for_a_search(monkeypatch):
    week, last = three_days()
    monkeypatch.setattr(sooning, "seek", lambda *_, **__: None)
    found = sooner(week, last, seconds=20, tell=lambda *_: False)
    assert loads(found)[1] < 30


def test_no_mould_is_loaded_only_to_wait_in_its_press_for_a_place_to_cool_in():
    kind = tiny_kind("dark", presses=("HP1", "HP2"), frames=("F1", "F2"), cool=20, whole=20)
    hands = [person(name, (0, 150)) for name in "ABC"]
    week = tiny_week(
        [(kind, 150)] * 2, end=150, people=hands, presses=("HP1", "HP2"), frames=("F1", "F2"), benches=2
    )
    week = replace(week, sheets=tuple(replace(one, due=None) for one in week.sheets))
    found = sooner(week, planned_late(week), seconds=20, tell=lambda *_: False)
    stays = [run.transfer - run.load for run in found.schedule.runs.values()]
    assert stays == [3, 3]  # a minute to load, two of dwell; the second has to wait for the cooling press
    assert loads(found)[1] - loads(found)[0] > 15


def test_a_plan_made_anew_begins_soonest():
    assert loads(agreed(lambda shop, goings: verdicts(goings, "good")).found)[0] == 2


def test_a_plan_that_the_heat_model_would_let_fail_so_stays_later():
    def heat(shop, goings):
        return verdicts(goings, "good" if min(one.laid for one in goings) > 45 * 60 else "raw")

    assert loads(agreed(heat).found)[0] > 45


def waiting(*, dwell=2, presses=2):
    """Two presses and a cooling press; where the plan was made for a dwell of 20 minutes it leaves moulds in too long."""
    kind = tiny_kind(
        "dark", presses=("HP1", "HP2")[:presses], frames=("F1", "F2"), dwell=dwell, cool=5, whole=5
    )
    week = tiny_week(
        [(kind, 150)] * 2, end=150, people=[person(name, (0, 150)) for name in "ABC"],
        presses=("HP1", "HP2")[:presses], frames=("F1", "F2"), benches=2,
    )  # fmt: skip
    return replace(week, sheets=tuple(replace(one, due=None) for one in week.sheets))


def in_hot_presses(found):
    return sorted(run.transfer - run.load for run in found.schedule.runs.values())


@pytest.mark.parametrize("presses", [1, 2])
def test_a_mould_leaves_its_press_when_its_dwell_is_over(presses):
    found, week = search(waiting(dwell=20, presses=presses), seconds=20), waiting(presses=presses)
    assert in_hot_presses(found)[0] >= 21
    ripe = when_ripe(week, found, seconds=20)
    assert in_hot_presses(ripe) == [3, 3]  # a minute to load, two of dwell
    assert all(one.value <= was.value for one, was in zip(ripe.levels, found.levels, strict=True))
    assert when_ripe(week, ripe, seconds=20) is None


def test_what_is_out_of_its_mould_as_soon_as_can_be_is_ready_no_later():
    found, week = search(waiting(dwell=20), seconds=20), waiting()
    ripe = when_ripe(week, found, seconds=20, emptied=True)
    for name, run in ripe.schedule.runs.items():
        assert run.leave <= found.schedule.runs[name].leave
        assert run.ready <= found.schedule.runs[name].ready
    assert max(run.ready for run in ripe.schedule.runs.values()) < max(
        run.ready for run in found.schedule.runs.values()
    )


def test_by_a_plan_that_people_work_by_a_mould_leaves_when_they_were_told():
    """Nothing is moved from it only for that."""
    week, before = waiting(), search(waiting(dwell=20), seconds=20).schedule.runs
    found = search(week, seconds=20, before=before)
    assert next(level.value for level in found.levels if level.name == "moved_min") == 0
    assert when_ripe(week, found, seconds=20, before=before) is None


@pytest.mark.parametrize(("word", "stay"), [("good", 3), ("raw", 21)])
def test_a_mould_leaves_when_its_dwell_is_over_unless_the_heat_model_would_let_that_fail(
    monkeypatch, word, stay
):
    monkeypatch.setattr(sooning, "sooner", lambda *_, **__: None)
    week = waiting()
    shop = SimpleNamespace(orders={one.order: None for one in week.sheets})

    def heat(shop, goings):
        early = any(one.lifted - one.laid < 19 * 60 for one in goings)
        return [verdict(one.sheet, word if early else "good") for one in goings]

    def seek(week, **_):
        return search(waiting(dwell=20), seconds=20)

    found = agree(
        shop, lambda order, press: None, week, seconds=8.0, rehearsed=True, tell=lambda *_: False,
        say=lambda _: None, before={}, soonest=frozenset(), like=None, seek=seek, heat=heat,
    ).found  # fmt: skip
    assert in_hot_presses(found)[0] == stay
