"""Piles of hot moulds: the laws they keep, and the odd ones that are asked about."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest

from .conftest import MONDAY, mould

NOON = MONDAY + timedelta(hours=5)


def cores(document):
    return [one["core_at_C"]["value"] for one in document["moulds"]]


def opens(document):
    return datetime.fromisoformat(document["ready_at"]["value"])


def ways(document):
    return {way["what"]: way for way in document["instead"]}


def test_a_stack_of_one_cools_to_the_room_and_melts_nothing_again(stack):
    document = stack(mould(mm=18))
    assert document["hottest_C"]["value"] == pytest.approx(18, abs=0.1)
    assert not document["moulds"][0]["remelts"]
    assert not any(what.startswith(("two stacks", "press-cooled")) for what in ways(document))


def test_a_cold_stack_stays_at_the_room_s_temperature(stack):
    document = stack(mould(core=18.0), mould(core=18.0))
    assert cores(document) == pytest.approx([18.0, 18.0], abs=1e-6)
    assert not any(one["remelts"] for one in document["moulds"])


def test_a_hot_mould_warms_a_cold_one_under_it_and_lets_it_down_again(stack):
    lower, upper = stack(mould(core=20.0), mould(hours=0.1, core=189.0))["moulds"]
    assert lower["peak_C"]["value"] > 60
    assert lower["peak_C"]["value"] < upper["peak_C"]["value"]
    assert not lower["remelts"]


def test_a_mould_still_molten_is_not_melted_again(stack):
    """Laid on each other at once, none has frozen yet."""
    document = stack(*(mould() for _ in range(3)))
    assert not any(one["remelts"] for one in document["moulds"])


def test_a_mould_that_had_frozen_is_melted_again_by_two_hot_ones(stack):
    first = stack(mould(mm=12, core=118.0), mould(mm=18, hours=0.02), mould(mm=18, hours=0.04))["moulds"][0]
    assert first["remelts"]


def test_moulds_that_come_at_one_time_lie_in_the_order_written(stack):
    document = stack(mould(name="a"), mould("pp", 6, core=205.0, name="b"), mould(mm=18, name="c"))
    assert [one["mould"] for one in document["moulds"]] == ["a", "b", "c"]


def test_moulds_written_in_any_order_lie_in_the_order_of_their_arrival(stack):
    document = stack(mould(hours=1, name="late"), mould(name="early"))
    assert [one["mould"] for one in document["moulds"]] == ["early", "late"]


def test_moulds_that_come_at_one_time_have_no_turn_in_the_cooling_press(stack):
    assert not any(what.startswith("press-cooled") for what in ways(stack(mould(), mould())))


def test_more_moulds_are_ready_later(stack):
    counts = [opens(stack(*(mould() for _ in range(count)))) for count in (1, 2, 4)]
    assert counts == sorted(counts)
    assert counts[0] < counts[2]


def test_a_warmer_room_is_later(stack):
    assert opens(stack(mould(), mould(), room=30.0)) > opens(stack(mould(), mould()))


def test_a_room_warmer_than_the_limit_is_never_ready_and_says_so(stack):
    document = stack(mould(), mould(), room=46.0)
    assert document["ready_at"] is None
    assert all(one["open_after"] is None for one in document["moulds"])
    assert any("not within the time looked at" in warning for warning in document["warnings"])


def test_the_middle_is_hottest_and_the_top_coolest_where_air_takes_more_from_above(stack):
    """ST1 gives 6 W/m2K away below and 8 above."""
    lower, middle, upper = cores(stack(*(mould(mm=18) for _ in range(3)), at=NOON))
    assert middle > lower > upper


def test_fans_that_are_not_fitted_count_as_usual_ones_and_are_said_to_be_lacking(stack):
    still, blown = stack(mould(), mould()), stack(mould(), mould(), fans=True)
    assert opens(blown) < opens(still)
    assert any("No fans are on file for ST1" in warning for warning in blown["warnings"])
    assert opens(blown) == datetime.fromisoformat(ways(still)["fans fitted"]["ready_at"]["value"])


def test_fans_that_are_fitted_need_no_such_words(stack):
    document = stack(mould(), mould(), place="CP1", fans=True)
    assert document["fans_on"] is True
    assert not any("No fans" in warning for warning in document["warnings"])


def test_on_a_rack_each_mould_stands_by_itself(stack):
    """Its times are those of a mould alone, however many there are."""
    alone = stack(mould(), place="R1")["moulds"][0]
    together = stack(mould(name="M1"), mould(hours=1, name="M2"), place="R1")
    assert together["moulds"][0] == alone
    assert not any(one["remelts"] for one in together["moulds"])
    assert not any("rack" in what and not what.startswith("press") for what in ways(together))


def test_fans_do_not_blow_on_a_rack_and_are_said_not_to(stack):
    document = stack(mould(), mould(hours=1), place="R1", fans=True)
    assert document["fans_on"] is False
    assert any("cool in still air" in warning for warning in document["warnings"])


def test_a_mould_without_a_core_arrives_as_its_card_s_dwell_leaves_it(stack):
    document = stack(mould(core=None), mould(hours=0.5, core=None))
    assert document["moulds"][0]["core_in_C"] == pytest.approx(194, abs=2)
    (said,) = (
        w for w in document["warnings"] if "straight from the hot press at its card's advised dwell" in w
    )
    assert "M1, M2: HDPE 12 mm at 19" in said


def test_cores_that_were_measured_are_not_called_assumed(stack):
    assert not any("straight from the hot press" in warning for warning in stack(mould())["warnings"])


def test_the_peak_is_never_under_the_core_at_the_asked_moment(stack):
    document = stack(mould(mm=18), mould(mm=6, hours=0.2, core=60.0), mould(mm=18, hours=0.4), at=NOON)
    for one in document["moulds"]:
        assert one["peak_C"]["value"] >= one["core_at_C"]["value"] - 1e-6


def test_the_asked_moment_may_be_an_arrival(stack):
    document = stack(mould(core=189.0), at=MONDAY)
    assert document["hottest_C"]["value"] == pytest.approx(189.0, abs=0.5)


def test_a_few_hot_moulds_are_ready_only_when_each_is_under_its_own_limit(stack):
    document = stack(mould("hips", 12, core=185.0), mould("ldpe", 12, hours=0.5, core=165.0))
    assert [one["open_below_C"] for one in document["moulds"]] == [50, 40]
    latest = max(datetime.fromisoformat(one["open_after"]["value"]) for one in document["moulds"])
    assert abs((opens(document) - latest).total_seconds()) <= 1
