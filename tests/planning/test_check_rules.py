"""Each rule of the judge by a fault planted in a plan that is right but for it."""

from datetime import timedelta

import pytest

from flatstock.planning.check import RULES, judge
from tests.planning.planted_given_up import PLANTED as GIVEN_UP
from tests.planning.planted_given_up import lose
from tests.planning.small_week import at, instant, resource, setting, settled, sheet, small_week, task


def shift(one, minutes, *ends):
    for end in ends:
        one[end] = (instant(one[end]) + timedelta(minutes=minutes)).isoformat()


def drop(plan, *names):
    plan["tasks"] = [one for one in plan["tasks"] if one["id"] not in names]


# ------------------------------------------------------------------ the document
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


# ------------------------------------------------------------------ steps
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


# ------------------------------------------------------------------ times
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


# ------------------------------------------------------------------ places
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


# ------------------------------------------------------------------ mould sets
def one_frame_in_two_moulds(plan):
    sheet(plan, "B")["frame"] = "F12-1"


def one_pair_of_skins_in_two_moulds(plan):
    sheet(plan, "B")["skins"] = "S-1"


def a_frame_too_thick(plan):
    resource(plan, "F12-2")["thickness_mm"] = 12.2


def a_frame_too_thin(plan):
    resource(plan, "F12-2")["thickness_mm"] = 11.2


# ------------------------------------------------------------------ people
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


# ------------------------------------------------------------------ heating
def heaters_never_off(plan):
    plan["settings"] = [one for one in plan["settings"] if (one["place"], one["kind"]) != ("HP2", "off")]


def held_without_heating_up(plan):
    plan["settings"] = [
        one for one in plan["settings"] if not (one["place"] == "HP2" and one["kind"] in ("heat_up", "soak"))
    ]
    settled(plan)


def a_gap_without_hold(plan):
    shift(setting(plan, "HP1", "soak"), -5, "end")


def two_settings_at_once(plan):
    shift(setting(plan, "HP1", "soak"), 2, "end")


def a_raise_downwards(plan):
    setting(plan, "HP1", "raise").update(from_C=210.0, to_C=195.0)


def a_jump(plan):
    setting(plan, "HP1", "raise")["from_C"] = 200.0


def dwelt_while_soaking(plan):
    setting(plan, "HP2", "soak")["end"] = at(1, "08:20")
    setting(plan, "HP2", "hold")["start"] = at(1, "08:20")
    settled(plan)


def at_another_set_point(plan):
    sheet(plan, "B")["set_point_C"] = 190


def dwelt_with_heaters_off(plan):
    setting(plan, "HP2", "hold")["end"] = at(1, "08:40")
    setting(plan, "HP2", "off").update(start=at(1, "08:40"), end=at(1, "08:40"))
    settled(plan)


def cleaned_round_a_mould(plan):
    shift(setting(plan, "HP1", "hold"), -4, "end")
    shift(setting(plan, "HP1", "clean"), -4, "start")
    settled(plan)


# ------------------------------------------------------------------ supply
def sawn_while_heated(plan):
    task(plan, "C-trim").update(start=at(1, "10:34"), end=at(1, "10:42"))
    settled(plan)


def an_instant_over(plan):
    plan["supply"]["rated_A"] = 38.65


def amperes_hidden(plan):
    plan["power"][2]["L2_A"] -= 5


def power_left_out(plan):
    del plan["power"][2]


def power_said_twice(plan):
    shift(plan["power"][2], 1, "end")


# ------------------------------------------------------------------ material
def a_charge_that_does_not_add_up(plan):
    sheet(plan, "A")["lots"][1]["mass_kg"] = 0.8


def from_quarantine(plan):
    sheet(plan, "A")["lots"][1]["lot"] = "L-4"


def more_than_there_is(plan):
    plan["lots"][2]["mass_kg"] = 11.19


# ------------------------------------------------------------------ promises
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
    (heaters_never_off, "heated", {"power", "rated", "unattended"}),
    (held_without_heating_up, "heated", set()),
    (a_gap_without_hold, "hold_fills", set()),
    (two_settings_at_once, "settings_overlap", set()),
    (a_raise_downwards, "temperatures", set()),
    (a_jump, "temperatures", set()),
    (dwelt_while_soaking, "while_changing", set()),
    (at_another_set_point, "set_point", set()),
    (dwelt_with_heaters_off, "set_point", set()),
    (cleaned_round_a_mould, "clean", set()),
    (sawn_while_heated, "rated", set()),
    (an_instant_over, "rated", set()),
    (amperes_hidden, "power", set()),
    (power_left_out, "power", set()),
    (power_said_twice, "power", set()),
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
    *GIVEN_UP,
]


@pytest.mark.parametrize(
    ("plant", "rule", "beside"), PLANTED, ids=lambda part: getattr(part, "__name__", None)
)
def test_a_planted_fault_is_found_by_its_rule_and_by_no_other_that_does_not_apply(plant, rule, beside):
    plan = small_week()
    plant(plan)
    assert {one.rule for one in judge(plan)} == {rule} | beside


def test_a_charge_given_up_and_taken_out_cold_is_no_fault():
    plan = small_week()
    lose(plan)
    assert judge(plan) == []


def test_every_rule_finds_a_fault_that_was_planted_for_it():
    assert {rule for _, rule, _ in PLANTED} == set(RULES) - {"too_quick"}  # that one asks the heat model


def test_every_finding_says_what_would_be_right():
    for plant, _, _ in PLANTED:
        plan = small_week()
        plant(plan)
        for one in judge(plan):
            assert one.where
            assert one.what
            assert one.instead
