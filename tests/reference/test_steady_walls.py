"""Walls in series, outer faces, lumped bodies.

Incropera & DeWitt, Fundamentals of Heat and Mass Transfer: worked examples read in a public solution
file for the chip, the body and the linearised radiation, correlations from memory for the hot plate; the others
computed apart.
"""

import numpy as np
import pytest

from flatstock.heat.layers import ALUMINIUM, Controller, Joint, Metal, Outside, metal, sheet
from flatstock.heat.pile import Pile, Until, lay_out, run
from flatstock.heat.press import Mould, carry_through_air
from flatstock.heat.rates import outer_loss
from flatstock.heat.stack import Arrival, StackPlace, cool_stack
from tests.heat.columns import HELD, PERFECT, film, plain, steel

LONG = 1e6  # s: steady


def test_a_chip_that_is_cooled_on_both_sides_has_75_31_degrees():
    """Incropera ex. 3.2: 10 kW/m², film 100 on both faces, a joint and 8 mm of aluminium on one side; 0.01 K."""
    chip = metal(Metal(density=2000, specific_heat=700, conductivity=1e9), thickness=1e-3, temperature=25)
    plate = metal(
        Metal(density=2700, specific_heat=900, conductivity=239), thickness=0.008, temperature=25, cells=4
    )
    full = Controller(kind="proportional", set_point=1e6, power=1e4)  # never reached: always at its limit
    pile = Pile(
        (chip, plate),
        (Joint.fixed(1 / 0.9e-4),),
        film(100, 25),
        film(100, 25),
        room=25,
        heaters=(full, None),
    )
    assert run(pile, duration=LONG).pile.layers[0].temperature[0] == pytest.approx(75.31, abs=0.01)


@pytest.mark.parametrize(("insulation", "outer"), [(4.39e-3, 2 + 5.9), (6.09e-3, 200.0)])
def test_a_body_of_100_watts_keeps_a_skin_of_34_44_degrees(insulation, outer):
    """Incropera ex. 3.1, air and water at 10 °C; the thickness is printed to 0.01 mm, 0.2 % of the heat."""
    skin = metal(
        Metal(density=1000, specific_heat=4000, conductivity=0.3), thickness=3e-3, temperature=35, cells=4
    )
    suit = metal(
        Metal(density=100, specific_heat=1000, conductivity=0.014),
        thickness=insulation,
        temperature=35,
        cells=4,
    )
    end = run(Pile((skin, suit), (PERFECT,), film(HELD, 35), film(outer, 10), room=10), duration=LONG)
    loss = end.history.power[-1, 3]
    assert 1.8 * loss == pytest.approx(100, rel=2e-3)
    surface = end.pile.layers[0].temperature[-1] - loss * end.pile.layers[0].half[-1]
    assert surface == pytest.approx(34.44, abs=0.01)


def test_a_composite_wall_carries_4425_watts():
    """Incropera's wall of resistances in series, recomputed: 0.01 K and the flux to its last printed digit."""
    block = sheet(plain(k=0.25, c=2300, density=950), mass=9.5, temperature=100, cells=20, melted=0.0)
    joint = Joint.fixed(1 / 2e-4)
    pile = Pile(
        (steel(0.002, 100), block, steel(0.002, 100)),
        (joint, joint),
        film(1e4, 200),
        film(1e4, 20),
        room=20,
    )
    end = run(pile, duration=LONG)
    assert end.history.power[-1, 2:4] == pytest.approx([-4424.8, 4424.8], abs=0.05)
    assert end.history.face[-1] == pytest.approx([198.50, 21.50], abs=0.01)


@pytest.mark.parametrize(("surroundings", "expected"), [(175.0, 15.0), (25.0, 8.76)])
def test_radiation_from_150_degrees_is_worth_a_film_of_8_8_to_15(surroundings, expected):
    """Incropera, as printed (0.05); ε 0.8, no convection."""
    face = Outside(kind="still_air", temperature=surroundings, emissivity=0.8)
    assert loss(150.0, face) / (150.0 - surroundings) == pytest.approx(expected, abs=0.05)


