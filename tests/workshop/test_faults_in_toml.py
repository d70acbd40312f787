"""Each thing that can be wrong in a TOML file: where it stands, what is wrong, what would be right."""

from __future__ import annotations

import pytest

from flatstock.errors import Refused
from flatstock.workshop.files import check, read


def line_of(folder, file, text):
    lines = (folder / file).read_text("utf-8").splitlines()
    return next(n for n, s in enumerate(lines, 1) if text in s)


def test_broken_toml_is_told_by_line_and_column(folder, fault):
    said = fault("shop.toml", 'paper = "a4"', "paper = = a4")
    assert said.startswith(
        f"shop.toml line {line_of(folder, 'shop.toml', 'paper = =')}, column 9: this is not TOML"
    )


def test_an_unknown_key_names_the_nearest_known_one(folder, fault):
    said = fault("shop.toml", "daylight_mm = 180", "daylihgt_mm = 180\ndaylight_mm = 180")
    line = line_of(folder, "shop.toml", "daylihgt")
    assert (
        said
        == f"shop.toml line {line}, hot_presses.HP1.daylihgt_mm: unknown key 'daylihgt_mm'; the nearest is daylight_mm."
    )


def test_a_key_without_its_unit_names_the_one_with_it(faults):
    (one,) = faults("shop.toml", "daylight_mm = 180", "daylight = 180")
    assert one.what == "'daylight' has no unit in its name"
    assert one.instead.startswith("write daylight_mm, or ")
    assert "daylight_in" in one.instead


def test_a_key_with_a_unit_of_something_else_is_one_fault_with_the_units_that_would_do(faults):
    (one,) = faults("shop.toml", "daylight_mm = 180", "daylight_kg = 180")
    assert one.what == "kg is no unit of a length"
    assert one.instead.startswith("write daylight_mm, or ")


def test_a_misspelt_key_that_is_needed_is_one_fault(faults):
    (one,) = faults("shop.toml", "daylight_mm = 180", "daylihgt_mm = 180")
    assert one.what == "unknown key 'daylihgt_mm'"
    assert one.instead == "the nearest is daylight_mm"


def test_a_skill_that_nobody_has_names_the_nearest(fault):
    assert fault("shop.toml", '"saw"]', '"sawing"]').endswith(
        "'sawing' is none of the choices; the nearest is saw."
    )


def test_a_missing_key_is_told_at_its_table_with_an_example(folder, fault):
    said = fault("shop.toml", "step_g = 20\n", "\n")
    line = line_of(folder, "shop.toml", 'id = "SCALE60"') - 1
    assert (
        said
        == f"shop.toml line {line}, scales.SCALE60.step_g: required, and missing; give it, as in step_g = 20."
    )


def test_a_unit_of_something_else_is_a_fault(fault):
    assert "'180 kg' is a mass, not a length" in fault(
        "shop.toml", "daylight_mm = 180", 'daylight_mm = "180 kg"'
    )


def test_an_unknown_unit_is_a_fault(fault):
    assert "unknown unit 'mn'" in fault("shop.toml", "daylight_mm = 180", 'daylight_mm = "180 mn"')


def test_a_negative_thickness_can_not_be(fault):
    said = fault("shop.toml", "thickness_mm = 2\n", "thickness_mm = -2\n")
    assert "-2 can't be; it must be 0.05 to 50 mm" in said


