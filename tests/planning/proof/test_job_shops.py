"""Published job shops, through the piece of the planner that puts moulds on places for one at a time.

A week's route is the same for every sheet, so a job shop with routes of its own is no week. Shared with the planner
are how a stay in a place is modelled and how a place for one at a time is shared out (`Ground.interval`, `share`),
and the search itself (`improve`: its settings, its hints, its bound). The precedence along a route is the test's own.

Instances and optima: [fisher_thompson_1963] FT06, 55; [lawrence_1984] LA01, 666. Both from memory; that the search
proves the published optimum of each is what says that they were remembered right.
"""

from itertools import pairwise

import pytest

from flatstock.planning.problem.week import Site
from flatstock.planning.solve.cpsat import improve, new_model
from flatstock.planning.solve.ground import Ground
from tests.planning.proof.tiny import person, tiny_week

#: a line a job: machine and minutes, in the order of its route
FT06 = """
2 1  0 3  1 6  3 7  5 3  4 6
1 8  2 5  4 10  5 10  0 10  3 4
2 5  3 4  5 8  0 9  1 1  4 7
1 5  0 5  2 5  3 3  4 8  5 9
2 9  1 3  4 5  5 4  0 3  3 1
1 3  3 3  5 9  0 10  4 4  2 1
"""
LA01 = """
1 21  0 53  4 95  3 55  2 34
0 21  3 52  4 16  2 26  1 71
3 39  4 98  1 42  2 31  0 12
1 77  0 55  4 79  2 66  3 77
0 83  3 34  2 64  1 19  4 37
1 54  2 43  4 79  0 92  3 62
3 69  4 77  1 87  2 87  0 93
2 38  0 60  1 41  3 24  4 83
3 17  1 49  4 25  0 44  2 98
4 77  3 79  2 43  1 75  0 96
"""


def shortest(text):
    """The shortest makespan found, and its bound."""
    jobs = [[int(word) for word in line.split()] for line in text.strip().splitlines()]
    routes = [list(zip(words[::2], words[1::2], strict=True)) for words in jobs]
    longest = sum(minutes for route in routes for _, minutes in route)
    week = tiny_week([], end=longest, people=[person("A", (0, longest))])
    model, stays = new_model(), {}
    floor = Ground(model, week, ())
    last = model.new_int_var(0, longest, "last")
    for job, route in enumerate(routes):
        ends = []
        for place, minutes in route:
            start = model.new_int_var(0, longest, f"{job} on {place}")
            ends.append((start, start + minutes))
            stays.setdefault(place, []).append(
                floor.interval(start, start + minutes, True, f"{job} on {place}")
            )
        for (_, end), (start, _) in pairwise(ends):
            model.add(start >= end)
        model.add(last >= ends[-1][1])
    for place, spans in stays.items():
        floor.share(spans, [False] * len(spans), [Site(id=f"{place}", kind="cooling_press")])
    model.minimize(last)
    answer = improve(model, seconds=60)
    return answer.value, answer.bound


@pytest.mark.parametrize(("text", "optimum"), [(FT06, 55), (LA01, 666)], ids=["FT06", "LA01"])
def test_a_published_job_shop_comes_out_at_its_known_optimum_with_proof(text, optimum):
    assert shortest(text) == (optimum, optimum)
