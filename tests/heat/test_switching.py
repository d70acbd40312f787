"""Thermostats that switch, and runs that end, within one step: no event is missed however coarse the steps."""

import numpy as np

from flatstock.heat.pile import Outcome, Until, run
from tests.heat.columns import hot_column

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
