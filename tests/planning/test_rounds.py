"""Plan, rehearse, plan again: what stands where the heat model asks for what no plan can give."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace

import pytest

from flatstock.actions import plan_rounds, plans
from flatstock.actions.plan_rounds import NotInTime, agree
from flatstock.errors import Refused
from flatstock.planning.solve import beginning, seeking
from flatstock.planning.solve import search as searching
from flatstock.planning.solve import sooner as putting_sooner
from flatstock.planning.solve.cpsat import Answer
from flatstock.planning.solve.found import Found
from flatstock.planning.solve.search import search
from flatstock.pressing.rehearsal import Verdict
from tests.planning.proof.tiny import person, tiny_kind, tiny_week

SHOP = SimpleNamespace(orders={"O-dark-20": None})


def one_sheet():
    """A sheet that has to be ready by minute 20: there is no room for a dwell of an hour."""
    week = tiny_week([(tiny_kind("dark"), 20)], end=60, people=[person("A", (0, 60)), person("B", (0, 60))])
    return replace(week, sheets=tuple(replace(sheet, promised=20) for sheet in week.sheets))


def says(*more):
    """A heat model that asks for so many more minutes of dwell, one round after the other."""
    asks = iter(more)

    def heat(shop, goings):
        minutes = next(asks, 0)
        word = "raw" if minutes else "good"
        return [_verdict(one.sheet, word, 60.0 * minutes) for one in goings]

    return heat


def _verdict(sheet, word, more):
    return Verdict(
        sheet=sheet, core_at_transfer=150.0, core_at_open=80.0, peak_after=80.0, core_at_demould=40.0, verdict=word,
        more_dwell=more,
    )  # fmt: skip


def rounds_of(week, heat, *, seek=search, seconds=2.0):
    return agree(
        SHOP, lambda order, press: None, week, seconds=seconds, rehearsed=True, tell=lambda *_: False,
        say=lambda _: None, before={}, soonest=frozenset(), like=None, seek=seek, heat=heat,
    )  # fmt: skip


def test_where_what_is_asked_for_is_impossible_the_plan_before_stands_and_it_is_said():
    agreed = rounds_of(one_sheet(), says(60))
    assert agreed.found.schedule is not None
    assert [one.verdict for one in agreed.verdicts] == ["raw"]
    assert agreed.refused == "no plan is possible"
    assert [one["sheet"] for one in agreed.faults] == ["01"]


def test_where_no_plan_with_it_is_found_in_time_the_plan_before_stands_and_it_is_said():
    calls = []

    def seek(week, **given):
        calls.append(week)
        return search(week, **given) if len(calls) == 1 else Found(None, {}, (), "unknown", 1.0)

    agreed = rounds_of(one_sheet(), says(1), seek=seek)
    assert len(calls) == 2
    assert agreed.refused == "no plan was found in the time given"
    assert [one.verdict for one in agreed.verdicts] == ["raw"]


def test_stopped_while_it_is_planned_again_the_plan_before_stands():
    calls = []

    def seek(week, **given):
        calls.append(week)
        if len(calls) > 1:
            raise KeyboardInterrupt
        return search(week, **given)

    assert rounds_of(one_sheet(), says(1), seek=seek).found.schedule is not None


def test_where_the_heat_model_agrees_nothing_is_said():
    agreed = rounds_of(one_sheet(), says(1))
    assert [one.verdict for one in agreed.verdicts] == ["good"]
    assert agreed.refused == ""


def test_a_plan_that_the_heat_model_lets_fail_is_mended_once_however_late_it_came(monkeypatch):
    """The first search took ten times what was given for it all, as on a machine with other work."""
    clock = SimpleNamespace(now=0.0)
    monkeypatch.setattr(plan_rounds, "time", SimpleNamespace(monotonic=lambda: clock.now))

    def seek(week, **given):
        clock.now += 50.0
        return search(week, seconds=1.0, levels=3)

    agreed = rounds_of(one_sheet(), says(1), seek=seek, seconds=5.0)
    assert agreed.rounds == 2
    assert [one.verdict for one in agreed.verdicts] == ["good"]


def test_of_plans_that_never_agree_the_one_with_the_fewest_faults_stands():
    """The first round finds one of two sheets raw, every later one both."""
    kinds = [(tiny_kind("dark", frames=("F1", "F2")), 55)] * 2
    week = tiny_week(kinds, end=60, people=[person("A", (0, 60)), person("B", (0, 60))], frames=("F1", "F2"))
    turns = iter(range(100))

    def heat(shop, goings):
        first = next(turns) == 0
        words = {one.sheet: "good" if first and one.sheet == "01" else "raw" for one in goings}
        return [_verdict(name, word, 0.0 if word == "good" else 60.0) for name, word in words.items()]

    shop = SimpleNamespace(orders={sheet.order: None for sheet in week.sheets})
    agreed = agree(
        shop, lambda order, press: None, week, seconds=1.0, rehearsed=True, tell=lambda *_: False,
        say=lambda _: None, before={}, soonest=frozenset(), like=None, seek=search, heat=heat,
    )  # fmt: skip
    assert sorted(one.verdict for one in agreed.verdicts) == ["good", "raw"]


@pytest.mark.parametrize("model_takes", [0.5, 3.0])
def test_what_the_heat_model_and_the_telling_take_is_counted_in(monkeypatch, model_takes):
    found, clock, rounds = search(one_sheet(), seconds=1.0), [0.0], []

    def seek(week, *, seconds, **given):
        clock[0] += seconds
        rounds.append(seconds)
        return replace(found, status="feasible")

    def heat(shop, goings):
        clock[0] += model_takes
        return says()(shop, goings)

    monkeypatch.setattr(plan_rounds, "time", SimpleNamespace(monotonic=lambda: clock[0]))
    rounds_of(one_sheet(), heat, seek=seek, seconds=30.0)
    assert len(rounds) > 1
    assert clock[0] + model_takes <= 30.0  # as long again for the document and the judge


def test_where_kinds_are_remembered_cards_are_worked_out_before_time_goes_to_a_search(monkeypatch):
    done: list[str] = []

    def search_of(*given, **more):
        done.append("search")
        raise NotInTime(())

    monkeypatch.setattr(plans, "agree", search_of)
    physics = SimpleNamespace(shop=None, card=None, say=None, work_out=lambda week: done.append("cards"))
    with pytest.raises(NotInTime):
        plans.planned(physics, one_sheet(), now=None, seconds=1.0, tell=lambda *_: False, before={"01": None})
    assert done == ["cards", "search"]


@pytest.mark.parametrize(("status", "kind"), [("unknown", NotInTime), ("impossible", Refused)])
def test_without_any_plan_it_is_refused(status, kind):
    with pytest.raises(kind):
        rounds_of(one_sheet(), says(), seek=lambda week, **given: Found(None, {}, (), status, 1.0))


def test_until_plan_and_heat_model_agree_each_round_leaves_those_after_it_their_time():
    given = []

    def seek(week, *, seconds, **others):
        given.append(seconds)
        return search(week, seconds=0.5, **others)

    week = replace(one_sheet(), sheets=tuple(replace(one, promised=None) for one in one_sheet().sheets))
    rounds_of(week, says(1, 1, 1, 1), seek=seek, seconds=20.0)
    assert len(given) >= 4
    for number, seconds in enumerate(given[1:4], start=1):
        assert seconds + (6 - number - 1) * 0.15 * 20.0 <= 20.0


def test_where_somebody_breaks_off_it_is_said_that_the_plan_was_stopped():
    def seek(week, **given):
        return replace(search(week, **given), stopped=True)

    assert rounds_of(one_sheet(), says(), seek=seek).stopped


def test_where_the_plan_of_the_round_before_cannot_be_moved_to_fit_it_is_mended_in_its_own_order(monkeypatch):
    """Else the next round began from a rule's plan, however much worse that was: the time had gone into the first."""
    week = one_sheet()
    before = search(week, seconds=30)
    harder = replace(week, sheets=tuple(one.asks(dwell=9) for one in week.sheets))
    monkeypatch.setattr(beginning, "again", lambda *_, **__: [])
    monkeypatch.setattr(beginning, "fitted_again", lambda *_, **__: [])
    monkeypatch.setattr(seeking, "improve", lambda *_, **__: Answer("unknown", None, None, None, 0.0))
    found = search(harder, seconds=1, start=before.values, like=before.schedule, by_rule=False)
    (run,) = found.schedule.runs.values()
    assert run.transfer - run.load >= 9


