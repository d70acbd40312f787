"""A new workshop from plain answers reads without a fault, whatever sane answers are given."""

from __future__ import annotations

import tomllib
from dataclasses import replace
from datetime import timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from flatstock.errors import Refused
from flatstock.starting.room.room_file import read_room
from flatstock.workshop.files import check, read
from flatstock.workshop.machine_zone import machine_zone
from flatstock.workshop.start import StartAnswers, usual_answers, write_new


@st.composite
def sane_answers(draw):
    length, width = draw(st.floats(0.2, 2.5)), draw(st.floats(0.2, 2.5))
    land = draw(st.floats(0.01, 0.06))
    return StartAnswers(
        name=draw(st.text(st.characters(exclude_categories=["Cc", "Cs"]), min_size=1, max_size=30)),
        units=draw(st.sampled_from(["metric", "us"])),
        room=draw(st.floats(-5, 40)),
        platen_length=length,
        platen_width=width,
        platen_thickness=draw(st.floats(0.005, 0.1)),
        platen_metal=draw(st.sampled_from(["aluminium", "mild_steel", "stainless_steel"])),
        heated=draw(st.sampled_from(["both", "bottom", "top"])),
        power=draw(st.floats(500, 60e3)),
        highest_platen=draw(st.floats(180, 300)),
        force=draw(st.none() | st.floats(10e3, 3e6)),
        daylight=draw(st.floats(0.05, 1)),
        cavity_length=(length - 2 * land) * draw(st.floats(0.3, 0.99)),
        cavity_width=(width - 2 * land) * draw(st.floats(0.3, 0.99)),
        frame_land=land,
        frame_thicknesses=tuple(draw(st.lists(st.floats(0.002, 0.04), max_size=4))),
        moulds=draw(st.integers(1, 4)),
        skin_thickness=draw(st.floats(0.0005, 0.01)),
        cooling_press=draw(st.booleans()),
        fans=draw(st.booleans()),
        scale_capacity=draw(st.floats(1, 300)),
        scale_step=draw(st.floats(0.0001, 0.2)),
        people=draw(st.integers(0, 5)),
        phases=draw(st.sampled_from(["1", "3"])),
        volts=draw(st.sampled_from([120.0, 208.0, 230.0, 240.0, 400.0, 480.0])),
        rated_current=draw(st.floats(10, 400)),
        room_length=draw(st.floats(4, 40)),
        room_width=draw(st.floats(3.5, 30)),
        room_height=draw(st.floats(2.2, 8)),
        door_width=draw(st.floats(0.7, 3)),
        door_height=draw(st.floats(1.9, 2.2)),
        assumed=frozenset(draw(st.sets(st.sampled_from(sorted(usual_answers().assumed))))),
    )


@settings(deadline=None)  # seven files are written and read; a busy machine takes its time
@given(answers=sane_answers())
def test_any_sane_answers_give_a_workshop_that_reads(tmp_path_factory, answers):
    folder = tmp_path_factory.mktemp("new") / "shop"
    write_new(folder, answers)
    shop = read(folder)
    assert shop.name == answers.name
    assert shop.hot_presses["HP1"].bottom.length == pytest.approx(answers.platen_length, rel=1e-5)
    assert len(shop.frames) == len(shop.skins) == answers.moulds * len(answers.frame_thicknesses)


@pytest.mark.parametrize("file", ["shop", "room", "supply", "outlay"])
@pytest.mark.parametrize("answers", [StartAnswers(force=1e5), usual_answers()], ids=["answered", "usual"])
def test_every_line_of_a_new_shop_is_explained_beside_it(tmp_path, file, answers):
    write_new(tmp_path / "shop", answers)
    lines = (tmp_path / "shop" / f"{file}.toml").read_text("utf-8").splitlines()
    assert all("#" in line for line in lines if line)
    assert len(lines) > 50


def test_a_new_american_shop_is_written_in_inches_pounds_and_fahrenheit(tmp_path):
    write_new(tmp_path / "shop", StartAnswers(units="us", cavity_length=0.508))
    data = tomllib.loads((tmp_path / "shop" / "shop.toml").read_text("utf-8"))
    assert (data["room_F"], data["paper"], data["frames"][0]["cavity_length_in"]) == (68, "letter", 20)
    shop = read(tmp_path / "shop")
    assert shop.units_shown == "us"
    assert shop.room.value == pytest.approx(20)


