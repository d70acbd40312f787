"""Bands, lists and tables in a form's words, and back without loss: everything that the demo's files hold."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from flatstock import demo
from flatstock.actions.setting_up import sheaf_of, table_for
from flatstock.workshop.fields import Field
from flatstock.workshop.plain_values import from_plain, said_plainly


@pytest.fixture(scope="module")
def held(tmp_path_factory: pytest.TempPathFactory) -> list[tuple[str, Field, str]]:
    """Every band, list and table of the demo's files: where, field, value."""
    folder: Path = tmp_path_factory.mktemp("held") / "shop"
    demo.copy_to(folder)
    found = []
    for name in ("shop", "room", "plastics", "outlay", "supply"):
        for entry in sheaf_of(folder, name).entries:
            table = table_for(name, entry.of)
            assert table is not None
            found += [
                (f"{name} {entry.title} {key}", table.by_name[key], text)
                for key, text in entry.values.items()
                if text.startswith(("[", "{")) and key in table.by_name
            ]
    return found


def test_no_sign_of_a_file_is_left_and_each_leads_back_to_its_value(
    held: list[tuple[str, Field, str]],
) -> None:
    assert len(held) > 60
    for where, field, text in held:
        words = said_plainly(field, text)
        assert not set(words) & set('[]{}="'), where
        assert tomllib.loads(f"x = {from_plain(field, words)}") == tomllib.loads(f"x = {text}"), where


BAND = Field(name="shrinkage_percent", meaning="", kind="value")


@pytest.mark.parametrize(
    ("said", "written"),
    [
        ("2,2 (2,0 to 2,5)", "[2.0, 2.2, 2.5]"),
        ("2.2 (2.0 to 2.5), measured", '{ value = 2.2, low = 2.0, high = 2.5, kind = "measured" }'),
        ("2.2, from memory; a book", '{ value = 2.2, kind = "from_memory", source = "a book" }'),
        ("2.2", "2.2"),
        ("[2.0, 2.2, 2.5]", "[2.0, 2.2, 2.5]"),  # whoever knows the file's way may keep it
        ("about two", "about two"),  # for the file's reader to refuse
    ],
)
def test_a_band_as_people_write_it(said: str, written: str) -> None:
    assert from_plain(BAND, said) == written


@pytest.mark.parametrize(
    "text", ['{ value = 2, note = "x" }', "[1, 2]", '"two"', '{ value = 2, kind = "assumed" }']
)
def test_what_words_would_lose_stays_as_the_file_has_it(text: str) -> None:
    assert said_plainly(BAND, text) == text