def test_a_hot_plate_in_still_air_loses_2215_watts_upwards():
    """0.15 Ra^(1/3) plus radiation, Incropera ch. 9, at 150 °C.

    The engine's films have one coefficient for warm air: 3.2 % low in h at this film temperature of 87 °C,
    hence 2 % on the sum of both; face down 1.3 % low against 3.11 W/m2K, hence 2 %.
    """
    up = Outside.still_air(side="top", room=25, emissivity=0.9, length=0.25)
    down = Outside.still_air(side="bottom", room=25, emissivity=0.0, length=0.25)
    assert loss(150.0, up) == pytest.approx(2215, rel=0.02)
    assert loss(150.0, down) / 125 == pytest.approx(3.11, rel=0.02)


def test_a_plate_in_still_air_loses_what_its_true_face_loses():
    """Behind a resistance the face is colder than the cell: conduction to it equals what leaves it, to 1e-9."""
    outside = Outside.still_air(side="top", room=20, emissivity=0.8, length=0.25)
    q, slope = outer_loss(150.0, 0.02, _row(outside))
    face = 150.0 - 0.02 * q
    assert q == pytest.approx(loss(face, outside), rel=1e-9)
    nearby, _ = outer_loss(150.001, 0.02, _row(outside))
    assert slope == pytest.approx((nearby - q) / 0.001, rel=1e-4)


def _row(outside: Outside) -> np.ndarray:
    return lay_out(Pile((steel(0.001, 20, 2),), (), outside, outside, room=20)).ends[1]


def loss(face: float, outside: Outside) -> float:
    """Heat that leaves a face of that temperature [W/m2]."""
    return outer_loss(face, 0.0, _row(outside))[0]


def test_a_mould_in_air_takes_64_minutes_from_180_to_40_degrees():
    """τ = C/2h = 1846 s; 0.1 % as listed. k is raised a hundredfold, so that the body is lumped."""
    melt = sheet(plain(k=25.0, c=2300, density=950), mass=9.5, temperature=180, cells=4, melted=0.0)
    air = film(10, 20)
    _, done = carry_through_air(
        Mould(steel(0.002, 180), melt, steel(0.002, 180)), duration=LONG, skin_sheet=PERFECT, faces=(air, air),
        room=20, edge_film=0, perimeter_per_area=0, until=Until(kind="hottest_below", level=40), tolerance=1e-3,
    )  # fmt: skip
    assert done.time / 60 == pytest.approx(64.0, rel=1e-3)


def test_the_middle_of_a_stack_of_ten_needs_38_558_s_to_lose_ninety_percent():
    """Against an explicit layer-by-layer run written apart; 0.05 % (docs/heat.md), cells leave 0.01 %."""
    block = plain(k=0.25, c=2300, density=950)
    melt = sheet(block, mass=9.5, temperature=120, cells=20, melted=0.0)
    mould = Mould(steel(0.002, 120, 2), melt, steel(0.002, 120, 2))
    place = StackPlace(
        outer=(film(HELD, 20), film(HELD, 20)), plate_skin=PERFECT, skin_skin=PERFECT, skin_sheet=Joint.fixed(1 / 2e-4),
        room=20, edge_film=0, perimeter_per_area=0,
    )  # fmt: skip
    end = cool_stack(place, [Arrival(mould, 0.0)] * 10, end=45_000, tolerance=1e-3, profiles=True)
    _, outcome = end.stages[-1]
    inner = 5 * (2 + 20 + 2)  # the first cell above the plane in the middle
    profile = outcome.history.profile
    assert profile is not None
    middle = 0.5 * (profile[:, 0, inner - 1] + profile[:, 0, inner])
    assert np.interp(-30.0, -middle, outcome.history.time) == pytest.approx(38_558, rel=5e-4)


def test_turning_a_wall_of_layers_round_leaves_its_flux():
    """Layers in series: their order doesn't matter (scaling test of area D), to the end of the transient."""
    aluminium = metal(ALUMINIUM, thickness=0.01, temperature=50, cells=3)
    block = sheet(plain(k=0.25, c=2300, density=950), mass=9.5, temperature=50, cells=12, melted=0.0)
    joints = (Joint.fixed(400), Joint.fixed(900))
    layers = (aluminium, block, steel(0.003, 50))
    hot, cold = film(100, 180), film(7, 20)
    up = run(Pile(layers, joints, hot, cold, room=20), duration=LONG)
    turned = run(Pile(layers[::-1], joints[::-1], hot, cold, room=20), duration=LONG)
    assert turned.history.power[-1, 3] == pytest.approx(up.history.power[-1, 3], rel=1e-7)
