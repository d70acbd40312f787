"""room.toml: what it may not say, all of it at once by line; other units; typical machines."""

from __future__ import annotations

import re

import pytest

from flatstock.demo import copy_to
from flatstock.errors import Refused
from flatstock.starting.equipment import NECESSITIES, SIZES, classes, equipment, sheet_mm
from flatstock.starting.room.check.as_asked import sameness
from flatstock.starting.room.document import question_document
from flatstock.starting.room.outline import clean_outline
from flatstock.starting.room.room_file import read_room

BARE = """format = "flatstock.room/1"
[room]
outline_mm = [[0, 0], [9200, 0], [9200, 5600], [0, 5600]]
height_mm = 3400
{room}
{rules}
[[items]]
id = "HOT"
class = "hot_press"
length_mm = 1700
width_mm = 1300
height_mm = 2000
{item}
[[items]]
id = "BENCH"
length_mm = 1500
width_mm = 1000
zones = [{{ id = "stand", kind = "work", side = "front", depth_mm = 900 }}]
{rest}
"""
DOOR = 'doors = [{ id = "D1", x1_mm = 9200, y1_mm = 1800, x2_mm = 9200, y2_mm = 3800, clear_width_mm = 2000, exit = true }]'


@pytest.fixture
def folder(tmp_path):
    def write(room=DOOR, rules="", item="", rest=""):
        (tmp_path / "room.toml").write_text(
            BARE.format(room=room, rules=rules, item=item, rest=rest), "utf-8"
        )
        return tmp_path

    return write


def faults(folder):
    with pytest.raises(Refused) as refused:
        read_room(folder)
    return refused.value.faults


def outline(corners):
    return BARE.replace("[[0, 0], [9200, 0], [9200, 5600], [0, 5600]]", corners)


@pytest.mark.parametrize(
    ("corners", "what", "instead"),
    [
        ("[[0, 0], [9200, 0], [9200, 5600], [300, 5600]]", "isn't closed: from its last corner [300, 5600]", "[300, 0]"),
        ("[[0, 0], [9200, 0], [9000, 5600], [0, 5600]]", "the wall from [9200, 0] to [9000, 5600] is slanted", "steps"),
        ("[[0, 0], [9200, 0], [9200, 5600], [4000, 5600], [4000, -500], [0, -500]]", "crosses or touches itself", "in turn"),
        ("[[0, 0], [9200, 0], [9200, 5600], [9200, 2000], [0, 2000]]", "crosses or touches itself", "in turn"),
        ("[[0, 0], [9200, 0], [9200, 5600]]", "3 corners close no room", "at least four"),
        ("[[0, 0], [9200, 0], [9200, 0], [9200, 5600], [0, 5600]]", "corner 2 stands there twice", "once"),
        ("[[0, 0], [9200, 0, 1], [9200, 5600], [0, 5600]]", "point 2 is not a pair", "[x, y]"),
    ],
)  # fmt: skip
def test_an_outline_that_is_none_is_told_with_its_line(tmp_path, corners, what, instead):
    text = outline(corners).format(room=DOOR, rules="", item="", rest="")
    (tmp_path / "room.toml").write_text(text, "utf-8")
    found = faults(tmp_path)
    assert any(
        what in f.what and instead in f.instead and f.where.startswith("room.toml line 3") for f in found
    ), found


