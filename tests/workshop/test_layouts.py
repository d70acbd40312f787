"""Layouts, schemas and pages say the same, and the schemas hold for real files."""

from __future__ import annotations

import json
import tomllib
from pathlib import Path

import jsonschema
import pytest

from flatstock.evidence import KINDS
from flatstock.units import to_si
from flatstock.workshop import defaults
from flatstock.workshop.layouts import NAMES, layout
from flatstock.workshop.pages import page
from flatstock.workshop.reading import default_of
from flatstock.workshop.schema import schema
from flatstock.workshop.start import StartAnswers, write_new

ROOT = Path(__file__).parents[2]


def tables(name):
    waiting, found = [layout(name).table], []
    while waiting:
        table = waiting.pop()
        if table in found:
            continue
        found.append(table)
        waiting += [f.table for f in table.fields if f.table is not None]
    return found


FIELDS = [(name, table, field) for name in NAMES for table in tables(name) for field in table.fields]
IDS = [f"{name}-{table.name}-{field.name}" for name, table, field in FIELDS]


@pytest.mark.parametrize(("name", "table", "field"), FIELDS, ids=IDS)
def test_every_field_says_what_it_is_and_what_counts_when_it_is_left_out(name, table, field):
    assert field.meaning
    assert field.example
    assert field.required or field.library or field.preset is not None or field.default or table.one_of
    assert [f.key for f in table.fields].count(field.key) == 1, "two fields under one key"


@pytest.mark.parametrize(("name", "table", "field"), FIELDS, ids=IDS)
def test_every_measured_field_has_a_band_of_what_can_be(name, table, field):
    if field.kind in ("number", "value"):
        assert field.low is not None
        assert field.low < field.high
        assert field.unit is not None or field.high <= 20, "a number without a unit is a ratio"


@pytest.mark.parametrize(("name", "table", "field"), FIELDS, ids=IDS)
def test_every_default_lies_in_its_own_band(name, table, field):
    default = default_of(field)
    assert (default is not None) == bool(field.library or field.preset is not None)
    if field.library:
        assert to_si(field.low, field.dimension, field.unit or "") <= default.low
        assert default.high <= to_si(field.high, field.dimension, field.unit or "")


@pytest.mark.parametrize("key", sorted(defaults.values()))
def test_every_library_default_states_band_kind_and_source(key):
    value = defaults.value(key)
    assert value.low < value.value < value.high
    assert value.kind in KINDS
    assert len(value.source) > 10


def test_every_library_default_is_used_by_a_field_or_a_face():
    used = {field.library for _, _, field in FIELDS} | {"cooling_press.water_film_W_m2K"}
    assert used - {""} == set(defaults.values())


@pytest.mark.parametrize("name", NAMES)
def test_the_page_of_a_file_lists_every_field(name):
    text = (ROOT / "docs/files" / f"{name}.md").read_text("utf-8")
    assert text == page(name), "run tools/write_file_pages.py"
    for of, _, field in FIELDS:
        if of == name:
            assert f"| `{field.name}` | {field.meaning} |" in text


@pytest.mark.parametrize("name", NAMES)
def test_the_schema_in_the_package_is_that_of_the_layout(name):
    kept = json.loads((ROOT / "src/flatstock/workshop/schemas" / f"{name}.json").read_text("utf-8"))
    assert kept == schema(name), "run tools/write_file_pages.py"
    jsonschema.Draft202012Validator.check_schema(kept)


def plain(value):
    """TOML's dates as JSON has them."""
    return json.loads(json.dumps(value, default=str))


@pytest.mark.parametrize("name", ["shop", "plastics", "supply", "room", "outlay"])
def test_the_demos_files_hold_to_their_schemas(folder, name):
    data = tomllib.loads((folder / f"{name}.toml").read_text("utf-8"))
    jsonschema.validate(plain(data), schema(name))


def test_a_new_shop_in_inches_holds_to_the_schema(tmp_path):
    write_new(tmp_path / "shop", StartAnswers(units="us"))
    data = tomllib.loads((tmp_path / "shop" / "shop.toml").read_text("utf-8"))
    jsonschema.validate(plain(data), schema("shop"))


def test_a_schema_refuses_what_the_reader_refuses(folder):
    data = plain(tomllib.loads((folder / "shop.toml").read_text("utf-8")))
    data["hot_presses"][0]["daylihgt_mm"] = 180
    with pytest.raises(jsonschema.ValidationError, match="daylihgt_mm"):
        jsonschema.validate(data, schema("shop"))
