"""The room on screen and on paper: true to scale, whole, told in words too."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest
from pypdf import PdfReader

from flatstock.prints.drawing.floor import SCALES, cutout_svgs, describe_room, room_svg, scale_for
from flatstock.prints.drawing.floor.paths import TROLLEY
from flatstock.prints.drawing.floor.things import front_edge
from flatstock.prints.drawing.floor.view import PER_MM, extent, length_words, view_of
from flatstock.prints.drawing.floor.walls import BEAM
from flatstock.prints.pdf.room import SHEETS, room_pdf
from flatstock.prints.text import room_text

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture
def room(sample):
    return sample("room")


def words_of(svg):
    return [text.text for text in ElementTree.fromstring(svg).iter(f"{SVG}text")]


def paths_of(svg):
    for path in ElementTree.fromstring(svg).iterfind(f"{SVG}path"):
        yield path, [(float(x), float(y)) for x, y in re.findall(r"(-?[\d.]+) (-?[\d.]+)", path.get("d"))]


@pytest.mark.parametrize("scale", [25, 50, 100])
def test_the_walls_are_true_to_scale(room, scale):
    """9.2 x 5.6 m: within 0.01 mm of paper, far inside the half millimetre that a ruler shows."""
    drawn = paths_of(room_svg(room, scale=scale))
    points = next(p for path, p in drawn if path.get("stroke-width") == "5" and len(p) == 4)
    xs, ys = [x / PER_MM for x, _ in points], [y / PER_MM for _, y in points]
    assert max(xs) - min(xs) == pytest.approx(9200 / scale, abs=0.01)
    assert max(ys) - min(ys) == pytest.approx(5600 / scale, abs=0.01)


def test_every_machine_is_named_and_its_box_lies_where_the_document_says(room):
    svg, view = room_svg(room, scale=50), view_of(room, 50)
    assert {item["id"] for item in room["items"]} <= set(words_of(svg))
    boxes = [p for path, p in paths_of(svg) if path.get("fill") == "#ffffff" and len(p) == 4]
    for item in room["items"]:
        wanted = [pytest.approx(corner, abs=0.01) for corner in view.corners(item)]
        assert any(points == wanted for points in boxes), item["id"]


def test_no_coordinate_is_missing_or_off_the_drawing(room):
    for scale in (25, 50, 200):
        svg = room_svg(room, scale=scale)
        root = ElementTree.fromstring(svg)
        wide, tall = (float(root.get(side)) for side in ("width", "height"))
        for _, points in paths_of(svg):
            assert all(-1 <= x <= wide + 1 and -1 <= y <= tall + 1 for x, y in points)


def test_kinds_of_zones_are_told_apart_without_colour(room):
    fills = {path.get("fill") for path, _ in paths_of(room_svg(room))}
    assert {"url(#work)", "url(#service)", "url(#swing)"} <= fills


def test_the_legend_has_what_is_drawn_and_nothing_else(room):
    """Walks by trolley are dashed; a beam's line is not the trolley's."""
    bare = {**room, "flows": [{**flow, "by": "person", "trolley_path_mm": None} for flow in room["flows"]]}
    beam = {"id": "B", "x_mm": 0, "y_mm": 2000, "length_mm": 9200, "width_mm": 300, "height_mm": 2600}
    low = {**bare, "room": {**room["room"], "low": [beam]}}
    told = {"the same by trolley", "the trolley's middle", "hangs low"}
    assert told & set(words_of(room_svg(room))) == told - {"hangs low"}
    assert told & set(words_of(room_svg(bare))) == set()
    assert told & set(words_of(room_svg(low))) == {"hangs low"}
    assert BEAM.dashes != TROLLEY.dashes


def test_a_walk_is_as_thick_as_it_has_trips(room):
    widths = {}
    for path, points in paths_of(room_svg(room)):
        for flow in room["flows"]:
            wanted = [pytest.approx(view_of(room, 50).at(*p), abs=0.01) for p in flow["path_mm"]]
            if points == wanted and path.get("fill") == "none":
                widths[flow["from"], flow["to"]] = float(path.get("stroke-width"))
    assert len(widths) == len(room["flows"])
    assert widths["FLAKE1.draw", "SCALE.stand"] > widths["COOL.open", "STORE.lift"]


def test_the_drawing_says_in_words_what_stands_where(room):
    said = describe_room(room)
    assert said.index("STORE") < said.index("HOT"), "from the exit inwards"
    assert "SAW 5.90 m from the left and 0.90 m from below, turned 90 degrees" in said


def test_a_front_turns_with_its_machine():
    view = view_of({"room": {"outline_mm": [[0, 0], [4000, 0], [4000, 4000], [0, 4000]]}}, 50)
    item = {"x_mm": 1000, "y_mm": 1000, "length_mm": 500, "width_mm": 800}
    ends = {turn: set(front_edge(view, item | {"turned_deg": turn})) for turn in (0, 90, 180, 270)}
    left, right, low, high = 1000, 1500, 1000, 1800
    assert ends[0] == {view.at(left, low), view.at(right, low)}
    assert ends[90] == {view.at(right, low), view.at(right, high)}
    assert ends[180] == {view.at(right, high), view.at(left, high)}
    assert ends[270] == {view.at(left, high), view.at(left, low)}


@pytest.mark.parametrize("opens", ["out", "in", "in_double", "slides"])
@pytest.mark.parametrize("backwards", [False, True])
def test_doors_of_every_kind_are_drawn_whichever_way_the_outline_runs(room, opens, backwards):
    room["room"]["doors"][0]["opens"] = opens
    if backwards:
        room["room"]["outline_mm"].reverse()
    svg = room_svg(room)
    leaf = 2000 / 50 * PER_MM
    wall = view_of(room, 50).at(9200, 0)[0]
    reaches = [x for _, points in paths_of(svg) if len(points) == 17 for x, _ in points]
    assert len(reaches) == {"out": 17, "in": 17, "in_double": 34, "slides": 0}[opens]
    if opens == "out":
        assert max(reaches) == pytest.approx(wall + leaf, abs=0.1)
        assert extent(room)[2] == 11_200
    elif opens == "in":
        assert min(reaches) == pytest.approx(wall - leaf, abs=0.1)


def test_a_room_without_a_plan_is_drawn_empty(room):
    for item in room["items"]:
        for key in ("x_mm", "y_mm", "turned_deg"):
            item.pop(key)
        for zone in item["zones"]:
            zone.pop("x_mm")
    room |= {"ways_out": [], "flows": []}
    assert "STORE" not in words_of(room_svg(room))
    assert "Nothing stands in the room yet" in describe_room(room)


# ---------------------------------------------------------------- paper


@pytest.mark.parametrize(("length", "metric", "us"), [(0, "0.00 m", "0 in"), (25.4, "0.025 m", "1 in"), (9200, "9.20 m", "30 ft 2 1/4 in"),
                                                      (304.8, "0.305 m", "1 ft"), (311.15, "0.311 m", "1 ft 1/4 in")])  # fmt: skip
def test_lengths_are_said_as_the_shop_reads_them(length, metric, us):
    assert (length_words(length, "metric"), length_words(length, "us")) == (metric, us)


@pytest.mark.parametrize("paper", SHEETS)
def test_the_scale_is_the_largest_round_one_that_fits(room, paper):
    wide, tall = SHEETS[paper]
    scale = scale_for(room, wide - 16, tall - 32)
    assert scale in SCALES
    finer = SCALES[SCALES.index(scale) - 1]
    sizes = [view_of(room, s).paper_mm for s in (scale, finer)]
    assert sizes[0][0] <= wide - 16
    assert sizes[0][1] <= tall - 32
    assert sizes[1][0] > wide - 16 or sizes[1][1] > tall - 32


@pytest.mark.parametrize(
    ("paper", "size"),
    [("a3", (1191, 842)), ("a4", (842, 595)), ("letter", (792, 612)), ("tabloid", (1224, 792))],
)
def test_a_print_is_tagged_and_its_walls_are_as_long_as_the_scale_says(room, tmp_path, paper, size):
    """Read off the page's own path of the walls, in points: within half a millimetre of paper."""
    path = tmp_path / "room.pdf"
    assert room_pdf(room, path, paper) == []
    reader = PdfReader(path)
    first = reader.pages[0]
    assert (round(first.mediabox.width), round(first.mediabox.height)) == size
    assert reader.trailer["/Root"]["/MarkInfo"]["/Marked"].value is True
    scale = int(re.search(r"1:(\d+)", first.extract_text())[1])
    assert walls_mm(first) == pytest.approx((9200 / scale, 5600 / scale), abs=0.5)