@pytest.mark.parametrize(
    ("said", "where", "what"),
    [
        ({"room": DOOR.replace("x2_mm = 9200", "x2_mm = 9100")}, "room.doors.D1", "lies in no wall"),
        ({"room": DOOR.replace("9200", "5000")}, "room.doors.D1", "lies in no wall"),
        ({"room": DOOR.replace("y2_mm = 3800", "y2_mm = 6800")}, "room.doors.D1", "lies in no wall"),
        ({"room": DOOR.replace("clear_width_mm = 2000", "clear_width_mm = 2001")}, "clear_width_mm", "wider than the opening"),
        ({"room": DOOR + '\ncolumns = [{ id = "C1", x_mm = 9000, y_mm = 0, length_mm = 300, width_mm = 300 }]'},
         "room.columns.C1", "reaches outside the room"),
        ({"room": DOOR + '\nlow = [{ id = "B", x_mm = 9200, y_mm = 0, length_mm = 300, width_mm = 300, height_mm = 2000 }]'},
         "room.low.B", "hangs outside the room"),
        ({"room": DOOR + '\nsupply_points = [{ id = "P", kind = "power", x_mm = -1, y_mm = 0 }]'},
         "room.supply_points.P", "neither in the room nor on a wall"),
        ({"item": 'zones = [{ id = "z", kind = "work", side = "top", depth_mm = 900 }]'}, "side", "none of the choices"),
        ({"item": 'zones = [{ id = "z", kind = "work", depth_mm = 900 }]'}, "side", "required"),
        ({"item": 'zones = [{ id = "z", kind = "work", side = "front", depth_mm = 900, from_mm = 1700 }]'},
         "from_mm", "no stretch"),
        ({"item": 'zones = [{ id = "z", kind = "work", side = "front", depth_mm = 9, from_mm = -300, to_mm = 0 }]'},
         "to_mm", "beside no part of its front"),
        ({"item": 'zones = [{ id = "z", kind = "work", side = "front", depth_mm = 9, allow = ["BENHC"] }]'},
         "allow", "no item or column 'BENHC'"),
        ({"item": "turned_deg = 45"}, "turned_deg", "45° is no quarter turn"),
        ({"item": "may_turn_deg = [0, 91]"}, "may_turn_deg", "91° is no quarter turn"),
        ({"item": "x_mm = 100"}, "items.HOT.y_mm", "required"),
        ({"item": 'move_in = { door = "D2" }'}, "door", "no door 'D2'"),
        ({"rest": '[[near]]\na = "BENCH.stand"\nb = "HTO"\nhow = "gap"\nlongest_mm = 500'}, "near.1.b", "no item 'HTO'"),
        ({"rest": '[[near]]\na = "BENCH.stand"\nb = "HOT"\nhow = "walk"\nlongest_mm = 500'}, "near.1.b", "no zone 'HOT'"),
        ({"rest": '[[near]]\na = "HOT"\nb = "HOT"\nlongest_mm = 500'}, "near.1.b", "is near itself"),
        ({"rest": '[[apart]]\na = "HOT"\nb = "SAW"\nshortest_mm = 500'}, "apart.1.b", "no item 'SAW'"),
        ({"rest": '[[flows]]\nfrom = "HOT.load"\nto = "BENCH.stand"\ntrips_per_day = 8'}, "flows.1.from", "no zone 'HOT.load'"),
        ({"rest": '[[in_line]]\na = "HOT"\nb = "COLD"\nside_a = "right"\nside_b = "left"\ngap_min_mm = 1\ngap_max_mm = 2'},
         "in_line.1.b", "no item 'COLD'"),
        ({"rest": '[[in_line]]\na = "HOT"\nb = "BENCH"\nside_a = "right"\nside_b = "left"\ngap_min_mm = 3\ngap_max_mm = 2'},
         "in_line.1.gap_min_mm", "over the most"),
        ({"rest": '[[items]]\nid = "HOT"\nlength_mm = 1\nwidth_mm = 1'}, "items.HOT.id", "is there already"),
        ({"rest": '[[items]]\nid = "BIG"\nlength_mm = 9300\nwidth_mm = 500'}, "items.BIG", "larger than the room"),
        ({"rest": '[[items]]\nid = "TALL"\nlength_mm = 2600\nwidth_mm = 2100\nheight_mm = 2500'}, "items.TALL", "passes no door"),
        ({"rest": '[[items]]\nid = "X"\nclass = "hot_press"\nlength_mm = 500'}, "items.X.width_mm", "required"),
        ({"rest": '[[items]]\nid = "X"\nclass = "hot_pres"\nsize = "M"'}, "items.X.class", "no class 'hot_pres'"),
        ({"rest": '[air]\n[[air.hoods]]\nid = "H"\nkind = "canopy"\nrise_mm = 600'}, "air.hoods.H.perimeter_mm", "needed for canopy"),
        ({"item": "lenght_mm = 3"}, "items.HOT.lenght_mm", "unknown key"),
        ({"rules": "[rules]\nescape_width_mm = -1"}, "rules.escape_width_mm", "can't be"),
    ],
)  # fmt: skip
def test_what_does_not_fit_together_is_told_with_its_line_and_field(folder, said, where, what):
    found = faults(folder(**said))
    fitting = [f for f in found if where in f.where and what in f.what]
    assert len(fitting) == 1, [f.sentence() for f in found]
    assert re.match(r"room\.toml line \d+, ", fitting[0].where)
    assert fitting[0].instead


