"""Laws that every squeezed melt obeys, and formulas against integrals taken another way."""

from math import pi

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from flatstock.errors import OutOfRange
from flatstock.flow.layered import effective_viscosity
from flatstock.flow.mound import covered_share
from flatstock.flow.rectangle import rectangle_force, rectangle_spreading_time, torsion_factor
from flatstock.flow.squeeze import (
    disc_force,
    disc_pressure,
    disc_speed,
    disc_spreading_time,
    disc_time,
    strip_force,
)

indices = st.floats(0.2, 1.0)
radii = st.floats(0.02, 0.6)
gaps = st.floats(0.002, 0.02)


@given(radius=radii, gap=gaps, index=indices, speed=st.floats(1e-6, 1e-3))
def test_force_and_speed_of_a_disc_undo_each_other(radius, gap, index, speed):
    melt = {"radius": radius, "gap": gap, "consistency": 1e4, "index": index}
    assert disc_speed(force=disc_force(speed=speed, **melt), **melt) == pytest.approx(speed, rel=1e-9)


@given(radius=radii, end=gaps, more=st.floats(1.01, 3), index=indices)
def test_the_closing_time_is_the_integral_of_one_over_the_speed(radius, end, more, index):
    start = end * more
    melt = {"radius": radius, "force": 2e4, "consistency": 1e4, "index": index}
    by_sum, _ = quad(lambda h: 1 / disc_speed(gap=h, **melt), end, start, epsrel=1e-10)
    assert disc_time(start=start, end=end, **melt) == pytest.approx(by_sum, rel=1e-7)


@given(volume=st.floats(1e-5, 2e-2), end=gaps, more=st.floats(1.01, 3), index=indices)
def test_the_spreading_time_is_the_integral_with_a_growing_radius(volume, end, more, index):
    start = end * more
    melt = {"force": 2e4, "consistency": 1e4, "index": index}
    by_sum, _ = quad(
        lambda h: 1 / disc_speed(gap=h, radius=(volume / pi / h) ** 0.5, **melt), end, start, epsrel=1e-10
    )
    assert disc_spreading_time(volume=volume, start=start, end=end, **melt) == pytest.approx(by_sum, rel=1e-7)


@given(radius=radii, index=indices)
def test_the_pressure_under_a_disc_adds_up_to_the_force(radius, index):
    ring, _ = quad(
        lambda r: 2 * pi * r * disc_pressure(force=2e4, radius=radius, at=r, index=index), 0, radius
    )
    assert ring == pytest.approx(2e4, rel=1e-7)


def test_there_is_no_pressure_at_the_rim():
    assert disc_pressure(force=2e4, radius=0.1, at=0.1) == 0.0


def test_a_place_outside_the_disc_has_no_pressure_to_ask_for():
    with pytest.raises(OutOfRange, match="outside the disc"):
        disc_pressure(force=2e4, radius=0.1, at=0.11)


@given(ratio=st.floats(0.02, 50))
def test_a_rectangle_has_the_same_factor_either_way_round_between_square_and_strip(ratio):
    assert torsion_factor(ratio) == pytest.approx(torsion_factor(1 / ratio), rel=1e-12)
    assert 0.1405 < torsion_factor(ratio) <= 1 / 3


def test_a_very_long_rectangle_is_a_strip():
    """1 - 0.63 b/a of the strip's force: the ends let melt out. 0.06 % at 1000 to 1."""
    long = rectangle_force(length=200, width=0.2, gap=0.005, speed=1e-4, viscosity=1e4) / 200
    assert long == pytest.approx(strip_force(width=0.2, gap=0.005, speed=1e-4, consistency=1e4), rel=1e-3)


@given(index=indices, width=st.floats(0.05, 1), gap=gaps)
def test_the_strip_agrees_with_its_pressure_gradient_summed_up(index, width, gap):
    """Plane slot flow of a power-law melt: q = n/(2(2n+1)) g² (g|dp/dx|/2K)^(1/n), q = V x."""
    speed, stiff = 1e-4, 1e4

    def gradient(x):
        return 2 * stiff / gap * (2 * (2 * index + 1) / index * speed * x / gap**2) ** index

    half, _ = quad(lambda x: x * gradient(x), 0, width / 2, epsrel=1e-10)
    force = strip_force(width=width, gap=gap, speed=speed, consistency=stiff, index=index)
    assert force == pytest.approx(2 * half, rel=1e-7)


