"""Faults planted in the document itself, in its material and in what it promises."""

from __future__ import annotations

from tests.planning.small_week import at, resource, setting, settled, sheet, task

__all__ = ["PLANTED"]


def a_clock_without_offset(plan):
    plan["tasks"][3]["start"] = "2026-03-02T08:03:00"


def a_field_left_out(plan):
    del sheet(plan, "A")["dwell_latest_min"]


def a_number_as_text(plan):
    sheet(plan, "A")["charge_kg"] = "11.74"


def a_stack_without_its_order(plan):
    del resource(plan, "ST1")["order"]


def no_lots_at_all(plan):
    sheet(plan, "A")["lots"] = None


def two_tasks_of_one_id(plan):
    task(plan, "B-weigh")["id"] = "A-weigh"


def one_person_listed_twice(plan):
    task(plan, "B-move")["people"] = ["BO", "CY", "CY"]


def a_sheet_of_no_list(plan):
    plan["rehearsal"]["sheets"].append({**plan["rehearsal"]["sheets"][0], "sheet": "E"})


def a_place_of_no_list(plan):
    task(plan, "C-dry")["places"] = ["DR1", "DR9"]


def a_stranger(plan):
    task(plan, "A-prepare")["people"] = ["CY", "DI"]


def a_lot_of_no_list(plan):
    sheet(plan, "A")["lots"][0]["lot"] = "L-0"


def a_setting_of_a_cooling_press(plan):
    plan["settings"].append({**setting(plan, "HP2", "off"), "place": "CP1"})
    settled(plan)


def tasks_out_of_order(plan):
    plan["tasks"][0], plan["tasks"][5] = plan["tasks"][5], plan["tasks"][0]


def sheets_out_of_order(plan):
    plan["sheets"].reverse()


def power_out_of_order(plan):
    plan["power"][1], plan["power"][2] = plan["power"][2], plan["power"][1]


def a_task_of_no_time(plan):
    task(plan, "A-weigh")["end"] = task(plan, "A-weigh")["start"]


def a_setting_of_no_time(plan):
    one = {**setting(plan, "HP1", "clean")}
    one["end"] = one["start"]
    plan["settings"].append(one)
    settled(plan)


def a_charge_that_does_not_add_up(plan):
    sheet(plan, "A")["lots"][1]["mass_kg"] = 0.8


def from_quarantine(plan):
    sheet(plan, "A")["lots"][1]["lot"] = "L-4"


def more_than_there_is(plan):
    plan["lots"][2]["mass_kg"] = 11.19


def ready_too_soon(plan):
    one = sheet(plan, "A")
    one["ready"] = at(2, "19:08")


def sold_at_the_press(plan):
    task(plan, "A-condition")["end"] = at(2, "14:08")


def lateness_hidden(plan):
    sheet(plan, "D")["late_min"] = 0
    plan["late"] = []


def lateness_counted_on(plan):
    sheet(plan, "A")["late_min"] = 5
    plan["late"].insert(0, {"order": "O-1", "minutes": 5, "because": ["?"], "would_help": []})


def an_order_not_listed(plan):
    plan["late"] = []


def a_sum_that_is_wrong(plan):
    plan["late"][0]["minutes"] = 5


def listed_though_in_time(plan):
    plan["late"].insert(0, {"order": "O-1", "minutes": 0, "because": ["?"], "would_help": []})


def left_out_in_silence(plan):
    plan["left_out"].append({"order": "O-3", "because": ""})
    plan["proof"]["status"] = "impossible"


def left_out_of_a_week_called_optimal(plan):
    plan["left_out"].append({"order": "O-3", "because": "no frame of 20 mm"})


def an_empty_proof(plan):
    plan["proof"]["objective"][0]["bound"] = 4


def a_sheet_not_rehearsed(plan):
    plan["rehearsal"]["sheets"].pop()


#: fault, the rule that finds it, and those that rightly find it too
PLANTED = [
    (a_clock_without_offset, "shape", set()),
    (a_field_left_out, "shape", set()),
    (a_number_as_text, "shape", set()),
    (a_stack_without_its_order, "shape", set()),
    (no_lots_at_all, "shape", set()),
    (left_out_in_silence, "shape", set()),
    (two_tasks_of_one_id, "unique", set()),
    (one_person_listed_twice, "unique", set()),
    (a_sheet_of_no_list, "known", set()),
    (a_place_of_no_list, "known", set()),
    (a_stranger, "known", set()),
    (a_lot_of_no_list, "known", set()),
    (a_setting_of_a_cooling_press, "known", set()),
    (tasks_out_of_order, "sorted", set()),
    (sheets_out_of_order, "sorted", set()),
    (power_out_of_order, "sorted", {"power"}),
    (a_task_of_no_time, "lasts", set()),
    (a_setting_of_no_time, "lasts", set()),
    (a_charge_that_does_not_add_up, "charge", set()),
    (from_quarantine, "released", set()),
    (more_than_there_is, "lot_mass", set()),
    (ready_too_soon, "ready", set()),
    (sold_at_the_press, "condition", set()),
    (lateness_hidden, "late_min", set()),
    (lateness_counted_on, "late_min", set()),
    (an_order_not_listed, "late", set()),
    (a_sum_that_is_wrong, "late", set()),
    (listed_though_in_time, "late", set()),
    (left_out_of_a_week_called_optimal, "left_out", set()),
    (an_empty_proof, "proof", set()),
    (a_sheet_not_rehearsed, "rehearsed", set()),
]