def test_a_short_round_has_no_longer_for_mending_than_it_is_and_none_for_bounds_that_are_not_kept(
    monkeypatch,
):
    week = one_sheet()
    before = search(week, seconds=30)
    harder = replace(week, sheets=tuple(one.asks(dwell=9) for one in week.sheets))
    given, bounded = [], []

    def mended(self, runs, *, seconds):
        given.append(seconds)
        return []

    monkeypatch.setattr(beginning, "again", lambda *_, **__: [])
    monkeypatch.setattr(beginning, "fitted_again", lambda *_, **__: [])
    monkeypatch.setattr(beginning._Beginning, "_mended", mended)
    monkeypatch.setattr(searching, "least_of", lambda name, *_, seconds: bounded.append(seconds) or 0.0)
    search(harder, seconds=0.8, start=before.values, like=before.schedule, how=before.how)
    assert given
    assert max(given) <= 0.8
    assert all(seconds <= 0.08 + 1e-9 for seconds in bounded)
    search(harder, seconds=20.0, start=before.values, like=before.schedule, how=before.how)
    assert max(given) >= 2.0


@pytest.mark.parametrize(("due", "at_all"), [(55, True), (1, False)])
def test_a_late_plan_is_put_sooner_only_in_its_own_share_of_the_time(monkeypatch, due, at_all):
    clock, sooner_for = [0.0], []
    monkeypatch.setattr(plan_rounds, "time", SimpleNamespace(monotonic=lambda: clock[0]))

    def seek(week, *, seconds, **given):
        clock[0] += 7.5 - clock[0]  # three quarters are spent, whatever was given
        return search(week, seconds=0.5, levels=3)

    def sooner(week, found, *, seconds, tell):
        sooner_for.append(seconds)

    monkeypatch.setattr(putting_sooner, "sooner", sooner)
    week = one_sheet()
    week = replace(week, sheets=tuple(replace(one, promised=None, due=due) for one in week.sheets))
    rounds_of(week, says(), seek=seek, seconds=10.0)
    assert bool(sooner_for) is at_all


