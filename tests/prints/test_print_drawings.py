"""The drawings: well formed, told in words too, and clear without colour."""

import re
from dataclasses import replace
from itertools import pairwise
from xml.etree import ElementTree

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from flatstock.prints.drawing import card_svg, charge_dwell_svg, core_svg, stack_svg, thickness_svg
from flatstock.prints.drawing.axes import round_step
from flatstock.prints.drawing.densities import densities_svg
from flatstock.prints.drawing.isotherms import isotherm, spans_below
from flatstock.prints.drawing.svg import text_width
from flatstock.prints.shown import Shown

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(params=["thickness", "core", "card", "stack", "chart"])
def svg(request, thickness_picture, stack_picture, wallchart):
    return {
        "thickness": lambda: thickness_svg(thickness_picture),
        "core": lambda: core_svg(thickness_picture),
        "card": lambda: card_svg(thickness_picture),
        "stack": lambda: stack_svg(stack_picture),
        "chart": lambda: charge_dwell_svg(wallchart),
    }[request.param]()


def words_of(svg):
    return [text.text for text in ElementTree.fromstring(svg).iter(f"{SVG}text")]


def test_a_drawing_is_well_formed_and_says_what_it_shows(svg):
    root = ElementTree.fromstring(svg)
    assert root.find(f"{SVG}title").text
    assert len(root.find(f"{SVG}desc").text) > 60


def test_no_coordinate_is_missing_or_off_the_drawing(svg):
    assert "nan" not in svg
    assert "inf" not in svg.replace("<title>", "")
    root = ElementTree.fromstring(svg)
    wide, tall = (float(root.get(side)) for side in ("width", "height"))
    for path in root.iterfind(f"{SVG}path"):
        for x, y in re.findall(r"(-?[\d.]+) (-?[\d.]+)", path.get("d")):
            assert -1 <= float(x) <= wide + 1
            assert -1 <= float(y) <= tall + 1


def test_every_word_begins_and_ends_on_the_drawing(svg):
    root = ElementTree.fromstring(svg)
    for text in root.iter(f"{SVG}text"):
        wide = len(text.text) * float(text.get("font-size")) * 0.5
        x = float(text.get("x"))
        left = x - {"start": 0, "middle": wide / 2, "end": wide}[text.get("text-anchor")]
        assert left > -2, text.text
        assert left + wide < float(root.get("width")) + 2, text.text


