"""The demo reads without a fault and has the numbers of its scenario."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from datetime import UTC, date, datetime, time
from math import pi

import pytest

from flatstock import demo
from flatstock.errors import Refused
from flatstock.plastics.library import library
from flatstock.plastics.overrides import with_overrides
from flatstock.workshop.files import check, read


@pytest.fixture
def shop(folder):
    return read(folder)


def test_the_demo_has_neither_fault_nor_warning(folder):
    _, found, warnings = check(folder)
    assert found == []
    assert warnings == []


def test_the_demo_is_not_copied_over_anything(folder):
    with pytest.raises(Refused, match="something in it already"):
        demo.copy_to(folder)


def test_the_hot_press_is_as_the_scenario_has_it(shop):
    press = shop.hot_presses["HP1"]
    assert press.bottom.mass == pytest.approx(201, abs=0.5)
    assert press.heated_mass == 462
    assert press.power_bottom.value + press.power_top.value == 18e3
    assert press.loss.value == 12
    assert press.loss.value * (195 - 18) == pytest.approx(2.1e3, rel=0.02)
    assert (press.control, press.band, press.highest_platen, press.daylight) == ("on_off", 2.0, 240.0, 0.18)
    ram = press.cylinder
    assert ram.gauge_max * ram.pistons * pi / 4 * ram.piston_diameter**2 == pytest.approx(300e3, rel=0.01)
    assert press.bottom.metal.specific_heat.value == 490


def test_the_cooling_press_has_switchable_fans_and_the_films_of_the_scenario(shop):
    press = shop.cooling_presses["CP1"]
    assert (press.film_bottom.film.low, press.film_bottom.film.value, press.film_bottom.film.high) == (
        5,
        6,
        7,
    )
    assert (press.film_top.film.low, press.film_top.film.value, press.film_top.film.high) == (7, 8, 10)
    assert press.fan_film.value == 25
    assert press.fans_on
    assert press.cylinder.force_max == 150e3


def test_contacts_are_those_behind_the_scenarios_figures(shop):
    hot, cold = shop.hot_presses["HP1"], shop.cooling_presses["CP1"]
    assert 1 / hot.contact_closed.value == pytest.approx(1.0e-3)
    assert 1 / cold.contact.value == pytest.approx(1.5e-3, rel=1e-3)
    for contact in (hot.sheet_contact_loose, hot.sheet_contact_wet, cold.sheet_contact):
        assert 1 / contact.value == pytest.approx(3e-4, rel=1e-3)


def test_moulds_are_eight_frames_and_nine_pairs_of_skins(shop):
    assert list(shop.frames) == ["F06-1", "F06-2", "F12-1", "F12-2", "F12-3", "F18-1", "F18-2", "F18-3"]
    assert len(shop.skins) == 9
    frame, skin = shop.frames["F12-1"], shop.skins["S01-02"]
    assert frame.cavity_area == pytest.approx(1.050)
    assert frame.land == pytest.approx(0.040)
    assert shop.hot_presses["HP1"].bottom.area / frame.cavity_area == pytest.approx(1.22, abs=0.005)
    empty = {t: shop.frames[f].mass + 2 * skin.mass for t, f in ((6, "F06-1"), (12, "F12-1"), (18, "F18-1"))}
    assert {t: round(m) for t, m in empty.items()} == {6: 48, 12: 56, 18: 64}


def test_weighed_masses_agree_with_measures_of_steel(shop):
    """Frame and skin masses of the scenario against volume times 7850 kg/m3; within 1 %."""
    frame, skin = shop.frames["F18-2"], shop.skins["S17-18"]
    volume = (frame.outside_length * frame.outside_width - frame.cavity_area) * frame.thickness
    assert frame.mass == pytest.approx(volume * 7850, rel=0.01)
    assert skin.mass == pytest.approx(skin.length * skin.width * skin.thickness * 7850, rel=0.01)


def test_people_are_there_as_the_scenario_says(shop):
    assert {p.id for p in shop.people.values() if "hot_transfer" in p.skills} == {"OP1", "OP2", "OP3"}
    assert {p.id for p in shop.people.values() if "saw" in p.skills} == {"OP1", "OP3"}
    (stay,) = shop.people["OP2"].presence
    assert (stay.weekdays, stay.start, stay.end) == ((0, 1, 2, 3, 4), time(7, 15), time(15, 45))
    assert (stay.lunch_start, stay.lunch_end) == (time(12, 30), time(13))
    assert shop.people["OP4"].presence[0].weekdays == (0, 3)


def test_lots_are_released_but_the_one_from_electrical_goods(shop):
    assert len(shop.lots) == 9
    assert [n for n, lot in shop.lots.items() if lot.status != "released"] == ["L-2306"]
    assert sum(lot.mass for lot in shop.lots.values()) == 412 + 190 + 96 + 260 + 140 + 75 + 60 + 38 + 12
    assert shop.lots["L-2301"].viscosity.value == 2100
    assert shop.lots["L-2301"].viscosity.kind == "computed"
    assert shop.lots["L-2304"].moisture == pytest.approx(5e-4)
    assert shop.lots["L-2308"].parents == ("L-2301", "L-2302")


def test_orders_are_sheets_due_in_the_week(shop):
    assert sum(order.sheets for order in shop.orders.values()) == 33
    assert shop.orders["O-104"].due == datetime(2026, 3, 4, 10, tzinfo=UTC)
    assert shop.orders["O-107"].due == datetime(2026, 3, 11, 17, tzinfo=UTC)
    assert [n for n, o in shop.orders.items() if o.condition == 0] == ["O-103", "O-104"]
    assert shop.today == date(2026, 3, 2)
    assert shop.today.weekday() == 0


def test_the_practice_table_holds_the_dwells_on_file(shop):
    minutes = {(p, round(t * 1e3)): s / 60 for (p, t), s in shop.practice.dwell.items()}
    assert [minutes["hdpe", t] for t in (6, 12, 18)] == [12, 28, 42]
    assert [minutes["pp", t] for t in (6, 12, 18)] == [13, 32, 55]
    assert [minutes["hips", t] for t in (6, 12, 18)] == [10, 24, 40]


def test_energy_costs_what_the_supply_says(shop):
    assert shop.energy_price.value * 3.6e6 == pytest.approx(0.28)
    assert shop.energy_price.source == "supply.toml"


def test_the_other_places_are_there(shop):
    kinds = {p.id: p.kind for p in shop.places.values()}
    assert kinds == {"BENCH": "bench", "LT1": "lift", "SAW1": "saw", "DR1": "dryer"}
    assert (shop.places["DR1"].load_max, shop.places["DR1"].temperature, shop.places["DR1"].hours) == (
        40,
        65,
        7200,
    )
    assert shop.places["SAW1"].kerf == 0.0032
    assert (shop.stacks["ST1"].moulds_max, shop.racks["R1"].moulds_max) == (8, 4)
    assert [(s.capacity, s.step) for s in shop.scales] == [(6, 0.0001), (60, 0.02)]
    assert list(shop.offcuts) == ["OC-41", "OC-42", "OC-43"]


@pytest.mark.parametrize(
    ("plastic", "density", "shrinkage", "melt", "set_point"),
    [
        ("hdpe", 950, 0.022, 760, 195),
        ("ldpe", 920, 0.020, 769, 170),
        ("pp", 905, 0.015, 752, 210),
        ("hips", 1045, 0.005, 970, 190),
        ("abs", 1045, 0.006, 940, 222.5),
    ],
)
def test_the_shops_own_plastic_values_are_taken(shop, plastic, density, shrinkage, melt, set_point):
    own = with_overrides(library(), shop.plastic_overrides)[plastic]
    assert own.density.value == pytest.approx(density)
    assert own.shrinkage.value == pytest.approx(shrinkage)
    assert own.melt_density_at(set_point).value == pytest.approx(melt, rel=1e-6)
    assert own.process.set_point.value == pytest.approx(set_point)
    assert own.thermal.bed_k.value == pytest.approx(0.10)
    assert own.density.source == "plastics.toml of this workshop"
    assert own.density.kind == "assumed"
    assert own.missing == ()


def test_reading_the_demo_imports_nothing_heavy(folder):
    code = (
        "import sys, json; from pathlib import Path; from flatstock.workshop.files import read;"
        f"read(Path({str(folder)!r})); print(json.dumps(sorted(m.split('.')[0] for m in sys.modules)))"
    )
    env = {**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)}
    out = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, env=env)
    assert not {"numpy", "numba", "scipy", "pydantic", "clevercsv", "pint"} & set(json.loads(out.stdout))
