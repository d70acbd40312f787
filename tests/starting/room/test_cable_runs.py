"""The second sheet of a room: what hangs on which phase, and its cable run from the panel, to scale."""

import json
import re
from itertools import pairwise
from xml.etree import ElementTree

import jsonschema
import pytest
from pypdf import PdfReader

from flatstock.actions.room_supply import with_supply
from flatstock.actions.rooms import place_room
from flatstock.actions.workshops import copy_demo
from flatstock.prints.drawing.floor import room_supply_svg
from flatstock.prints.drawing.floor.view import PER_MM, view_of
from flatstock.prints.pdf.room import room_pdf
from flatstock.schemas import load
from flatstock.starting.room.rectangles import Rect
from flatstock.starting.room.surroundings.cable_way import cable_way

ROOM = """format = "flatstock.room/1"
[room]
outline_mm = [[0, 0], [8000, 0], [8000, 5000], [0, 5000]]
doors = [{ id = "D1", x1_mm = 8000, y1_mm = 1000, x2_mm = 8000, y2_mm = 3000, exit = true, goods = true }]
supply_points = [{ id = "P1", kind = "power", x_mm = 0, y_mm = 5000 }]
[[items]]
id = "PANEL"
class = "supply_panel"
length_mm = 600
width_mm = 200
height_mm = 1800
x_mm = 0
y_mm = 0
zones = []
[[items]]
id = "HOT"
class = "hot_press"
length_mm = 1700
width_mm = 1300
height_mm = 2000
x_mm = 4000
y_mm = 2000
zones = []
[[items]]
id = "SAW"
class = "saw"
length_mm = 1200
width_mm = 900
height_mm = 900
x_mm = 500
y_mm = 3500
zones = []
"""


@pytest.fixture
def folder(tmp_path):
    copy_demo(tmp_path / "shop")
    (tmp_path / "shop" / "room.toml").write_text(ROOM, "utf-8")
    return tmp_path / "shop"


def answered(folder):
    return with_supply(place_room(folder), folder)


def test_a_run_goes_along_both_axes_from_the_panel_to_the_middle_of_its_machine(folder):
    part = answered(folder).document["supply"]
    assert (part["from"], part["from_mm"]) == ("PANEL", [300, 100])
    heat = next(one for one in part["loads"] if one["load"] == "HEAT")
    assert heat["at"] == "HOT"
    assert heat["path_mm"] == [[300, 100], [4850, 100], [4850, 2650]]
    assert heat["run_mm"] == 4550 + 2550
    assert heat["lines"] == [1, 2, 3]
    assert heat["current_A"] == pytest.approx(25.98, abs=0.005)  # 18 kW / (sqrt(3) 400 V)


def test_a_load_belongs_to_the_item_of_its_own_name_unless_it_says_another(folder):
    loads = {one["load"]: one for one in answered(folder).document["supply"]["loads"]}
    assert loads["SAW"]["at"] == "SAW"
    assert (loads["PUMP"]["at"], loads["PUMP"]["lines"]) == ("HOT", [1])
    assert (loads["SMALL"]["at"], loads["SMALL"]["run_mm"]) == (None, None)


def test_without_a_panel_the_runs_begin_where_power_comes_in(folder):
    file = folder / "room.toml"
    file.write_text(file.read_text("utf-8").replace('"supply_panel"', '"other"'), "utf-8")
    part = answered(folder).document["supply"]
    assert (part["from"], part["from_mm"]) == ("P1", [0, 5000])


def test_a_room_without_a_supply_file_has_no_second_sheet(folder, tmp_path):
    (folder / "supply.toml").unlink()
    outcome = answered(folder)
    assert "supply" not in outcome.document
    room_pdf(outcome.document, tmp_path / "room.pdf")
    assert "Loads, phases" not in text_of(tmp_path / "room.pdf")


def test_a_supply_file_with_faults_is_said_and_the_room_is_answered_all_the_same(folder):
    (folder / "supply.toml").write_text("format = 3", "utf-8")
    document = answered(folder).document
    assert "supply" not in document
    assert any(one["code"] == "supply" for one in document["warnings"])


def test_the_document_fits_its_schema(folder):
    jsonschema.validate(json.loads(json.dumps(answered(folder).document)), load("room"))


def test_the_runs_are_drawn_to_scale_and_told_apart_without_colour(folder):
    document = answered(folder).document
    svg = room_supply_svg(document, scale=50)
    root = ElementTree.fromstring(svg)
    view = view_of(document, 50)
    runs = [
        (path, [(float(x), float(y)) for x, y in re.findall(r"(-?[\d.]+) (-?[\d.]+)", path.get("d"))])
        for path in root.iterfind("{http://www.w3.org/2000/svg}path")
        if path.get("fill") == "none" and "Z" not in path.get("d")
    ]
    heat = next(points for path, points in runs if path.get("stroke-width") == "3.2" and len(points) == 3)
    long = abs(heat[1][0] - heat[0][0]) / PER_MM
    assert long == pytest.approx(4550 / 50, abs=0.01)
    assert view.paper_mm[0] * PER_MM == pytest.approx(float(root.get("width")), abs=0.01)
    pens = {
        (path.get("stroke-width"), path.get("stroke-dasharray")) for path, points in runs if len(points) == 3
    }
    assert len(pens) >= 2  # three phases, and one phase
    words = [one.text for one in root.iter("{http://www.w3.org/2000/svg}text")]
    assert "HEAT L1 L2 L3 26.0 A" in words
    assert "PUMP L1 8.7 A" in words


def text_of(path):
    return "\n".join(page.extract_text() for page in PdfReader(path).pages)


def test_the_second_sheet_is_printed_with_a_table_of_loads_phases_and_runs(folder, tmp_path):
    room_pdf(answered(folder).document, tmp_path / "room.pdf", "a3")
    words = text_of(tmp_path / "room.pdf")
    assert "cables from PANEL" in words
    assert "Loads, phases and cable runs" in words
    assert re.search(r"HEAT\s+HOT\s+L1 L2 L3\s+18\.00\s+26\.0\s+7\.10 m", words)
    assert "electrician" in words


def test_a_run_of_a_room_with_a_corner_cut_out_stays_inside_its_walls():
    """From one arm of an L into the other, round the corner at 4000, 3000; straight down and on would leave it."""
    arms = [Rect(0, 0, 8000, 3000), Rect(0, 3000, 4000, 3000)]
    way = cable_way((3500, 5800), (7500, 2000), floor=arms, solid=[], boxes=[])
    assert way == [(3500, 5800), (3500, 2000), (7500, 2000)]


def test_of_runs_that_are_as_short_that_one_is_taken_that_crosses_no_machine():
    floor, press = [Rect(0, 0, 8000, 5000)], Rect(2000, 0, 1500, 1500)
    assert cable_way((0, 500), (6000, 3000), floor=floor, solid=[], boxes=[press])[1] == (0, 3000)


def test_a_run_goes_round_what_is_solid_and_is_longer_for_it():
    floor, shaft = [Rect(0, 0, 8000, 1000)], Rect(3000, 0, 500, 800)
    way = cable_way((0, 500), (6000, 500), floor=floor, solid=[shaft], boxes=[])
    assert sum(abs(a[0] - b[0]) + abs(a[1] - b[1]) for a, b in pairwise(way)) == 6000 + 2 * 300


def test_a_supply_point_that_nothing_leads_to_is_drawn_straight_all_the_same():
    way = cable_way((9000, 0), (1000, 500), floor=[Rect(0, 0, 8000, 1000)], solid=[], boxes=[])
    assert way == [(9000, 0), (1000, 0), (1000, 500)]
