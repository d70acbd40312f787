"""The document: complete, as its schema says, and judged again from what it says alone."""

from __future__ import annotations

import json
from itertools import pairwise

import jsonschema
import pytest

from flatstock import schemas
from flatstock.actions.rooms import check_room, place_room
from flatstock.errors import Refused
from flatstock.starting.room.answer import Alternative, Help, Proof, RoomAnswer
from flatstock.starting.room.check import judge
from flatstock.starting.room.document import question_document, room_document
from flatstock.starting.room.variants import fixed, without
from tests.starting.room.conftest import BY_HAND
from tests.starting.room.making import at


def change(document, *path, value):
    """A change to a document at a path of keys, ids and numbers."""
    here = document
    for key in path[:-1]:
        here = (
            next(e for e in here if e["id"] == key)
            if isinstance(here, list) and isinstance(key, str)
            else here[key]
        )
    here[path[-1]] = value
    return document


def kept(tmp_path, document):
    path = tmp_path / "drawn.json"
    path.write_text(json.dumps(document), "utf-8")
    return path


def refusals(folder, path):
    with pytest.raises(Refused) as refused:
        check_room(folder, path)
    return [fault.what for fault in refused.value.faults]


def test_the_plan_drawn_by_hand_passes(demo_room, demo_plan):
    assert judge(demo_room, demo_plan).faults == ()


def test_a_document_holds_to_its_schema(drawn):
    jsonschema.validate(drawn, schemas.load("room"))


def test_a_question_without_a_plan_holds_to_the_schema_too(demo_room):
    nothing = RoomAnswer(
        plan=None, proof=Proof(status="impossible", seconds=0.3), conflict=("SAW.out", "HOT"),
        why="they can't lie side by side", would_help=(Help(what="without SAW", proof="a plan passes"),),
    )  # fmt: skip
    document = json.loads(json.dumps(room_document(demo_room, nothing)))
    jsonschema.validate(document, schemas.load("room"))
    assert document["walk_m_per_day"] is None
    assert all("x_mm" not in item for item in document["items"])


def test_alternatives_say_where_everything_stands(demo_room, demo_plan):
    other = Alternative(plan=demo_plan, walk_m_per_day=169.6, differs="SAW by the door")
    document = room_document(
        demo_room, RoomAnswer(plan=demo_plan, proof=Proof(status="feasible"), alternatives=(other,))
    )
    jsonschema.validate(json.loads(json.dumps(document)), schemas.load("room"))
    assert len(document["alternatives"][0]["items"]) == 10


def test_a_bound_is_rounded_as_the_walk_is(demo_room, demo_plan):
    proof = Proof(status="feasible", walk_m_per_day=35.2, bound_m_per_day=24.799999999999997)
    document = room_document(demo_room, RoomAnswer(plan=demo_plan, proof=proof))
    assert json.dumps(document["proof"]["bound_m_per_day"]) == "24.8"


def test_lists_are_sorted_by_id_and_rectangles_are_as_placed(drawn):
    ids = [item["id"] for item in drawn["items"]]
    assert ids == sorted(ids)
    saw = next(item for item in drawn["items"] if item["id"] == "SAW")
    assert (saw["x_mm"], saw["y_mm"], saw["length_mm"], saw["width_mm"], saw["turned_deg"]) == (
        5900,
        900,
        900,
        1200,
        90,
    )
    zones = {
        zone["id"]: [zone[k] for k in ("x_mm", "y_mm", "length_mm", "width_mm")] for zone in saw["zones"]
    }
    assert zones == {
        "feed": [6800, 900, 1300, 1200], "out": [4600, 900, 1300, 1200], "left": [5900, 0, 900, 900],
        "right": [5900, 2100, 900, 300],
    }  # fmt: skip


def test_walks_of_the_document_add_up_to_metres_a_day(drawn):
    total = sum(flow["trips_per_day"] * flow["walk_mm"] for flow in drawn["flows"]) / 1000
    assert drawn["walk_m_per_day"] == pytest.approx(total)
    for flow in drawn["flows"]:
        path = flow["path_mm"]
        steps = [abs(a[0] - b[0]) + abs(a[1] - b[1]) for a, b in pairwise(path)]
        assert sum(steps) == pytest.approx(flow["walk_mm"], abs=1)


