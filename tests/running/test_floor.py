"""What the board shows of a morning on the demo floor, by the plan's clocks."""

from dataclasses import replace
from datetime import timedelta

import pytest

from flatstock.running.done import done_rows
from tests.running.morning import a_plan, an_event, at, way_to


def the_mould(floor):
    (found,) = [mould for place in floor.places for mould in place.moulds]
    return found


def test_a_mould_in_the_hot_press_says_when_it_may_be_opened(the_floor):
    mould = the_mould(the_floor(way_to("loaded"), "08:40"))
    assert (mould.state, mould.left, mould.sentence) == (
        "wait", timedelta(minutes=21), "do not open before 09:01",
    )  # fmt: skip
    assert (mould.next.kind, mould.next.people, mould.next.skill, mould.next.permitted) == (
        "transferred", 2, "hot_transfer", False,
    )  # fmt: skip


def test_people_are_called_three_minutes_ahead_and_not_sooner(the_floor):
    assert the_floor(way_to("loaded"), "08:57").calls == ()
    (call,) = the_floor(way_to("loaded"), "08:58").calls
    assert (call.kind, call.people, call.words) == ("early", 2, "Transfer S-1 into CP1 in 3 min: 2 people")


@pytest.mark.parametrize(
    ("now", "kind", "words"),
    [
        ("08:26", None, ""),
        ("08:28", "early", "at 08:30: 2 people"),
        ("08:30", "due", "now: 2 people"),
        ("08:40", "due", "now: 2 people"),
    ],
)
def test_a_prepared_mould_is_called_for_ahead_and_until_it_is_in_its_press(the_floor, now, kind, words):
    sooner = timedelta(minutes=10)  # it was prepared at 08:20
    told = [
        replace(e, at=e.at - sooner, noted_at=e.noted_at - sooner) if e.sheet == "S-1" else e
        for e in way_to("prepared")
    ]
    calls = [one for one in the_floor(told, now).calls if one.sheet == "S-1"]
    assert [one.kind for one in calls] == ([] if kind is None else [kind])
    assert all(one.words.endswith(words) and one.words.startswith("Load S-1") for one in calls)


def test_a_mould_past_its_latest_dwell_says_what_becomes_of_it(the_floor):
    mould = the_mould(the_floor(way_to("loaded"), "09:29"))
    assert mould.state == "late"
    assert mould.consequence == "+6 min: expect scorch at 195 °C; open and transfer"
    just = the_mould(the_floor(way_to("loaded"), "09:23:20"))
    assert just.consequence == "+1 min: expect scorch at 195 °C; open and transfer"  # never "+0 min"


def test_a_mould_that_cools_and_has_no_clock_calls_nobody_to_open_it(the_floor):
    aside = an_event("moved", "09:30", sheet="S-1", place="R1")
    floor = the_floor([*way_to("transferred"), aside], "09:40")
    mould = the_mould(floor)
    assert (mould.state, mould.counts_to) == ("wait", None)
    assert mould.sentence == "no clock is known for it: measure it before it is opened"


def test_a_mould_that_is_given_up_while_it_cools_stays_in_its_press_until_it_is_taken_out(the_floor):
    def press(clock, *more):
        given_up = an_event("scrapped", "09:10", sheet="S-1", why="raw inside")
        (found,) = [
            one
            for one in the_floor([*way_to("transferred"), given_up, *more], clock).places
            if one.id == "CP1"
        ]
        return found

    hot = press("09:12")
    (mould,) = hot.moulds
    assert (hot.state, mould.next.kind, mould.next.people, mould.next.permitted) == (
        "wait",
        "demoulded",
        2,
        False,
    )
    assert mould.what.endswith(", given up")
    assert mould.next.words == "Take S-1 out: given up"
    out = an_event("demoulded", "11:00", sheet="S-1", facts={"lift": "LT1"})
    assert (press("11:05", out).moulds, press("11:05", out).state) == ((), "free")


def test_another_mould_in_its_press_says_that_the_one_given_up_was_taken_out(the_floor):
    events = [
        an_event("scrapped", "09:10", sheet="S-1", why="raw inside"),
        an_event("loaded", "09:20", sheet="S-2", place="HP1"),
        an_event("transferred", "10:00", sheet="S-2", place="CP1"),
    ]
    floor = the_floor([*way_to("transferred"), *events], "10:05")
    assert the_mould(floor).sheet == "S-2"
    assert floor.questions == ()