def test_every_fault_comes_at_once(folder):
    room = DOOR.replace("y2_mm = 3800", "y2_mm = 6800")
    rest = '[[near]]\na = "A"\nb = "B"\nlongest_mm = 500\n[[flows]]\nfrom = "C.d"\nto = "BENCH.stand"\ntrips_per_day = 8'
    assert len(faults(folder(room=room, item="turned_deg = 45", rest=rest))) == 5


def test_what_is_wrong_with_a_zone_is_said_once_and_not_of_whoever_walks_to_it(folder):
    item = 'zones = [{ id = "load", kind = "work", side = "top", depth_mm = 900 }]'
    rest = '[[flows]]\nfrom = "HOT.load"\nto = "BENCH.stand"\ntrips_per_day = 8'
    assert [f.what.split(" ")[0] for f in faults(folder(item=item, rest=rest))] == ["'top'"]


def test_a_folder_without_a_room_says_how_to_get_one(tmp_path):
    with pytest.raises(Refused, match=r"has no room\.toml; write one"):
        read_room(tmp_path)


def test_the_demos_room_has_no_fault(tmp_path):
    copy_to(tmp_path / "demo")
    question = read_room(tmp_path / "demo", shop="x").question
    assert len(question.items) == 10
    assert question.shop == "Lower Sluice Sheet Workshop"


def test_corners_in_any_direction_and_in_the_middle_of_a_wall_make_the_same_room():
    wanted = ((0, 0), (9000, 0), (9000, 5000), (0, 5000))
    backwards = [(0, 5000), (9000, 5000), (9000, 0), (4000, 0), (0, 0), (0, 5000)]
    found, wrong = clean_outline(backwards)
    assert wrong == []
    assert set(found) == set(wanted)
    start = wanted.index(found[0])
    assert found == (*wanted[start:], *wanted[:start])


def test_a_room_may_be_written_in_feet_inches_pounds_and_pounds_a_square_foot(folder):
    text = """format = "flatstock.room/1"
[room]
outline_mm = [[0, 0], ["30 ft 2 in", 0], ["30 ft 2 in", "18 ft"], [0, "18 ft"]]
height_ft = 11
floor_psf = 125
doors = [{ id = "D", x1_mm = 0, y1_ft = 3, x2_mm = 0, y2_ft = 7, exit = true }]
[[items]]
id = "SAW"
length_in = 48
width_mm = "3 ft"
mass_lb = 550
zones = [{ id = "feed", kind = "work", side = "front", depth_in = 51, from_mm = "-4 in" }]
"""
    path = folder()
    (path / "room.toml").write_text(text, "utf-8")
    question = read_room(path).question
    assert question.room.bounds.length_mm == round((30 * 12 + 2) * 25.4)
    assert question.room.bounds.width_mm == round(18 * 304.8)
    assert question.room.height_mm == round(11 * 304.8)
    assert question.room.floor_kN_m2 == pytest.approx(5.985, abs=5e-4)  # H10: 1 psf = 47.88 Pa (source read)
    saw = question.items[0]
    assert (saw.length_mm, saw.width_mm) == (1219, 914)
    assert saw.mass_kg == pytest.approx(249.476, abs=1e-3)
    assert (saw.zones[0].depth_mm, saw.zones[0].from_mm) == (1295, -102)
    assert question.room.doors[0].clear_width_mm == 1220  # the whole opening, from 914 to 2134


