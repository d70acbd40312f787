"""Published squeeze-flow formulas on given numbers.

Forms: Stefan's Newtonian disc as in a worked squeeze-film derivation, read; Scott's power-law disc
and the torsion analogy of the rectangle, closed-form mathematics recomputed with other tools. The
tolerances are what the figures were kept to.
"""

from itertools import pairwise
from math import pi, sqrt

import pytest
from scipy.integrate import solve_ivp

from flatstock.flow.rectangle import rectangle_force, torsion_factor
from flatstock.flow.squeeze import (
    disc_force,
    disc_pressure,
    disc_speed,
    disc_spreading_time,
    disc_time,
    strip_force,
)

DISC = {"radius": 0.1, "gap": 0.005, "speed": 1e-4, "consistency": 1e4}
CLOSING = {"radius": 0.1, "start": 0.010, "end": 0.005, "force": 20e3, "consistency": 1e4}
SPREADING = {"volume": pi * 0.1**2 * 0.010, "start": 0.010, "end": 0.005, "force": 20e3, "consistency": 1e4}


def test_a_newtonian_disc_needs_stefans_force():
    """3769.9 N as printed; 3πμR⁴V/2h³ itself to 1e-12."""
    assert disc_force(**DISC) == pytest.approx(3769.9, abs=0.05)
    assert disc_force(**DISC) == pytest.approx(3 * pi * 1e4 * 0.1**4 * 1e-4 / (2 * 0.005**3), rel=1e-12)


def test_full_plates_close_in_3_53_seconds():
    """Computed apart and checked by an ODE solver; 3.5343 s, four digits kept."""
    assert disc_time(**CLOSING) == pytest.approx(3.5343, abs=5e-5)


def test_a_fixed_volume_spreads_in_8_84_seconds_to_a_radius_of_0_141_m():
    """The force-time-1/h⁴ form read in a lecture note; 8.8357 s, rounded as printed."""
    assert disc_spreading_time(**SPREADING) == pytest.approx(8.8357, abs=5e-5)
    assert sqrt(SPREADING["volume"] / pi / 0.005) == pytest.approx(0.14142, abs=5e-6)


def test_a_power_law_disc_of_index_one_half_needs_scotts_force_and_time():
    """4541.5 N and 0.75197 s, as computed apart (checked by profile and by ODE)."""
    assert disc_force(**DISC, index=0.5) == pytest.approx(4541.5, abs=0.05)
    assert disc_time(**CLOSING, index=0.5) == pytest.approx(0.75197, abs=5e-6)


def test_both_discs_agree_with_the_gap_taken_by_steps():
    """dh/dt by SciPy's DOP853 to 1e-11 of the gap a step: the end within 1e-7, which many steps leave of that."""
    for index in (1.0, 0.5):

        def fall(_, h, index=index):
            return -disc_speed(radius=0.1, gap=h[0], force=20e3, consistency=1e4, index=index)

        steps = solve_ivp(
            fall, (0, disc_time(**CLOSING, index=index)), [0.010], method="DOP853", rtol=1e-11, atol=1e-14
        )
        assert steps.y[0][-1] == pytest.approx(0.005, rel=1e-7)


def test_the_power_law_with_index_one_is_the_newtonian_disc():
    """Against Stefan's closed forms written out here (those of E1 to E3): 1e-12, as listed; nothing but rounding."""
    newtonian_time = 3 * pi * 1e4 * 0.1**4 / (4 * 20e3) * (1 / 0.005**2 - 1 / 0.010**2)
    newtonian_spread = 3 * 1e4 * SPREADING["volume"] ** 2 / (8 * pi * 20e3) * (1 / 0.005**4 - 1 / 0.010**4)
    assert disc_force(**DISC, index=1.0) == pytest.approx(
        3 * pi * 1e4 * 1e-4 * 1e-4 / (2 * 0.005**3), rel=1e-12
    )
    assert disc_time(**CLOSING, index=1.0) == pytest.approx(newtonian_time, rel=1e-12)
    assert disc_spreading_time(**SPREADING, index=1.0) == pytest.approx(newtonian_spread, rel=1e-12)


def test_a_long_strip_needs_64_kilonewtons_a_metre():
    """F = μ L³ V / h³ a metre, Reynolds' equation between parallel strips integrated twice: exact, so 1e-12."""
    assert strip_force(width=0.2, gap=0.005, speed=1e-4, consistency=1e4) == pytest.approx(64_000, rel=1e-12)


@pytest.mark.parametrize(
    ("ratio", "factor"), [(1, 0.1406), (1.2, 0.1661), (1.5, 0.1958), (2, 0.2287), (5, 0.2913), (10, 0.3123)]
)
def test_the_torsion_factor_of_a_rectangle_is_as_tabled(ratio, factor):
    """Torsion constants of rectangular bars; 1e-4, the last digit of the table."""
    assert torsion_factor(ratio) == pytest.approx(factor, abs=1e-4)


