"""The solver works in a process of its own: its end, or Ctrl-C, costs nothing that was found."""

import os
import random
import signal
import threading
from itertools import pairwise

import pytest

from flatstock.planning.problem.week import Site
from flatstock.planning.solve import cpsat, outside
from flatstock.planning.solve.cpsat import improve, new_model
from flatstock.planning.solve.search import search
from tests.planning.proof.tiny import person, tiny_kind, tiny_week


def long_search(seed=1, jobs=20, places=12):
    """A job shop that is not settled in a minute: its model, and the makespan to be shortened."""
    draw = random.Random(seed)
    model, stays = new_model(), {place: [] for place in range(places)}
    last = model.new_int_var(0, 100_000, "last")
    for job in range(jobs):
        ends = []
        for place in draw.sample(range(places), places):
            minutes = draw.randint(5, 99)
            start = model.new_int_var(0, 100_000, f"{job} {place}")
            stays[place].append(model.new_fixed_size_interval_var(start, minutes, f"{job} {place}"))
            ends.append((start, start + minutes))
        for (_, end), (start, _) in pairwise(ends):
            model.add(start >= end)
        model.add(last >= ends[-1][1])
    for spans in stays.values():
        model.add_no_overlap(spans)
    model.minimize(last)
    return model


def test_the_end_of_the_solvers_process_leaves_the_best_that_was_found():
    process = outside.helper()
    found = []

    def tell(values, value, bound):
        found.append(value)
        process.process.kill()
        return False

    answer = improve(long_search(), seconds=60, tell=tell)
    assert (answer.status, answer.value) == ("feasible", found[-1])
    assert answer.seconds < 50


def test_after_its_end_the_next_search_has_a_process_again():
    outside.helper().process.kill()
    week = tiny_week([(tiny_kind("dark"), 30)], end=30, people=[person("A", (0, 30)), person("B", (0, 30))])
    assert search(week, seconds=20).status == "optimal"


@pytest.mark.skipif(os.name == "nt", reason="Ctrl-C cannot be sent to oneself alone there")
def test_ctrl_c_leaves_the_best_that_was_found_and_the_process_for_the_next_search():
    # as at a terminal, whatever the tests before have left to catch it
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    try:
        _interrupted()
    finally:
        signal.signal(signal.SIGINT, before)


def _interrupted():
    process = outside.helper()

    def tell(values, value, bound):
        threading.Timer(0.2, lambda: os.kill(os.getpid(), signal.SIGINT)).start() if not found else None
        found.append(value)
        return False

    found = []
    answer = improve(long_search(), seconds=60, tell=tell)
    assert (answer.status, answer.value) == ("feasible", found[-1])
    assert answer.seconds < 50
    assert outside.helper() is process


def test_where_no_process_can_be_started_the_search_runs_in_this_one(monkeypatch):
    monkeypatch.setattr(cpsat, "helper", lambda: None)
    answer = improve(long_search(jobs=4, places=3), seconds=60)
    monkeypatch.undo()
    beside = improve(long_search(jobs=4, places=3), seconds=60)
    assert (answer.status, answer.value, answer.bound) == (beside.status, beside.value, beside.bound)
    assert answer.status == "optimal"


def test_a_repeatable_search_comes_to_the_same_plan_each_time():
    draw = random.Random(5)
    kinds = [tiny_kind(f"{n}", dwell=draw.randint(1, 9), cool=draw.randint(1, 9), whole=40, rest={"R1": draw.randint(1, 9)},
                       frames=("F1", "F2")) for n in range(8)]  # fmt: skip
    week = tiny_week(
        [(kind, draw.randint(20, 80)) for kind in kinds], end=150,
        people=[person("A", (0, 70), (74, 150)), person("B", (0, 150))],
        stays=[Site(id="R1", kind="rack", capacity=2)], frames=("F1", "F2"),
    )  # fmt: skip
    one, other = (search(week, seconds=1.0, repeatable=True) for _ in range(2))
    assert one.schedule == other.schedule
    assert [level.value for level in one.levels] == [level.value for level in other.levels]


def test_ctrl_c_between_two_searches_leaves_the_plan_that_was_found():
    def tell(*_):
        raise KeyboardInterrupt

    kind = tiny_kind("dark", rest={"R1": 2})
    week = tiny_week(
        [(kind, 11), (kind, 11)], end=20, people=[person("A", (0, 20)), person("B", (0, 20))],
        stays=[Site(id="R1", kind="rack", capacity=1)],
    )  # fmt: skip
    found = search(week, seconds=5, tell=tell)
    assert found.stopped
    assert found.schedule is not None
    assert found.status == "feasible"