def test_an_item_that_stands_there_already_is_written_as_it_stands(folder):
    question = read_room(folder(item="x_mm = 100\ny_mm = 200\nturned_deg = 90")).question
    item = question.by_id["HOT"]
    assert item.footprint(item.placed).length_mm == 1700  # along x, as written
    assert item.size(0) == (1300, 1700)


# ---------------------------------------------------------------- typical machines


def typical_flake(folder, more):
    rest = f'[[items]]\nid = "EXTRA"\nclass = "flake_box"\nsize = "S"\n{more}'
    return read_room(folder(rest=rest)).question.by_id["EXTRA"]


def test_a_typical_flake_box_burns_unless_its_own_line_says_that_it_does_not(folder):
    said = typical_flake(folder, "")
    assert said.combustible
    assert "combustible" in said.assumed


def test_a_machines_own_word_that_it_does_not_burn_goes_before_its_class(folder):
    said = typical_flake(folder, "combustible = false")
    assert not said.combustible
    assert "combustible" not in said.assumed


def test_a_size_fills_in_what_is_typical_and_says_so(folder):
    rest = '[[items]]\nid = "COOL"\nclass = "cooling_press"\nsize = "M"\nmass_kg = 900'
    item = read_room(folder(rest=rest)).question.by_id["COOL"]
    assert (item.length_mm, item.width_mm, item.height_mm) == (1700, 1300, 1900)
    assert item.mass_kg == 900
    assert [zone.id for zone in item.zones] == ["open", "back"]
    assert set(item.assumed) == {"length_mm", "width_mm", "height_mm", "zones"}


def test_ones_own_numbers_go_before_those_of_the_class(folder):
    rest = '[[items]]\nid = "COOL"\nclass = "cooling_press"\nsize = "M"\nlength_mm = 1500\nzones = []'
    item = read_room(folder(rest=rest)).question.by_id["COOL"]
    assert (item.length_mm, item.zones) == (1500, ())
    assert set(item.assumed) == {"width_mm", "height_mm", "mass_kg"}


def test_a_panels_clear_space_is_at_least_as_wide_as_the_rule_asks(folder):
    """762 mm for a panel 600 mm wide: NEC 110.26 (source read)."""
    rest = '[[items]]\nid = "E"\nclass = "supply_panel"\nsize = "M"'
    zone = read_room(folder(rest=rest)).question.by_id["E"].zones[0]
    assert (zone.from_mm, zone.to_mm) == (-81, 681)


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("name", classes())
def test_every_class_has_evidence_behind_every_number(name, size):
    of = equipment(name, size)
    assert of.necessity in NECESSITIES
    for value in of.numbers.values():
        assert value.low <= value.value <= value.high
        assert value.kind in ("assumed", "computed")
        assert value.source
    for zone in of.zones:
        assert zone.depth_mm >= 500
        assert zone.why


def test_machines_grow_with_the_sheet():
    for name in classes():
        areas = [equipment(name, size).numbers for size in SIZES]
        if "length_mm" in areas[0]:
            small, middle, large = (a["length_mm"].value * a["width_mm"].value for a in areas)
            assert small <= middle <= large, name


@pytest.mark.parametrize(("size", "depth"), [("s", 1000), ("m", 1450), ("l", 2700)])
def test_a_saw_has_room_for_its_sheet_before_and_behind_the_blade(size, depth):
    """Common practice, no source: sheet length and 0.2 m before, and 0.1 m behind; its width on the fence side, its
    length on the other. For M the whole is 3.8 m deep."""
    zones = {zone.id: zone.depth_mm for zone in equipment("saw", size).zones}
    length, width = sheet_mm(size)
    assert zones == {"feed": depth, "out": length + 100, "right": width, "left": length}
    assert zones["feed"] == length + 200