def test_an_unchanged_document_passes_its_own_check(drawn, demo_folder, tmp_path):
    outcome = check_room(demo_folder, kept(tmp_path, drawn))
    assert outcome.document["walk_m_per_day"] == drawn["walk_m_per_day"]
    assert outcome.document["proof"]["status"] == "feasible"


def test_a_drawing_of_places_alone_is_enough(demo_folder, tmp_path):
    items = [
        {"id": name, "x_mm": x, "y_mm": y, "turned_deg": turn[0] if turn else 0}
        for name, (x, y, *turn) in BY_HAND.items()
    ]
    path = kept(tmp_path, {"format": "flatstock.room/1", "items": items})
    assert check_room(demo_folder, path).document["walk_m_per_day"] == pytest.approx(169.6)


@pytest.mark.parametrize(
    ("path", "value", "said"),
    [
        (("items", "HOT", "length_mm"), 1600, "HOT.length_mm is 1.60 m in the plan, 1.70 m was asked for"),
        (("items", "SAW", "length_mm"), 800, "SAW.width_mm is 0.80 m in the plan, 0.90 m was asked for"),
        (("items", "HOT", "mass_kg"), 100, "HOT.mass_kg is 100 in the plan, 1450 was asked for"),
        (("items", "FLAKE1", "combustible"), False, "FLAKE1.combustible is False in the plan, True was asked for"),
        (("items", "HOT", "hot_gap_mm"), 100, "HOT.hot_gap_mm is 0.10 m in the plan, 1.50 m was asked for"),
        (("items", "HOT", "zones"), [], "HOT.box was asked for and is not in the plan"),
        (("items", "HOT", "zones", "load", "depth_mm"), 1100, "HOT.load.depth_mm is 1.10 m in the plan, 1.20 m was"),
        (("items", "SAW", "zones", "out", "exclusive"), False, "SAW.out.exclusive is False in the plan"),
        (("items", "HOT", "zones", "load", "allow"), ["ROLL"], "HOT.load.allow is ['ROLL'] in the plan"),
        (("rules", "escape_width_mm"), 800, "rules.escape_width_mm is 0.80 m in the plan, 0.90 m was asked for"),
        (("rules", "trolley", "width_mm"), 800, "rules.trolley.width_mm is 0.80 m in the plan"),
        (("room", "height_mm"), 9000, "room.height_mm is 9.00 m in the plan"),
        (("room", "outline_mm"), [[0, 0], [9300, 0], [9300, 5600], [0, 5600]], "the outline is not the one"),
        (("room", "doors", "D1", "clear_width_mm"), 1900, "room.doors.D1.clear_width_mm is 1.90 m in the plan"),
        (("room", "doors"), [], "D1 was asked for and is not in the plan"),
        (("near",), [], "what was asked of BENCH.stand and HOT.load under near is not in the plan"),
        (("flows", 0, "trips_per_day"), 2, "what was asked of FLAKE1.draw and SCALE.stand under flows"),
        (("in_line", 0, "gap_max_mm"), 2000, "what was asked of HOT and COOL under in_line"),
        (("grid_mm",), 50, "grid_mm is 0.05 m in the plan, 0.10 m was asked for"),
    ],
)  # fmt: skip
def test_a_plan_that_answers_another_question_is_refused(path, value, said, drawn, demo_folder, tmp_path):
    found = refusals(demo_folder, kept(tmp_path, change(drawn, *path, value=value)))
    assert any(said in what for what in found), found


@pytest.mark.parametrize(
    ("path", "value", "said"),
    [
        (("items", "SCALE", "y_mm"), 1700, "SCALE stands 0.60 m x 0.10 m in HOT.load"),
        (("items", "SAW", "x_mm"), 8000, "reaches"),
        (("items", "HOT", "x_mm"), None, "None is no whole number"),
        (("items", "HOT", "turned_deg"), 45, "45° is no quarter turn"),
        (("items", "HOT", "x_mm"), 0.5, "0.5 is no whole number"),
        (("items", "HOT", "x_mm"), "0", "'0' is no whole number"),
        (("items",), "none", "there is no list of items"),
        (("format",), "flatstock.plan/1", "its format is 'flatstock.plan/1'"),
    ],
)  # fmt: skip
def test_a_plan_that_breaks_a_rule_or_can_not_be_read_is_refused(
    path, value, said, drawn, demo_folder, tmp_path
):
    found = refusals(demo_folder, kept(tmp_path, change(drawn, *path, value=value)))
    assert any(said in what for what in found), found