def luminance(colour):
    """Relative luminance, WCAG 2.1 definition (from memory)."""
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [part / 12.92 if part <= 0.03928 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return float(np.dot(linear, [0.2126, 0.7152, 0.0722]))


def test_ink_is_dark_enough_to_survive_a_photocopier(svg):
    inks = set(re.findall(r'(?:stroke|<text[^>]*fill)="(#[0-9a-f]{6})"', svg)) - {"#d5d5d5"}
    assert inks
    for ink in inks:
        assert 1.05 / (luminance(ink) + 0.05) >= 4.5, ink


def test_states_are_told_apart_by_hatching_and_by_words(thickness_picture):
    svg = thickness_svg(thickness_picture)
    assert "url(#solid)" in svg
    assert "url(#melting)" in svg
    assert {"solid", "molten", "122", "138"} <= set(words_of(svg))


def test_every_named_moment_within_the_picture_is_written(thickness_picture):
    said = " ".join(words_of(thickness_svg(thickness_picture)))
    for moment in thickness_picture.moments:
        assert f"{moment.label} {moment.time / 60:.3g}" in said


def test_neighbouring_moulds_have_lines_of_different_dashes(stack_picture):
    curves = [
        path.get("stroke-dasharray")
        for path in ElementTree.fromstring(stack_svg(stack_picture)).iterfind(f"{SVG}path")
        if path.get("stroke-width") == "1.3"
    ]
    assert len(curves) == len(stack_picture.moulds)
    assert all(a != b for a, b in pairwise(curves))


def test_no_number_stands_on_the_name_of_the_limit(stack_picture):
    """Curves that fall fast and together, as thin moulds do, cross the limit where it is named at the left."""
    moulds = tuple(replace(mould, arrives=1800.0 * i) for i, mould in enumerate(stack_picture.moulds[:3]))
    times = stack_picture.times[:, None]
    decay = 20 + 170 * np.exp(-times / (5000 + 300 * np.arange(3)))
    fast = np.where(times >= [mould.arrives for mould in moulds], decay, np.nan)
    svg = stack_svg(replace(stack_picture, moulds=moulds, hottest=fast, profiles=()))
    texts = list(ElementTree.fromstring(svg).iter(f"{SVG}text"))
    limit = next(t for t in texts if t.text == "open below 45")
    start, y = float(limit.get("x")), float(limit.get("y"))
    numbers = [
        t for t in texts if t.text.isdigit() and t.get("text-anchor") == "middle" and float(t.get("x")) > 350
    ]
    for number in numbers:
        x, at = float(number.get("x")), float(number.get("y"))
        assert not (start - 4 < x < start + 90 and abs(at - y) < 9), number.text


def test_the_line_of_the_limit_goes_through_no_temperature_of_the_side_view(stack_picture):
    """Cool moulds, moulds just under the limit, over it, and one not there yet."""
    cool = np.linspace(0.55, 1.4, len(stack_picture.moulds)) * stack_picture.limit
    hottest = np.where(np.isfinite(stack_picture.hottest), cool, np.nan)
    late = replace(stack_picture.moulds[0], arrives=stack_picture.asked + 60)
    picture = replace(stack_picture, hottest=hottest, moulds=(late, *stack_picture.moulds[1:]), profiles=())
    for shown in (Shown(), Shown("us")):
        root = ElementTree.fromstring(stack_svg(picture, shown=shown))
        dashed = [p.get("d") for p in root.iter(f"{SVG}path") if p.get("stroke-dasharray") == "6 3"]
        upright = [re.fullmatch(r"M([\d.]+) [\d.]+ ?L\1 [\d.]+", d) for d in dashed]
        (line,) = {float(match[1]) for match in upright if match}
        said = [t for t in root.iter(f"{SVG}text") if re.fullmatch(r"\d+ °[CF]|not there yet", t.text)]
        assert len(said) == len(picture.moulds)
        for words in said:
            start = float(words.get("x"))
            wide = text_width(words.text, float(words.get("font-size")), words.get("font-weight") is not None)
            assert not start - 2 < line < start + wide + 2, words.text


def test_a_mould_that_comes_after_the_asked_moment_is_not_there_yet(stack_picture):
    early = replace(stack_picture, asked=2.5 * 3600.0)
    svg = stack_svg(early)
    assert "not there yet" in words_of(svg)
    assert "nan" not in svg


def test_a_title_with_markup_and_control_characters_stays_well_formed(thickness_picture):
    svg = thickness_svg(replace(thickness_picture, title='<b>&"\x07 HDPE'))
    assert ElementTree.fromstring(svg).find(f"{SVG}title").text == '<b>&"? HDPE'


def test_a_picture_in_which_everything_is_molten_can_be_drawn(thickness_picture):
    hot = replace(thickness_picture, temperature=np.full_like(thickness_picture.temperature, 190.0))
    assert "url(#solid)" not in thickness_svg(hot)


def test_a_sheet_that_freezes_from_its_faces_has_two_solid_stretches():
    heights = np.linspace(0, 1, 11)
    profile = 100 - 200 * (heights - 0.5) ** 2
    (low, first), (second, high) = spans_below(heights, profile, 92.0)
    assert (low, high) == (0.0, 1.0)
    assert first == pytest.approx(0.3)
    assert second == pytest.approx(0.7)


@given(st.floats(-3, 3), st.floats(0.2, 3), st.floats(0.05, 0.95))
def test_on_a_plane_the_isotherm_is_the_straight_line_of_geometry(slope_time, slope_height, share):
    times, heights = np.linspace(0, 2, 9), np.linspace(0, 1, 7)
    plane = slope_time * times[:, None] + slope_height * heights[None, :]
    level = float(plane.min() + share * (plane.max() - plane.min()))
    lines = isotherm(times, heights, plane, level)
    assert lines
    for t, h in (point for line in lines for point in line):
        assert slope_time * t + slope_height * h == pytest.approx(level, abs=1e-9)


def test_an_isotherm_round_a_summit_is_one_closed_curve():
    x = np.linspace(-1, 1, 41)
    hill = -(x[:, None] ** 2) - x[None, :] ** 2
    (line,) = isotherm(x, x, hill, -0.25)
    assert line[0] == line[-1]
    assert np.allclose(np.hypot(*np.array(line).T), 0.5, atol=2e-3)


@given(st.floats(1e-3, 1e5), st.integers(2, 20))
def test_ticks_are_never_more_than_asked_for_and_fall_on_round_numbers(span, most):
    step = round_step(span, most)
    assert span / step <= most * (1 + 1e-6)
    assert float(f"{step:.0e}") == pytest.approx(step)
    assert int(f"{step:.0e}"[0]) in (1, 2, 5)


def test_a_chart_with_more_curves_than_room_for_labels_is_still_drawn():
    """Fourteen curves that end at nearly the same height once sent the label placing round for ever."""
    rows = [
        {
            "plastic": plastic,
            "thickness_mm": t,
            "set_point_C": s,
            "charge_kg": t,
            "dwell_advised_min": t + s / 1e3,
        }
        for plastic in ("hdpe", "ldpe", "pp", "hips", "abs", "ps", "lldpe")
        for s in (170, 180, 190)
        for t in (6.0, 12.0, 18.0)
    ]
    drawn = charge_dwell_svg({"press": "HP1", "rows": rows})
    assert len(re.findall(r">HDPE 1[789]0<", drawn)) == 6


def test_a_plastic_with_a_long_name_is_written_out_beside_its_line(wallchart):
    rows = [
        row | {"plastic": "hdpe_drain_pipe_grey"} for row in wallchart["rows"] if row["plastic"] == "hdpe"
    ]
    root = ElementTree.fromstring(charge_dwell_svg(wallchart | {"rows": rows}))
    named = [text for text in root.iter(f"{SVG}text") if text.text.startswith("HDPE DRAIN")]
    assert len(named) >= 2  # both panels
    for text in named:
        assert float(text.get("x")) + text_width(text.text, 14.0, False) <= float(root.get("width"))


def test_a_mould_in_the_side_view_is_named_with_the_unit_of_its_thickness(stack_picture):
    assert "HDPE 18 mm" in words_of(stack_svg(stack_picture))
    assert "HDPE 0.709 in" in words_of(stack_svg(stack_picture, shown=Shown("us")))


@pytest.mark.parametrize("system", ["metric", "us"])
def test_no_number_at_the_foot_of_the_chart_stands_on_its_neighbour(wallchart, system):
    root = ElementTree.fromstring(charge_dwell_svg(wallchart, shown=Shown(system)))
    feet = [text for text in root.iter(f"{SVG}text") if text.get("text-anchor") == "middle"]
    assert len(feet) > 4
    for one, other in pairwise(sorted(feet, key=lambda text: float(text.get("x")))):
        half = (text_width(one.text, 13) + text_width(other.text, 13)) / 2
        assert float(other.get("x")) - float(one.get("x")) > half


def test_what_a_flake_did_in_two_liquids_close_together_stands_on_two_lines():
    drawn = densities_svg(
        [{"name": "LDPE", "low": 915.0, "high": 930.0, "left": True}],
        [(1085.0, "floats"), (943.0, "floats"), (912.0, "sinks")],
        None,
    )
    heights = {
        words: float(y) for y, words in re.findall(r'y="([\d.]+)"[^>]*>(◂ it floats|it sinks ▸)<', drawn)
    }
    assert abs(heights["◂ it floats"] - heights["it sinks ▸"]) >= 14
    assert drawn.count("it floats") == 1  # the lightest says it all
