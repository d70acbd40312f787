"""A dwell whose heat failed on the way: longer cuts, colder platens and earlier cuts never leave less of it."""

from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from flatstock.errors import OutOfRange
from flatstock.pressing.after_a_cut import dwell_with_cuts
from flatstock.pressing.card import work_out
from flatstock.pressing.questions import CardQuestion

MINUTE = 60.0
SLACK = 6.0  #: s, what the solver's step and the thermostat's band leave


@pytest.fixture(scope="module")
def dwell_after(shop):
    card = work_out(shop, CardQuestion(plastic="hdpe", thickness=0.012))

    @cache
    def known(start, length, read=None):
        end = None if length is None else start + length
        return dwell_with_cuts(card, cuts=[(start, end)], reads=None if read is None else {end: read})

    return known


@pytest.mark.parametrize("start", [0.0, 300.0, 1020.0])
def test_a_cut_of_no_length_leaves_the_dwell_as_it_was(dwell_after, start):
    found = dwell_after(start, 0.0)
    assert found.not_before == found.middle == found.planned == pytest.approx(28 * MINUTE)


@settings(max_examples=12, deadline=None)
@given(st.integers(0, 27), st.integers(0, 40), st.integers(0, 40))
def test_a_longer_cut_never_leaves_a_shorter_dwell(dwell_after, start, one, other):
    short, long = sorted((one, other))
    a, b = (dwell_after(MINUTE * start, MINUTE * length).not_before for length in (short, long))
    assert a <= b + SLACK
    assert a >= 28 * MINUTE


def test_a_cut_on_the_way_costs_time_and_less_than_its_length(dwell_after):
    """Acceptance story 13 asks that minutes lost are not simply added: the platens keep on giving heat."""
    found = dwell_after(5 * MINUTE, 9 * MINUTE)
    assert 28 * MINUTE < found.not_before < 37 * MINUTE


def test_a_long_cut_costs_more_than_its_length(dwell_after):
    """The platens have to be heated again."""
    assert dwell_after(5 * MINUTE, 40 * MINUTE).not_before > 68 * MINUTE


def test_story_13_the_cut_at_minute_17_of_28_with_platens_measured_at_170(dwell_after):
    found = dwell_after(17 * MINUTE, 9 * MINUTE, 170.0)
    assert 28 * MINUTE < found.not_before < 37 * MINUTE
    assert found.left(26 * MINUTE) == pytest.approx(found.not_before - 26 * MINUTE)


def test_colder_platens_leave_more_of_the_dwell(dwell_after):
    left = [dwell_after(17 * MINUTE, 9 * MINUTE, read).not_before for read in (190.0, 180.0, 170.0, 150.0)]
    assert left == sorted(left)


def test_while_the_heat_is_off_nobody_says_when_it_may_be_opened(dwell_after):
    found = dwell_after(17 * MINUTE, None)
    assert (found.middle, found.not_before, found.left(3600.0)) == (None, None, None)


def test_less_heat_never_brings_the_latest_dwell_forward(dwell_after):
    """Without a measurement of the platens."""
    latest = [dwell_after(5 * MINUTE, MINUTE * length).latest for length in (0, 9, 25)]
    assert latest == sorted(latest)


def test_cuts_that_run_backwards_are_refused(shop):
    card = work_out(shop, CardQuestion(plastic="hdpe", thickness=0.012))
    with pytest.raises(OutOfRange, match="follow each other"):
        dwell_with_cuts(card, cuts=[(600.0, 300.0)])