def test_or_by_the_way_of_the_rules_that_it_was_begun_from_where_that_is_better(monkeypatch):
    week = one_sheet()
    before = search(week, seconds=30)
    assert before.how is not None
    harder = replace(week, sheets=tuple(one.asks(dwell=9) for one in week.sheets))
    monkeypatch.setattr(beginning, "again", lambda *_, **__: [])
    monkeypatch.setattr(beginning, "fitted_again", lambda *_, **__: [])
    monkeypatch.setattr(beginning, "in_kept_order", lambda *_, **__: None)
    monkeypatch.setattr(seeking, "improve", lambda *_, **__: Answer("unknown", None, None, None, 0.0))
    given = {"start": before.values, "like": before.schedule, "by_rule": False}
    assert search(harder, seconds=1, **given).schedule is None
    assert search(harder, seconds=1, how=before.how, **given).schedule is not None


def test_where_the_first_turn_finds_no_plan_the_time_that_is_left_goes_into_one(monkeypatch):
    clock, turns = SimpleNamespace(now=0.0), []
    monkeypatch.setattr(plan_rounds, "time", SimpleNamespace(monotonic=lambda: clock.now))

    def seek(week, *, seconds, **given):
        turns.append(seconds)
        clock.now += seconds
        if len(turns) == 1:
            return Found(None, {}, (), "unknown", seconds)
        return search(week, seconds=1.0, levels=3)

    agreed = rounds_of(one_sheet(), says(), seek=seek, seconds=20.0)
    assert agreed.found.schedule is not None
    assert turns[1] > turns[0]
    assert sum(turns[:2]) == pytest.approx(0.85 * 20.0)


def test_where_that_finds_none_either_it_is_said_and_where_none_is_possible_at_once():
    turns = []

    def finds(status):
        def seek(week, **given):
            turns.append(status)
            return Found(None, {}, (), status, 0.1)

        return seek

    with pytest.raises(NotInTime):
        rounds_of(one_sheet(), says(), seek=finds("unknown"))
    with pytest.raises(Refused, match="no plan is possible"):
        rounds_of(one_sheet(), says(), seek=finds("impossible"))
    assert turns == ["unknown", "unknown", "impossible"]


def test_where_a_date_is_asked_for_keeping_the_plan_before_has_longer_than_a_first_answer(monkeypatch):
    week, given = one_sheet(), []
    before = search(week, seconds=5).schedule.runs

    def kept(*_, patience):
        given.append(patience)

    monkeypatch.setattr(beginning, "in_kept_order", lambda *_, **__: None)
    monkeypatch.setattr(beginning, "as_before", kept)
    search(week, seconds=20, before=before, soonest=frozenset({"01"}))
    search(week, seconds=20, before=before)
    assert given[0] > 4.0
    assert given[1] == pytest.approx(0.55)
