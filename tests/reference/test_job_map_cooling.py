"""Cooling figures of the project's job map, section 4.7, under the assumptions of its section 4.9.

Computed elsewhere, by another program; neither is measured. They come back when the solid conducts like the
melt (0.25 W/mK for HDPE, 0.19 for PP, whatever the temperature): section 4.9 names one conductivity only, and with
docs/heat.md's solid of 0.46 W/mK they don't. Also from there: fixed films 6 below and 8 above (25 with
fans), no edge loss, steel c 490, plates of 20 mm, contacts 1.5e-3 and 3e-4 m²K/W, room 18 °C, cores 189 °C
(205 for PP). ± 5 % in time, ± 3 K.
"""

from math import isnan

import numpy as np
import pytest

from flatstock.heat.layers import Joint, Metal, metal, sheet
from flatstock.heat.polymer import Polymer
from flatstock.heat.press import ColdPress, Mould
from flatstock.heat.readings import at
from flatstock.heat.stack import Arrival, StackPlace, StackRun, cool_stack
from tests.heat.columns import film

STEEL = Metal(density=7850, specific_heat=490, conductivity=50)
STILL, FANS = (film(6, 18), film(8, 18)), (film(25, 18), film(25, 18))
HOUR = 3600.0


def plastic(density, solid_cp, melt_cp, latent, melting, freezing, k) -> Polymer:
    return Polymer(
        density=density, solid_volume_slope=4e-7, melt_volume_180=1.3e-3, melt_volume_slope=1e-6, solid_cp_23=solid_cp,
        solid_cp_slope=0, melt_cp_180=melt_cp, melt_cp_slope=0, latent=latent, latent_at=melting[1] - 1,
        melting_onset=melting[0], melting_end=melting[1], freezing_end=freezing[0], freezing_onset=freezing[1],
        solid_k_23=k, solid_k_slope=0, melt_k_180=k,
    )  # fmt: skip


HDPE = plastic(950, 2250, 2500, 180e3, (115, 133), (108, 120), 0.25)
PP = plastic(905, 2000, 2600, 90e3, (140, 166), (105, 122), 0.19)


def steel(thickness: float, temperature: float, cells: int = 1):
    return metal(STEEL, thickness=thickness, temperature=temperature, cells=cells)


def mould(thickness: float, polymer: Polymer = HDPE, temperature: float = 189.0) -> Mould:
    melt = sheet(polymer, mass=polymer.density * thickness, temperature=temperature, cells=40, melted=1.0)
    return Mould(steel(0.002, temperature), melt, steel(0.002, temperature))


def cores(
    thickness: float, every: float, count: int, outer
) -> list[tuple[float, np.ndarray, np.ndarray, np.ndarray]]:
    """Histories of moulds that follow each other in the cooling press, each staying until the next comes."""
    plate = steel(0.020, 18, 4)
    cold = ColdPress(
        lower=plate, upper=plate, outer=outer, plate_skin=Joint.fixed(1 / 1.5e-3), skin_sheet=Joint.fixed(1 / 3e-4),
        room=18, edge_film=0, rim_film=0, perimeter_per_area=4,
    )  # fmt: skip
    found = []
    for _ in range(count):
        cold, _, outcome = cold.hold(mould(thickness), duration=every)
        h = outcome.history
        found.append((h.time, h.hottest[:, 0], h.hottest_rate[:, 0]))
    return found


def at_minute(core, minute: float) -> float:
    return float(at(minute * 60, *core))


def stack(moulds: list[Mould], times: list[float], outer=STILL, end: float = 60 * HOUR) -> StackRun:
    plate = steel(0.020, 18, 4)
    place = StackPlace(
        plates=(plate, plate), outer=outer, plate_skin=Joint.fixed(1 / 1.5e-3), skin_skin=Joint.fixed(1 / 1.5e-3),
        skin_sheet=Joint.fixed(1 / 3e-4), room=18, edge_film=0, perimeter_per_area=4,
    )  # fmt: skip
    return cool_stack(place, [Arrival(m, t) for m, t in zip(moulds, times, strict=True)], end=end)


def test_one_mould_between_cold_plates_reaches_90_degrees():
    """6 mm in 2 to 3 min, 12 mm in 8 min, 18 mm in 18 min.

    The 18 min come back with fans; in still air this model needs 20.
    """
    (thin,), (middle,), (thick,) = (
        cores(0.006, 3000, 1, STILL),
        cores(0.012, 3000, 1, STILL),
        cores(0.018, 3000, 1, FANS),
    )
    assert at_minute(thin, 2) > 90 > at_minute(thin, 3)
    assert at_minute(middle, 8) == pytest.approx(90, abs=3)
    assert at_minute(thick, 18) == pytest.approx(90, abs=3)