def test_a_stack_whose_ready_mould_lies_under_another_asks_nobody_to_act(the_floor):
    second = [
        an_event("loaded", "09:31", sheet="S-2", place="HP1"),
        an_event("transferred", "10:00", sheet="S-2", place="CP1"),
        an_event("moved", "10:30", sheet="S-2", place="ST1", facts={"lift": "LT1"}),
    ]

    def stack(clock, *more):
        (found,) = [one for one in the_floor([*way_to("moved"), *more], clock).places if one.id == "ST1"]
        return found

    assert stack("13:40").state == "act"
    under = stack("13:40", *second)
    assert [(mould.sheet, mould.state) for mould in under.moulds] == [("S-1", "act"), ("S-2", "wait")]
    assert under.state == "wait"


def test_being_late_does_not_hurry_one_person_alone(the_floor):
    gone = an_event("left", "09:20", who=("OP2",))
    mould = the_mould(the_floor([*way_to("loaded"), gone], "09:29"))
    assert "leave it closed until 2 are here" in mould.consequence
    assert "open and transfer" not in mould.consequence


def test_heaters_that_nobody_watches_are_called_ahead(the_floor):
    gone = an_event("left", "11:50", who=("OP2",))  # OP1 goes to lunch at 12:00
    (call,) = [c for c in the_floor([*way_to("moved"), gone], "11:55").calls if c.kind == "unattended"]
    assert call.words == "Heaters of HP1 off before 12:00: nobody trained for hot transfers is here from then"


def test_a_call_to_heaters_that_nobody_watches_begins_with_what_to_do(the_floor):
    gone = an_event("left", "11:50", who=("OP2",))
    (call,) = [c for c in the_floor([*way_to("moved"), gone], "12:05").calls if c.kind == "unattended"]
    assert call.words.startswith("Switch HP1 off at the isolator: ")


def test_the_floor_is_the_same_in_whatever_order_the_taps_came(the_floor):
    events = way_to("moved")
    assert the_floor(events[::-1] * 2, "10:00") == the_floor(events, "10:00")


def test_a_tap_can_be_taken_back_for_ten_seconds(the_floor):
    assert [u.kind for u in the_floor(way_to("loaded"), "08:33:10").undoable] == ["loaded"]
    assert the_floor(way_to("loaded"), "08:33:11").undoable == ()


def test_two_transfers_of_one_mould_are_both_kept_and_asked_about(the_floor):
    twice = an_event("transferred", "09:08", sheet="S-1", place="CP1", device="phone")
    floor = the_floor([*way_to("transferred"), twice], "09:10")
    (question,) = floor.questions
    assert question.what == "S-1 was transferred twice, into CP1: at 09:02 and 09:08"
    assert the_mould(floor).sentence == "do not open before 09:23"  # the later one counts for waiting


def test_an_answer_to_a_question_ends_it(the_floor):
    twice = an_event("transferred", "09:08", sheet="S-1", place="CP1")
    away = an_event("undone", "09:30", corrects=twice.id)
    assert the_floor([*way_to("transferred"), twice, away], "09:31").questions == ()


def test_two_moulds_said_to_be_in_one_press_are_asked_about(the_floor):
    other = an_event("loaded", "08:45", sheet="S-2", place="HP1")
    (question,) = the_floor([*way_to("loaded"), other], "08:50").questions
    assert question.what == "S-1 and S-2 are both said to be in HP1 since 08:33 and 08:45"


def test_in_a_power_cut_the_screen_first_says_what_to_do_and_asks_nothing(the_floor):
    floor = the_floor([*way_to("loaded"), an_event("power_cut", "08:50", who=())], "08:51")
    assert floor.danger.say.headline == "POWER CUT: leave the press closed"
    assert (floor.danger.measure, [c.kind for c in floor.calls]) == ((), ["danger"])


def test_after_a_power_cut_the_platens_are_asked_for_and_the_heaters_stay_off(the_floor):
    cut = [*way_to("loaded"), an_event("power_cut", "08:50", who=()), an_event("power_back", "08:59", who=())]
    floor = the_floor(cut, "09:00")
    assert floor.danger is None
    assert [danger.measure for danger in floor.measure] == [("HP1",)]
    assert not floor.places[0].heat.on


def test_a_measured_platen_ends_the_asking(the_floor):
    cut = [*way_to("loaded"), an_event("power_cut", "08:50", who=()), an_event("power_back", "08:59", who=())]
    read = an_event("platen_read", "09:01", who=("OP1",), place="HP1", facts={"temperature_C": 171})
    assert the_floor([*cut, read], "09:02").measure == ()


def test_while_the_dwell_after_a_cut_is_worked_out_the_board_says_leave_it_closed(the_floor):
    """The plan's clocks know nothing of a cut; the heat model takes seconds for its answer."""
    cut = [*way_to("loaded"), an_event("power_cut", "08:50", who=()), an_event("power_back", "08:59", who=())]
    read = an_event("platen_read", "09:01", who=("OP1",), place="HP1", facts={"temperature_C": 171})
    floor = the_floor([*cut, read, an_event("heating_on", "09:02", who=("OP1",), place="HP1")], "09:03")
    (mould,) = floor.places[0].moulds
    assert (mould.state, mould.sentence[:15], mould.consequence) == ("wait", "leave it closed", None)


