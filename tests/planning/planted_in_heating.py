"""Faults planted in what the heaters do and what the supply bears."""

from __future__ import annotations

from tests.planning.planting import shift
from tests.planning.small_week import at, resource, setting, settled, sheet, task

__all__ = ["PLANTED"]


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


def held_hot_while_out_of_order(plan):
    resource(plan, "HP1")["out_of_order"] = [{"start": at(1, "09:10"), "end": at(1, "10:00")}]


def cleaned_round_a_mould(plan):
    shift(setting(plan, "HP1", "hold"), -4, "end")
    shift(setting(plan, "HP1", "clean"), -4, "start")
    settled(plan)


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


#: fault, the rule that finds it, and those that rightly find it too
PLANTED = [
    (heaters_never_off, "heated", {"power", "rated", "unattended"}),
    (held_without_heating_up, "heated", set()),
    (a_gap_without_hold, "hold_fills", set()),
    (two_settings_at_once, "settings_overlap", set()),
    (a_raise_downwards, "temperatures", set()),
    (a_jump, "temperatures", set()),
    (dwelt_while_soaking, "while_changing", set()),
    (at_another_set_point, "set_point", set()),
    (dwelt_with_heaters_off, "set_point", set()),
    (held_hot_while_out_of_order, "hot_while_out", set()),
    (cleaned_round_a_mould, "clean", set()),
    (sawn_while_heated, "rated", set()),
    (an_instant_over, "rated", set()),
    (amperes_hidden, "power", set()),
    (power_left_out, "power", set()),
    (power_said_twice, "power", set()),
]
