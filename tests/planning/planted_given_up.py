"""Faults of charges given up, planted in the small week: a mould that stays in HP2 after 09:00 on the first day."""

from tests.planning.small_week import at, sheet


def lose(plan, **changes):
    """A charge is given up in HP2 and taken out the next morning, by nobody who has something else to do then."""
    one = {
        "sheet": "X", "order": "O-9", "press": "HP2", "frame": "F99", "skins": "S-9", "since": at(1, "09:00"),
        "cold_from": at(1, "20:00"), "instead": None, "because": "nobody was there", "do": ["Heaters off."],
        "out": {"start": at(2, "09:00"), "end": at(2, "09:09"), "people": ["ADA", "BO"]}, "lots": [], "tasks": [],
    }  # fmt: skip
    plan["given_up"] = [one | changes]


def given_up_and_planned(plan):
    lose(plan, sheet="A")


def made_up_for_by_no_sheet(plan):
    lose(plan, instead="Z")


def heated_with_it_inside(plan):
    lose(plan, since=at(1, "08:50"))


def another_mould_laid_on_it(plan):
    lose(plan, press="HP1", since=at(1, "10:30"))


def its_frame_round_another(plan):
    lose(plan, frame=sheet(plan, "B")["frame"])


def taken_out_hot(plan):
    lose(plan, cold_from=at(2, "09:30"))


def taken_out_by_somebody_absent(plan):
    lose(plan, out={"start": at(2, "09:00"), "end": at(2, "09:09"), "people": ["ADA", "CY"]})


def taken_out_by_somebody_at_the_saw(plan):
    lose(plan, out={"start": at(2, "08:05"), "end": at(2, "08:14"), "people": ["ADA", "BO"]})


def opened_on_a_bench_that_another_mould_lies_on(plan):
    lose(
        plan,
        out={"start": at(2, "07:09"), "end": at(2, "07:15"), "people": ["ADA", "BO"], "places": ["BENCH1"]},
    )


def set_aside_and_planned(plan):
    plan["set_aside"] = [{"sheet": "B", "order": "O-1", "because": "its lot is held", "do": [], "tasks": []}]


def a_charge_given_up_that_nothing_is_said_of(plan):
    lose(plan, because="")


#: fault, the rule that finds it, and those that rightly find it too
PLANTED = [
    (a_charge_given_up_that_nothing_is_said_of, "shape", set()),
    (given_up_and_planned, "given_up_sheet", set()),
    (set_aside_and_planned, "given_up_sheet", set()),
    (made_up_for_by_no_sheet, "given_up_sheet", set()),
    (heated_with_it_inside, "given_up_kept", set()),
    (another_mould_laid_on_it, "given_up_kept", set()),
    (its_frame_round_another, "given_up_kept", set()),
    (taken_out_hot, "given_up_hands", set()),
    (taken_out_by_somebody_absent, "given_up_hands", set()),
    (taken_out_by_somebody_at_the_saw, "given_up_hands", set()),
    (opened_on_a_bench_that_another_mould_lies_on, "given_up_hands", set()),
]
