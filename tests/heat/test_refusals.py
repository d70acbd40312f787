"""What can't be computed is refused before the first step, with the number in the sentence."""

from dataclasses import replace
from math import inf, nan

import numpy as np
import pytest

from flatstock.errors import OutOfRange
from flatstock.heat.layers import ALUMINIUM, Controller, Joint, charge, metal, sheet
from flatstock.heat.pile import Pile, Until, lay_out, run
from flatstock.heat.polymer import Bed
from tests.heat.columns import HDPE, INSULATED, column, film, hot_column, steel


@pytest.mark.parametrize("name", ["density", "latent", "melt_k_180", "solid_cp_slope", "melting_end"])
@pytest.mark.parametrize("value", [nan, inf])
def test_a_property_that_is_not_a_number_is_refused(name, value):
    with pytest.raises(OutOfRange, match=rf"{name} is {value}"):
        replace(HDPE, **{name: value})


@pytest.mark.parametrize(
    "name", ["density", "melt_volume_180", "solid_cp_23", "melt_cp_180", "solid_k_23", "melt_k_180"]
)
@pytest.mark.parametrize("value", [0.0, -1.0])
def test_a_property_that_is_zero_or_negative_is_refused(name, value):
    with pytest.raises(OutOfRange, match=f"{name} is {value}; it must be above 0"):
        replace(HDPE, **{name: value})


def test_negative_latent_heat_is_refused():
    with pytest.raises(OutOfRange, match="latent heat is -1"):
        replace(HDPE, latent=-1.0)


@pytest.mark.parametrize(
    "curves",
    [{"freezing_end": 123.0}, {"freezing_onset": 139.0}, {"freezing_end": 124.0, "freezing_onset": 140.0}],
)
def test_freezing_above_melting_is_refused(curves):
    with pytest.raises(OutOfRange, match="freezing comes at or below melting"):
        replace(HDPE, **curves)


@pytest.mark.parametrize(
    "curves", [{"melting_end": 122.0}, {"melting_end": 100.0}, {"freezing_onset": 113.5}]
)
def test_a_range_without_width_or_upside_down_is_refused(curves):
    with pytest.raises(OutOfRange, match="no width or is upside down"):
        replace(HDPE, **curves)


@pytest.mark.parametrize("void", [-0.01, 0.951, nan])
def test_a_void_fraction_outside_0_to_0_95_is_refused(void):
    with pytest.raises(OutOfRange, match=r"void fraction .* is outside"):
        replace(HDPE, bed=Bed(void=void))


def test_enthalpy_that_falls_while_it_gets_warmer_is_refused():
    """Melt that holds less heat than the solid, within a narrow range: heating would cool it."""
    with pytest.raises(OutOfRange, match="would cool by taking up heat"):
        replace(HDPE, latent=0.0, melt_cp_180=5000.0, melt_cp_slope=0.0, freezing_end=119, freezing_onset=122)


@pytest.mark.parametrize("thickness", [0.0, -0.01, nan, inf])
def test_a_layer_without_thickness_is_refused(thickness):
    with pytest.raises(OutOfRange, match="thickness is"):
        metal(ALUMINIUM, thickness=thickness, temperature=20)


@pytest.mark.parametrize("mass", [0.0, -3.0, nan])
def test_a_charge_without_mass_is_refused(mass):
    with pytest.raises(OutOfRange, match="mass is"):
        charge(HDPE, mass=mass, temperature=20)


@pytest.mark.parametrize("t", [-80.0, 500.0, nan])
def test_a_metal_temperature_outside_the_range_is_refused(t):
    with pytest.raises(OutOfRange, match="temperature"):
        metal(ALUMINIUM, thickness=0.01, temperature=t)


@pytest.mark.parametrize("t", [nan, -300.0, 900.0])
def test_a_plastic_temperature_outside_the_range_is_refused(t):
    with pytest.raises(OutOfRange, match="temperature"):
        sheet(HDPE, mass=3, temperature=t)


