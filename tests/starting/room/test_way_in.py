"""The way of a machine on its skate from the door to its place."""

from itertools import pairwise

from flatstock.starting.room.check import caveats, judge
from flatstock.starting.room.document import question_document
from flatstock.starting.room.question import Column, Door, MoveIn
from flatstock.starting.room.rectangles import Rect
from flatstock.starting.room.skate import way_in
from tests.starting.room.making import ask, at, box, hall, stand

#: a corridor 1.3 m wide, 4 m long, into a room of 4 x 4 m; the door at the corridor's end
CORRIDOR = (
    (0, 0),
    (4000, 0),
    (4000, 1300),
    (8000, 1300),
    (8000, 2600),
    (4000, 2600),
    (4000, 4000),
    (0, 4000),
)
DOOR = Door(
    id="D1", x1_mm=8000, y1_mm=1300, x2_mm=8000, y2_mm=2600, clear_width_mm=1300, exit=True, goods=True
)


def press(length=1700, width=1200, **more):
    return box("HOT", length, width, move_in=MoveIn(door="D1"), height_mm=1900, **more)


def codes(question, plan):
    return {one.code for one in caveats(question, plan, judge(question, plan).ways)}


def test_it_slides_in_lengthwise_and_stands_against_the_far_wall():
    room = hall(CORRIDOR, (DOOR,))
    question = ask(press(), room=room)
    way = way_in(question, question.items[0], at(0, 0))
    assert way is not None
    assert way.path_mm[0] == (7150, 1900)  # half its length inside the door, 100 mm of spare width
    assert way.path_mm[-1] == (850, 600)
    assert way.turns_mm == ()
    long = sum(abs(x2 - x1) + abs(y2 - y1) for (x1, y1), (x2, y2) in pairwise(way.path_mm))
    assert long == 6300 + 1300


def test_it_turns_where_its_diagonal_is_free():
    room = hall(CORRIDOR, (DOOR,))
    question = ask(press(), room=room)
    way = way_in(question, question.items[0], at(0, 0, 90))
    assert way is not None
    ((x, y),) = way.turns_mm
    half = 2081 / 2  # the diagonal of 1.7 x 1.2 m is 2.0809 m
    assert half <= x <= 4000 - half
    assert half <= y <= 4000 - half


def test_a_corridor_of_exactly_its_width_lets_it_through_and_a_millimetre_less_does_not():
    room = hall(CORRIDOR, (DOOR,))
    assert way_in(ask(press(width=1300), room=room), press(width=1300), at(0, 0)) is not None
    assert way_in(ask(press(width=1301), room=room), press(width=1301), at(0, 0)) is None


def test_a_column_in_the_corridor_bars_it_and_is_a_warning_and_no_fault():
    barred = hall(CORRIDOR, (DOOR,), columns=(Column(id="C1", box=Rect(5000, 1300, 200, 200)),))
    question, plan = ask(press(), room=barred), stand(HOT=(0, 0))
    assert "way_in" in codes(question, plan)
    assert not [one for one in judge(question, plan).faults if one.rule == "way_in"]
    assert "way_in" not in codes(ask(press(), room=hall(CORRIDOR, (DOOR,))), plan)


def test_what_stands_there_already_bars_it_and_what_comes_later_does_not():
    room = hall(CORRIDOR, (DOOR,))
    later = ask(press(), box("SAW", 1000, 1000), room=room)
    assert way_in(later, later.items[0], at(0, 0)) is not None
    before = ask(press(), box("SAW", 1000, 1000, placed=at(4500, 1300)), room=room)
    assert way_in(before, before.items[0], at(0, 0)) is None


def test_a_door_in_the_lower_wall_is_come_in_by_too():
    door = Door(id="D1", x1_mm=1000, y1_mm=0, x2_mm=3000, y2_mm=0, clear_width_mm=2000, exit=True, goods=True)
    question = ask(press(), room=hall(doors=(door,)))
    way = way_in(question, question.items[0], at(6000, 4000))
    assert way is not None
    x, y = way.path_mm[0]
    assert y in (600, 850)  # lying across the door, or through it lengthwise
    assert x - (850 if y == 600 else 600) >= 1000
    assert x + (850 if y == 600 else 600) <= 3000


def test_the_way_stands_in_the_document():
    question = ask(press(), room=hall(CORRIDOR, (DOOR,)))
    (item,) = question_document(question, {"HOT": at(0, 0)})["items"]
    assert item["comes_in"]["path_mm"][-1] == [850, 600]
    assert item["comes_in"]["turns_mm"] == []
