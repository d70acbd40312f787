"""Thermostats that switch, and runs that end, within one step: no event is missed however coarse the steps."""

import numpy as np
import pytest

from flatstock.heat.pile import Outcome, Until, run
from tests.heat.columns import HDPE, hot_column

BAND = 2.0  #: K, of a thermostat unless one is given
OVERSHOOT = 2.0  #: K that a platen's sensor may go on rising after its heaters are off


def drawn_runs(count: int) -> list[tuple[float, float, Outcome]]:
    """Highest set-point, level looked for and outcome of presses whose two platens switch at nearly the same time."""
    draw = np.random.default_rng(5)
    runs = []
    for _ in range(count):
        tolerance = float(draw.choice([0.5, 1, 2, 3, 5]))
        set_point, power = float(draw.uniform(185, 215)), float(draw.uniform(3e3, 2e4))
        thickness = float(draw.uniform(0.004, 0.02))
        level = set_point - float(draw.uniform(0.1, 25))
        apart = float(draw.choice([0, 0, 1e-9, 1e-6, 1e-3, 1]))
        pile = hot_column(
            cells=16, kind="on_off", thickness=thickness, set_points=(set_point, set_point + apart),
            loaded_at=(set_point, set_point), power=power,
        )  # fmt: skip
        until = Until(kind="coldest_above", level=level)
        outcome = run(pile, duration=3 * 3600.0, until=until, close_after=30.0, tolerance=tolerance)
        runs.append((set_point + apart, level, outcome))
    return runs


def test_a_thermostat_is_never_left_on_nor_an_end_run_past():
    """Of these 600, two do one or the other where only the first event of a step is looked at."""
    for highest, level, outcome in drawn_runs(600):
        assert outcome.history.sensor.max() < highest + BAND + OVERSHOOT
        if not outcome.reached:
            assert outcome.history.coldest.max() < level + 0.01


@pytest.mark.parametrize("tolerance", [0.5, 0.2, 0.1, 0.05, 0.02])
def test_a_face_near_its_limit_is_spent_by_its_dose_however_long_the_step(tolerance: float):
    """At 190 °C the face stands a few kelvin under its limit and never passes it: its dose alone ends the run.

    The equivalent time at 200 °C is 0.5 % of the allowance or less beside it, a trapezoid's error over one step.
    """
    outcome = run(
        hot_column(HDPE, thickness=0.008, cells=24), duration=14_400, close_after=30, activation=100e3,
        until=Until(kind="face_spent", level=1800, limit=192), tolerance=tolerance,
    )  # fmt: skip
    assert outcome.reached
    assert float(outcome.history.hottest.max()) < 192
    assert outcome.dose == pytest.approx(1800, rel=5e-3)


def test_a_face_that_passes_its_limit_first_ends_there():
    outcome = run(
        hot_column(HDPE, thickness=0.008, cells=24), duration=14_400, close_after=30, activation=100e3,
        until=Until(kind="face_spent", level=1800, limit=180), tolerance=0.1,
    )  # fmt: skip
    assert outcome.reached
    assert outcome.dose < 900
    assert float(outcome.history.face[-1].max()) == pytest.approx(180, abs=0.05)
