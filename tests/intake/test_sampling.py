"""Samples: how many flakes, and what finds say; scipy's beta quantile as the independent method."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import beta

from flatstock.errors import OutOfRange
from flatstock.intake.sampling import upper_bound, zero_find_sample


@pytest.mark.parametrize(("share", "flakes"), [(0.1, 29), (0.05, 59), (0.01, 299), (0.001, 2995)])
def test_a_sample_without_a_find_is_as_large_as_the_binomial_asks(share, flakes):
    """ln(0.05)/ln(1-p), upwards: 28.4, 58.4, 298.1, 2994.2; one flake less is not 95 % sure."""
    assert zero_find_sample(share=share) == flakes
    assert (1 - share) ** flakes <= 0.05 < (1 - share) ** (flakes - 1)


@given(st.integers(1, 3000), st.data())
def test_the_upper_bound_is_clopper_and_pearsons(sample, data):
    """Clopper & Pearson (1934): the bound is the beta quantile B(C; k+1, n-k), from memory; by scipy."""
    found = data.draw(st.integers(0, min(sample - 1, 40)))
    assert upper_bound(found, sample=sample) == pytest.approx(
        beta.ppf(0.95, found + 1, sample - found), rel=1e-8
    )


def test_a_sample_of_strangers_alone_bounds_nothing():
    assert upper_bound(5, sample=5) == 1.0


def test_no_find_in_the_sample_that_was_asked_for_bounds_the_share():
    assert upper_bound(0, sample=zero_find_sample(share=0.001)) <= 0.001


def test_more_finds_than_flakes_are_refused():
    with pytest.raises(OutOfRange, match="6 found in a sample of 5"):
        upper_bound(6, sample=5)
