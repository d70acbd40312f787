"""Faults planted in the steps of a sheet and in their times."""

from __future__ import annotations

from tests.planning.planting import drop, shift
from tests.planning.small_week import at, settled, sheet, task

__all__ = ["PLANTED"]


def no_weighing(plan):
    drop(plan, "A-weigh")


def never_demoulded(plan):
    drop(plan, "B-demould", "B-trim")
    settled(plan)


def weighed_twice(plan):
    plan["tasks"].append(
        {**task(plan, "A-weigh"), "id": "A-weigh-2", "start": at(1, "07:15"), "end": at(1, "07:18")}
    )
    settled(plan)


def prepared_before_weighed(plan):
    one = task(plan, "A-weigh")
    one["start"], one["end"] = at(1, "07:46"), at(1, "07:50")
    settled(plan)


def prepared_while_weighed(plan):
    task(plan, "A-weigh")["end"] = at(1, "07:22")
    task(plan, "A-weigh")["people"] = ["BO"]


def carried_by_nobody(plan):
    drop(plan, "C-move")
    shift(task(plan, "C-rack"), -3, "start")
    settled(plan)


def a_move_that_leads_nowhere(plan):
    drop(plan, "C-rack")
    shift(task(plan, "C-demould"), -38, "start", "end")
    settled(plan)


def a_late_dwell(plan):
    shift(task(plan, "A-dwell"), 1, "start", "end")
    shift(task(plan, "A-transfer"), 1, "start", "end")
    shift(task(plan, "A-press_cool"), 1, "start")
    sheet(plan, "A")["press_cool_min"] = 18
    settled(plan)


def a_pause_before_press_cool(plan):
    shift(task(plan, "B-press_cool"), 1, "start")
    settled(plan)


def a_stack_left_too_soon(plan):
    shift(task(plan, "B-stack"), -10, "end")
    settled(plan)


def a_dwell_that_ends_too_soon(plan):
    shift(task(plan, "A-dwell"), -1, "end")


def a_mould_put_down_between(plan):
    shift(task(plan, "C-rack"), 4, "start")
    settled(plan)


def a_mould_left_behind(plan):
    drop(plan, "A-demould", "A-trim", "A-condition")
    settled(plan)


def a_plan_under_the_least_dwell(plan):
    sheet(plan, "A")["dwell_planned_min"] = 20


def a_plan_over_the_latest_dwell(plan):
    sheet(plan, "C")["dwell_latest_min"] = 12.5
    sheet(plan, "C")["dwell_planned_min"] = 14
    sheet(plan, "C")["dwell_min"] = 14


def raw(plan):
    sheet(plan, "A").update(dwell_min=28.5, dwell_planned_min=28.5)


def under_the_advised_dwell(plan):
    sheet(plan, "A")["dwell_planned_min"] = 28.5


def scorched(plan):
    sheet(plan, "D").update(dwell_latest_min=13)


def opened_hot(plan):
    sheet(plan, "D")["press_cool_min"] = 10.5


#: fault, the rule that finds it, and those that rightly find it too
PLANTED = [
    (no_weighing, "compulsory", set()),
    (never_demoulded, "compulsory", {"nowhere"}),
    (weighed_twice, "once", set()),
    (prepared_before_weighed, "order", set()),
    (prepared_while_weighed, "overlap", set()),
    (carried_by_nobody, "moved_in", {"touched"}),
    (a_move_that_leads_nowhere, "moved_in", set()),
    (a_late_dwell, "dwell_after_load", set()),
    (a_pause_before_press_cool, "cool_after_transfer", set()),
    (a_stack_left_too_soon, "leaves_as_it_ends", set()),
    (a_dwell_that_ends_too_soon, "leaves_as_it_ends", set()),
    (a_mould_put_down_between, "nowhere", set()),
    (a_mould_left_behind, "nowhere", {"compulsory"}),
    (a_plan_under_the_least_dwell, "dwell_figures", set()),
    (a_plan_over_the_latest_dwell, "dwell_figures", {"dwell_long"}),
    (raw, "dwell_short", set()),
    (under_the_advised_dwell, "dwell_advised", set()),
    (scorched, "dwell_long", set()),
    (opened_hot, "press_cool_short", set()),
]
