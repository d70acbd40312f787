"""How warm plates are when a mould is clamped, and what that makes of its stay: against the heat model mould by mould."""

from __future__ import annotations

import random
from bisect import bisect_right
from dataclasses import replace
from math import exp, log

import pytest

from flatstock.heat.pile import Until
from flatstock.pressing.cooling import PLATES
from flatstock.pressing.forecast import forecast
from flatstock.pressing.rig import cold_press
from flatstock.pressing.warm_plates import COLD, warm_plates
from flatstock.workshop.shop import CoolingPress

MINUTE, HOUR = 60.0, 3600.0
KINDS = (("hdpe", 0.012), ("hdpe", 0.018), ("pp", 0.006))


def still(working, plastic, thickness):
    """Its moulds in a row through the demo's cooling press, fans off."""
    return replace(working(plastic=plastic, thickness=thickness).cooling, fans=False)


def by_warmth(cooling, late=1.0):
    found = warm_plates(cooling, late=late, demould_below=50.0)
    assert found is not None
    return found


def between(at, values, x):
    """In a straight line between two entries, and beyond the last."""
    n = min(max(bisect_right(at, x), 1), len(at) - 1)
    share = (x - at[n - 1]) / (at[n] - at[n - 1])
    return values[n - 1] + share * (values[n] - values[n - 1])


def rows(cooling, rest, *, moulds=4):
    """Stays of moulds that follow each other, each opened as soon as it may be, with the press empty between: as the
    heat model has them, and as told from the warmth of the plates."""
    told, press = by_warmth(cooling), cooling.press
    calm = replace(cooling, fans=False).press
    until = Until(kind="hottest_below", level=cooling.open_below)
    warmth, model, table = 0.0, [], []
    for _ in range(moulds):
        press, _, outcome = press.hold(cooling.arriving, duration=48 * HOUR, until=until, tolerance=0.1)
        press = replace(press, outer=calm.outer).stand_empty(rest, tolerance=0.1)
        model.append(outcome.time / MINUTE)
        table.append(between(told.warmth, told.opens, warmth) / MINUTE)
        warmth = max(0.0, between(told.warmth, told.leaves, warmth) - rest)
    return model, table


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("rest", [10, 30, 60, 120])
def test_a_row_of_moulds_stays_as_the_heat_model_has_it_whatever_the_rests_between(working, kind, rest):
    """Between two looks lines lie above a curve that bends upwards: never much below, and at most minutes above."""
    model, told = rows(still(working, *kind), rest * MINUTE)
    for mould, (right, said) in enumerate(zip(model, told, strict=True)):
        assert said >= 0.93 * right - 0.5, mould
        assert said <= 1.15 * right + 3, mould


def test_plates_are_cold_after_the_rest_that_their_warmth_says(working):
    cooling = still(working, "hdpe", 0.012)
    told = by_warmth(cooling)
    for share, warmth in ((0.5, told.warmth[4]), (0.9, told.warmth[-1])):
        start = cooling.room + share * (cooling.open_below - cooling.room)
        press = cold_press(
            cooling.shop_press, cooling.mould, room=cooling.room, fans=False, plate_cells=PLATES, plates=start
        ).stand_empty(warmth, tolerance=0.1)
        assert press.lower.temperature.mean() == pytest.approx(cooling.room + COLD, abs=0.3)
        assert press.upper.temperature.mean() == pytest.approx(cooling.room + COLD, abs=0.3)


def test_the_warmth_of_plates_is_newtons_law_of_one_lump(working):
    """Resting on each other they are one heat capacity with the films of both outer faces: T - T0 falls as
    exp(-t K/C) (Incropera & DeWitt ch. 5, from memory), so between two temperatures C/K ln(θ1/θ2) goes by."""
    cooling = still(working, "hdpe", 0.012)
    place: CoolingPress = cooling.shop_press
    told = by_warmth(cooling)
    capacity = sum(p.mass * p.metal.specific_heat.value for p in (place.bottom, place.top))
    films = place.film_bottom.film.value * place.bottom.area + place.film_top.film.value * place.top.area
    above = 0.9 * (cooling.open_below - cooling.room)
    assert told.warmth[-1] == pytest.approx(capacity / films * log(above / COLD), rel=0.03)
    half = above * exp(-told.warmth[-1] / 2 * films / capacity)
    assert 1 < half < above / 2


