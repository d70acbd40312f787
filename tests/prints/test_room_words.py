"""What is said of a room's air and fire load, in the units that the shop reads."""

from __future__ import annotations

import re

import pytest

from flatstock.prints.room_lengths import in_units, whole
from flatstock.prints.room_words import air_lines, fire_lines
from flatstock.prints.text import room_text, supply_text


@pytest.fixture
def room(sample):
    return sample("room")


@pytest.mark.parametrize(
    ("metric", "us"),
    [
        ("996 MJ on each m²", "87 700 Btu on each ft²"),
        ("within the 600 MJ/m² agreed", "within the 52 800 Btu/ft² agreed"),
        ("6.44 kN/m² on its footprint", "135 psf on its footprint"),
        ("1450 kg on 1.70 m x 1.30 m", "3 200 lb on 5 ft 7 in x 4 ft 3 1/4 in"),
        ("1170 m³/h", "689 cfm"),
        ("11 m³ each", "388 ft³ each"),
        ("51.52 m²", "555 ft²"),
        ("'5 kg box' stands 1.00 m off", "'5 kg box' stands 3 ft 3 1/4 in off"),
        ("12 kWh, 3 kW", "12 kWh, 3 kW"),
    ],
)
def test_a_sentence_is_said_in_the_units_of_a_us_shop(metric, us):
    """996 MJ/m2 is 87 705 Btu/ft2: 1 Btu 1055.056 J, 1 ft 0.3048 m; 6.44 kN/m2 is 134.5 psf (NIST SP 811, from memory)."""
    assert in_units(metric, "us") == us
    assert in_units(metric, "metric") == metric


def test_numbers_keep_three_figures():
    assert [whole(n) for n in (0.44, 9.6, 31.4, 551.2, 87708.0)] == ["0.4", "9.6", "31", "551", "87 700"]


def test_nothing_metric_stands_alone_in_the_air_and_the_fire_load_of_a_us_shop(room):
    alone = re.compile(r"\d (kg|m|m²|m³|m³/h|kW|GJ|MJ/m²|MJ on each m²|kN/m²)(?![\w/²³])")
    for line in (*air_lines(room, "us"), *fire_lines(room, "us")):
        said = re.sub(r"\([^()]*\d (kg|m³/h|kW)\)", "", line)  # in brackets behind the shop's own figure
        assert not alone.search(said), line


def test_a_us_room_says_nothing_of_metres_kilograms_or_kilonewtons(room):
    said = room_text(room, "us")
    assert not re.search(r"\d (m|kN/m²|MJ/m²|GJ)(?![\w/²³])", said)
    assert "psf" in said


def test_the_sheet_that_a_connection_heats_is_said_in_square_feet_to_a_us_shop(sample):
    metric, us = (supply_text(sample("supply"), system) for system in ("metric", "us"))
    assert "sheet, m²" in metric
    assert "sheet, ft²" in us


def test_the_fire_service_is_told_where_by_the_thing_on_the_plan(room):
    fire = room["fire"] | {
        "stock": [
            {"of": "hdpe", "what": "polyethylene", "kg": 412.0, "at": "FLAKE1", "in_room": True, "x_mm": 600,
             "y_mm": 400, "MJ_kg": 40, "note": ""},
            {"of": "pp", "what": "polypropylene", "kg": 60.0, "at": "SHED", "in_room": False, "x_mm": None,
             "y_mm": None, "MJ_kg": 40, "note": ""},
        ]
    }  # fmt: skip
    said = fire_lines({**room, "fire": fire})[-1]
    assert "(FLAKE1, its middle 0.60 m from the left and 0.40 m up on the plan)" in said
    assert "(SHED, which is not in room.toml)" in said


def test_no_line_of_a_table_ends_within_a_length_of_feet_and_inches(room):
    """A place read off as "7 ft 10" with "1/2 in" a line further down is read wrong."""
    table = room_text(room, "us").split("What stands where")[1].split("Walks")[0]
    assert "1/2 in" in table
    for line in table.splitlines():
        for cell in re.split(r"\s{2,}", line.strip()):
            assert not re.search(r"ft \d+$|^\d+$", cell), line
            assert not re.match(r"(\d+/\d+ )?in\b", cell), line
