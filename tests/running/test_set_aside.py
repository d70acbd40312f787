"""A mould that lies prepared when a lot of its charge is held: it is emptied, and no route loads it."""

from dataclasses import replace

import pytest

from flatstock.running.done import done_rows
from tests.running.morning import a_plan, an_event, at, way_to

EMPTIED = an_event("set_aside", "08:32", sheet="S-1", who=("OP2",), why="its lot is held")


@pytest.fixture
def held(shop):
    return replace(shop, lots={**shop.lots, "L-2301": replace(shop.lots["L-2301"], status="quarantine")})


def first(floor):
    return floor.to_do[0]


def test_the_next_action_is_to_take_the_charge_out_with_who_and_why(the_floor, held):
    one = first(the_floor(way_to("prepared"), "08:31", of=held))
    assert (one.sheet, one.next.kind, one.next.people, one.next.permitted) == ("S-1", "set_aside", 1, True)
    assert one.blocked.startswith("lot L-2301 is held in quarantine")


def test_no_route_loads_it_before_or_after(tap, held):
    load = an_event("loaded", "08:33", sheet="S-1", place="HP1")
    for before in (way_to("prepared"), [*way_to("prepared"), EMPTIED]):
        refused = tap(load, before, of=held)
        assert refused.outcome == "refused"
        assert "L-2301 is held in quarantine" in " ".join(fault.what for fault in refused.faults)


def test_it_says_why_and_is_told_where_the_charge_goes(tap, held):
    assert tap(replace(EMPTIED, why=None), way_to("prepared"), of=held).outcome == "refused"
    answer = tap(EMPTIED, way_to("prepared"), of=held)
    assert answer.say == ("into a closed bin marked S-1, L-2301, set aside: none of it goes back to a lot",)
    assert tap(EMPTIED, way_to("loaded")[:-2], of=held).outcome == "refused"  # nothing lies in a mould yet


def test_frame_and_skins_are_free_then_and_the_charge_is_shown_as_lying_apart(the_floor, tap, held):
    floor = the_floor([*way_to("prepared"), EMPTIED], "08:35", of=held)
    assert [(one.sheet, one.mass) for one in floor.apart] == [("S-1", 11.74)]
    mould = {"frame": "F12-1", "skins": "S01-02"}
    other = an_event("prepared", "08:36", sheet="S-2", who=("OP2",), facts=mould)
    told = tap(other, [*way_to("prepared"), EMPTIED], of=held)
    assert not any("still round" in fault.what for fault in told.faults)


def test_taken_back_within_ten_seconds_it_lies_in_its_mould_as_before(the_floor, held):
    undone = an_event("undone", "08:32:05", sheet="S-1", corrects=EMPTIED.id)
    floor = the_floor([*way_to("prepared"), EMPTIED, undone], "08:33", of=held)
    assert (first(floor).next.kind, floor.apart) == ("set_aside", ())


def test_released_it_is_prepared_anew_and_the_plan_knows_nothing_of_the_first_time(the_floor, shop):
    events = [*way_to("prepared"), EMPTIED]
    assert first(the_floor(events, "08:35")).next.kind == "prepared"
    rows = done_rows(events, shop.practice, now=at("08:35"))
    assert [row.step for row in rows if row.sheet == "S-1"] == ["weigh"]


def test_a_plan_that_leaves_its_charge_apart_still_has_its_mould_emptied(the_floor, held):
    plan = a_plan()
    sheet, other = plan["sheets"]
    aside = {**sheet, "sheet": sheet["id"], "because": "lot L-2301 is held", "do": [], "tasks": []}
    tasks = [task for task in plan["tasks"] if task["sheet"] != "S-1"]
    after = {**plan, "sheets": [other], "tasks": tasks, "set_aside": [aside]}
    one = first(the_floor(way_to("prepared"), "08:31", of=held, plan=after))
    assert (one.sheet, one.next.kind, one.blocked) == ("S-1", "set_aside", "lot L-2301 is held")
    assert first(the_floor([], "08:31", of=held, plan=after)).sheet == "S-2"