def test_loose_flake_that_would_be_melting_is_refused():
    with pytest.raises(OutOfRange, match="not loose flake"):
        charge(HDPE, mass=3, temperature=130)


@pytest.mark.parametrize("moisture", [-0.01, 0.2, nan])
def test_moisture_outside_0_to_20_percent_is_refused(moisture):
    with pytest.raises(OutOfRange, match="moisture"):
        charge(HDPE, mass=3, temperature=20, moisture=moisture)


@pytest.mark.parametrize("conductance", [0.0, -5.0, nan, inf])
def test_a_contact_that_is_not_positive_is_refused(conductance):
    pile = column(
        [steel(0.002, 20), steel(0.002, 90)], bottom=INSULATED, top=INSULATED, joint=Joint.fixed(conductance)
    )
    with pytest.raises(OutOfRange, match="contact conductance"):
        lay_out(pile)


@pytest.mark.parametrize(
    "change",
    [{"room": nan}, {"room": 500.0}, {"edge_film": -1.0}, {"perimeter_per_area": nan}, {"rim_film": inf}],
)
def test_surroundings_that_are_no_numbers_are_refused(change):
    with pytest.raises(OutOfRange, match="must be finite and not negative|must lie within"):
        replace(hot_column(cells=4), **change)


@pytest.mark.parametrize("value", [nan, inf, -4.0])
def test_a_film_that_is_no_number_is_refused(value):
    with pytest.raises(OutOfRange, match="film is"):
        film(value)
    with pytest.raises(OutOfRange, match="beyond a face"):
        film(4, 100 * value)


@pytest.mark.parametrize("change", [{"set_point": nan}, {"power": -1.0}, {"gain": inf}, {"band": nan}])
def test_a_controller_that_is_no_number_is_refused(change):
    with pytest.raises(OutOfRange, match=f"{next(iter(change))} is"):
        Controller(**{"kind": "on_off", "set_point": 190, "power": 1e4} | change)


@pytest.mark.parametrize("duration", [nan, inf, -1.0])
def test_a_duration_that_is_not_one_is_refused(duration):
    with pytest.raises(OutOfRange, match="duration"):
        run(hot_column(cells=4), duration=duration)


@pytest.mark.parametrize("tolerance", [nan, 0.0, 10.0])
def test_a_tolerance_outside_the_range_is_refused(tolerance):
    with pytest.raises(OutOfRange, match="tolerance"):
        run(hot_column(cells=4), duration=1, tolerance=tolerance)


def test_a_pile_of_one_cell_heaters_on_plastic_and_a_missing_joint_are_refused():
    with pytest.raises(OutOfRange, match="two cells"):
        lay_out(Pile((steel(0.002, 20),), (), INSULATED, INSULATED, room=20))
    with pytest.raises(OutOfRange, match="2 layers need 1 joints, not 0"):
        lay_out(Pile((steel(0.002, 20), steel(0.002, 20)), (), INSULATED, INSULATED, room=20))
    heater = Controller(kind="proportional", set_point=190, power=1e4)
    bare = replace(
        column([sheet(HDPE, mass=3, temperature=20)], bottom=INSULATED, top=INSULATED), heaters=(heater, None)
    )
    with pytest.raises(OutOfRange, match="metal layer"):
        lay_out(bare)


def test_a_sheet_that_is_not_there_is_refused():
    with pytest.raises(OutOfRange, match="no plastic layer number 1"):
        run(hot_column(cells=4), duration=1, until=Until(kind="coldest_above", level=165, sheet=1))


def test_nothing_changes_in_what_is_handed_in():
    pile = hot_column(cells=6)
    before = [layer.temperature.copy() for layer in pile.layers]
    run(pile, duration=100)
    for layer, was in zip(pile.layers, before, strict=True):
        assert np.array_equal(layer.temperature, was)


def test_one_draw_of_many_that_can_be_no_material_is_refused():
    with pytest.raises(OutOfRange, match="solid_k_23 is -0.1; it must be above 0"):
        HDPE.rows({"solid_k_23": np.array([0.4, -0.1, 0.5])})
