"""Taps: what is let in, what is not and why, by every rule of the floor (safety rules of the plastics' data file)."""

from dataclasses import replace

import pytest

from flatstock.running.courses import Course, Gate
from flatstock.running.nexts import next_of
from flatstock.running.taps import judge
from tests.running.morning import an_event, at, way_to


def refused(answer):
    assert answer.outcome == "refused", answer
    return " ".join(fault.sentence() for fault in answer.faults)


def test_a_step_in_its_turn_is_accepted(tap):
    events = way_to("demoulded")
    for n, event in enumerate(events[:5]):
        assert tap(event, events[:n]).outcome == "accepted", event


def test_loading_takes_two_different_people(tap):
    load = an_event("loaded", "08:33", sheet="S-1", place="HP1", who=("OP1", "OP1"))
    assert "OP1 cannot be both people" in refused(tap(load, way_to("prepared")))


def test_a_weighing_that_is_off_by_less_than_is_said_needs_no_word(tap):
    first = next(one for one in way_to("weighed") if one.kind == "weighed")
    within, over = (
        replace(first, facts={**first.facts, "mass_kg": first.facts["mass_kg"] + off}) for off in (0.004, 0.1)
    )
    assert tap(within, way_to("weighed")[:-1]).say == ()
    assert tap(over, way_to("weighed")[:-1]).say == ("0.10 kg over",)


def test_a_person_without_the_skill_does_not_count(tap):
    load = an_event("loaded", "08:33", sheet="S-1", place="HP1", who=("OP1", "OP4"))
    assert "trained for hot transfers; OP1 may" in refused(tap(load, way_to("prepared")))


def test_a_person_who_is_not_here_does_not_count(tap):
    late = an_event(
        "loaded", "08:33", sheet="S-1", place="HP1", who=("OP1", "OP3")
    )  # OP3 comes Tuesday to Thursday
    assert "OP3 is not here at 08:33" in refused(tap(late, way_to("prepared")))


def test_somebody_who_has_said_that_they_came_counts(tap):
    here = an_event("arrived", "08:00", who=("OP3",))
    load = an_event("loaded", "08:33", sheet="S-1", place="HP1", who=("OP1", "OP3"))
    assert tap(load, [*way_to("prepared"), here]).outcome == "accepted"


def test_a_mould_is_not_transferred_before_the_late_end_of_its_dwell(tap):
    early = an_event("transferred", "09:00", sheet="S-1", place="CP1")
    assert "do not open before 09:01" in refused(tap(early, way_to("loaded")))


def test_the_cooling_press_is_not_opened_before_the_late_end(tap):
    early = an_event("moved", "09:10", sheet="S-1", place="ST1")
    assert "do not open before 09:17" in refused(tap(early, way_to("transferred")))


def test_a_full_place_takes_no_other_mould(tap):
    other = an_event("loaded", "08:45", sheet="S-2", place="HP1")
    ready = [
        an_event("weighed", "08:38", sheet="S-2", who=("OP2",), facts={"lot": "L-2301", "mass_kg": 11.74}),
        an_event("prepared", "08:42", sheet="S-2", who=("OP2",), facts={"frame": "F12-2", "skins": "S03-04"}),
    ]
    assert "S-1 is in it, and it takes one" in refused(tap(other, [*way_to("loaded"), *ready]))


def test_a_bench_that_is_full_takes_no_other_mould_to_prepare(tap):
    """The demo's bench takes one, and a plan leaves a prepared mould on it until it is loaded (planning rule bench_kept)."""
    weigh = an_event("weighed", "08:31", sheet="S-2", who=("OP2",), facts={"lot": "L-2301", "mass_kg": 11.74})
    other = an_event(
        "prepared", "08:32", sheet="S-2", who=("OP2",), facts={"frame": "F12-2", "skins": "S03-04"}
    )
    said = refused(tap(other, [*way_to("prepared"), weigh]))
    assert said == "S-2: S-1 lies prepared on BENCH; load that first."
    later = replace(other, at=at("08:36"), noted_at=at("08:36"))
    assert tap(later, [*way_to("loaded"), weigh]).outcome == "accepted"


def test_a_frame_round_one_mould_is_not_taken_for_another(tap):
    other = an_event("prepared", "08:42", sheet="S-2", who=("OP2",), facts={"frame": "F12-1"})
    assert "F12-1 is still round S-1" in refused(tap(other, way_to("loaded")))


