"""What is taken out of its mould in which order."""

from flatstock.actions.demould_list import demould_list
from tests.running.morning import an_event, way_to

SECOND = [
    an_event("weighed", "09:03", sheet="S-2", who=("OP2",), facts={"lot": "L-2301", "mass_kg": 11.74}),
    an_event("prepared", "09:06", sheet="S-2", who=("OP2",), facts={"frame": "F12-2", "skins": "S03-04"}),
    an_event("loaded", "09:32", sheet="S-2", place="HP1"),
    an_event("transferred", "10:02", sheet="S-2", place="CP1"),
    an_event("moved", "10:30", sheet="S-2", place="ST1", facts={"lift": "LT1"}),
]


def rows(the_floor, clock):
    return demould_list(the_floor([*way_to("moved"), *SECOND], clock))


def test_what_lies_under_another_follows_it_however_long_it_has_been_cool(the_floor):
    upper, lower = rows(the_floor, "13:45")
    assert (upper.mould.sheet, lower.mould.sheet, lower.on_top) == ("S-2", "S-1", ("S-2",))
    assert not upper.cool
    assert lower.cool, "its own wait is over"
    assert not lower.ready, "what stands on it is in the way"


def test_when_the_upper_one_is_ready_too_it_alone_may_be_taken(the_floor):
    assert [(one.mould.sheet, one.ready, one.cool) for one in rows(the_floor, "15:00")] == [
        ("S-2", True, True),
        ("S-1", False, True),
    ]