def test_clocks_count_true_minutes_across_a_change_of_the_clocks(how_it_stands):
    """At 01:00 UTC on 29 March 2026 clocks in Paris go from 02:00 to 03:00 (European Union directive 2000/84/EC)."""
    from datetime import datetime
    from zoneinfo import ZoneInfo

    from flatstock.running.words import clock

    zone = ZoneInfo("Europe/Paris")
    before, after = datetime(2026, 3, 29, 1, 50, tzinfo=zone), datetime(2026, 3, 29, 3, 18, tzinfo=zone)
    assert after.astimezone(at("00:00").tzinfo) - before.astimezone(at("00:00").tzinfo) == timedelta(
        minutes=28
    )
    assert clock(before.astimezone(at("00:00").tzinfo) + timedelta(minutes=28), zone) == "03:18"


def test_what_has_happened_stands_as_rows_of_done_csv(shop):
    rows = done_rows(way_to("transferred"), shop.practice, now=at("09:03"))
    assert [(r.step, f"{r.start:%H:%M}", r.end and f"{r.end:%H:%M}", r.place) for r in rows] == [
        ("weigh", "08:21", "08:25", ()),
        ("prepare", "08:25", "08:30", ("F12-1", "S01-02")),
        ("load", "08:30", "08:33", ("HP1",)),
        ("transfer", "09:02", None, ("HP1", "CP1")),
    ]


def given_up_row(shop, *more, now="12:00"):
    """The line of a sheet that was given up while it was in the press; `more`: what else happened."""
    given_up = an_event("scrapped", "09:30", sheet="S-1", why="raw")
    rows = done_rows([*way_to("loaded"), given_up, *more], shop.practice, now=at(now))
    (row,) = [row for row in rows if row.step == "given_up"]
    return f"{row.start:%H:%M}", row.end and f"{row.end:%H:%M}", row.place


def cooling_row(shop, *more):
    """The line of a sheet that was given up while it cooled in CP1."""
    given_up = an_event("scrapped", "09:30", sheet="S-1", why="raw")
    rows = done_rows([*way_to("transferred"), given_up, *more], shop.practice, now=at("12:00"))
    (row,) = [row for row in rows if row.step == "given_up"]
    return f"{row.start:%H:%M}", row.end and f"{row.end:%H:%M}", row.place


def test_a_scrapped_sheet_keeps_what_was_done_to_it_and_leaves_a_hot_press(shop):
    given_up = an_event("scrapped", "09:30", sheet="S-1", why="raw")
    rows = done_rows([*way_to("transferred"), given_up], shop.practice, now=at("10:00"))
    assert [row.step for row in rows] == ["weigh", "prepare", "load", "transfer", "given_up"]
    assert given_up_row(shop) == ("09:30", "09:30", ("HP1",))


def test_given_up_while_it_cools_it_is_where_it_was_until_somebody_takes_it_out(shop):
    aside = an_event("moved", "09:40", sheet="S-1", place="R1")
    out = an_event("demoulded", "11:00", sheet="S-1", facts={"lift": "LT1"})
    assert cooling_row(shop) == ("09:30", None, ("CP1",))
    assert cooling_row(shop, aside) == ("09:30", None, ("R1",))
    assert cooling_row(shop, out) == ("09:30", "11:00", ())


def test_another_mould_in_its_cooling_press_says_in_done_that_it_was_taken_out(shop):
    other = an_event("transferred", "10:20", sheet="S-2", place="CP1")
    assert cooling_row(shop, other) == ("09:30", "10:20", ())


def test_a_mould_that_is_given_up_while_it_cools_may_be_carried_on(the_floor):
    """So that its cooling press is free for the next one."""
    given_up = an_event("scrapped", "09:10", sheet="S-1", why="raw inside")
    aside = an_event("moved", "09:40", sheet="S-1", place="R1")
    floor = the_floor([*way_to("transferred"), given_up, aside], "09:45")
    (mould,) = [mould for place in floor.places if place.id == "R1" for mould in place.moulds]
    assert mould.what.endswith(", given up")
    assert floor.questions == ()
    assert all(not place.moulds for place in floor.places if place.id == "CP1")