@pytest.mark.parametrize("paper", SHEETS)
@pytest.mark.parametrize(("system", "a_step_mm"), [("metric", 1000.0), ("us", 914.4)])
def test_the_bar_is_as_long_as_it_says_on_every_paper(room, tmp_path, paper, system, a_step_mm):
    """Each black and white piece of it, read off the page's own rectangles: metres, or three feet, to 0.5 mm in all."""
    path = tmp_path / "room.pdf"
    room_pdf(room, path, paper, system)
    for page in PdfReader(path).pages[:1]:
        scale = int(re.search(r"1:(\d+)", page.extract_text())[1])
        thick = 6 / PER_MM  # the bar's own, on paper
        pieces = [box for box in boxes_mm(page) if box[3] - box[1] == pytest.approx(thick, abs=0.02)]
        long = max(box[2] for box in pieces) - min(box[0] for box in pieces)
        assert long == pytest.approx(len(pieces) * a_step_mm / scale, abs=0.5)
        assert len(pieces) >= 3
        last = f"{len(pieces)} m" if system == "metric" else f"{3 * len(pieces)} ft"
        assert last in words_of(room_svg(room, scale=scale, system=system))


@pytest.mark.parametrize("paper", SHEETS)
@pytest.mark.parametrize("system", ["metric", "us"])
def test_nothing_is_drawn_beyond_the_paper(room, tmp_path, paper, system):
    path = tmp_path / "room.pdf"
    room_pdf(room, path, paper, system)
    wide, tall = SHEETS[paper]
    for page in PdfReader(path).pages:
        for points in paths_on(page):
            for x, y in points:
                assert -0.1 <= x <= wide + 0.1
                assert -0.1 <= y <= tall + 0.1