def test_a_rectangle_without_ends_has_a_torsion_factor_of_one_third():
    """A thin strip's constant is a b³/3 (Saint-Venant): 1e-8, of which the ends of a strip of 1e9 widths leave 6e-10."""
    assert torsion_factor(1e9) == pytest.approx(1 / 3, rel=1e-8)


def test_the_series_agrees_with_the_torsion_problem_solved_on_a_grid():
    """∇²φ = −2, φ = 0 on the rim, β = 2 ∫φ / (a b³): five-point differences on a square, extrapolated
    from two grids. Another way to the same number, without the series: 2e-5, which the extrapolation leaves."""
    import numpy as np

    def coarse(n):
        x = np.arange(1, n) * pi / n
        modes = np.arange(1, n)
        waves = np.sin(np.outer(x, modes))
        lam = (2 * n * np.sin(modes * pi / (2 * n))) ** 2
        part = waves.T @ np.full((n - 1, n - 1), 2.0) @ waves * (2 / n) ** 2
        phi = waves @ (part / (lam[:, None] + lam[None, :])) @ waves.T
        return 2 * phi.sum() / n**2

    extrapolated = (4 * coarse(128) - coarse(64)) / 3
    assert torsion_factor(1.0) == pytest.approx(extrapolated, rel=2e-5)


def test_a_square_and_a_two_to_one_rectangle_need_the_tabled_forces():
    """F = 3 β μ V a b³ / h³ with β of the torsion problem, as computed apart: 0.1 N, its last digit."""
    square = rectangle_force(length=0.2, width=0.2, gap=0.005, speed=1e-4, viscosity=1e4)
    assert square == pytest.approx(5398.2, abs=0.1)
    assert rectangle_force(length=0.4, width=0.2, gap=0.005, speed=1e-4, viscosity=1e4) == pytest.approx(
        17_562.8, abs=0.1
    )


def test_a_disc_of_equal_area_overrates_the_square_by_13_percent():
    """Stefan's disc with R = a/√π beside the square: 0.1 N, the last digit kept; 13 % to half a per cent."""
    disc = disc_force(radius=0.2 / sqrt(pi), gap=0.005, speed=1e-4, consistency=1e4)
    square = rectangle_force(length=0.2, width=0.2, gap=0.005, speed=1e-4, viscosity=1e4)
    assert disc == pytest.approx(6111.5, abs=0.1)
    assert disc / square == pytest.approx(1.13, abs=0.005)


def test_a_metre_square_sheet_needs_422_kilonewtons_to_close_at_a_tenth_of_a_millimetre_a_second():
    """The same form at a metre and 10 mm, computed apart: 0.1 %, four digits kept."""
    force = rectangle_force(length=1, width=1, gap=0.010, speed=1e-4, viscosity=1e4)
    assert force == pytest.approx(421.7e3, rel=1e-3)


def test_the_pressure_under_a_newtonian_disc_is_parabolic_with_240_kilopascal_in_the_middle():
    """p_max = 2F/πR², p falling as 1 - (r/R)², from Stefan's form: exact, so 1e-12; zero at the rim."""
    force = disc_force(**DISC)
    assert disc_pressure(force=force, radius=0.1) == pytest.approx(240e3, rel=1e-12)
    assert disc_pressure(force=force, radius=0.1, at=0.05) == pytest.approx(0.75 * 240e3, rel=1e-12)
    assert disc_pressure(force=force, radius=0.1, at=0.1) == 0.0


def test_closing_time_grows_with_the_fourth_power_of_the_radius_with_viscosity_and_one_over_force():
    """Powers of Stefan's time (E2): exact, so 1e-12."""
    base = disc_time(**CLOSING)
    assert disc_time(**CLOSING | {"radius": 0.2}) == pytest.approx(16 * base, rel=1e-12)
    assert disc_time(**CLOSING | {"consistency": 3e4}) == pytest.approx(3 * base, rel=1e-12)
    assert disc_time(**CLOSING | {"force": 40e3}) == pytest.approx(base / 2, rel=1e-12)


def test_each_halving_of_the_final_gap_costs_four_times_the_time():
    """R fixed and the first gap far wider than the last: 1/h_f² alone counts (E2). 1e-4: the first gap leaves 5e-5."""
    times = [disc_time(**CLOSING | {"start": 1.0, "end": end}) for end in (0.004, 0.002, 0.001)]
    assert all(later / sooner == pytest.approx(4, rel=1e-4) for sooner, later in pairwise(times))