@pytest.mark.parametrize(
    ("status", "said"),
    [
        ("quarantine", "held in quarantine"),
        ("blocked", "blocked"),
        ("received", "not released yet"),
        ("empty", "used up"),
    ],
)
def test_a_lot_that_is_not_released_is_not_weighed(tap, shop, status, said):
    held = replace(shop, lots=shop.lots | {"L-2301": replace(shop.lots["L-2301"], status=status)})
    weigh = way_to("weighed")[-1]
    assert said in refused(tap(weigh, way_to("heating_on"), of=held))


def test_a_lot_blocked_on_the_floor_is_not_weighed_a_moment_later(tap):
    blocked = an_event("blocked", "08:20", who=("OP1",), facts={"lot": "L-2301"}, why="PVC found")
    assert "is blocked" in refused(tap(way_to("weighed")[-1], [*way_to("heating_on"), blocked]))


def test_a_lot_is_weighed_once_for_a_sheet_however_often_it_is_tapped(tap):
    again = an_event("weighed", "08:26", sheet="S-1", who=("OP2",), facts={"lot": "L-2301", "mass_kg": 11.74})
    said = refused(tap(again, way_to("prepared")[:-1]))
    assert "11.74 kg of L-2301 have been weighed for S-1 already" in said


def test_a_regrind_of_a_blocked_lot_is_not_weighed_either(tap, shop):
    blocked = an_event("blocked", "08:20", who=("OP1",), facts={"lot": "L-2301"}, why="PVC found")
    weigh = an_event("weighed", "08:25", sheet="S-1", who=("OP2",), facts={"lot": "L-2308", "mass_kg": 11.74})
    assert "which L-2308 was made from" in refused(tap(weigh, [blocked]))


def test_black_flake_that_nobody_knows_where_from_is_not_weighed_until_its_bromine_is_clear(tap, shop):
    """The same rule as the card's, at the door of the floor."""
    black = replace(shop.lots["L-2301"], origin="unknown", colour="black", bromine=None)
    weigh = an_event("weighed", "08:05", sheet="S-1", who=("OP1",), facts={"lot": "L-2301", "mass_kg": 11.74})
    strange = replace(shop, lots=shop.lots | {"L-2301": black})
    assert "nobody knows where it comes from" in refused(tap(weigh, way_to("heating_on"), of=strange))
    clear = replace(shop, lots=shop.lots | {"L-2301": replace(black, bromine="clear")})
    assert tap(weigh, way_to("heating_on"), of=clear).keep


def test_what_a_queue_tells_late_never_brings_in_a_held_lot(tap):
    blocked = an_event("blocked", "08:20", who=("OP1",), facts={"lot": "L-2301"}, why="PVC found")
    late = way_to("weighed")[-1]
    assert tap(late, [blocked], received="09:00").outcome == "refused"


def test_an_electrical_lot_without_a_bromine_result_is_not_released_by_anybody(tap):
    free = an_event("released", "08:00", who=("OP1",), facts={"lot": "L-2306"}, why="looks fine")
    assert "bromine" in refused(tap(free))


def test_a_mass_of_another_decimal_place_is_asked_to_be_read_again(tap):
    slip = an_event("weighed", "08:25", sheet="S-1", who=("OP2",), facts={"lot": "L-2301", "mass_kg": 117.4})
    assert "slip of the decimal sign" in refused(tap(slip))


def test_the_last_person_does_not_leave_heaters_that_are_on(tap):
    alone = [*way_to("loaded"), an_event("left", "08:40", who=("OP2",))]
    assert "heaters off at the isolator first" in refused(tap(an_event("left", "08:45", who=("OP1",)), alone))


def test_heaters_are_not_set_above_the_cut_out(tap):
    hot = an_event("heating_on", "07:40", place="HP1", who=("OP1",), facts={"set_point_C": 250})
    assert "above its cut-out at 240 °C" in refused(tap(hot))


def test_a_mould_is_not_loaded_above_the_plastics_highest_set_point(tap):
    load = an_event("loaded", "08:33", sheet="S-1", place="HP1", facts={"set_point_C": 239})
    assert "nothing overrides it" in refused(tap(load, way_to("prepared")))


def test_a_heavy_mould_is_not_moved_by_one_person_without_a_lift(tap):
    alone = an_event("moved", "09:30", sheet="S-1", place="ST1", who=("OP1",))
    assert "a mould of 68 kg takes two people" in refused(tap(alone, way_to("transferred")))