def boxes_mm(page):
    """Left, low, right and top of every closed path of four corners, on paper."""
    for points in paths_on(page):
        xs, ys = zip(*points, strict=True)
        if len({(round(x, 3), round(y, 3)) for x, y in points}) == 4:
            yield min(xs), min(ys), max(xs), max(ys)


def paths_on(page):
    """The corners of every straight path on a page, where they come to lie on paper [mm]."""
    now, kept, points = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0), [], []
    for values, operator in page.get_contents().operations:
        numbers = [float(v) for v in values] if operator in (b"cm", b"m", b"l", b"re") else []
        if operator == b"q":
            kept.append(now)
        elif operator == b"Q":
            now = kept.pop()
        elif operator == b"cm":
            a, b, c, d, e, f = numbers
            a0, b0, c0, d0, e0, f0 = now
            now = (
                a * a0 + b * c0, a * b0 + b * d0, c * a0 + d * c0, c * b0 + d * d0,
                e * a0 + f * c0 + e0, e * b0 + f * d0 + f0,
            )  # fmt: skip
        elif operator in (b"m", b"l"):
            points = [*(points if operator == b"l" else []), on_paper(now, *numbers)]
        elif operator == b"re":
            x, y, w, h = numbers
            points = [on_paper(now, *p) for p in ((x, y), (x + w, y), (x + w, y + h), (x, y + h))]
        elif operator in (b"s", b"S", b"f", b"f*", b"B", b"B*", b"b", b"n") and points:
            if operator != b"n":
                yield points
            points = []


def on_paper(matrix, x, y):
    a, b, c, d, e, f = matrix
    return (a * x + c * y + e) / 72 * 25.4, (b * x + d * y + f) / 72 * 25.4


