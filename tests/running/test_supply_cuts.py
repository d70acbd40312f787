"""What stopped with the supply, and until when."""

from flatstock.running.supply_cuts import calms_at, calms_of
from tests.running.morning import an_event, at, way_to

CUT = an_event("power_cut", "09:10", who=())
AGAIN = an_event("note", "09:14", who=("OP1",), place="CP1", facts={"fans": "on"})


def test_fans_stand_from_a_cut_until_somebody_says_that_they_run_again():
    back = an_event("power_back", "09:12", who=())
    assert calms_at(calms_of([CUT, back], at("09:20")), "CP1", after=at("09:00")) == [(at("09:10"), None)]
    assert calms_at(calms_of([CUT, back, AGAIN], at("09:20")), "CP1", after=at("09:00")) == [
        (at("09:10"), at("09:14"))
    ]
    assert calms_at(calms_of([CUT, back, AGAIN], at("09:20")), "CP2", after=at("09:00")) == [
        (at("09:10"), None)
    ]


def test_a_cut_of_one_press_alone_stops_no_fan():
    alone = an_event("power_cut", "09:10", who=(), place="HP1")
    assert calms_of([alone], at("09:20")) == ()


def test_a_second_cut_before_anybody_has_said_so_is_one_calm():
    second = an_event("power_cut", "09:12", who=())
    assert calms_at(calms_of([CUT, second, AGAIN], at("09:20")), "CP1", after=at("09:00")) == [
        (at("09:10"), at("09:14"))
    ]


def test_a_cut_before_the_mould_was_clamped_hides_none_that_comes_after():
    """Whoever clamped it saw the fans; the second cut stops them again."""
    second = an_event("power_cut", "09:12", who=())
    assert calms_at(calms_of([CUT, second], at("09:20")), "CP1", after=at("09:11")) == [(at("09:12"), None)]


def test_the_board_asks_whether_the_fans_run_again_while_a_mould_stands_under_them(the_floor):
    events = [*way_to("transferred"), CUT, an_event("power_back", "09:12", who=())]

    def asks(*more):
        (found,) = [one for one in the_floor([*events, *more], "09:20").places if one.id == "CP1"]
        return found.calm

    assert asks()
    assert not asks(AGAIN)
