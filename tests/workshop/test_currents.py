"""Amperes of a load in each line, against published figures and complex arithmetic written apart."""

import cmath
from math import isclose, sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flatstock.evidence import Value
from flatstock.workshop.currents import amps_per_phase, counted_share, line_current, neutral, phasors
from flatstock.workshop.supply import Load, Supply, Use


def supply(**changes):
    said = {
        "shop": "", "kind": "grid", "rule": "IEC", "phases": 3, "volts_LL": 400.0, "volts_LN": 230.0,
        "rated": 40.0, "characteristic": "C", "cable_area": None, "cable": None, "method": None, "ambient": 30.0,
        "residual": None, "generator": None, "energy_price": Value.sure(0.0), "demand_price": 0.0,
        "loads": (), "rules": (), "use": Use(),
    }  # fmt: skip
    return Supply(**{**said, **changes})


def load(power=1500.0, **changes):
    said = {
        "id": "X",
        "connection": "LN",
        "power": power,
        "power_factor": 1.0,
        "control": "steady",
        "phase": 1,
    }
    return Load(**{**said, **changes})


@pytest.mark.parametrize(("kW", "amps"), [(9, 12.99), (12, 17.32), (15, 21.65), (18, 25.98), (24, 34.64)])
def test_a_balanced_resistive_load_draws_its_power_over_root_three_and_400_volts(kW, amps):
    """P/(sqrt(3) U) by hand, to 0.01 A."""
    assert line_current(load(kW * 1000, connection="3P"), supply()) == pytest.approx(amps, abs=0.005)


@pytest.mark.parametrize(
    ("of", "amps"),
    [
        (load(3529.0, connection="3P", power_factor=0.80), 6.37),
        (load(1500.0, power_factor=0.75), 8.70),
        (load(1310.0, power_factor=0.95), 6.00),
    ],
)
def test_the_demos_loads_draw_what_setting_up_s1_says(of, amps):
    assert line_current(of, supply()) == pytest.approx(amps, abs=0.005)


def test_a_measured_current_goes_before_the_power():
    assert line_current(load(current=9.9), supply()) == 9.9


@pytest.mark.parametrize(
    ("amps", "expected"),
    [((10, 15, 20), 8.660), ((10, 10, 5), 5.000), ((20, 12, 7), 11.358), ((16, 16, 0), 16.000)],
)
def test_the_neutral_of_three_resistive_currents(amps, expected):
    """The root of a2 + b2 + c2 - ab - bc - ca; published pages often get it wrong."""
    on = [phasors(load(current=float(a), phase=p), supply()) for p, a in enumerate(amps, 1)]
    assert neutral(on) == pytest.approx(expected, abs=1e-3)


def test_line_currents_of_three_loads_between_lines():
    """By phasors: 3, 2, 1 kW in delta on 400 V give 9.014, 10.897, 6.614 A (lines a, b, c)."""
    on = [
        phasors(load(kW * 1000.0, connection="LL", phase=p), supply()) for p, kW in ((1, 3), (2, 2), (3, 1))
    ]
    lines = [abs(sum(one[line] for one in on)) for line in range(3)]
    assert lines == pytest.approx([9.014, 10.897, 6.614], abs=1e-3)
    assert neutral(on) == 0  # and no 1.8e-14 in a document


def test_two_legs_share_what_hangs_between_them_and_their_neutral_carries_the_difference():
    """240/120 V: 2.4 kW between the legs is 10 A in both; 1.2 kW and 0.6 kW to neutral leave 5 A."""
    legs = supply(phases=1, volts_LL=240.0, volts_LN=120.0)
    assert legs.lines == 2
    assert amps_per_phase(load(2400.0, connection="LL"), legs) == pytest.approx((10.0, 10.0))
    assert neutral([phasors(load(1200.0), legs), phasors(load(600.0, phase=2), legs)]) == pytest.approx(5.0)


@pytest.mark.parametrize(("of_12", "counts"), [(3, 3), (6, 6), (8, 9), (9, 9), (7, 9), (11, 12)])
def test_elements_on_three_phases_count_in_balanced_threes(of_12, counts):
    """8 of 12 still load one pair of phases as 9 do."""
    heater = load(18_000.0, connection="3P", control="on_off", elements=12)
    assert counted_share(heater, of_12 / 12) == pytest.approx(counts / 12)


def test_a_share_of_what_has_no_elements_counts_as_written():
    assert counted_share(load(), 0.4) == 0.4


loads = st.builds(
    load,
    power=st.floats(10, 50_000),
    power_factor=st.floats(0.2, 1.0),
    connection=st.sampled_from(["3P", "LN", "LL"]),
    phase=st.sampled_from([1, 2, 3]),
)


@given(st.lists(loads, min_size=1, max_size=6))
def test_phasors_never_add_up_to_more_than_magnitudes(several):
    by_phasor = [sum((phasors(one, supply())[line] for one in several), 0j) for line in range(3)]
    by_magnitude = [sum(amps_per_phase(one, supply())[line] for one in several) for line in range(3)]
    assert all(abs(p) <= m + 1e-9 for p, m in zip(by_phasor, by_magnitude, strict=True))


@given(loads)
def test_the_power_of_the_phasors_is_the_power_of_the_load(one):
    """Sum of V conj(I) over the lines, written apart: real part P, imaginary part Q of the power factor."""
    of = supply(volts_LL=230.0 * sqrt(3))
    volts = [cmath.rect(230.0, cmath.pi * -2 / 3 * line) for line in range(3)]
    power = sum(v * i.conjugate() for v, i in zip(volts, phasors(one, of), strict=True))
    assert isclose(power.real, one.power, rel_tol=1e-9)
    assert isclose(abs(power), one.power / one.power_factor, rel_tol=1e-9)


def test_the_demos_loads_are_on_when_its_page_says(tmp_path):
    """Demo.md: pump during load, transfer and press_cool; hood, fans and light while heaters are on; saw and extract to trim."""
    from flatstock import demo
    from flatstock.workshop.files import read

    demo.copy_to(tmp_path / "shop")
    on = {one.id: set(one.on_during) for one in read(tmp_path / "shop").supply.loads}
    assert on == {
        "HEAT": {"heated"}, "SMALL": {"heated"}, "SAW": {"trim"}, "EXTRACT": {"trim"},
        "PUMP": {"load", "transfer", "press_cool"},
    }  # fmt: skip
