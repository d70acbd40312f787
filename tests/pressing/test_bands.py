"""Bands: what they are drawn from, what they say, and the surface that stands for them on the wall chart."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from flatstock.evidence import Value
from flatstock.pressing import surface
from flatstock.pressing.bands import SAMPLES, _points, band_of, contributions, draw, relative, triangular
from flatstock.pressing.card import Card, document_of
from flatstock.pressing.questions import CardQuestion
from flatstock.pressing.setting import set_out


def a_value(low, value, high):
    return Value(value, low, high, "assumed", "a test")


def test_the_point_set_on_file_is_scipy_s_scrambled_sobol_set():
    """Made by `scipy.stats.qmc.Sobol`, an independent implementation of Joe & Kuo's direction numbers."""
    made = stats.qmc.Sobol(24, scramble=True, seed=20260302).random(SAMPLES)
    np.testing.assert_array_equal(_points(), made)


@given(
    low=st.floats(-100, 100), up=st.floats(0, 50), further=st.floats(1e-3, 50), u=st.floats(0.0, 1.0, exclude_max=True)
)  # fmt: skip
def test_the_triangular_inverse_is_scipy_s(low, up, further, u):
    value = a_value(low, low + up, low + up + further)
    width = value.high - value.low
    expected = stats.triang.ppf(u, c=up / width, loc=low, scale=width)
    assert triangular(np.array([u]), value)[0] == pytest.approx(expected, abs=1e-6 * (1 + width))


@given(low=st.floats(0, 10), up=st.floats(0, 5), further=st.floats(0, 5))
def test_draws_stay_inside_their_range(low, up, further):
    value = a_value(low, low + up, low + up + further)
    drawn = draw({"x": value})["x"]
    assert len(drawn) == SAMPLES
    assert drawn.min() >= value.low - 1e-9
    assert drawn.max() <= value.high + 1e-9


def test_an_input_without_a_band_uses_up_no_dimension():
    wide = a_value(1, 2, 3)
    alone = draw({"x": wide})["x"]
    beside = draw({"sure": a_value(5, 5, 5), "x": wide})
    np.testing.assert_array_equal(beside["x"], alone)
    assert set(beside["sure"]) == {5.0}
    assert beside.varying == ("x",)


def test_inputs_beyond_the_24th_stay_at_their_typical_value():
    drawn = draw({f"x{i:02}": a_value(1, 2, 3) for i in range(26)})
    assert np.ptp(drawn["x23"]) > 0
    assert np.ptp(drawn["x24"]) == 0
    assert drawn["x25"][0] == 2


def test_a_band_runs_from_the_5th_to_the_95th_percentile():
    samples = np.linspace(0.0, 100.0, 101)
    found = band_of(50.0, samples, unit="s", source="a test")
    assert (found.low, found.high) == (5.0, 95.0)


def test_the_bias_of_a_coarser_computation_is_divided_out():
    found = band_of(100.0, np.linspace(100.0, 120.0, 101), unit="s", source="a test", centre=110.0)
    assert found.low == pytest.approx(101 * 100 / 110)
    assert found.high == pytest.approx(119 * 100 / 110)


def test_the_bias_of_temperatures_is_subtracted():
    found = band_of(
        -1.0, np.linspace(0.0, 20.0, 101), unit="°C", source="a test", centre=10.0, by_difference=True
    )
    assert found.low == pytest.approx(-10.0)
    assert found.high == pytest.approx(8.0)


@given(value=st.floats(1, 100), samples=st.lists(st.floats(1, 200), min_size=4, max_size=50))
def test_the_answer_always_lies_inside_its_band(value, samples):
    found = band_of(value, np.array(samples), unit="s", source="a test")
    assert found.low <= found.value <= found.high


def test_columns_without_an_answer_are_left_out_while_they_are_the_fewer():
    samples = np.concatenate([np.linspace(90, 110, 60), np.full(40, np.nan)])
    found = band_of(100.0, samples, unit="s", source="a test")
    assert found.low == pytest.approx(91, abs=0.1)
    assert found.high == pytest.approx(109, abs=0.1)


