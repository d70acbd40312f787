"""Words on a plan hide nothing that has to be read off it: corners of machines, other words, walls."""

from __future__ import annotations

import re
from typing import Any
from xml.etree import ElementTree

import pytest

from flatstock.prints.drawing.floor import room_supply_svg, room_svg
from flatstock.prints.drawing.floor.labels import EDGE, WORDS, Labels
from flatstock.prints.drawing.floor.view import view_of
from flatstock.prints.drawing.svg import Drawing

SVG = "{http://www.w3.org/2000/svg}"
WHITE = "#ffffff"


def grounds(svg):
    """Left, top, right and bottom of the white behind each line of words that has one, and the words."""
    found, before = {}, None
    for part in ElementTree.fromstring(svg):
        if part.tag == f"{SVG}text" and before is not None:
            found[part.text] = before
        before = None
        if part.tag == f"{SVG}path" and part.get("fill") == WHITE and part.get("stroke") == "none":
            points = [(float(x), float(y)) for x, y in re.findall(r"(-?[\d.]+) (-?[\d.]+)", part.get("d"))]
            xs, ys = zip(*points, strict=True)
            before = (min(xs), min(ys), max(xs), max(ys))
    return found


def corner_in(box, corners):
    left, top, right, bottom = box
    return any(left < x < right and top < y < bottom for x, y in corners)


def meet(a, b):
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


@pytest.mark.parametrize("upright", [False, True])
def test_the_name_of_a_beam_hides_no_corner_of_a_machine(sample, upright):
    """A beam whose middle is right over a corner of the saw, which stands at 5.9 m, 0.9 m."""
    room = sample("room")
    beam = (
        {"x_mm": 5700, "y_mm": 0, "length_mm": 400, "width_mm": 1800}
        if upright
        else {"x_mm": 2600, "y_mm": 750, "length_mm": 6600, "width_mm": 300}
    )
    room["room"]["low"] = [{"id": "BEAM", "height_mm": 2600, **beam}]
    view, words = view_of(room, 50), grounds(room_svg(room, scale=50))
    assert corner_in((*view.at(5800, 1000), *view.at(6000, 800)), view.corners(items(room)["SAW"]))
    for item in room["items"]:
        assert not corner_in(words["BEAM 2.60 m clear"], view.corners(item)), item["id"]


def items(room: dict[str, Any]) -> dict[str, Any]:
    return {item["id"]: item for item in room["items"]}


def test_the_currents_of_a_machine_stand_clear_of_the_boxes_round_it(sample):
    """The saw's do not fit into its box; right below it and above it something else stands."""
    room = sample("room")
    saw = items(room)["SAW"]
    middle = [saw["x_mm"] + saw["length_mm"] / 2, saw["y_mm"] + saw["width_mm"] / 2]
    items(room)["SCALE"] |= {"x_mm": 6100, "y_mm": 300}
    items(room)["STORE"] |= {"x_mm": 5700, "y_mm": 2100}
    load = {
        "load": "SAWANDEXTRACT",
        "at": "SAW",
        "lines": [1, 2, 3],
        "current_A": 6.4,
        "kW": 3.5,
        "run_mm": 9000,
    }
    room["supply"] = {
        "from": "P1", "from_mm": [0, 5600], "loads": [{**load, "path_mm": [[0, 5600], [0, middle[1]], middle]}],
    }  # fmt: skip
    view, words = view_of(room, 50), grounds(room_supply_svg(room, scale=50))
    said = words["SAWANDEXTRACT L1 L2 L3 6.4 A"]
    for item in room["items"]:
        xs, ys = zip(*view.corners(item), strict=True)
        assert not meet(said, (min(xs), min(ys), max(xs), max(ys))), item["id"]


def test_words_go_where_they_cover_least():
    drawing, labels = Drawing(200, 100, title="", description=""), Labels(200, 100)
    labels.keep([(50, 50), (150, 60)], WORDS)
    labels.keep_line([(0, 20), (200, 20)], EDGE)
    places = [((100, 58), "middle"), ((100, 24), "middle"), ((100, 90), "middle")]
    labels.put(drawing, places, ["here"], size=8)
    labels.put(drawing, places, ["there"], size=8)
    rows = {t.text: t.get("y") for t in ElementTree.fromstring(drawing.svg()).iter(f"{SVG}text")}
    assert rows == {"here": "90", "there": "24"}, "the second one finds the best place taken"


def test_words_stay_on_the_paper_where_they_can():
    drawing, labels = Drawing(200, 100, title="", description=""), Labels(200, 100)
    labels.put(drawing, [((2, 50), "end"), ((2, 50), "start")], ["a name"], size=8)
    assert 'text-anchor="start"' in drawing.svg()


@pytest.mark.parametrize("name", ["SAW", "BENCH"])
def test_no_name_breaks_the_edge_of_its_own_box(sample, name):
    room = sample("room")
    items(room)["BENCH"] |= {"width_mm": 200}  # a shelf, hardly higher on paper than its name
    view, words = view_of(room, 50), grounds(room_svg(room, scale=50))
    (left, low), _, (right, high), _ = view.corners(items(room)[name])
    ground = words[name]
    assert left + 2 <= ground[0] < ground[2] <= right - 2
    assert high + 2 <= ground[1] < ground[3] <= low - 2
