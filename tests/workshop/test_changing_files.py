"""Changing one value of a file: it says the new value, and everything else stays as it was."""

from __future__ import annotations

from pathlib import Path

import pytest
import toml_rs
from hypothesis import given
from hypothesis import strategies as st

from flatstock import demo
from flatstock.workshop.csv_lines import rows_in, with_row, without_row
from flatstock.workshop.csv_rows import read_csv
from flatstock.workshop.fields import Field
from flatstock.workshop.layouts import layout
from flatstock.workshop.literals import literal_of, text_of
from flatstock.workshop.spots import Notes
from flatstock.workshop.toml_blocks import added, blocks_of, changed, removed

FILES = ("shop.toml", "supply.toml", "room.toml", "outlay.toml", "plastics.toml")


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    made = tmp_path_factory.mktemp("files") / "shop"
    demo.copy_to(made)
    return made


@pytest.mark.parametrize("file", FILES)
def test_values_written_as_they_are_leave_the_file_as_it_is(folder, file):
    text = (folder / file).read_text()
    for at, block in enumerate(blocks_of(text)):
        assert changed(text, at, {key: spot.literal for key, spot in block.spots.items()}) == text


@pytest.mark.parametrize("file", FILES)
def test_each_value_alone_can_be_changed(folder, file):
    text = (folder / file).read_text()
    for at, block in enumerate(blocks_of(text)):
        for key in block.spots:
            again = blocks_of(changed(text, at, {key: '"changed"'}))
            assert again[at].spots[key].literal == '"changed"'
            assert [one.name for one in again] == [one.name for one in blocks_of(text)]


def test_a_comment_beside_a_value_stays(folder):
    text = (folder / "shop.toml").read_text()
    at = next(n for n, one in enumerate(blocks_of(text)) if one.name == "hot_presses")
    new = changed(text, at, {"heated_mass_kg": "470"})
    assert "heated_mass_kg = 470          # both platens and their hangers" in new
    assert toml_rs.loads(new)["hot_presses"][0]["heated_mass_kg"] == 470


def test_a_value_over_several_lines_is_changed_whole(folder):
    text = (folder / "shop.toml").read_text()
    new = changed(text, 1, {"dwell": "[]"})
    assert toml_rs.loads(new)["practice"]["dwell"] == []


def test_a_value_that_is_new_follows_the_others_of_its_block():
    text = "a = 1\n\n[b]\nc = 2 # two\n\n[d]\ne = 3\n"
    assert changed(text, 1, {"x": "9"}) == "a = 1\n\n[b]\nc = 2 # two\nx = 9\n\n[d]\ne = 3\n"


def test_a_value_that_is_taken_away_is_gone():
    assert changed("a = 1\nb = 2\n", 0, {"a": None}) == "b = 2\n"


def test_a_new_row_follows_the_last_of_its_kind():
    text = "[[frames]]\nid = 1\n\n[[skins]]\nid = 2\n"
    new = added(text, "frames", {"id": "3"}, listed=True)
    assert [one["id"] for one in toml_rs.loads(new)["frames"]] == [1, 3]
    assert new.index("id = 3") < new.index("[[skins]]")


def test_the_first_of_a_kind_takes_the_place_of_the_words_that_there_is_none():
    text = 'name = "A shop"\nframes = [ ]  # none yet\n\n[practice]\nload_min = 3\n'
    assert added(text, "frames", {"id": '"F1"'}, listed=True) == (
        'name = "A shop"\n\n[practice]\nload_min = 3\n\n[[frames]]\nid = "F1"\n'
    )


def test_a_row_is_taken_away_with_what_belongs_to_it():
    text = "[[items]]\nid = 1\n[[items.zones]]\nid = 2\n\n[[items]]\nid = 3\n"
    assert toml_rs.loads(removed(text, 1)) == {"items": [{"id": 3}]}


@given(st.text(st.characters(exclude_categories=["Cs", "Cc"]), max_size=30))
def test_any_words_come_back_from_a_file_as_they_were_written(words):
    """A value that begins like a list or a table is taken for one."""
    field = Field(name="note", meaning="", kind="text")
    if words.strip().startswith(("[", "{")):
        return
    read = toml_rs.loads(f"note = {literal_of(words, field)}")["note"]
    assert read == words.strip()


@pytest.mark.parametrize(
    ("text", "kind", "literal"),
    [
        ("0,5", "number", "0.5"),
        ("1/2 in", "number", '"1/2 in"'),
        ("yes", "flag", "true"),
        ("S01, S02", "texts", '["S01", "S02"]'),
        ("2026-03-02", "date", "2026-03-02"),
        ("[1, 2, 3]", "value", "[1, 2, 3]"),
    ],
)
def test_what_people_write_becomes_what_a_file_says(text, kind, literal):
    assert literal_of(text, Field(name="thickness_mm", meaning="", kind=kind)) == literal


def test_a_list_of_words_is_shown_with_commas():
    assert text_of('["F06-1", "F06-2"]', Field(name="ids", meaning="", kind="texts")) == "F06-1, F06-2"


def test_one_row_of_a_list_is_changed_and_comments_stay(folder):
    text = "# mine\n" + (folder / "orders.csv").read_text()
    columns = ("id", "what", "sheets")
    at = next(at for at, row in rows_in(text)[1] if row["id"] == "O-104")
    new = with_row(text, at, {"sheets": "7"}, columns)
    assert new.startswith("# mine\n")
    assert dict(rows_in(new)[1])[at] == dict(rows_in(text)[1])[at] | {"sheets": "7"}
    assert len(rows_in(new)[1]) == len(rows_in(text)[1])


def test_a_cell_with_a_comma_in_it_comes_back(folder):
    new = with_row("id,what\nO-1,stool\n", 1, {"what": 'a "stool", flat-packed'}, ("id", "what"))
    assert rows_in(new)[1] == [(1, {"id": "O-1", "what": 'a "stool", flat-packed'})]


def test_a_column_that_is_new_is_added_to_the_header():
    new = with_row("id,what\nO-1,stool\n", None, {"id": "O-2", "note": "soon"}, ("id", "what", "note"))
    assert rows_in(new)[0] == ["id", "what", "note"]
    assert rows_in(new)[1][1][1] == {"id": "O-2", "what": "", "note": "soon"}


def test_a_row_is_taken_away():
    assert without_row("id\nA\nB\n", 1) == "id\nB\n"


def test_a_row_whose_first_cell_begins_like_a_comment_comes_back():
    new = with_row("note,id\nsoft,L-1\n", None, {"note": "#85, wet", "id": "L-2"}, ("id", "note"))
    assert rows_in(new)[1][-1][1] == {"note": "#85, wet", "id": "L-2"}
    whole = new.replace("note,id", "note,id,plastic,mass_kg,status").encode()
    rows = read_csv("lots.csv", whole, layout("lots").table, Notes())
    assert [row["note"].value for _, row in rows] == ["soft", "#85, wet"]