def test_12_mm_every_45_minutes_in_still_air_opens_later_each_time():
    """Story 5: 80 °C at 9 min; 90 at 24; 101 at 45; 113 at 45."""
    first, second, third, fourth = cores(0.012, 2700, 4, STILL)
    got = [at_minute(first, 9), at_minute(second, 24), at_minute(third, 45), at_minute(fourth, 45)]
    assert got == pytest.approx([80, 90, 101, 113], abs=3)


def test_with_fans_every_12_mm_mould_is_below_90_by_15_minutes():
    """And below 80 by 21 min."""
    for core in cores(0.012, 2700, 6, FANS):
        assert at_minute(core, 15) < 90
        assert at_minute(core, 21) < 80 + 0.5


def test_with_fans_18_mm_every_44_minutes_settles_at_38_minutes():
    """Below 90 °C at 38 min, 82 °C when the next one arrives."""
    steady = cores(0.018, 2640, 7, FANS)[-1]
    assert at_minute(steady, 38) == pytest.approx(90, abs=3)
    assert at_minute(steady, 44) == pytest.approx(82, abs=3)


@pytest.mark.parametrize(("count", "hours"), [(2, 5.6), (3, 8.5), (4, 11.6), (5, 15.0), (6, 18.6)])
def test_a_stack_that_is_made_at_once_in_still_air(count, hours):
    """Hours until the hottest core is at 45 °C."""
    cooled = stack([mould(0.012)] * count, [0.0] * count)
    ready = max(cooled.below(i, 45.0) or np.nan for i in range(count))
    assert not isnan(ready)
    assert ready / HOUR == pytest.approx(hours, rel=0.05)


@pytest.mark.parametrize(("count", "core"), [(4, 64), (5, 92)])
def test_20_mm_sheets_after_fourteen_hours(count, core):
    cooled = stack([mould(0.020)] * count, [0.0] * count, end=14 * HOUR)
    assert max(cooled.hottest_at(i, 14 * HOUR) for i in range(count)) == pytest.approx(core, abs=3)


DAY = [
    ("9:00", 18),
    ("9:48", 18),
    ("10:36", 18),
    ("11:10", 12),
    ("11:44", 12),
    ("12:18", 12),
    ("12:36", 6),
    ("12:54", 6),
]
NEXT_MORNING = (24 + 8) * HOUR


def demo_day(outer=STILL, part: slice = slice(None)) -> StackRun:
    """Three 18 mm and three 12 mm of HDPE, two 6 mm of PP."""
    moulds = [mould(0.006, PP, 205.0) if s == 6 else mould(s / 1000) for _, s in DAY]
    times = [float(clock.split(":")[0]) * HOUR + float(clock.split(":")[1]) * 60 for clock, _ in DAY]
    return stack(moulds[part], times[part], outer, end=2 * 24 * HOUR)


def hottest(cooled: StackRun) -> float:
    return max(cooled.hottest_at(i, NEXT_MORNING) for i in range(len(cooled.time)))


def test_the_day_of_story_4_is_not_ready_next_morning():
    """57 °C at 08:00 in the middle, below 45 only at about 12:30."""
    cooled = demo_day()
    assert hottest(cooled) == pytest.approx(57, abs=3)
    assert int(np.argmax([cooled.hottest_at(i, NEXT_MORNING) for i in range(8)])) in (2, 3)
    ready = max(cooled.below(i, 45.0) or np.nan for i in range(8))
    assert ready - 9 * HOUR == pytest.approx(27.5 * HOUR, rel=0.05)


@pytest.mark.parametrize(("films", "core"), [((7, 10), 48), ((5, 7), 64), ((25, 25), 24)])
def test_the_outer_films_decide_about_the_next_morning(films, core):
    """Films 7/10 to 5/7 W/m²K and fans."""
    assert hottest(demo_day((film(films[0], 18), film(films[1], 18)))) == pytest.approx(core, abs=3)


def test_two_stacks_are_cold_next_morning():
    """23 and 26 °C: three of 18 mm, and the five others."""
    assert hottest(demo_day(part=slice(0, 3))) == pytest.approx(23, abs=3)
    assert hottest(demo_day(part=slice(3, None))) == pytest.approx(26, abs=3)


def test_moulds_on_top_reheat_what_lies_below():
    """Story 5, one every 45 min: the first to about 111 °C by the second, later ones above 120.

    With fans; in still air the first gets to 118 °C here.
    """
    cooled = stack([mould(0.012)] * 4, [2700.0 * i for i in range(4)], FANS, end=5 * HOUR)
    peaks = [cooled.hottest[i][cooled.time[i] > 2700.0 * (i + 1)].max() for i in range(3)]
    assert peaks[0] == pytest.approx(111, abs=3)
    assert min(peaks[1:]) > 120
