"""Events that stand: whatever the order, however often, corrections worked in."""

import random

from hypothesis import given
from hypothesis import strategies as st

from flatstock.running.standing import standing
from tests.running.morning import an_event, way_to


def test_the_order_in_which_events_come_changes_nothing():
    events = way_to("demoulded")
    shuffled = events[:]
    random.Random(3).shuffle(shuffled)
    assert standing(shuffled) == standing(events) == events


@given(st.lists(st.sampled_from(range(7)), min_size=7), st.randoms())
def test_events_told_twice_count_once(repeats, order):
    events = way_to("demoulded")
    told = events + [events[i] for i in repeats]
    order.shuffle(told)
    assert standing(told) == events


def test_an_undone_event_does_not_stand():
    events = way_to("loaded")
    undone = an_event("undone", "08:33:05", corrects=events[-1].id)
    assert standing([*events, undone]) == events[:-1]


def test_a_correction_takes_the_place_of_what_it_corrects_and_keeps_the_rest():
    events = way_to("loaded")
    correction = an_event(
        "corrected", "08:35", noted="08:50", who=(), corrects=events[-1].id, why="tapped late"
    )
    now = standing([*events, correction])[-1]
    assert (now.kind, now.place, now.who, now.at, now.id) == (
        "loaded", "HP1", ("OP1", "OP2"), correction.at, events[-1].id,
    )  # fmt: skip


def test_undoing_a_correction_brings_back_what_was_corrected():
    events = way_to("loaded")
    correction = an_event("corrected", "08:35", noted="08:50", corrects=events[-1].id, why="tapped late")
    undone = an_event("undone", "08:50:04", corrects=correction.id)
    assert standing([undone, correction, *events]) == events


def test_events_that_correct_each_other_in_a_ring_are_survived():
    ring = [
        an_event("corrected", "08:00", named="a", corrects="b", why="?"),
        an_event("corrected", "08:00", named="b", corrects="a", why="?"),
    ]
    assert standing([*way_to("loaded"), *ring]) == way_to("loaded")
