"""Which way answers must go: thicker is later, hotter is sooner, upside down is upside down."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from flatstock.heat.layers import Joint, sheet
from flatstock.heat.pile import Pile, Until, run
from tests.heat.columns import HDPE, film, hot_column, steel, still_air
from tests.heat.materials import COMMON, FEW, between, polymers, presses


def melt_through(**press) -> float:
    end = run(
        hot_column(cells=16, **press),
        duration=14_400,
        until=Until(kind="coldest_above", level=172),
        close_after=30,
    )
    assert end.reached
    return end.time


@FEW
@given(
    polymer=COMMON,
    thin=between(0.003, 0.02),
    more=between(0.0002, 0.01),
    kind=st.sampled_from(["proportional", "on_off"]),
)
def test_thicker_is_never_sooner(polymer, thin, more, kind):
    common = {"set_points": (210, 210), "loaded_at": (210, 210), "kind": kind}
    assert melt_through(polymer=polymer, thickness=thin + more, **common) > melt_through(
        polymer=polymer, thickness=thin, **common
    )


@FEW
@given(polymer=COMMON, set_point=between(180, 220), more=between(0.5, 15), thickness=between(0.003, 0.02))
def test_hotter_platens_are_never_later(polymer, set_point, more, thickness):
    cool, hot = set_point, set_point + more
    common = {"polymer": polymer, "thickness": thickness}
    assert melt_through(set_points=(hot, hot), loaded_at=(hot, hot), **common) < melt_through(
        set_points=(cool, cool), loaded_at=(cool, cool), **common
    )


@FEW
@given(polymer=COMMON, set_point=between(180, 220), more=between(0.5, 15))
def test_hotter_on_off_platens_are_later_by_less_than_one_switching_period(polymer, set_point, more):
    """A thermostat may just have switched off: 4 K of band at 10 kW/m² and back again take under 120 s."""

    def melts(t: float) -> float:
        return melt_through(
            polymer=polymer, thickness=0.008, kind="on_off", set_points=(t, t), loaded_at=(t, t)
        )

    assert melts(set_point + more) < melts(set_point) + 120


@FEW
@given(pile=presses())
def test_turning_the_column_over_turns_the_answer_over(pile):
    """Same numbers in the other order, to the rounding that the steps let grow: 1e-3 K.

    Without one thing: the joints above and below are swapped along with the layers.
    """
    turned = Pile(
        pile.layers[::-1], pile.joints[::-1], pile.top, pile.bottom, room=pile.room, edge_film=pile.edge_film,
        perimeter_per_area=pile.perimeter_per_area, rim_film=pile.rim_film, heaters=pile.heaters[::-1],
    )  # fmt: skip
    up = run(pile, duration=200, close_after=30)
    down = run(turned, duration=200, close_after=30)
    for a, b in zip(up.pile.layers, down.pile.layers[::-1], strict=True):
        assert a.temperature == pytest.approx(b.temperature[::-1], abs=1e-3)
        assert a.memory == pytest.approx(b.memory[::-1], abs=1e-3, rel=1e-3)


@FEW
@given(polymer=polymers(), room=between(5, 35), start=between(60, 220))
def test_everything_ends_at_room_temperature(polymer, room, start):
    """Two weeks in still air: 0.01 K."""
    lump = sheet(polymer, mass=10, temperature=start, cells=6)
    pile = Pile((steel(0.002, start), lump, steel(0.002, start)), (Joint.fixed(500),) * 2, *still_air(room), room=room,
                edge_film=8, perimeter_per_area=4)  # fmt: skip
    end = run(pile, duration=14 * 86_400)
    for layer in end.pile.layers:
        assert layer.temperature == pytest.approx(room, abs=0.01)
    assert np.all(end.pile.layers[1].memory[:, 0] == 0)


def test_a_press_at_its_set_point_stays_near_it():
    """Proportional control's offset is what the platen loses over the gain, 0.44 K: half the edge and the back.
    On/off stays within its band of ± 2 K and what the platen's depth adds."""
    mould = hot_column(HDPE, thickness=0.006, cells=12)
    warm = run(mould, duration=20_000, close_after=30).history
    loses = 4 * 170 + 0.5 * warm.power[-1, 4]
    assert 190 - warm.sensor[-1] == pytest.approx(loses / 2000, rel=0.01)
    swung = run(
        hot_column(HDPE, thickness=0.006, cells=12, kind="on_off"), duration=20_000, close_after=30
    ).history
    late = swung.sensor[swung.time > 15_000]
    assert 187.0 < late.min() < 188.6
    assert 191.4 < late.max() < 193.0


def test_a_thermostat_keeps_its_switch_from_run_to_run():
    end = run(hot_column(HDPE, kind="on_off"), duration=100, close_after=30)
    bottom, top = end.pile.heaters
    assert bottom is not None
    assert bottom.on is True
    cooling = replace(end.pile, heaters=(bottom.switched(False), top))
    assert run(cooling, duration=1).history.power[0, 0] == 0


def test_a_platen_that_reaches_beyond_the_mould_helps_and_its_rim_loses():
    """a = 1.5 brings melt-through about 4 % forward (docs/heat.md, "What matters")."""
    plain_press = melt_through(thickness=0.012, set_points=(190, 190))
    large = melt_through(thickness=0.012, set_points=(190, 190), area_ratio=1.5, rim_film=10)
    assert large / plain_press == pytest.approx(0.96, abs=0.025)
    pile = hot_column(HDPE, area_ratio=1.5, rim_film=10, cells=8)
    first = run(pile, duration=1e-3)
    assert first.energy.rim == pytest.approx(2 * 10 * 0.5 * 170 * 1e-3, rel=1e-3)


def test_a_water_cooled_face_ends_at_the_water():
    lump = sheet(HDPE, mass=5, temperature=150, cells=8)
    end = run(
        Pile((steel(0.01, 150), lump), (Joint.fixed(500),), film(1500, 12), film(1500, 12), room=20),
        duration=50_000,
    )
    assert end.pile.layers[1].temperature == pytest.approx(12, abs=1e-3)