def walls_mm(page):
    """Length and width of the path of four corners drawn with the pen of the walls, on paper."""
    scale, kept, points, pen = 1.0, [], [], 0.0
    for values, operator in page.get_contents().operations:
        if operator == b"q":
            kept.append(scale)
        elif operator == b"Q":
            scale = kept.pop()
        elif operator == b"cm":
            scale *= float(values[0])
        elif operator == b"w":
            pen = float(values[0])
        elif operator in (b"m", b"l"):
            points = [
                *(points if operator == b"l" else []),
                (float(values[0]) * scale, float(values[1]) * scale),
            ]
        elif operator in (b"s", b"S") and pen == 5 and len(points) == 4:
            return tuple((max(c) - min(c)) / 72 * 25.4 for c in zip(*points, strict=True))
    raise AssertionError("no walls on the page")


def test_the_print_says_what_stands_where_and_how_to_try_it(room, tmp_path):
    room_pdf(room, tmp_path / "room.pdf")
    text = " ".join(" ".join(page.extract_text() for page in PdfReader(tmp_path / "room.pdf").pages).split())
    for words in (
        "What stands where",
        "SAW below it",
        "--fix SAW=5900,900,90",
        "For the fire service",
        "structural engineer",
    ):
        assert words in text


def test_a_cut_out_is_as_large_as_the_machine_with_its_zones(room):
    """SAW: 0.9 m deep with 1.3 m before and behind, 1.2 m long with 0.9 and 0.3 m beside: 2.4 x 3.5 m."""
    saw = next(one for one in cutout_svgs(room, scale=50) if "SAW" in one["fix"])
    assert (saw["wide_mm"], saw["tall_mm"]) == pytest.approx((2400 / 50 + 4, 3500 / 50 + 4))
    assert "SAW" in words_of(saw["svg"])


def test_a_cut_out_of_what_stands_nowhere_has_blanks_to_fill_in(room):
    room["items"][0].pop("x_mm")
    assert cutout_svgs(room, scale=50)[0]["fix"] == "--fix BENCH=____,____,___"


@pytest.mark.parametrize(("system", "said"), [("metric", "in millimetres"), ("us", "6ft6in,5ft,90")])
def test_a_place_is_read_off_the_plan_as_the_shop_measures(room, tmp_path, system, said):
    room_pdf(room, tmp_path / "room.pdf", system=system)
    assert said in PdfReader(tmp_path / "room.pdf").pages[-1].extract_text()


def test_paper_that_nobody_has_is_refused(room, tmp_path):
    with pytest.raises(ValueError, match="a5"):
        room_pdf(room, tmp_path / "room.pdf", "a5")


# ---------------------------------------------------------------- the terminal


def test_a_terminal_shows_a_room_within_eighty_columns(room):
    text = room_text(room)
    assert max(map(len, text.splitlines())) <= 80
    assert "169.6 m walked a day" in text
    assert text.index("STORE") < text.index("FLAKE1")


@pytest.mark.parametrize(
    ("status", "words"), [("impossible", "can't be, proven"), ("unknown", "not found in the time")]
)
def test_an_impossible_room_and_one_not_found_in_time_are_not_the_same(room, status, words):
    room["proof"]["status"] = status
    assert words in room_text(room)


def test_fire_and_air_are_told_in_words_and_in_the_shops_units(room):
    metric, us = (" ".join(room_text(room, system).split()) for system in ("metric", "us"))
    assert "748 kg polyethylene HDPE" in metric
    assert "1649 lb (748 kg) polyethylene HDPE" in us  # 748 / 0.45359237
    flow = room["air"]["hoods"][0]["flow_m3_h"]
    assert f"{flow:.0f} m³/h" in metric
    assert f"{flow * 0.588578:.0f} cfm" in us
    assert "27 °F" in us  # 15 K


def test_how_far_what_burns_stands_from_the_hot_press_is_said(room):
    words = " ".join(room_text(room).split())
    for place in room["fire"]["places"]:
        assert f"{place['item']} {length_words(place['gap_mm'], 'metric')} from {place['hot']}" in words
