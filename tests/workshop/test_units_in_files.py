"""The same shop in other units is the same shop; broken files of any kind give faults, never a traceback."""

from __future__ import annotations

import re

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from flatstock import demo
from flatstock.workshop.files import check, read

#: lines of the demo, and the same in other units
SAME = [
    ("room_C = 18", "room_F = 64.4"),
    ("room_C = 18", 'room_C = "64,4 F"'),
    ("daylight_mm = 180", 'daylight_mm = "18 cm"'),
    ("daylight_mm = 180", "daylight_m = 0.18"),
    ("highest_platen_C = 240", 'highest_platen_C = "464 F"'),
    ("gauge_max_bar = 195", "gauge_max_MPa = 19.5"),
    ("force_kN = 300", "force_N = 300000"),
    ("step_g = 20", "step_kg = 0.02"),
    ("condition_h = 12", 'condition_h = "0.5 d"'),
    ("bottom_power_kW = 9", "bottom_power_W = 9000"),
    ("cavity_length_mm = 1250", 'cavity_length_mm = "125 cm"'),
]


@pytest.mark.parametrize(("metric", "other"), SAME)
def test_the_same_number_in_another_unit_is_the_same_workshop(folder, edit, metric, other):
    before = read(folder)
    after = read(edit("shop.toml", metric, other))
    for name in ("hot_presses", "cooling_presses", "frames", "scales", "practice"):
        assert flat(getattr(after, name)) == pytest.approx(flat(getattr(before, name)), rel=1e-12)
    assert after.room.value == pytest.approx(before.room.value)


def flat(thing):
    """All numbers in the printed form, which is enough to compare two of a kind."""
    return [float(x) for x in re.findall(r"-?\d+\.?\d*(?:e[+-]?\d+)?", repr(thing))]


def test_a_shop_in_inches_pounds_and_fahrenheit_reads_in_si(tmp_path):
    (tmp_path / "shop.toml").write_text(
        """
format = "flatstock.shop/1"
name = "Inches"
units = "us"
room_F = 68
hot_presses = [{ id = "P", platen_length_in = 24, platen_width_in = "2 ft", platen_thickness_in = "1 in",
  platen_metal = "aluminium", bottom_power_kW = 3, top_power_kW = 3, daylight_in = 6, highest_platen_F = 464 }]
frames = [{ id = "F", thickness_in = 0.5, cavity_length_mm = "20 in", cavity_width_in = 20,
  outside_length_in = 23, outside_width_in = 23, mass_lb = 40 }]
skins = [{ id = "S", length_in = 24, width_in = 24, thickness_mm = "1/16 in", metal = "stainless_steel" }]
scales = [{ id = "C", capacity_lb = 60, step_oz = "1/2" }]
""",
        "utf-8",
    )
    shop = read(tmp_path)
    frame = shop.frames["F"]
    assert shop.room.value == pytest.approx(20)
    assert frame.thickness == pytest.approx(0.0127)
    assert frame.mass == pytest.approx(18.1436948)
    assert frame.cavity_length == frame.cavity_width == pytest.approx(0.508)
    assert shop.skins["S"].thickness == pytest.approx(0.0015875)
    assert shop.scales[0].step == pytest.approx(0.0141747615625)
    assert shop.hot_presses["P"].highest_platen == pytest.approx(240)


JUNK = st.sampled_from(
    ["-1", "0", "1e308", "nan", "true", '""', '"x"', '"1/0 in"', "[]", "[1, 2]", "{}", "{ value = 1 }", "2026-03-02",
     "[[1]]", '["a", "a"]', "{ x = { y = 1 } }", '"12 mm"', '"50 %"', "=", "", '"L-1 1 kg"', "99999999999"]
)  # fmt: skip


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None, max_examples=70)
@given(data=st.data())
def test_any_value_replaced_by_junk_gives_faults_with_a_place_and_never_a_traceback(tmp_path_factory, data):
    folder = tmp_path_factory.mktemp("junk") / "shop"
    demo.copy_to(folder)
    file = folder / data.draw(st.sampled_from([f for f in demo.FILES if f.endswith(".toml")]))
    lines = file.read_text("utf-8").splitlines()
    settable = [n for n, s in enumerate(lines) if re.match(r"\w+ = ", s)]
    at = data.draw(st.sampled_from(settable))
    lines[at] = lines[at].split(" = ")[0] + " = " + data.draw(JUNK)
    file.write_text("\n".join(lines), "utf-8")
    workshop, found, _ = check(folder)
    assert (workshop is None) == bool(found)
    assert all(fault.where.startswith(tuple(demo.FILES)) and fault.what for fault in found)


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None, max_examples=50)
@given(data=st.data())
def test_any_cell_replaced_by_junk_gives_faults_with_a_place_and_never_a_traceback(tmp_path_factory, data):
    folder = tmp_path_factory.mktemp("junk") / "shop"
    demo.copy_to(folder)
    file = folder / data.draw(st.sampled_from([f for f in demo.FILES if f.endswith(".csv")]))
    lines = file.read_text("utf-8").splitlines()
    at = data.draw(st.integers(1, len(lines) - 1))
    cells = lines[at].split(",")
    cells[data.draw(st.integers(0, len(cells) - 1))] = data.draw(JUNK | st.text(max_size=8))
    lines[at] = ",".join(cells)
    file.write_text("\n".join(lines), "utf-8", newline="")
    workshop, found, _ = check(folder)
    assert (workshop is None) == bool(found)


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None, max_examples=50)
@given(st.sampled_from(demo.FILES), st.binary(max_size=200))
def test_a_file_of_any_bytes_gives_faults_and_never_a_traceback(tmp_path_factory, name, junk):
    folder = tmp_path_factory.mktemp("bytes") / "shop"
    demo.copy_to(folder)
    (folder / name).write_bytes(junk)
    workshop, found, _ = check(folder)
    assert (workshop is None) == bool(found)


def test_without_a_rated_force_bore_and_highest_gauge_pressure_give_it(edit):
    """3 in of bore at 2500 psi: π/4 · (76.2 mm)² · 17.237 MPa."""
    folder = edit("shop.toml", "force_kN = 300 ", "# ")
    edit("shop.toml", "piston_diameter_mm = 140", "piston_diameter_in = 3")
    edit("shop.toml", "gauge_max_bar = 195", "gauge_max_psi = 2500")
    cylinder = read(folder).hot_presses["HP1"].cylinder
    assert cylinder is not None
    assert cylinder.force_max == pytest.approx(78.605e3, rel=1e-4)


def test_without_a_rated_force_and_a_gauge_nothing_is_known_of_the_cylinder(edit):
    folder = edit("shop.toml", "force_kN = 300 ", "# ")
    edit("shop.toml", "gauge_max_bar = 195", "")
    assert read(folder).hot_presses["HP1"].cylinder is None