def test_a_first_mould_stays_as_on_its_card(working):
    told = by_warmth(still(working, "hdpe", 0.012))
    assert told.opens[0] == pytest.approx(still(working, "hdpe", 0.012).times[0].value, rel=0.02)


def test_the_late_end_of_the_band_stays_on_every_mould(working):
    cooling = still(working, "hdpe", 0.012)
    middle, late = by_warmth(cooling), by_warmth(cooling, late=1.2)
    for name in ("opens", "ends"):
        for right, later in zip(getattr(middle, name), getattr(late, name), strict=True):
            assert later == pytest.approx(1.2 * right)


@pytest.mark.parametrize("seed", range(6))
def test_thick_and_thin_moulds_mixed_under_fans_stay_as_the_heat_model_has_it(working, seed):
    draw = random.Random(seed)
    kinds = [working(plastic=p, thickness=t).cooling for p, t in (("hdpe", 0.018), ("hips", 0.006))]
    assert all(one.fans for one in kinds)
    told = [by_warmth(one) for one in kinds]
    calm, warmth, press = replace(kinds[0], fans=False).press, 0.0, kinds[0].press
    for mould in range(10):
        rest, which = draw.choice([6, 6, 10, 30, 120]) * MINUTE, draw.randrange(2)
        press = replace(press, outer=calm.outer).stand_empty(rest, tolerance=0.1)
        warmth = max(0.0, warmth - rest)
        press = replace(press, outer=kinds[which].press.outer)
        until = Until(kind="hottest_below", level=kinds[which].open_below)
        press, _, outcome = press.hold(kinds[which].arriving, duration=48 * HOUR, until=until, tolerance=0.1)
        said = between(told[which].warmth, told[which].opens, warmth)
        assert said >= 0.93 * outcome.time - 30, mould
        assert said <= 1.15 * outcome.time + 3 * MINUTE, mould
        warmth = between(told[which].warmth, told[which].leaves, warmth)


@pytest.mark.parametrize("kind", [*KINDS, ("hips", 0.006)])
@pytest.mark.parametrize("fans", [False, True])
def test_on_warmer_plates_no_mould_may_be_opened_or_demoulded_sooner(working, kind, fans):
    plastic, thickness = kind
    told = by_warmth(replace(working(plastic=plastic, thickness=thickness).cooling, fans=fans))
    for stays in (told.warmth, told.opens, told.ends):
        assert list(stays) == sorted(stays)
    assert told.opens[-1] > 1.5 * told.opens[0]


def test_fans_that_blow_on_a_mould_take_more_off_the_warmth_than_rest_does_and_still_air_less(working):
    blown, calm = (replace(working().cooling, fans=fans) for fans in (True, False))
    assert by_warmth(blown).fades > 1.5
    assert 0.5 < by_warmth(calm).fades < 1


def test_plates_are_looked_at_but_where_water_runs(shop, working):
    blown = forecast(shop, working(), colour="dark")
    calm = {name: replace(one, fans_on=False) for name, one in shop.cooling_presses.items()}
    quiet = replace(shop, cooling_presses=calm)
    found = forecast(quiet, working(), colour="dark")
    assert found.warming.keys() == blown.warming.keys() == calm.keys()
    assert found.press_cool["CP1"] > 8 * found.warming["CP1"].opens[0]
    assert found.warming["CP1"].opens[-1] > 3 * blown.warming["CP1"].opens[-1]
    wet = {
        name: replace(one, film_bottom=replace(one.film_bottom, kind="water"))
        for name, one in shop.cooling_presses.items()
    }
    assert forecast(replace(shop, cooling_presses=wet), working(), colour="dark").warming == {}