def test_shares_of_the_spread_sum_to_1_and_follow_the_variance_of_a_linear_answer():
    """For y = 3a + b with a, b alike: nine tenths and one tenth."""
    drawn = draw({"a": a_value(0, 1, 2), "b": a_value(0, 1, 2), "none": a_value(7, 7, 7)})
    shares = contributions(drawn, 3 * drawn["a"] + drawn["b"])
    assert list(shares) == ["a", "b"]
    assert sum(shares.values()) == pytest.approx(1.0)
    assert shares["a"] == pytest.approx(0.9, abs=0.03)


@pytest.mark.parametrize("count", [0, 1])
def test_too_few_answers_have_no_shares(count):
    drawn = draw({"a": a_value(0, 1, 2)})
    samples = np.full(SAMPLES, np.nan)
    samples[:count] = 3.0
    assert contributions(drawn, samples) == {}


def test_a_typical_value_of_nought_has_no_relative_draws():
    np.testing.assert_array_equal(relative(np.array([0.0, 1.0]), a_value(0, 0, 1)), [1.0, 1.0])


# of a card


def test_a_band_comes_from_256_columns(working):
    many, _ = working().heating._cycles
    assert many.melt.shape == (256,)
    assert np.isfinite(many.melt).all()


def test_the_band_of_the_dwell_is_the_percentiles_of_its_columns(working):
    heating = working().heating
    many, one = heating._cycles
    low, high = np.percentile(many.melt, (5, 95)) * heating.melt_history.time / one.melt[0]
    assert (heating.dwell.low, heating.dwell.high) == pytest.approx((low, high))


def test_the_same_question_has_the_same_answer(shop, card):
    again = Card(
        question=CardQuestion(plastic="hdpe", thickness=0.012),
        setting=set_out(shop, plastic="hdpe", thickness=0.012),
    )
    assert document_of(again) == card()


def test_a_thick_sheet_with_library_values_owes_its_band_to_the_melt_s_conductivity(shop):
    """Half of the dwell's band by the one-at-a-time table of the heat model's page; here by correlation."""
    bare = replace(shop, plastic_overrides={})
    heating = Card(
        question=CardQuestion(plastic="hdpe", thickness=0.024),
        setting=set_out(bare, plastic="hdpe", thickness=0.024, frame_must_fit=False),
    ).heating
    assert next(iter(heating.dwell_shares)) == "melt_k_180"
    assert 0.97 < sum(heating.dwell_shares.values()) <= 1.0 + 1e-12  # the face's clock has no part in it


@pytest.mark.parametrize(
    ("plastic", "mm", "set_point"),
    [("hdpe", 6, 195.0), ("hdpe", 18, 185.0), ("pp", 12, 210.0), ("hips", 12, 190.0), ("abs", 18, 222.5), ("ldpe", 6, 170.0)],
)  # fmt: skip
def test_the_surface_of_the_wall_chart_stands_for_the_256_columns(shop, plastic, mm, set_point):
    """Median and both percentiles of melt-through within 0.5 %, as the surface's page claims."""
    setting = set_out(shop, plastic=plastic, thickness=mm / 1e3, set_point=set_point, any_lot=False)
    question = CardQuestion(plastic=plastic, thickness=mm / 1e3)
    full, quick = (
        Card(question=question, setting=setting, quick=q).heating._cycles[0].melt for q in (False, True)
    )
    assert len(quick) == SAMPLES
    assert np.percentile(quick, (5, 50, 95)) == pytest.approx(np.percentile(full, (5, 50, 95)), rel=5e-3)


def test_a_surface_is_exact_for_an_answer_of_its_own_form():
    drawn = draw({"a": a_value(1, 2, 4), "b": a_value(0, 1, 3)})
    x, y = (drawn["a"] - 2.5) / 1.5, (drawn["b"] - 1.5) / 1.5
    whole = np.exp(1.0 + 0.3 * x - 0.1 * x * x + 0.2 * y + 0.05 * y * y)
    np.testing.assert_allclose(surface.spread(drawn, whole[: surface.FITTED]), whole, rtol=1e-9)


@pytest.mark.parametrize("answers", [5, surface.FITTED - 1])
def test_where_some_columns_have_no_answer_no_surface_is_fitted(answers):
    drawn = draw({"a": a_value(1, 2, 4)})
    few = np.full(surface.FITTED, np.nan)
    few[:answers] = 3.0
    assert surface.spread(drawn, few) is few
