"""Lines set down as one: each way in which a row stands keeps the line's rules wherever all of it fits."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from flatstock.starting.room.check import judge
from flatstock.starting.room.plan import Plan
from flatstock.starting.room.question import InLine, Placement
from flatstock.starting.room.solve.rows import places, rows_of
from flatstock.starting.room.solve.search import Searcher
from flatstock.starting.room.solve.spots import Spots
from flatstock.starting.room.solve.walks import Walks
from tests.starting.room.making import ask, box, work

LINE = InLine(
    a="A", b="B", side_a="right", side_b="left", gap_min_mm=900, gap_max_mm=1700, offset_max_mm=100, via="T"
)
SIDES = st.integers(min_value=60, max_value=150).map(lambda n: 10 * n)


def three(a=(1700, 1300), b=(1700, 1300), table=(800, 1000), grid=100, **more):
    items = (box("A", *a, zones=[work(depth=900)]), box("B", *b), box("T", *table))
    return ask(*items, in_line=(LINE,), grid=grid, **more)


def some_places(question, rows):
    spots = Spots(question)
    free = {(name, shape.turn): flags for name in question.by_id for shape, flags in spots.free(name, {})}
    for row in rows[::11]:
        xs, ys = places(row, free, question.grid_mm)
        for i, j in list(zip(xs.tolist(), ys.tolist(), strict=True))[:: max(1, len(xs) // 3)]:
            x, y = int(spots.xs[i]), int(spots.ys[j])
            yield {
                name: Placement(x_mm=x + at.x_mm, y_mm=y + at.y_mm, turned_deg=at.turned_deg)
                for name, at in row.items()
            }


@settings(max_examples=8, deadline=None)
@given(a=st.tuples(SIDES, SIDES), b=st.tuples(SIDES, SIDES), table=st.tuples(SIDES, SIDES))
def test_a_row_breaks_no_rule_of_boxes_and_lines_wherever_it_fits(a, b, table):
    question = three(a, b, table)
    for rows in rows_of(question, Spots(question)):
        for where in some_places(question, rows):
            rules = {fault.rule for fault in judge(question, Plan(placements=where)).faults}
            assert not rules & {"inside", "overlap", "in_line", "zone_inside", "zone_free"}


def test_a_table_may_stand_at_either_end_of_its_gap():
    question = three()
    rows = rows_of(question, Spots(question))[0]
    starts = {
        row["T"].x_mm
        for row in rows
        if row["A"].turned_deg == 0 and row["B"] == Placement(x_mm=1700 + 1600, y_mm=0)
        if row["T"].turned_deg == 0
    }
    assert starts == {1700, 2100, 2500}


def test_things_of_two_lines_make_no_row():
    other = InLine(
        a="B", b="C", side_a="right", side_b="left", gap_min_mm=0, gap_max_mm=900, offset_max_mm=100
    )
    question = ask(box("A"), box("B"), box("C"), box("T"), in_line=(LINE, other), grid=100)
    assert rows_of(question, Spots(question)) == []


def test_a_line_and_a_thing_nearly_as_long_as_the_room_both_find_a_place():
    items = (*three().items, box("LONG", 5200, 1000))
    question = ask(*items, in_line=(LINE,), grid=100)
    found = []
    searcher = Searcher(question, Spots(question), Walks(question))
    searcher.run(float("inf"), judged=lambda one: found.append(one) or 0.0, stop=lambda: bool(found))
    assert set(found[0].where) == {"A", "B", "T", "LONG"}
    assert judge(question, Plan(placements=found[0].where)).passes