def test_the_heaters_are_about_17_kw_a_square_metre():
    """Common practice, no source: about 17 kW for a square metre of sheet."""
    for size in SIZES:
        length, width = sheet_mm(size)
        heaters = equipment("hot_press", size).numbers["heaters_kW"]
        assert 0.7 * heaters.low <= 17 * length * width / 1e6 <= 1.1 * heaters.high


def test_the_outline_is_told_as_it_was_written(folder, tmp_path):
    clockwise = [[0, 5600], [9200, 5600], [9200, 0], [0, 0]]
    path = folder() / "room.toml"
    path.write_text(re.sub(r"outline_mm = .*", f"outline_mm = {clockwise}", path.read_text("utf-8")), "utf-8")
    document = question_document(read_room(tmp_path).question)
    assert document["room"]["outline_mm"] == clockwise
    assert list(sameness(document, document)) == []
    other_way_round = {**document, "room": {**document["room"], "outline_mm": clockwise[::-1]}}
    assert list(sameness(document, other_way_round)) == []


def test_a_length_that_can_not_be_read_is_told_once(folder):
    written = folder()
    text = (written / "room.toml").read_text("utf-8").replace("length_mm = 1700", 'length_mm = "1700 kg"')
    (written / "room.toml").write_text(text, "utf-8")
    assert [fault.what for fault in faults(written)] == ["'1700 kg' is a mass, not a length"]


@pytest.mark.parametrize(
    ("written", "stands"),
    [
        ("", (1300, 1700)),  # an M press is 1700 along its front and 1300 deep
        ("length_mm = 1250", (1250, 1700)),
        ("width_mm = 1650", (1300, 1650)),
        ("length_mm = 1250\nwidth_mm = 1650", (1250, 1650)),
    ],
)
def test_a_machine_of_a_class_that_stands_turned_keeps_its_shape(folder, written, stands):
    """Lengths of what stands are as it stands; those of a class are along its front, whichever way it is turned."""
    path = folder()
    sized = f'size = "m"\nx_mm = 1000\ny_mm = 1000\nturned_deg = 90\n{written}'
    text = (path / "room.toml").read_text("utf-8").replace("length_mm = 1700\nwidth_mm = 1300", sized, 1)
    (path / "room.toml").write_text(text, "utf-8")
    press = next(item for item in read_room(path).question.items if item.id == "HOT")
    box = press.footprint(press.placed)
    assert (box.length_mm, box.width_mm) == stands
    load = next(zone for zone in press.zones if zone.side == "front")
    assert press.zone_as_placed(load, press.placed).x_mm == 1000 + stands[0], "its front looks to the right"


def test_the_rules_may_be_written_in_feet_and_inches(folder):
    rules = """[rules]
escape_width_mm = "3 ft"
access_width_in = 24
service_width_mm = "1 ft 8 in"
escape_longest_ft = 39
narrow_longest_in = 118
door_clear_mm = "36 in"
trolley = { length_in = 51, width_mm = "35 1/2 in", clearance_in = 6, door_clearance_mm = "1 ft" }
"""
    asked = read_room(folder(rules=rules)).question.rules
    assert (asked.escape_width_mm, asked.access_width_mm, asked.service_width_mm) == (914, 610, 508)
    assert (asked.escape_longest_mm, asked.narrow_longest_mm, asked.door_clear_mm) == (11887, 2997, 914)
    assert asked.trolley is not None
    sides = asked.trolley.length_mm, asked.trolley.width_mm
    assert (*sides, asked.trolley.clearance_mm, asked.trolley.door_clearance_mm) == (1295, 902, 152, 305)