@given(volume=st.floats(1e-4, 2e-2), ratio=st.floats(1, 4), end=gaps, more=st.floats(1.01, 3))
def test_a_spreading_rectangle_keeps_its_shape_and_takes_the_integral_of_one_over_its_speed(
    volume, ratio, end, more
):
    force, start = 2e5, end * more

    def slowness(h):
        short = (volume / h / ratio) ** 0.5
        return rectangle_force(length=ratio * short, width=short, gap=h, speed=1, viscosity=1e4) / force

    by_sum, _ = quad(slowness, end, start, epsrel=1e-10)
    time = rectangle_spreading_time(
        volume=volume, ratio=ratio, start=start, end=end, force=force, viscosity=1e4
    )
    assert time == pytest.approx(by_sum, rel=1e-7)


def test_a_gap_that_would_have_to_rise_is_refused():
    with pytest.raises(OutOfRange, match=r"0\.005 m is less than 0\.01 m"):
        disc_time(radius=0.1, start=0.005, end=0.010, force=2e4, consistency=1e4)


@pytest.mark.parametrize("index", [0.0, -0.5])
def test_a_power_law_without_a_positive_index_is_refused(index):
    with pytest.raises(OutOfRange, match="index is"):
        disc_force(radius=0.1, gap=0.005, speed=1e-4, consistency=1e4, index=index)


# A melt that is not even


def test_layers_of_one_viscosity_flow_as_the_even_melt_does():
    assert effective_viscosity(heights=[0.2, 0.5, 0.3], viscosities=[7e3] * 3) == pytest.approx(
        7e3, rel=1e-12
    )


def test_two_layers_flow_as_the_velocity_profile_that_keeps_stick_and_shear_stress():
    """(η u')' = -G on a grid of 4000 cells, u = 0 at both faces, against the closed integral."""
    cells = 4000
    eta = np.where((np.arange(cells) + 0.5) / cells < 0.3, 1.0, 25.0)
    y = (np.arange(cells) + 0.5) / cells
    # τ = G (y0 - y) with y0 from u(1) = 0, then u by summing τ/η and the flow by summing u
    y0 = np.sum(y / eta) / np.sum(1 / eta)
    u = np.cumsum((y0 - y) / eta) / cells
    flow = float(np.sum(u)) / cells
    found = effective_viscosity(heights=[0.3, 0.7], viscosities=[1.0, 25.0])
    assert found == pytest.approx(1 / (12 * flow), rel=2e-3)
    assert effective_viscosity(heights=[0.7, 0.3], viscosities=[25.0, 1.0]) == pytest.approx(found, rel=1e-12)


def test_a_stiff_core_hardly_slows_a_melt_that_is_thin_at_its_faces():
    """A third of the gap in the middle moves as a plug: of y² from 0 to 1/2, its part is (1/3)³."""
    found = effective_viscosity(heights=[1, 1, 1], viscosities=[1e3, 1e12, 1e3])
    assert found == pytest.approx(1e3 / (1 - (1 / 3) ** 3), rel=1e-6)


# A heap on its frame


def test_a_heap_covers_what_its_volume_leaves_under_a_roof_at_the_angle_of_repose():
    """A flat top 20 mm over a frame of 12 mm, slopes of 45°: the roof summed in slices."""
    slices = (np.arange(20000) + 0.5) / 20000 * 0.020
    roof = float(np.sum((1.2 - 2 * slices) * (0.8 - 2 * slices)) * 0.020 / 20000)
    volume = 0.012 * 1.2 * 0.8 + roof
    found = covered_share(volume=volume, frame=0.012, length=1.2, width=0.8, repose=45.0)
    assert found == pytest.approx(volume / (0.032 * 1.2 * 0.8), rel=1e-7)


@pytest.mark.parametrize("volume", [0.5 * 0.012 * 1.2 * 0.8, 1.0])
def test_a_heap_under_its_frame_or_held_by_a_collar_covers_all(volume):
    assert covered_share(volume=volume, frame=0.012, length=1.2, width=0.8, repose=40.0) == 1.0


def test_flake_that_stands_upright_covers_all():
    found = covered_share(volume=0.05, frame=0.012, length=1.2, width=0.8, repose=90.0)
    assert found == pytest.approx(1.0, abs=1e-12)
