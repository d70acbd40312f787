"""Faults planted in places, mould sets and people."""

from __future__ import annotations

from tests.planning.planting import shift
from tests.planning.small_week import at, resource, settled, sheet, task

__all__ = ["PLANTED"]


def no_scale(plan):
    task(plan, "A-weigh")["places"] = ["BENCH2"]


def demoulded_on_the_saw(plan):
    task(plan, "B-demould")["places"] = ["SAW"]


def in_two_places(plan):
    task(plan, "C-rack")["places"] = ["R1", "CP2"]


def a_transfer_that_leaves_out_where_it_ends(plan):
    task(plan, "B-transfer")["places"] = ["HP2"]


def a_move_from_elsewhere(plan):
    task(plan, "C-move")["places"] = ["CP2", "R1"]


def a_load_from_another_bench(plan):
    task(plan, "B-load")["places"] = ["BENCH1", "HP2"]


def a_full_stack(plan):
    resource(plan, "ST1")["capacity"] = 1


def a_cooling_press_with_two(plan):
    for name in ("B-transfer", "B-press_cool", "B-move"):
        task(plan, name)["places"] = [p.replace("CP2", "CP1") for p in task(plan, name)["places"]]


def a_bench_that_holds_two(plan):
    for name in ("A-prepare", "A-load"):
        task(plan, name)["places"] = [p.replace("BENCH1", "BENCH2") for p in task(plan, name)["places"]]


def too_heavy_for_the_stack(plan):
    resource(plan, "ST1")["load_max_kg"] = 130


def too_heavy_for_the_lift(plan):
    resource(plan, "LIFT")["load_max_kg"] = 60


def taken_from_under(plan):
    shift(task(plan, "A-stack"), -16, "end")
    shift(task(plan, "A-demould"), -16, "start", "end")
    task(plan, "A-demould")["people"] = ["ADA"]
    settled(plan)


def both_leave_at_once(plan):
    shift(task(plan, "A-stack"), -10, "end")
    shift(task(plan, "A-demould"), -10, "start", "end")
    task(plan, "A-demould")["places"] = ["BENCH2"]
    settled(plan)


def both_come_at_once(plan):
    shift(task(plan, "A-press_cool"), 18, "end")
    shift(task(plan, "A-move"), 18, "start", "end")
    shift(task(plan, "A-stack"), 18, "start")
    task(plan, "A-move")["people"] = ["ADA"]
    settled(plan)


def one_frame_in_two_moulds(plan):
    sheet(plan, "B")["frame"] = "F12-1"


def one_pair_of_skins_in_two_moulds(plan):
    sheet(plan, "B")["skins"] = "S-1"


def a_frame_too_thick(plan):
    resource(plan, "F12-2")["thickness_mm"] = 12.2


def a_frame_too_thin(plan):
    resource(plan, "F12-2")["thickness_mm"] = 11.2


def weighed_by_nobody(plan):
    task(plan, "A-weigh")["people"] = []


def two_things_at_once(plan):
    task(plan, "A-prepare").update(start=at(1, "07:41"), end=at(1, "07:46"))
    settled(plan)


def worked_at_lunch(plan):
    task(plan, "C-trim").update(start=at(1, "12:10"), end=at(1, "12:18"))
    settled(plan)


def alone_at_the_hot_press(plan):
    task(plan, "A-load")["people"] = ["ADA"]


def with_somebody_untrained(plan):
    task(plan, "B-transfer")["people"] = ["ADA", "CY"]


def the_same_person_twice(plan):
    task(plan, "A-transfer")["people"] = ["BO", "BO"]


def sawn_by_somebody_untrained(plan):
    task(plan, "A-trim")["people"] = ["BO"]


def carried_alone(plan):
    task(plan, "C-move")["people"] = ["BO"]


def demoulded_alone(plan):
    task(plan, "C-demould")["people"] = ["ADA"]


def nobody_at_the_heaters(plan):
    for name in ("ADA", "BO"):
        resource(plan, name)["present"].insert(1, {"start": at(1, "10:18"), "end": at(1, "12:00")})
        resource(plan, name)["present"][0]["end"] = at(1, "10:17")


#: fault, the rule that finds it, and those that rightly find it too
PLANTED = [
    (no_scale, "places", set()),
    (demoulded_on_the_saw, "places", set()),
    (in_two_places, "places", {"touched"}),
    (a_transfer_that_leaves_out_where_it_ends, "touched", {"places"}),
    (a_move_from_elsewhere, "touched", set()),
    (a_load_from_another_bench, "touched", set()),
    (a_full_stack, "capacity", set()),
    (a_cooling_press_with_two, "capacity", set()),
    (a_bench_that_holds_two, "bench_kept", set()),
    (too_heavy_for_the_stack, "mass", set()),
    (too_heavy_for_the_lift, "mass", set()),
    (taken_from_under, "last_in_first_out", set()),
    (both_leave_at_once, "last_in_first_out", {"one_thing", "lifting"}),
    (both_come_at_once, "stacked_at_once", set()),
    (one_frame_in_two_moulds, "frame_shared", set()),
    (one_pair_of_skins_in_two_moulds, "skins_shared", set()),
    (a_frame_too_thick, "frame_fit", set()),
    (a_frame_too_thin, "frame_fit", set()),
    (weighed_by_nobody, "hands", set()),
    (two_things_at_once, "one_thing", set()),
    (worked_at_lunch, "present", set()),
    (alone_at_the_hot_press, "two_people", set()),
    (with_somebody_untrained, "two_people", set()),
    (the_same_person_twice, "two_people", {"unique"}),
    (sawn_by_somebody_untrained, "saw_skill", set()),
    (carried_alone, "lifting", set()),
    (demoulded_alone, "lifting", set()),
    (nobody_at_the_heaters, "unattended", set()),
]
