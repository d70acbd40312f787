"""Empty platens between two temperatures, against the closed form in the demo's own numbers."""

import pytest

from flatstock.actions.plans import Physics
from flatstock.actions.workshops import open_workshop
from flatstock.demo import copy_to


@pytest.fixture(scope="module")
def physics(tmp_path_factory):
    folder = tmp_path_factory.mktemp("plan") / "demo"
    copy_to(folder)
    return Physics(open_workshop(folder))


def test_heat_up_takes_39_and_a_half_minutes(physics):
    # 18 kW, 462 kg of steel at 490 J/kgK, 12 W/K, 18 to 195 °C: C/K ln(P/(P - K ΔT)), worked by hand
    assert physics.between("HP1", 18, 195) / 60 == pytest.approx(39.5, abs=0.1)


def test_down_takes_ten_times_as_long_as_up(physics):
    # 195 to 210 °C at full power 3.6 min, 210 to 190 °C empty about 35 min: the same closed form
    assert physics.between("HP1", 195, 210) / 60 == pytest.approx(3.6, abs=0.1)
    assert physics.between("HP1", 210, 190) / 60 == pytest.approx(34.6, abs=0.3)


def test_holding_takes_what_the_press_loses(physics):
    assert physics.hold("HP1", 195) == pytest.approx(12 * (195 - 18))


def test_a_temperature_that_the_heaters_cannot_reach_is_never_reached(physics):
    assert physics.between("HP1", 18, 2000) == float("inf")