def test_a_plan_that_carries_a_given_up_mould_on_has_the_board_offer_that_and_keep_its_clock(the_floor):
    """Its cooling press is for the next one; emptying it, hot, would have had to wait."""
    plan = a_plan()
    sheet, other = plan["sheets"]
    of = {step: [t for t in plan["tasks"] if t["sheet"] == "S-1" and (t["step"] == "move") == (step == "ahead")]
          for step in ("tasks", "ahead")}  # fmt: skip
    stay = next(task for task in plan["tasks"] if task["id"] == "S-1-stack")
    gone = {**sheet, **of, "sheet": "S-1", "because": "raw", "do": [], "place": "CP1", "press": None}
    gone["ahead"] = [*of["ahead"], {**stay, "step": "rack", "places": ["R1"]}]
    gone["tasks"] = [task for task in of["tasks"] if task["step"] not in ("stack", "demould")]
    tasks = [task for task in plan["tasks"] if task["sheet"] != "S-1"]
    after = {**plan, "sheets": [other], "tasks": tasks, "given_up": [gone]}
    given_up = an_event("scrapped", "09:10", sheet="S-1", why="raw inside")
    floor = the_floor([*way_to("transferred"), given_up], "09:30", plan=after)
    mould = the_mould(floor)
    assert (mould.next.kind, mould.next.to[0], mould.next.permitted) == ("moved", "R1", True)
    assert mould.next.words == "Move S-1 (given up) into R1"
    assert mould.counts_to == at("09:17")
    assert [one.sheet for one in floor.to_do] == ["S-2"]


def test_a_mould_may_leave_its_cooling_press_otherwise_than_planned(the_floor):
    """What the plan has demoulded in the cooling press may be carried on, and what it carries on be demoulded there."""
    plan = a_plan()
    there = [task for task in plan["tasks"] if task["step"] not in ("move", "stack")]
    other = the_mould(the_floor(way_to("transferred"), "09:30", plan={**plan, "tasks": there})).other
    assert (other.kind, other.to, other.people, other.permitted) == ("moved", ("R1", "ST1"), 2, True)
    assert other.words == "Move S-1 into R1"
    mould = the_mould(the_floor(way_to("transferred"), "09:30"))
    assert (mould.next.kind, mould.other.kind, mould.other.words) == (
        "moved",
        "demoulded",
        "Demould S-1 in CP1",
    )
    assert not mould.other.permitted, "it is not cold enough to be taken out"
    assert the_mould(the_floor(way_to("loaded"), "08:40")).other is None


def test_given_up_with_the_heaters_off_it_stays_in_its_press_until_they_are_on_again(shop):
    off = an_event("heating_off", "09:20", who=("OP1",), place="HP1")
    on = an_event("heating_on", "11:40", who=("OP1",), place="HP1")
    assert given_up_row(shop, off) == ("09:20", None, ("HP1",))
    assert given_up_row(shop, off, on) == ("09:20", "11:40", ("HP1",))
    assert given_up_row(shop, off, on, now="11:00") == ("09:20", None, ("HP1",))


def prepare_second(floor):
    (step,) = [one.next for one in floor.to_do if one.sheet == "S-2"]
    return step


def weighed_second(clock):
    return an_event("weighed", clock, sheet="S-2", who=("OP2",), facts={"lot": "L-2301", "mass_kg": 11.74})


def test_who_prepares_reads_which_frame_and_skins_and_the_tap_tells_them(the_floor):
    step = prepare_second(the_floor([*way_to("demoulded"), weighed_second("14:02")], "14:05"))
    assert step.words == "Prepare F12-1, skins S01-02 for S-2"
    assert step.facts == {"frame": "F12-1", "skins": "S01-02"}
    assert step.permitted


def test_a_frame_and_skins_still_round_a_mould_are_not_asked_for_but_others_like_them(the_floor):
    step = prepare_second(the_floor([*way_to("loaded"), weighed_second("08:40")], "08:45"))
    assert step.facts == {"frame": "F12-2", "skins": "S03-04"}
    assert step.permitted


def test_where_no_frame_of_that_size_is_free_the_step_says_round_which_mould_it_is(the_floor, shop):
    few = replace(shop, frames={"F12-1": shop.frames["F12-1"]})
    step = prepare_second(the_floor([*way_to("loaded"), weighed_second("08:40")], "08:45", of=few))
    assert [one.what for one in step.why_not] == ["F12-1 is still round S-1"]


def test_a_mould_given_up_long_ago_says_that_its_being_out_may_be_told(the_floor):
    """An older version forgot it where it cooled: nobody told that it was taken out, so it stands there still."""
    events = [
        *way_to("transferred"),
        an_event("moved", "09:30", sheet="S-1", place="R1"),
        an_event("scrapped", "09:40", sheet="S-1", why="raw inside"),
    ]
    mould = the_mould(the_floor(events, "14:00"))
    assert mould.what.endswith(", given up")
    assert mould.sentence.endswith(
        "measure it before it is opened; if it has been taken out already, tell that"
    )
