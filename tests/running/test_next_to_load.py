"""What a hot press with nothing in it gets next."""

from dataclasses import replace

from tests.running.morning import a_plan, an_event, way_to


def gets(floor):
    (press,) = [place for place in floor.places if place.kind == "hot_press"]
    return None if press.load is None else press.load.sheet


def test_an_empty_press_gets_the_first_sheet_that_is_planned_for_it(the_floor):
    floor = the_floor(way_to("prepared"), "08:31")
    assert gets(floor) == "S-1"
    (press,) = [place for place in floor.places if place.load]
    assert (press.load.next.kind, press.load.next.people, press.load.presses) == ("loaded", 2, ("HP1",))


def test_a_press_with_a_mould_in_it_and_one_that_cools_get_none(the_floor):
    assert gets(the_floor(way_to("loaded"), "08:40")) is None
    cooling = the_floor(way_to("transferred"), "09:05")
    assert [place.id for place in cooling.places if place.load] == ["HP1"]
    assert gets(cooling) == "S-2"


def test_a_sheet_of_a_lot_that_is_held_lets_the_next_one_pass(the_floor, shop):
    lots, plan = dict(shop.lots), a_plan()
    held = next(lot for lot in lots if lot != "L-2301")
    lots[held] = replace(lots[held], status="blocked")
    first, second = plan["sheets"]
    mixed = {**plan, "sheets": [{**first, "lots": [{"lot": held, "mass_kg": 11.74}]}, second]}
    floor = the_floor([], "08:00", plan=mixed, of=replace(shop, lots=lots))
    assert [one.sheet for one in floor.to_do if one.blocked] == ["S-1"]
    assert gets(floor) == "S-2"


def test_beside_a_held_lot_the_free_ones_of_the_same_charge_are_not_offered(the_floor, shop):
    lots, plan = dict(shop.lots), a_plan()
    held = next(lot for lot in lots if lot != "L-2301")
    lots[held] = replace(lots[held], status="blocked")
    first, second = plan["sheets"]
    of = [{"lot": "L-2301", "mass_kg": 10.74}, {"lot": held, "mass_kg": 1.0}]
    mixed = {**plan, "sheets": [{**first, "lots": of}, second]}
    steps = {
        one.sheet: one.next for one in the_floor([], "08:00", plan=mixed, of=replace(shop, lots=lots)).to_do
    }
    assert steps["S-1"].facts["lot"] == "L-2301"
    assert not steps["S-1"].permitted
    assert all(f"lot {held}" in fault.sentence() for fault in steps["S-1"].why_not)
    assert steps["S-2"].permitted


def test_what_is_to_be_weighed_today_is_shown_though_it_is_loaded_days_later(the_floor):
    plan = a_plan()
    later = [
        {
            **task,
            "start": task["start"].replace("03-02", "03-05"),
            "end": task["end"].replace("03-02", "03-05"),
        }
        if task["sheet"] == "S-2" and task["step"] not in ("weigh", "prepare")
        else task
        for task in plan["tasks"]
    ]
    floor = the_floor([], "08:20", plan={**plan, "tasks": later})
    assert [(one.sheet, one.next.kind) for one in floor.to_do] == [("S-1", "weighed"), ("S-2", "weighed")]
    days = [{**task, "start": task["start"].replace("03-02", "03-05")} for task in plan["tasks"]]
    assert the_floor([], "08:20", plan={**plan, "tasks": days}).to_do == ()


def test_in_danger_a_press_is_offered_nothing(the_floor):
    smoke = an_event("smoke", "08:31", who=())
    assert gets(the_floor([*way_to("prepared"), smoke], "08:32")) is None
