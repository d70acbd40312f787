"""The two-machine flow shop, through the planner's own model and search, against Johnson's rule.

A hot press is the first machine (load, dwell, transfer), a rack for one mould the second (move and rest). As many
cooling presses as there are moulds lie between them as room to wait in; nothing else is short. Every sheet is due at
the same minute: Johnson's shortest makespan can be kept by all, and with proof no minute less can.

[johnson_1954], from memory: job i before job j where min(a_i, b_j) <= min(a_j, b_i).
"""

import random
from itertools import permutations

import pytest

from flatstock.planning.problem.week import Site
from flatstock.planning.solve.search import search
from tests.planning.proof.tiny import person, tiny_kind, tiny_week

LATE = 400  #: minutes, more than any of these takes
BEFORE = 2  #: weigh and prepare the first mould, while the heaters warm up


def makespan(jobs):
    """Of jobs (minutes on the first machine, minutes on the second) in this order."""
    first = second = 0
    for a, b in jobs:
        first += a
        second = max(second, first) + b
    return second


def johnsons(jobs):
    """Johnson's order: what is short at first goes first, what is short at last goes last."""
    quick = sorted((job for job in jobs if job[0] <= job[1]), key=lambda job: job[0])
    return quick + sorted((job for job in jobs if job[0] > job[1]), key=lambda job: -job[1])


def flow_shop(jobs, *, due):
    """The week in which every job's sheet is due at this minute after the first one is loaded."""
    coolers = [f"CP{n}" for n in range(len(jobs))]
    moulds = [f"{n}" for n in range(len(jobs))]
    kinds = [
        tiny_kind(
            f"job {n}", dwell=a - 2, cool=0, whole=LATE, rest={"R1": b - 1}, coolers=coolers, frames=moulds, skins=moulds
        )
        for n, (a, b) in enumerate(jobs)
    ]  # fmt: skip
    return tiny_week(
        # a mould is opened in one minute, once it has left the rack
        [(kind, BEFORE + due + 1) for kind in kinds],
        end=LATE, people=[person(f"P{n}", (0, LATE)) for n in range(3 * len(jobs))], coolers=coolers,
        stays=[Site(id="R1", kind="rack")], frames=moulds, skins=moulds, benches=2 * len(jobs),
    )  # fmt: skip


def drawn(seed):
    draw = random.Random(seed)
    return [(draw.randint(3, 12), draw.randint(2, 12)) for _ in range(draw.randint(2, 5))]


def late_sheets(jobs, due):
    found = search(flow_shop(jobs, due=due), seconds=60, levels=1)
    assert found.levels[0].bound == found.levels[0].value  # proven
    return found.levels[0].value


@pytest.mark.parametrize("seed", range(200))
def test_johnsons_order_is_the_shortest_of_all_orders(seed):
    jobs = drawn(seed)
    assert makespan(johnsons(jobs)) == min(makespan(order) for order in permutations(jobs))


@pytest.mark.parametrize("seed", range(25))
def test_the_planner_keeps_johnsons_makespan_and_proves_that_no_minute_less_can_be_kept(seed):
    jobs = drawn(seed)
    shortest = makespan(johnsons(jobs))
    assert late_sheets(jobs, shortest) == 0
    assert late_sheets(jobs, shortest - 1) >= 1