def test_what_is_missing_from_a_drawing_stands_nowhere(drawn, demo_folder, tmp_path):
    drawn["items"] = [item for item in drawn["items"] if item["id"] != "STORE"]
    assert "STORE stands nowhere" in refusals(demo_folder, kept(tmp_path, drawn))


def test_a_file_that_is_no_json_is_refused(demo_folder, tmp_path):
    path = tmp_path / "drawn.json"
    path.write_text("{", "utf-8")
    assert refusals(demo_folder, path)[0].startswith("this is not JSON")
    assert refusals(demo_folder, tmp_path / "none.json")[0].startswith("it can't be read")


# ---------------------------------------------------------------- one's own ideas


def test_everything_put_somewhere_is_judged(demo_folder):
    spots = {name: (x, y, turn[0] if turn else 0) for name, (x, y, *turn) in BY_HAND.items()}
    outcome = place_room(demo_folder, fix=spots)
    assert outcome.document["walk_m_per_day"] == pytest.approx(169.6)
    with pytest.raises(Refused, match=r"SCALE stands 0\.60 m x 0\.10 m in HOT\.load"):
        place_room(demo_folder, fix=spots | {"SCALE": (0, 1700, 90)})


def test_a_room_is_judged_before_there_is_a_shop(demo_folder, tmp_path):
    (tmp_path / "room.toml").write_bytes((demo_folder / "room.toml").read_bytes())
    spots = {name: (x, y, turn[0] if turn else 0) for name, (x, y, *turn) in BY_HAND.items()}
    document = place_room(tmp_path, fix=spots).document
    assert document["fire"]["now"]["mass_kg"] == 0
    assert document["air"]["must_be_caught"] == []
    jsonschema.validate(json.loads(json.dumps(document)), schemas.load("room"))


def test_a_name_that_is_no_item_is_told_with_the_nearest(demo_folder):
    with pytest.raises(Refused, match="no item 'SAWW'; the nearest is SAW"):
        place_room(demo_folder, without=["SAWW"])


def test_what_is_left_out_takes_what_was_asked_of_it_with_it(demo_room):
    less = without(demo_room, {"ROLL", "SAW"})
    assert "SAW" not in less.by_id
    assert less.in_line[0].via is None
    assert all("SAW" not in flow.to for flow in less.flows)
    assert len(without(demo_room, {"HOT"}).in_line) == 0
    assert len(without(demo_room, {"BENCH"}).near) == 1


def test_what_is_fixed_stands_there_in_the_question(demo_room):
    assert fixed(demo_room, {"SAW": at(5900, 900, 90)}).by_id["SAW"].placed == at(5900, 900, 90)
    document = question_document(fixed(demo_room, {"SAW": at(5900, 900, 90)}))
    assert next(i for i in document["items"] if i["id"] == "SAW")["length_mm"] == 900


def test_a_fixed_item_is_compared_as_it_stands(drawn, demo_folder, tmp_path):
    """A question in which the saw stands already, turned: its sides in the document are as placed on both sides."""
    text = (demo_folder / "room.toml").read_text("utf-8")
    where = 'id = "SAW"\nclass = "saw"\nlength_mm = 1200\nwidth_mm = 900'
    assert where in text
    moved = text.replace(
        where,
        'id = "SAW"\nclass = "saw"\nx_mm = 5900\ny_mm = 900\nturned_deg = 90\nlength_mm = 900\nwidth_mm = 1200',
    )
    folder = tmp_path / "shop"
    folder.mkdir()
    for file in demo_folder.iterdir():
        (folder / file.name).write_bytes(file.read_bytes())
    (folder / "room.toml").write_text(moved, "utf-8")
    assert check_room(folder, kept(tmp_path, drawn)).plan is not None
