"""Small weeks, late ones too, against trying everything: an enumerator that shares no line with the solver.

Sheets late, minutes late, sheets after closing, energy and minutes of changing must all come out the same, with
proof, and the plan must pass the judge. The enumerator names real people at every step, so it also shows that
counting hands by skill loses and gains nothing on these weeks.
"""

import random

import pytest

from flatstock.planning.check import judge
from flatstock.planning.problem.week import Site
from flatstock.planning.solve.search import search
from tests.planning.proof.enumeration import best_of
from tests.planning.proof.tiny import document_of, person, tiny_kind, tiny_week

RACK, STACK = (
    Site(id="R1", kind="rack", capacity=1),
    Site(id="ST1", kind="stack", capacity=2, more={"order": "last_in_first_out"}),
)


def drawn(seed, *, sheets, end):
    """A week drawn by its number: kinds, dues, who is there when, places, the saw and its amperes."""
    draw = random.Random(seed)
    stays = draw.choice([(), (RACK,), (STACK,), (RACK, STACK)])
    rest = {place.id: draw.randint(1, 3) for place in stays}
    presses = draw.choice([("HP1",)] * 5 + [("HP1", "HP2")])
    frames = draw.choice([("F1",), ("F1", "F2")])
    kinds = []
    for key in ("dark", "blue")[: draw.randint(1, 2)]:
        dwell, cool = draw.randint(1, 3), draw.randint(1, 2)
        kinds.append(
            tiny_kind(
                key, dwell=dwell, latest=draw.choice([None, dwell + 1]), cool=cool, whole=cool + draw.randint(1, 3),
                rest=rest, set_point=draw.choice([195.0, 210.0]), presses=presses, frames=frames,
            )
        )  # fmt: skip
    noon = draw.randint(8, end - 6)
    people = [
        person("A", (0, noon), (noon + draw.randint(0, 2), end)),
        person("B", (0, draw.randint(end - 4, end)), skills=("hot_transfer",)),
        *draw.choice(
            [[]] * 5 + [[person("C", (draw.randint(0, 6), end), skills=draw.choice([(), ("saw",)]))]]
        ),
    ]
    return tiny_week(
        [(draw.choice(kinds), draw.randint(8, end - 1)) for _ in range(sheets)],
        end=end, people=people, presses=presses, stays=stays, frames=frames,
        saw=draw.random() < 0.5, saw_while_hot=draw.random() < 0.5, closing=end - draw.randint(0, 3),
        clean={("dark", "blue"): 1, ("blue", "dark"): draw.randint(0, 2)}, heat_up=draw.randint(1, 2),
        condition=draw.choice([0, 0, 3]), lot=draw.choice([99.0, 99.0, 1.0]),
    )  # fmt: skip


def settled_as_enumerated(week):
    best = best_of(week)
    found = search(week, seconds=30)
    assert found.schedule is not None
    assert found.status == "optimal"
    assert tuple(level.value for level in found.levels) == best
    document = document_of(week, found)
    if document["left_out"]:
        document["proof"]["status"] = "impossible"
    assert judge(document) == []
    return best


@pytest.mark.parametrize("seed", [*range(1, 12), 15, 16])  # 12 and 13 take a minute
def test_two_sheets_come_out_as_by_trying_everything(seed):
    settled_as_enumerated(drawn(seed, sheets=2, end=19))


@pytest.mark.slow
@pytest.mark.parametrize("seed", [0, 2])  # 1 takes four times as long
def test_three_sheets_come_out_as_by_trying_everything(seed):
    settled_as_enumerated(drawn(100 + seed, sheets=3, end=17))


def test_sheets_and_minutes_that_cannot_all_be_kept_come_out_equally_late():
    # one frame, and both due when only one can be done
    kind = tiny_kind("dark", rest={"R1": 2})
    week = tiny_week(
        [(kind, 11), (kind, 11)], end=20, people=[person("A", (0, 20)), person("B", (0, 20))], stays=[RACK]
    )
    late_sheets, late_minutes, *_ = settled_as_enumerated(week)
    assert (late_sheets, late_minutes > 0) == (1, True)


def test_a_stack_that_must_be_taken_apart_from_the_top_comes_out_as_by_trying_everything():
    # the first one in is due first, and lies below
    slow, quick = (
        tiny_kind("dark", rest={"ST1": 4}, whole=12, frames=("F1", "F2")),
        tiny_kind("blue", rest={"ST1": 1}, whole=12, frames=("F1", "F2")),
    )
    people = [person("A", (0, 20)), person("B", (0, 20))]
    week = tiny_week([(slow, 14), (quick, 13)], end=20, people=people, stays=[STACK], frames=("F1", "F2"))
    settled_as_enumerated(week)