@pytest.mark.parametrize(
    ("old", "new", "band"),
    [
        ("platen_length_mm = 1350", "platen_length_m = 2000", "50 to 10000 mm"),
        ("room_C = 18", "room_C = 300", "-30 to 60 C"),
        ("room_C = 18", 'room_C = "572 F"', "-30 to 60 C"),
        ("daylight_mm = 180", "daylight_mm = inf", "measured"),
        ("daylight_mm = 180", "daylight_mm = nan", "measured"),
    ],
)
def test_a_number_that_can_not_be_is_told_with_the_band_that_can(faults, old, new, band):
    assert band in faults("shop.toml", old, new)[0].sentence()


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("daylight_mm = 180", "daylight_mm = true", "true or false stands where a number should"),
        ("daylight_mm = 180", "daylight_mm = [180]", "a list stands where a number should"),
        ("daylight_mm = 180", "daylight_mm = 2026-03-02", "a date or time stands where a number should"),
        ("daylight_mm = 180", 'daylight_mm = "high"', "'high' is not a length"),
        ("fans_fitted = true ", 'fans_fitted = "maybe" ', "'maybe' is neither true nor false"),
        ("pistons = 1\ngauge", "pistons = 1.5\ngauge", "1.5 is not a whole number"),
        ("pistons = 1\ngauge", "pistons = nan\ngauge", "nan is not a whole number"),
        ("pistons = 1\ngauge", "pistons = inf\ngauge", "inf is not a whole number"),
        ("pistons = 1\ngauge", "pistons = 0\ngauge", "0 can't be; it must be 1 to 64"),
        ('id = "HP1"', "id = 1", "1 is not text"),
        ('id = "LT1"', 'id = "LT 1"', "'LT 1' can't be an ID"),
        ('control = "on_off"', 'control = "onoff"', "the nearest is on_off"),
        ('format = "flatstock.shop/1"', 'format = "flatstock.shop/9"', "write flatstock.shop/1"),
        ("today = 2026-03-02", 'today = "2 March"', "'2 March' is not a date; write year-month-day"),
        ('time_zone = "UTC"', 'time_zone = "Mars/Nowhere"', "no time zone 'Mars/Nowhere'; write one as in"),
        ('time_zone = "UTC"', 'time_zone = "Europe/Lissabon"', "the nearest is Europe/Lisbon"),
        ('start = "07:30"', 'start = "half past"', "'half past' is no time of day"),
        ('days = "tue-thu"', 'days = "tue-noday"', "'tue-noday' is no weekday"),
        ('skills = ["hot_transfer"]', 'skills = ["hot_transfers"]', "the nearest is hot_transfer"),
        ("[practice]", "practice = 3\n[practices]", "this is not a table"),
        ("loss_W_K = 12", "loss_W_K = [14, 12, 10]", "not in this order"),
        ("loss_W_K = 12", "loss_W_K = [10, 12]", "2 numbers; write one, or [low, typical, high]"),
        ("loss_W_K = 12", 'loss_W_K = { value = 12, kind = "guessed" }', "'guessed' is no kind of evidence"),
        ("loss_W_K = 12", "loss_W_K = { low = 10, high = 12 }", "value is missing"),
        ("loss_W_K = 12", "loss_W_K = { value = 12, hihg = 12 }", "unknown key 'hihg'"),
    ],
)
def test_a_value_of_the_wrong_kind_is_told_with_what_to_write(faults, old, new, says):
    found = faults("shop.toml", old, new)
    assert says in " ".join(f.sentence() for f in found)
    assert found[0].where.startswith("shop.toml")


def test_the_same_field_in_two_units_is_a_fault(fault):
    assert "daylight_mm is given too" in fault(
        "shop.toml", "daylight_mm = 180", "daylight_mm = 180\ndaylight_in = 7"
    )


def test_an_id_that_is_taken_is_told_with_the_line_that_has_it(folder, fault):
    said = fault("shop.toml", 'id = "LT1"', 'id = "BENCH"')
    assert f"the ID BENCH is taken by line {line_of(folder, 'shop.toml', '[[benches]]')}" in said


def test_an_id_twice_within_one_table_of_frames_is_a_fault(fault):
    assert "the ID F06-1 is taken" in fault("shop.toml", '["F06-1", "F06-2"]', '["F06-1", "F06-1"]')


def test_a_metal_that_nobody_knows_names_the_nearest(fault):
    said = fault("shop.toml", 'metal = "mild_steel"\nmass_kg = 19.9', 'metal = "mild_stele"\nmass_kg = 19.9')
    assert "'mild_stele': no such metal; the nearest is mild_steel" in said


def test_a_metal_of_the_shops_own_needs_all_three_numbers(faults):
    found = faults("shop.toml", "[metals.mild_steel]", "[metals.bronze]")
    assert {f.where.rpartition(".")[2] for f in found} == {"density_kg_m3", "conductivity_W_mK"}


def test_a_default_place_that_is_not_there_is_a_fault(fault):
    assert "'HP2': no such place" in fault(
        "shop.toml", 'default_hot_press = "HP1"', 'default_hot_press = "HP2"'
    )


def test_a_frame_larger_than_every_platen_is_a_fault(faults):
    found = faults("shop.toml", "outside_length_mm = 1330 ", "outside_length_mm = 1400 ")
    assert any("fits no hot press's platens (HP1 1350 mm x 950 mm)" in f.what for f in found)


def test_a_frame_that_no_skin_covers_is_a_fault(faults):
    found = faults("shop.toml", "length_mm = 1350\nwidth_mm = 940", "length_mm = 1300\nwidth_mm = 940")
    assert len(found) == 3
    assert all("no pair of skins is as large as the frame" in f.what for f in found)


def test_a_cavity_as_large_as_its_frame_is_a_fault(faults):
    found = faults("shop.toml", "cavity_width_mm = 840", "cavity_width_mm = 920")
    assert "the cavity (920 mm) is not smaller than the frame's outside (920 mm)" in found[0].what


def test_a_gauge_that_does_not_give_the_force_is_a_fault(fault):
    assert "195 bar on these pistons gives 77 kN, not 300 kN" in fault(
        "shop.toml", "piston_diameter_mm = 140", "piston_diameter_mm = 71"
    )


def test_a_fixed_face_needs_its_film_and_a_water_face_its_temperature(faults):
    old = 'top_face = { kind = "fixed", film_W_m2K = { value = 8, low = 7, high = 10, kind = "assumed" } }\nfans'
    assert (
        "film_W_m2K: missing" in faults("shop.toml", old, 'top_face = { kind = "fixed" }\nfans')[0].sentence()
    )


