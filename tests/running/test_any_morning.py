"""Any row of live taps: what is let in never leaves the floor in a state that a rule forbids."""

from datetime import timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from flatstock.running.event import Event
from tests.running.morning import way_to

BOTH = ("OP1", "OP2")
PEOPLE = st.sampled_from([BOTH, BOTH, BOTH, ("OP1",), ("OP1", "OP1"), ("OP2", "OP4"), ("V1", "OP1"), ()])
FITTING = {
    "heating_on": "HP1",
    "heating_off": "HP1",
    "platen_read": "HP1",
    "loaded": "HP1",
    "transferred": "CP1",
}


def a_tap(kind):
    """Mostly where it belongs."""
    there = [FITTING.get(kind)] * 4 if kind != "moved" else ["ST1", "R1"] * 2
    places = st.sampled_from([*there, None, "HP1", "CP1", "ST1", "LT1"])
    return st.tuples(st.integers(0, 40), st.just(kind), st.sampled_from(["S-1", "S-2"]), places, PEOPLE)


WAY = ["heating_on", "weighed", "prepared", "loaded", "transferred", "moved", "demoulded"]
BESIDES = ["heating_off", "power_cut", "power_back", "platen_read", "left", "arrived"]
TAPS = st.sampled_from(WAY * 3 + BESIDES).flatmap(a_tap)
FACTS = {
    "weighed": {"lot": "L-2301", "mass_kg": 11.74},
    "prepared": {"frame": "F12-1", "skins": "S01-02"},
    "platen_read": {"temperature_C": 180.0},
}
SHEETLESS = {"heating_on", "heating_off", "power_cut", "power_back", "platen_read", "left", "arrived"}


BEGUN = st.sampled_from(WAY).map(way_to)


def morning_of(begun, taps, tap):
    """A morning as far as it has come, and the taps after it that are let in, one after the other."""
    kept, clock = list(begun), begun[-1].at
    for n, (minutes, kind, sheet, place, who) in enumerate(taps):
        clock += timedelta(minutes=minutes)
        event = Event(id=f"e{n}", at=clock, noted_at=clock, kind=kind, who=tuple(who), place=place,
                      sheet=None if kind in SHEETLESS else sheet, facts=FACTS.get(kind, {}))  # fmt: skip
        if tap(event, kept).keep:
            kept.append(event)
    return kept


@settings(max_examples=60, deadline=None)
@given(BEGUN, st.lists(TAPS, max_size=20))
def test_live_taps_that_are_let_in_leave_nothing_to_ask(tap, how_it_stands, begun, taps):
    kept = morning_of(begun, taps, tap)
    now = how_it_stands(kept, "23:59")
    assert now.questions == ()
    for place, most in (("HP1", 1), ("CP1", 1), ("R1", 4), ("ST1", 8)):
        assert len(now.inside(place)) <= most
    frames = [t.frame for t in now.tracks.values() if t.frame and t.stage in ("prepared", "hot", "cooling")]
    assert len(frames) == len(set(frames))


def test_a_mould_that_stands_in_a_place_is_not_moved_there_again(tap):
    begun = way_to("moved")
    kept = morning_of(begun, [(1, "moved", "S-1", begun[-1].place, BOTH)], tap)
    assert kept == list(begun)


@settings(max_examples=60, deadline=None)
@given(BEGUN, st.lists(TAPS, max_size=20))
def test_hot_moulds_that_are_let_in_were_moved_by_two_with_the_skill(tap, begun, taps):
    for event in morning_of(begun, taps, tap):
        if event.kind in ("loaded", "transferred"):
            assert set(event.who) == {"OP1", "OP2"}


@settings(max_examples=40, deadline=None)
@given(BEGUN, st.lists(TAPS, max_size=20), st.integers(0, 16 * 60))
def test_no_row_of_taps_makes_the_floor_fall_over(tap, the_floor, begun, taps, minute):
    kept = morning_of(begun, taps, tap)
    floor = the_floor(kept, f"{7 + minute // 60:02}:{minute % 60:02}")
    assert all(mould.sentence for place in floor.places for mould in place.moulds)