@pytest.mark.parametrize("door_ft", [5, 7, 10])
@pytest.mark.parametrize("width_ft", [20, 26, 40])
def test_a_new_american_room_has_a_door_as_wide_as_its_opening(tmp_path, width_ft, door_ft):
    """Inches become whole millimetres each for itself: 84 in of 312 in was taken to be 1 mm wider than its opening."""
    foot = 0.3048
    answers = StartAnswers(
        units="us",
        cavity_length=0.508,
        room_width=width_ft * foot,
        door_width=door_ft * foot,
        door_height=2.5,
    )
    write_new(tmp_path / "shop", answers)
    door = read_room(tmp_path / "shop").question.room.doors[0]
    assert door.clear_width_mm == door.y2_mm - door.y1_mm == pytest.approx(door_ft * 304.8, abs=1)


def test_answers_that_do_not_fit_leave_nothing_behind(tmp_path):
    with pytest.raises(Refused, match="lie on the platens with all of its rim"):
        write_new(tmp_path / "shop", StartAnswers(cavity_length=0.9))
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    ("slip", "words"),
    [
        ({"room_length": 0.008}, "8 mm can't be meant: a room is 1500 mm to"),
        ({"volts": 4.0}, "4 V can't be meant"),
        ({"rated_current": 0.0}, "0 A can't be meant"),
        ({"scale_step": 50.0}, "steps of 50 kg on a scale that takes 30 kg"),
        ({"power": 6.0}, "can't be meant: heaters of a press draw"),
        ({"frame_thicknesses": (0.006, 1.2)}, "1200 mm can't be meant as thickness"),
    ],
)
def test_a_slip_of_the_unit_is_told_by_its_field_and_nothing_is_written(tmp_path, slip, words):
    with pytest.raises(Refused) as refused:
        write_new(tmp_path / "shop", StartAnswers(**slip))
    (fault,) = refused.value.faults
    assert (fault.where, words in fault.sentence()) == (next(iter(slip)), True), fault.sentence()
    assert list(tmp_path.iterdir()) == []


def test_a_folder_with_something_in_it_is_refused_and_left_alone(tmp_path):
    (tmp_path / "mine.txt").write_text("x")
    with pytest.raises(Refused, match="something in it already"):
        write_new(tmp_path, StartAnswers())
    assert [p.name for p in tmp_path.iterdir()] == ["mine.txt"]


def test_an_empty_folder_is_filled(tmp_path):
    written = write_new(tmp_path, StartAnswers())
    assert sorted(p.name for p in written) == sorted(p.name for p in tmp_path.iterdir())
    assert check(tmp_path)[1] == []


def numbers_of(table):
    """Every number of a TOML table with its kind; those in lists are coordinates of the room."""
    for key, value in table.items():
        if isinstance(value, dict) and "value" in value:
            yield key, value["kind"]
        elif isinstance(value, dict):
            yield from numbers_of(value)
        elif isinstance(value, list):
            for part in value:
                if isinstance(part, dict):
                    yield from numbers_of(part)
        elif isinstance(value, int | float) and not isinstance(value, bool):
            yield key, "measured"


@pytest.mark.parametrize("file", ["shop", "supply", "room"])
def test_no_measured_number_stands_in_a_shop_that_nobody_was_asked_about(tmp_path, file):
    """What stands bare can't carry its evidence (counts, coordinates) and is assumed by the words beside it."""
    write_new(tmp_path / "shop", usual_answers())
    text = (tmp_path / "shop" / f"{file}.toml").read_text("utf-8")
    bare = {key for key, kind in numbers_of(tomllib.loads(text)) if kind == "measured"}
    for key in bare - {"grid_mm", "volts_LN", "x1_mm", "y1_mm", "x2_mm", "y2_mm"}:
        assert all("assumed" in line for line in text.splitlines() if line.startswith(f"{key} =")), key


def test_what_was_answered_counts_as_measured_and_the_rest_as_assumed(tmp_path):
    answered = {"cavity_length", "scale_step"}
    write_new(tmp_path / "shop", StartAnswers(assumed=usual_answers().assumed - answered))
    shop = read(tmp_path / "shop")
    frame, scale = shop.frames["F1-1"], shop.scales[0]
    assert (frame.evidence["cavity_length"], frame.evidence["cavity_width"]) == ("measured", "assumed")
    assert (scale.evidence["step"], scale.evidence["capacity"]) == ("measured", "assumed")
    assert (shop.room.kind, shop.hot_presses["HP1"].power_top.kind) == ("assumed", "assumed")
    assert {load.evidence for load in shop.supply.loads} == {"assumed"}


