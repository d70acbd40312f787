"""`flatstock read` on a start-up's three files: every slip of a first evening is told at once, with its line."""

import pytest

from flatstock.actions.workshops import copy_demo, read_workshop

ROOM = """format = "flatstock.room/1"
[room]
outline_mm = [[0, 0], [5000, 0], [5000, 4000], [0, 4000]]
columns = [{ id = "C1", x_mm = 9000, y_mm = 100, length_mm = 300, width_mm = 300 }]
doors = [{ id = "D1", x1_mm = 2500, y1_mm = 0, x2_mm = 3500, y2_mm = 0, exit = true, goods = true }, { id = "D2", x1_mm = 2500, y1_mm = 1800, x2_mm = 2500, y2_mm = 2800, exit = true }]

[[items]]
id = "HOT"
class = "hot_press"
length_mm = 9700
width_mm = 1300

[[items]]
id = "WIDE"
length_mm = 1800
width_mm = 1700
height_mm = 1600

[[items]]
id = "SAW"
length_mm = 900
width_mm = 800
zones = [{ id = "feed", kind = "work", side = "top", depth_mm = 1200 }]

[[near]]
a = "SAWS"
b = "HOT"
how = "gap"
longest_mm = 3000
"""
SUPPLY = """format = "flatstock.supply/1"
[supply]
phases = 1
volts_LN = 230
rated_A = 63
[[loads]]
id = "HEAT"
connection = "LN"
input_kW = 9
power_factor = 1.2
[[loads]]
id = "PUMP"
connection = "LN"
phase = 2
shaft_kW = 1.5
"""
OUTLAY = """format = "flatstock.outlay/1"
months = 12
cash_start = 1000
price_per_sheet = 60
variable_per_sheet = 20
fixed_per_month = 100
yield = 0.9
demand_per_week = [1, 2, 3]
[[purchases]]
id = "PRESS"
cost = 100
necessity = "cannot_press"
needs = ["PRESS"]
"""


@pytest.fixture
def told(tmp_path):
    copy_demo(tmp_path / "shop")
    for name, text in (("room", ROOM), ("supply", SUPPLY), ("outlay", OUTLAY)):
        (tmp_path / "shop" / f"{name}.toml").write_text(text, "utf-8")
    return [fault.sentence() for fault in read_workshop(tmp_path / "shop").faults]


@pytest.mark.parametrize(
    ("where", "what"),
    [
        ("room.toml line 4, room.columns.C1", "reaches outside the room"),
        ("room.toml line 5, room.doors.D2", "lies in no wall"),
        ("room.toml line 7, items.HOT", "larger than the room"),
        ("room.toml line 13, items.WIDE", "passes no door"),
        ("room.toml line 23, items.SAW.zones.feed.side", "none of the choices"),
        ("room.toml line 26, near.1.a", "the nearest is SAW"),
        ("supply.toml line 10, loads.HEAT.power_factor", "it must be 0.05 to 1"),
        ("supply.toml line 14, loads.PUMP.phase", "of a supply that has L1"),
        ("supply.toml line 15, loads.PUMP.shaft_kW", "not what the motor draws"),
        ("outlay.toml line 8, demand_per_week", "3 numbers for 12 months"),
        ("outlay.toml line 13, purchases.PRESS.needs", "needs itself"),
    ],
)
def test_every_slip_is_told_at_once_with_file_line_field_and_what_would_be_right(told, where, what):
    (found,) = [one for one in told if one.startswith(where)]
    assert what in found
    assert ";" in found  # what would be right


@pytest.mark.parametrize(
    ("corners", "what"),
    [
        ("[[0, 0], [5000, 0], [5000, 4000], [100, 4000]]", "isn't closed"),
        ("[[0, 0], [5000, 0], [5200, 4000], [0, 4000]]", "slanted"),
        ("[[0, 0], [4, 0], [4, 3], [2, 3], [2, -1], [1, -1], [1, 3], [0, 3]]", "crosses or touches itself"),
    ],
)
def test_an_outline_that_is_none_is_told_beside_names_that_are_nobodys(tmp_path, corners, what):
    copy_demo(tmp_path / "shop")
    text = ROOM.replace("[[0, 0], [5000, 0], [5000, 4000], [0, 4000]]", corners).replace('"top"', '"front"')
    (tmp_path / "shop" / "room.toml").write_text(text, "utf-8")
    told = [fault.sentence() for fault in read_workshop(tmp_path / "shop").faults]
    assert any(what in one for one in told)
    assert any("SAWS" in one for one in told)


def test_three_files_without_a_shop_are_read_and_what_is_missing_is_said(tmp_path):
    (tmp_path / "supply.toml").write_text(SUPPLY, "utf-8")
    (tmp_path / "outlay.toml").write_text(OUTLAY, "utf-8")
    answer = read_workshop(tmp_path)
    assert {fault.where.split()[0] for fault in answer.faults} == {"supply.toml", "outlay.toml"}
    assert any("no shop.toml yet" in one for one in answer.document["warnings"])


def test_a_folder_with_none_of_them_is_still_no_workshop(tmp_path):
    (fault,) = read_workshop(tmp_path).faults
    assert "no shop.toml" in fault.what


def test_a_folder_with_a_room_alone_is_read_and_told_without_a_shop(tmp_path, capsys):
    from flatstock.cli import main

    copy_demo(tmp_path / "shop")
    (tmp_path / "unit").mkdir()
    room = (tmp_path / "shop" / "room.toml").read_text("utf-8")
    (tmp_path / "unit" / "room.toml").write_text(room, "utf-8")
    assert main(["read", str(tmp_path / "unit")]) == 0
    told = " ".join(capsys.readouterr().out.split())
    assert "Read without a fault: room.toml." in told
    assert "no shop.toml yet" in told