def test_one_person_with_a_lift_that_takes_the_mass_may_move_it(tap):
    lifted = an_event("moved", "09:30", sheet="S-1", place="ST1", who=("OP1",), facts={"lift": "LT1"})
    assert tap(lifted, way_to("transferred")).outcome == "accepted"


def test_no_mould_goes_on_another_by_hand_that_two_people_may_not_lift(tap, shop):
    without = replace(shop, places={k: v for k, v in shop.places.items() if k != "LT1"})
    first = [
        an_event("loaded", "07:50", sheet="S-2", place="HP1"),
        an_event("transferred", "08:20", sheet="S-2", place="CP1"),
        an_event("moved", "08:50", sheet="S-2", place="ST1"),
    ]
    onto = an_event("moved", "09:30", sheet="S-1", place="ST1")
    assert "two people may lift 33 kg" in refused(tap(onto, [*first, *way_to("transferred")], of=without))


def test_a_mould_under_another_is_not_taken_out(tap):
    above = [
        an_event("loaded", "09:10", sheet="S-2", place="HP1"),
        an_event("transferred", "09:40", sheet="S-2", place="CP1"),
        an_event("moved", "10:10", sheet="S-2", place="ST1"),
    ]
    out = an_event("demoulded", "14:00", sheet="S-1", place="LT1")
    assert "S-2 stands on S-1" in refused(tap(out, [*way_to("moved"), *above]))


@pytest.mark.parametrize("kind", ["power_cut", "smoke", "accident"])
def test_while_a_danger_is_on_nothing_is_transferred(tap, kind):
    danger = an_event(kind, "08:50", who=())
    assert "nothing else is done" in refused(tap(way_to("transferred")[-1], [*way_to("loaded"), danger]))


def test_after_a_cut_the_press_is_not_opened_before_its_platens_are_measured(tap):
    cut = [an_event("power_cut", "08:50", who=()), an_event("power_back", "08:55", who=())]
    assert "measure them first" in refused(tap(way_to("transferred")[-1], [*way_to("loaded"), *cut]))


def test_a_danger_can_be_told_by_anybody_at_once(tap):
    assert tap(an_event("smoke", "08:50", who=())).outcome == "accepted"


def test_heaters_that_are_off_after_a_cut_stay_off_until_somebody_switches_them_on(tap):
    cut = [an_event("power_cut", "08:31", who=()), an_event("power_back", "08:32", who=())]
    assert "its heaters are off since 08:31" in refused(
        tap(way_to("loaded")[-1], [*way_to("prepared"), *cut])
    )


def test_a_tap_told_twice_changes_nothing(tap):
    events = way_to("loaded")
    assert tap(events[-1], events).say == ("known already",)


def test_a_tap_is_not_taken_back_after_ten_seconds(tap):
    late = an_event("undone", "08:33:11", corrects=way_to("loaded")[-1].id)
    assert "correct it, and say why" in refused(tap(late, way_to("loaded")))


def test_what_did_not_happen_is_struck_out_later_by_somebody_who_says_why(tap):
    struck = an_event(
        "undone", "08:50", corrects=way_to("loaded")[-1].id, who=("OP1",), why="it did not happen"
    )
    assert tap(struck, way_to("loaded")).outcome == "accepted"


def test_a_correction_needs_a_reason_and_is_judged_by_the_same_rules(tap):
    load = way_to("loaded")[-1]
    alone = an_event("corrected", "08:33", noted="08:50", corrects=load.id, who=("OP1",), why="OP2 was away")
    assert "2 people" in refused(tap(alone, way_to("loaded")))


def test_what_happened_and_is_told_late_against_a_rule_of_time_is_kept_and_asked_about(tap):
    early = an_event("transferred", "08:58", sheet="S-1", place="CP1")
    answer = tap(early, way_to("loaded"), received="09:20")
    assert (answer.outcome, answer.keep) == ("asks", True)
    assert "do not open before 09:01" in answer.faults[0].sentence()


def test_a_late_transfer_says_that_the_sheet_wants_a_look(tap):
    late = an_event("transferred", "09:30", sheet="S-1", place="CP1")
    assert any("scorch" in words for words in tap(late, way_to("loaded")).say)


