"""What `flatstock new` writes about the room, in the unit that the shop reads."""

import re

import pytest

from flatstock.starting.room.room_file import read_room
from flatstock.workshop.start import StartAnswers, write_new

SIZES = [(0.6, 0.5), (1.25, 0.85)]


@pytest.mark.parametrize("sheet", SIZES, ids=["carried", "on a trolley"])
def test_a_shop_in_inches_finds_every_length_of_its_room_in_inches(tmp_path, sheet):
    write_new(tmp_path / "us", _answers("us", sheet))
    text = (tmp_path / "us" / "room.toml").read_text("utf-8")
    assert "escape_width_in = " in text
    assert re.findall(r"\w+_(?:mm|kN_m2)\b", text) == ["grid_mm"]


@pytest.mark.parametrize("sheet", SIZES, ids=["carried", "on a trolley"])
def test_its_lengths_are_those_of_the_same_shop_in_millimetres(tmp_path, sheet):
    for units in ("us", "metric"):
        write_new(tmp_path / units, _answers(units, sheet))
    us, metric = (read_room(tmp_path / units).question for units in ("us", "metric"))
    assert us == metric


def _answers(units, sheet):
    length, width = sheet
    return StartAnswers(
        units=units, room_length=8.0, room_width=6.0, platen_length=1.4, platen_width=1.0, cavity_length=length,
        cavity_width=width,
    )  # fmt: skip
