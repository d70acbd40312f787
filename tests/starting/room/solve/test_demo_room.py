"""The demo's room, whole: a plan that passes at once, better than the one drawn by hand, with an honest bound."""

from __future__ import annotations

import time

import pytest

from flatstock.actions.rooms import check_room, place_room
from flatstock.cli import show
from flatstock.starting.room.check import judge
from flatstock.starting.room.question import Placement
from flatstock.starting.room.solve.answering import answer
from flatstock.starting.room.solve.groups import group_bounds
from flatstock.starting.room.solve.others import ELSEWHERE_MM


@pytest.fixture(scope="module")
def found(demo_room):
    return answer(demo_room, seconds=15)


def test_a_plan_passes_every_rule_and_walks_less_than_the_one_drawn_by_hand(demo_room, found):
    assert judge(demo_room, found.plan).passes
    assert found.proof.walk_m_per_day < 169.6


def test_the_bound_is_below_the_walk(found):
    assert 0 <= found.proof.bound_m_per_day <= found.proof.walk_m_per_day
    assert found.proof.status == "feasible"


def test_a_few_things_at_a_time_bound_the_walk_far_above_what_the_model_alone_says(demo_room):
    """The plain model says 2.4 m/day after 35 s (this problem's own statement); groups say 34.4."""
    bound = sum(group.bound for group in group_bounds(demo_room, until=time.monotonic() + 60))
    assert 34.3 < bound < 43.2  # 43.2: the best plan in the problem's own statement


def test_three_other_plans_pass_and_have_a_machine_somewhere_else(demo_room, found):
    shown = [found.plan]
    assert len(found.alternatives) == 3
    for other in found.alternatives:
        assert judge(demo_room, other.plan).passes
        for plan in shown:
            assert max(_moved(demo_room, n, plan, other.plan) for n in plan.placements) >= ELSEWHERE_MM
        shown.append(other.plan)


def test_the_first_plan_comes_long_before_the_time_is_up(demo_room):
    began = time.monotonic()
    found = answer(demo_room, seconds=60, first=True)
    assert judge(demo_room, found.plan).passes
    assert time.monotonic() - began < 20  # 0.1 s on an idle machine; the target is 2 s


def test_one_machine_fixed_stays_where_it_was_put(demo_folder):
    outcome = place_room(demo_folder, fix={"SAW": (5900, 900, 90)}, first=True, seconds=60)
    assert outcome.plan.placements["SAW"] == Placement(x_mm=5900, y_mm=900, turned_deg=90)


def test_the_document_of_a_plan_is_passed_when_it_is_handed_back(demo_folder, tmp_path, capsys):
    outcome = place_room(demo_folder, first=True, seconds=60)
    show.document(outcome.document)
    (tmp_path / "plan.json").write_text(capsys.readouterr().out, encoding="utf-8")
    assert check_room(demo_folder, tmp_path / "plan.json").plan.placements == outcome.plan.placements


def _moved(question, name, one, other):
    a, b = (question.by_id[name].footprint(p.placements[name]).centre_twice for p in (one, other))
    return (abs(a[0] - b[0]) + abs(a[1] - b[1])) / 2