def test_breathing_a_wet_charge_is_refused(tap, shop):
    wet = replace(shop, lots=shop.lots | {"L-2301": replace(shop.lots["L-2301"], moisture=0.0035)})
    breathe = an_event("breathed", "08:45", sheet="S-1", who=("OP1",))
    assert "0.35 % water" in refused(tap(breathe, way_to("loaded"), of=wet))


def test_an_event_from_the_future_asks_for_the_devices_clock(how_it_stands):
    from flatstock.running.taps import judge

    ahead = replace(way_to("loaded")[-1], at=at("09:33"))
    assert "check the device's clock" in refused(judge(ahead, how_it_stands(way_to("prepared"), "08:33")))


def test_a_charge_that_was_weighed_before_its_lot_was_used_up_is_loaded(tap, shop):
    gone = replace(shop, lots=shop.lots | {"L-2301": replace(shop.lots["L-2301"], status="empty")})
    load = an_event("loaded", "08:33", sheet="S-1", place="HP1")
    assert tap(load, way_to("prepared"), of=gone).outcome == "accepted"


def another_behind_it(loaded_at):
    """S-1 cools in CP1 from 09:02, by the plan until 09:33 at least; S-2 is ready to be loaded."""
    return [
        *way_to("transferred"),
        an_event("weighed", "09:03", sheet="S-2", who=("OP2",), facts={"lot": "L-2301", "mass_kg": 11.74}),
        an_event("prepared", "09:05", sheet="S-2", who=("OP2",), facts={"frame": "F12-2", "skins": "S03-04"}),
    ], an_event("loaded", loaded_at, sheet="S-2", place="HP1")


def test_nothing_is_loaded_that_finds_no_cooling_press_in_time(how_it_stands):
    """By what is known of when CP1 can be emptied; 50 min is the latest that S-2 may stay in HP1."""
    before, load = another_behind_it("09:10")
    stands = how_it_stands(before, "09:10:00")
    gates = {kind: Gate(not_before=at("10:20")) for kind in ("moved", "demoulded")}
    full = replace(stands, courses={**stands.courses, "S-1": Course(gates=gates)})
    said = refused(judge(load, full))
    assert (
        said
        == "CP1: S-1 can't leave it before 10:20, and S-2 would have to leave by 10:00; load it from 09:30 on."
    )
    assert judge(replace(load, why="the lead says so"), full).outcome == "accepted"
    assert judge(load, stands).outcome == "accepted"  # by the plan S-1 may be moved long before
    unknown = replace(stands, courses={**stands.courses, "S-1": Course(gates={})})
    assert judge(load, unknown).outcome == "accepted"


def test_nothing_is_loaded_that_must_leave_while_one_of_two_is_at_lunch(tap):
    """OP1 is at lunch from 12:00 to 12:30, OP2 from 12:30 to 13:00 (demo.md); S-1 takes 28 to 50 min."""
    ready = way_to("prepared")

    def load(clock, **more):
        return an_event("loaded", clock, sheet="S-1", place="HP1", **more)

    said = refused(tap(load("11:55"), ready))
    assert (
        "S-1: 2 who may transfer it are not here from 12:23 to 12:45, when it has to leave the hot press"
        in said
    )
    assert tap(load("11:55", why="OP3 comes in for it"), ready).outcome == "accepted"
    assert tap(load("11:30"), ready).outcome == "accepted"  # out at 11:58
    assert tap(load("11:05"), ready).outcome == "accepted"


def test_what_was_to_be_demoulded_in_the_cooling_press_is_moved_where_what_is_hot_would_spoil(how_it_stands):
    before, load = another_behind_it("09:10")
    stands = how_it_stands([*before, load], "09:50:00")
    gates = {"moved": Gate(not_before=at("09:40")), "demoulded": Gate(not_before=at("10:20"))}

    def step(latest):
        hot = replace(stands.courses["S-2"], latest=at(latest))
        plan = stands.sheet("S-1")
        stays_there = {name: task for name, task in plan.tasks.items() if name not in ("move", "stack")}
        known = {**stands.sheets, "S-1": replace(plan, tasks=stays_there)}
        there = replace(stands, sheets=known, courses={"S-1": Course(gates=gates), "S-2": hot})
        return next_of(stands.tracks["S-1"].now, there)

    assert (step("10:00").kind, step("10:00").to[0]) == ("moved", "R1")
    assert step("10:30").kind == "demoulded"
