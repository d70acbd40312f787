"""Frames while one is out of order, or holds a charge that is given up, and another is under way."""

from dataclasses import replace

from flatstock.planning.problem.clock import Span
from flatstock.planning.problem.week import Done, Work
from flatstock.planning.solve.search import search
from tests.planning.proof.tiny import person, tiny_kind, tiny_week

BACK = 40  #: when the other frame is there again


def test_a_sheet_waits_for_the_frame_that_is_under_way_while_the_other_one_is_away():
    """What had begun and what is out of order were counted one at a time, each beside what is still to come: the plan
    had three moulds for two frames, and there was none to name."""
    kind = tiny_kind("dark", frames=("F1", "F2"))
    week = tiny_week(
        [(kind, 60)] * 2,
        end=60,
        people=[person(name, (0, 60)) for name in "ABC"],
        frames=("F1", "F2"),
        benches=2,
    )
    first, second = week.sheets
    works = (Work(step="weigh", start=0, end=1, places=("SCALE",), people=("A",)),
             Work(step="prepare", start=1, end=2, places=("BENCH",), people=("A",)))  # fmt: skip
    first = replace(first, done=Done(works=works, frame="F1", skins="S1", figures={}))
    week = replace(week, now=5, sheets=(first, second), absent={"F2": (Span(0, BACK),)})
    runs = search(week, seconds=20).schedule.runs
    assert runs["02"].prepare >= min(BACK, runs["01"].demould + week.times.demould)
