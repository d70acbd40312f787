"""Readings of a history on curves whose answers are known in closed form."""

from math import exp, log, pi

import numpy as np
import pytest

from flatstock.heat.readings import at, dip_and_recovery, highest, last_above, rise_above_own_minimum

TIME = np.array([0.0, 0.4, 1.1, 1.9, 2.4, 3.3, 4.0, 5.2, 6.0])


def cubic(t):
    return 2 * t**3 - 15 * t**2 + 24 * t + 5


def slope(t):
    return 6 * t**2 - 30 * t + 24


def test_a_cubic_is_read_exactly_between_uneven_steps():
    when = np.linspace(0, 6, 50)
    assert at(when, TIME, cubic(TIME), slope(TIME)) == pytest.approx(cubic(when), abs=1e-12)


def test_outside_its_history_a_curve_keeps_its_ends():
    assert at(-3.0, TIME, cubic(TIME), slope(TIME)) == cubic(0.0)
    assert at(9.0, TIME, cubic(TIME), slope(TIME)) == cubic(6.0)
    assert at(np.array([1.0, 2.0]), TIME[:1], np.array([7.0]), np.array([0.0])) == pytest.approx([7.0, 7.0])


def test_highest_and_lowest_lie_where_the_slope_turns():
    """2t³ - 15t² + 24t + 5 on 0 … 4.5: highest 16 at 1, lowest -11 at 4; within 1/33 of a step."""
    inside = TIME[TIME < 5.5]
    assert highest(inside, cubic(inside), slope(inside)) == pytest.approx((16, 1), abs=0.02)
    assert highest(inside, cubic(inside), slope(inside), sign=-1.0) == pytest.approx((-11, 4), abs=0.02)


def test_last_above_is_the_last_crossing_and_not_the_first():
    """The cubic is above 5 until 1.5 roots, comes back above at (15 + √33)/4 and stays: cut at 5.2, two roots."""
    roots = np.sort(np.roots([2, -15, 24, 0]).real)  # where it equals 5
    first_part = TIME[TIME < 4.5]
    assert last_above(5.0, first_part, cubic(first_part), slope(first_part)) == pytest.approx(
        roots[1], abs=1e-9
    )
    assert last_above(5.0, TIME, cubic(TIME), slope(TIME)) is None
    assert last_above(100.0, TIME, cubic(TIME), slope(TIME)) == 0.0


def test_a_reheated_curve_is_ready_after_its_second_fall():
    t = np.linspace(0, 3 * pi, 60)
    fading = np.cos(t) * np.exp(-t / 10)
    rate = (-np.sin(t) - 0.1 * np.cos(t)) * np.exp(-t / 10)
    assert last_above(0.0, t[t < 2.9 * pi], fading[t < 2.9 * pi], rate[t < 2.9 * pi]) == pytest.approx(
        2.5 * pi, abs=1e-4
    )


def test_dip_and_recovery_of_a_platen():
    """T = 190 - 20 (e^-t/300 - e^-t/40) / 0.6 …: lowest where the slope is 0, back at 188 where SciPy says."""
    from scipy.optimize import brentq

    def sensor(t):
        return 190 - 30 * (np.exp(-t / 300) - np.exp(-t / 40))

    t = np.linspace(0, 2000, 300)
    rate = 30 * (np.exp(-t / 300) / 300 - np.exp(-t / 40) / 40)
    when = log(300 / 40) / (1 / 40 - 1 / 300)
    dip = dip_and_recovery(190.0, t, sensor(t), rate)
    assert dip.when == pytest.approx(when, abs=0.3)
    assert dip.depth == pytest.approx(30 * (exp(-when / 300) - exp(-when / 40)), abs=1e-4)
    assert dip.lowest == pytest.approx(190 - dip.depth, abs=1e-12)
    assert dip.recovered == pytest.approx(brentq(lambda s: sensor(s) - 188, when, 2000), abs=1e-4)


def test_a_platen_that_does_not_come_back_is_told():
    t = np.linspace(0, 100, 30)
    dip = dip_and_recovery(190.0, t, 190 - t / 5, np.full(30, -0.2))
    assert dip.recovered is None
    assert dip.lowest == pytest.approx(170)


def test_a_dip_of_less_than_two_kelvin_has_recovered_at_its_lowest():
    t = np.linspace(0, 2 * pi, 40)
    dip = dip_and_recovery(190.0, t, 190 - np.sin(t / 2), -0.5 * np.cos(t / 2))
    assert dip.recovered == dip.when == pytest.approx(pi, abs=0.02)


def test_the_largest_rise_is_counted_from_an_earlier_minimum():
    assert rise_above_own_minimum(np.array([9.0, 4.0, 6.0, 1.0, 3.5, 2.0])) == 2.5
    assert rise_above_own_minimum(np.array([5.0, 4.0, 3.0])) == 0.0
