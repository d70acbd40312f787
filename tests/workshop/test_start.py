"""A new workshop from plain answers reads without a fault, whatever sane answers are given."""

from __future__ import annotations

import tomllib
from dataclasses import fields

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flatstock.errors import Refused
from flatstock.units import UNITS, parse_quantity
from flatstock.workshop.files import check, read
from flatstock.workshop.start import QUESTIONS, StartAnswers, write_new


@st.composite
def sane_answers(draw):
    length, width = draw(st.floats(0.2, 2.5)), draw(st.floats(0.2, 2.5))
    land = draw(st.floats(0.01, 0.06))
    return StartAnswers(
        name=draw(st.text(min_size=1, max_size=30)),
        units=draw(st.sampled_from(["metric", "us"])),
        room=draw(st.floats(-5, 40)),
        platen_length=length,
        platen_width=width,
        platen_thickness=draw(st.floats(0.005, 0.1)),
        platen_metal=draw(st.sampled_from(["aluminium", "mild_steel", "stainless_steel"])),
        power=draw(st.floats(500, 60e3)),
        highest_platen=draw(st.floats(180, 300)),
        force=draw(st.none() | st.floats(10e3, 3e6)),
        daylight=draw(st.floats(0.05, 1)),
        cavity_length=(length - 2 * land) * draw(st.floats(0.3, 0.99)),
        cavity_width=(width - 2 * land) * draw(st.floats(0.3, 0.99)),
        frame_land=land,
        frame_thicknesses=tuple(draw(st.lists(st.floats(0.002, 0.04), min_size=1, max_size=4))),
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
    )


@given(answers=sane_answers())
def test_any_sane_answers_give_a_workshop_that_reads(tmp_path_factory, answers):
    folder = tmp_path_factory.mktemp("new") / "shop"
    write_new(folder, answers)
    shop = read(folder)
    assert shop.name == answers.name
    assert shop.hot_presses["HP1"].bottom.length == pytest.approx(answers.platen_length, rel=1e-5)
    assert len(shop.frames) == len(shop.skins) == answers.moulds * len(answers.frame_thicknesses)


@pytest.mark.parametrize("file", ["shop", "supply", "outlay"])
def test_every_line_of_a_new_shop_is_explained_beside_it(tmp_path, file):
    write_new(tmp_path / "shop", StartAnswers(force=1e5))
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


def test_answers_that_do_not_fit_leave_nothing_behind(tmp_path):
    with pytest.raises(Refused, match="fits no hot press's platens"):
        write_new(tmp_path / "shop", StartAnswers(cavity_length=0.9))
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


def test_every_question_belongs_to_an_answer_and_its_default_is_that_answers():
    answers = {f.name: f.default for f in fields(StartAnswers)}
    for question in QUESTIONS:
        if question.dimension in UNITS:
            asked = parse_quantity(question.default, question.dimension, where="")
            assert asked == pytest.approx(answers[question.field])
        elif question.dimension == "lengths":
            parts = question.default.split(",")
            asked = [parse_quantity(part, "length", where="") for part in parts]
            assert asked == pytest.approx(list(answers[question.field]))
        elif question.dimension == "yes_no":
            assert (question.default == "yes") == answers[question.field]
        else:
            assert question.default == answers[question.field]