def test_a_break_outside_its_stay_is_a_fault(fault):
    assert "11:30 is not after 12:00" in fault("shop.toml", 'lunch_end = "12:30"', 'lunch_end = "11:30"')


def test_all_faults_of_all_files_come_at_once_sorted_by_file_and_line(edit):
    edit("shop.toml", "daylight_mm = 180", "daylight_mm = -1")
    edit("shop.toml", "step_g = 20", 'step_g = "x"')
    edit("orders.csv", "O-104,full sheet 1200 x 800,hdpe", "O-104,full sheet 1200 x 800,hdpx")
    edit("supply.toml", "rated_A = 40", "rated_A = 0")
    folder = edit("plastics.toml", "latent_J_kg = 180000", "latent_J_kg = -5")
    _, found, _ = check(folder)
    assert [f.where.split()[0] for f in found] == [
        "orders.csv",
        "plastics.toml",
        "shop.toml",
        "shop.toml",
        "supply.toml",
    ]
    lines = [int(f.where.split()[2].rstrip(",")) for f in found if f.where.startswith("shop")]
    assert lines == sorted(lines)
    with pytest.raises(Refused) as caught:
        read(folder)
    assert list(caught.value.faults) == found


def test_a_file_that_is_not_utf8_is_told_by_line(folder):
    text = (folder / "shop.toml").read_text("utf-8").replace("Lower Sluice", "Untere Schütze")
    (folder / "shop.toml").write_bytes(text.encode("cp1252"))
    _, found, _ = check(folder)
    assert found[0].sentence() == "shop.toml line 5: byte 0xfc is not UTF-8 text; save the file as UTF-8."


def test_a_folder_that_is_no_workshop_says_so(tmp_path):
    assert "has no shop.toml" in check(tmp_path)[1][0].what
    assert "no such folder" in check(tmp_path / "nowhere")[1][0].what
    (tmp_path / "shop.toml").write_text("")
    found = check(tmp_path / "shop.toml")[1][0]
    assert (found.what, found.instead) == (
        "it is a file, not a folder",
        f"name the folder that it is in: {tmp_path}",
    )


def test_an_empty_shop_file_asks_for_everything_that_is_needed(tmp_path):
    (tmp_path / "shop.toml").write_text("")
    asked = {f.where.rpartition(" ")[2] for f in check(tmp_path)[1]}
    assert asked == {"format", "name", "room_C", "hot_presses", "frames", "skins", "scales"}


def test_a_number_of_thousands_of_digits_is_a_fault_at_its_place(folder, fault):
    said = fault("shop.toml", "daylight_mm = 180", f"daylight_mm = {'9' * 4000}")
    assert "hot_presses.HP1.daylight_mm: the number has too many digits to be a measure" in said


@pytest.mark.parametrize("wrong", ["1", '""', '"C P 1"', '"HP1"'])
def test_an_id_that_can_not_be_is_not_told_again_by_what_names_it(fault, wrong):
    assert "cooling_presses" in fault("shop.toml", 'id = "CP1"', f"id = {wrong}")


def test_an_id_that_differs_by_its_case_alone_is_taken(fault):
    said = fault("shop.toml", '"F12-1", "F12-2"', '"F12-1", "f12-1"')
    assert "the ID f12-1 is taken by line 151" in said


def test_a_hot_press_without_any_heaters_is_a_fault(edit, fault):
    edit("shop.toml", "bottom_power_kW = 9", "bottom_power_kW = 0")
    assert "neither of its platens has heaters" in fault("shop.toml", "top_power_kW = 9", "top_power_kW = 0")


def test_two_dwells_of_one_thickness_that_differ_are_a_fault(fault):
    said = fault("shop.toml", "thickness_mm = 6, dwell_min = 12", "thickness_mm = 12, dwell_min = 12")
    assert "another dwell of hdpe 12 mm, beside the 12 min of line 40" in said


def test_signs_that_a_terminal_would_obey_are_no_text(fault):
    assert "signs in it that can't be printed" in fault("shop.toml", "Lower Sluice", "Lower\\u001b[2JSluice")


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('"F12-1", "F12-2", "F12-3"', "", "no ID stands in the list"),
        ('"F12-1", "F12-2"', '"F 12", "F12-2"', "'F 12' can't be an ID"),
        ("mass_kg = 19.9", "mass_kg = 1.99", "1.99 kg, where its measures in mild_steel give 19.9 kg"),
        ("mass_kg = 16.4", "mass_kg = 164", "164 kg, where its measures in mild_steel give 16.4 kg"),
        ("heated_mass_kg = 462", "heated_mass_kg = 46", "46 kg, less than the 403 kg of both platens"),
        ("step_g = 20", "step_g = 99000", "a step of 99 kg on a scale that takes 60 kg"),
        ("daylight_mm = 180", "daylight_mm = 15", "a frame of 18 mm goes into no hot press: the widest opens 15 mm"),
    ],
)  # fmt: skip
def test_what_is_weighed_measured_and_named_must_hold_together(fault, old, new, said):
    assert said in fault("shop.toml", old, new)
