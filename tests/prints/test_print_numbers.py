"""Numbers of a document, said with their bands."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flatstock.prints.numbers import (
    decimals_of,
    minutes_at_most,
    minutes_not_before,
    number,
    plain,
    with_band,
)

amounts = st.floats(-1e4, 1e4, allow_nan=False)


def value(middle, low, high):
    return {"value": middle, "low": low, "high": high, "kind": "computed", "source": "x"}


def test_a_bare_number_has_no_band():
    assert with_band(28, "min") == "28 min"


def test_a_band_is_said_with_both_ends():
    assert with_band(value(21.2, 18.9, 24.0), "min") == "21.2 min (18.9 to 24.0)"


def test_what_is_not_known_is_never_said_as_zero():
    assert with_band(None, "kg") == "unknown"
    assert plain(None) == "unknown"


def test_a_value_that_is_null_inside_is_not_known():
    assert with_band(value(None, None, None), "kg", unknown="not within 45 min") == "not within 45 min"


def test_a_band_narrower_than_the_last_digit_is_left_out():
    assert with_band(value(11.74, 11.738, 11.742), "kg", 2) == "11.74 kg"
    assert with_band(value(18.01, 18.00, 18.05), "mm") == "18 mm"


def test_a_band_that_ends_just_below_zero_does_not_read_as_nought_to_nought():
    assert with_band(value(0.0, -0.03125, 0.0), "kg", 2) == "0.00 kg (-0.03 to 0.00)"


@given(st.lists(amounts, min_size=3, max_size=3).map(sorted))
def test_a_band_that_is_shown_has_different_ends_and_no_more_digits_than_asked_for(numbers):
    low, middle, high = numbers
    said = with_band(value(middle, low, high), "kg")
    if high - low >= 0.2:
        first, last = said.split("(")[1].rstrip(")").split(" to ")
        assert first != last
    assert all(len(word.partition(".")[2].rstrip(")")) <= 1 for word in said.split())


@given(amounts)
def test_no_number_is_said_as_minus_zero(amount):
    assert plain(amount * 1e-6) in ("0", "0.0")


def test_the_decimals_follow_the_scale_step():
    assert [decimals_of(step) for step in (1, 0.5, 0.05, 0.02, 0.005)] == [0, 1, 2, 2, 3]


def test_not_before_acts_on_the_late_end_and_rounds_up():
    assert minutes_not_before(value(9.0, 7.1, 10.6)) == "11"
    assert minutes_not_before(value(7.0, 6.1, 7.31)) == "7.4"


def test_at_the_latest_acts_on_the_early_end_and_rounds_down():
    assert minutes_at_most(value(52.0, 44.7, 61.0)) == "44"
    assert minutes_at_most(value(8.0, 7.39, 9.0)) == "7.3"


@given(st.lists(st.floats(0, 1e4), min_size=3, max_size=3).map(sorted))
def test_what_is_advised_is_always_on_the_safe_side_of_the_band(numbers):
    low, middle, high = numbers
    assert float(minutes_not_before(value(middle, low, high))) >= high - 1e-6
    assert float(minutes_at_most(value(middle, low, high))) <= low + 1e-6


def test_what_is_no_number_of_a_document_is_an_error():
    with pytest.raises(TypeError, match="'12' is not a number of a document"):
        number("12")