@pytest.mark.parametrize("phases", ["1", "3"])
def test_every_load_but_the_small_ones_hangs_at_a_machine_of_the_room(tmp_path, phases):
    write_new(tmp_path / "shop", StartAnswers(phases=phases))
    supply = tomllib.loads((tmp_path / "shop" / "supply.toml").read_text("utf-8"))
    machines = set(read_room(tmp_path / "shop").question.by_id)
    stands = {load["id"]: load.get("at") for load in supply["loads"]}
    assert [name for name, at in stands.items() if at not in machines] == ["SMALL"]
    assert stands["HEAT"] == stands["HOOD"] == "HOT"
    assert stands["EXTRACT"] == "SAW"


@pytest.mark.parametrize(
    ("side", "bottom", "top"), [("bottom", 6000, 0), ("top", 0, 6000), ("both", 3000, 3000)]
)
def test_the_heaters_are_on_the_side_that_was_said(tmp_path, side, bottom, top):
    write_new(tmp_path / "shop", StartAnswers(heated=side))
    press = read(tmp_path / "shop").hot_presses["HP1"]
    assert (press.power_bottom.value, press.power_top.value) == (bottom, top)


def test_the_machine_s_own_time_zone_is_taken_from_its_link_or_its_name(tmp_path, monkeypatch):
    monkeypatch.delenv("TZ", raising=False)
    zone, link, name = tmp_path / "zoneinfo/Asia/Tokyo", tmp_path / "localtime", tmp_path / "timezone"
    zone.parent.mkdir(parents=True)
    zone.touch()
    link.symlink_to(zone)
    name.write_text("Europe/Lisbon\n", "utf-8")
    nothing = Path(tmp_path / "nothing")
    assert machine_zone(localtime=link, written=name) == "Asia/Tokyo"
    assert machine_zone(localtime=nothing, written=name) == "Europe/Lisbon"
    assert machine_zone(localtime=nothing, written=nothing, clock=lambda _: timedelta(0)) == "UTC"
    monkeypatch.setenv("TZ", "America/Chicago")
    assert machine_zone(localtime=link, written=name) == "America/Chicago"


@pytest.mark.parametrize(
    ("city", "offered"),
    [
        ("Europe/Vienna", "Europe/Berlin"),
        ("America/Detroit", "America/New_York"),
        ("America/Phoenix", "America/Phoenix"),
        ("Asia/Kathmandu", "Asia/Kathmandu"),
        ("Australia/Lord_Howe", "Australia/LHI"),
    ],
)
def test_a_machine_that_tells_no_name_has_a_zone_that_keeps_its_clock(tmp_path, monkeypatch, city, offered):
    """As on Windows, which names zones in its own way: by what the clock shows over two years."""
    monkeypatch.delenv("TZ", raising=False)
    nothing = tmp_path / "nothing"
    found = machine_zone(
        localtime=nothing, written=nothing, clock=lambda moment: moment.astimezone(ZoneInfo(city)).utcoffset()
    )
    assert found == offered


def test_a_clock_that_no_zone_keeps_is_taken_for_utc(tmp_path, monkeypatch):
    monkeypatch.delenv("TZ", raising=False)
    nothing = tmp_path / "nothing"
    odd = machine_zone(localtime=nothing, written=nothing, clock=lambda _: timedelta(minutes=7))
    assert odd == machine_zone(localtime=nothing, written=nothing, clock=lambda _: None) == "UTC"


@pytest.mark.parametrize("units", ["metric", "us"])
def test_a_size_sold_is_offered_that_the_frames_give_and_counts_when_its_line_does(tmp_path, units):
    write_new(tmp_path / "new", replace(usual_answers(), units=units))
    file = tmp_path / "new" / "shop.toml"
    assert read(tmp_path / "new").practice.trimmed_length is None
    file.write_text(file.read_text("utf-8").replace("\n# trimmed_", "\ntrimmed_"), "utf-8")
    practice = read(tmp_path / "new").practice
    left = 0.600 * (1 - 0.04) - 2 * practice.trim
    assert left - 0.0128 < practice.trimmed_length <= left
    assert practice.evidence["trim"] == "assumed"
