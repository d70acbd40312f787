"""Every value on file, and how a plastic is found."""

import os
import re
import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flatstock.errors import UserError
from flatstock.evidence import KINDS, weakest
from flatstock.plastics import find, library, pair
from flatstock.plastics.bands import band
from flatstock.plastics.datafile import SI, read, value_of
from flatstock.plastics.library import CARD_KEYS, IDS
from flatstock.plastics.override_keys import KEYS
from flatstock.plastics.sources import label, sources

PRESSED = ("hdpe", "ldpe", "lldpe", "pp", "ps", "hips", "abs")
#: words of a law or a table that are not coefficients
NOT_COEFFICIENTS = {"form", "model", "kind", "source", "note", "use"}


def value_tables():
    """(place, band name, table) of every value table in every data file."""
    for name in IDS:
        for key, table in read(name).items():
            if key == "process":
                yield from ((f"{name}.process.{k}", k, t) for k, t in table.items())
            elif isinstance(table, dict) and key not in ("law", "table", "fume"):
                yield f"{name}.{key}", key, table
    model = read("heat_model")
    for key, table in model["bed"].items():
        yield f"heat_model.bed.{key}", {"void": "bed_void", "factor": "bed_factor"}.get(key, key), table
    for part in ("tolerance", "default"):
        yield from ((f"heat_model.{part}.{k}", k, t) for k, t in model[part].items())


def laws():
    """(place, table) of every law and every table of columns."""
    for name in IDS:
        for part in ("law", "table"):
            for key, table in read(name).get(part, {}).items():
                yield f"{name}.{part}.{key}", table


@pytest.mark.parametrize(("place", "name", "table"), [pytest.param(*v, id=v[0]) for v in value_tables()])
def test_every_value_has_a_unit_a_source_and_lies_where_it_can(place, name, table):
    value = value_of(table)
    assert table["unit"] in SI
    assert all(source in sources() for source in value.source.split(", "))
    limits = band(name)
    assert SI[limits.unit][0] == value.unit
    assert limits.holds(value.low)
    assert limits.holds(value.value)
    assert limits.holds(value.high)


@pytest.mark.parametrize(("place", "table"), [pytest.param(*v, id=v[0]) for v in laws()])
def test_every_coefficient_with_a_band_lies_inside_it_and_every_law_has_a_source(place, table):
    assert table["kind"] in KINDS
    assert all(source in sources() for source in table["source"].split(", "))
    for key, number in table.items():
        limits = read("bands")["law"].get(key)
        if key in NOT_COEFFICIENTS or limits is None:
            continue
        for one in number if isinstance(number, list) else [number]:
            assert limits["low"] <= one <= limits["high"], key


@pytest.mark.parametrize(("place", "name", "table"), [pytest.param(*v, id=v[0]) for v in value_tables()])
def test_no_value_claims_better_evidence_than_the_weakest_of_its_sources(place, name, table):
    kinds = [sources()[source].kind for source in table["source"].split(", ")]
    assert weakest(table["kind"], *kinds) == table["kind"]


def test_an_assumed_value_with_no_source_says_so():
    assert label("common_practice") == "common practice, no source"
    assert label("a shop's trial") == "a shop's trial"


def test_sources_that_are_makers_pages_show_no_name():
    assert label("maker_dsc_pe") == "maker's data page, read"


def test_every_source_on_file_stands_behind_some_value():
    used = {s for _, _, t in value_tables() for s in t["source"].split(", ")}
    used |= {s for _, t in laws() for s in t["source"].split(", ")}
    used |= {s for n in IDS if "fume" in read(n) for s in read(n)["fume"]["source"].split(", ")}
    used.add(pair("hdpe", "pp").source)
    assert set(sources()) == used


def test_every_source_is_cited_in_full_on_the_page_of_sources():
    page = (Path(__file__).parents[2] / "docs" / "sources.md").read_text(encoding="utf-8")
    assert [name for name in sources() if f"`{name}`" not in page] == []


@pytest.mark.parametrize("name", PRESSED)
def test_a_plastic_that_is_pressed_has_all_that_a_card_needs(name):
    it = library()[name]
    assert it.missing == ()
    assert it.thermal is not None
    assert it.never_pressed is None
    assert it.process is not None
    assert it.process.fume


@pytest.mark.parametrize("name", ["pla", "pp_copolymer"])
def test_a_plastic_with_gaps_names_them_by_the_keys_that_fill_them(name):
    it = library()[name]
    assert it.thermal is None
    assert {"melt_target_C", "set_point_C", "freezing_onset_C"} <= set(it.missing)
    assert set(it.missing) <= set(KEYS)


@pytest.mark.parametrize("name", ["pet", "pa6", "pc"])
def test_a_stranger_is_kept_for_its_density_and_never_pressed(name):
    it = library()[name]
    assert "this process does not control" in (it.never_pressed or "")
    assert it.thermal is None
    assert it.process is None
    assert it.density.low > 1100


@pytest.mark.parametrize("name", PRESSED)
def test_the_highest_set_point_leaves_the_usual_window_and_stays_below_the_face_limit(name):
    process = library()[name].process
    assert process.press_high.value <= process.highest_set_point.value <= process.face_limit.value
    assert process.highest_set_point.value <= library()[name].values["melt_temperature_max"].low
    assert process.highest_set_point.note


@pytest.mark.parametrize(
    ("name", "window", "target", "open_below", "demould"),
    [
        ("hdpe", (185, 200), 165, 90, 45),
        ("ldpe", (160, 180), 145, 70, 40),
        ("pp", (200, 215), 185, 90, 45),
        ("hips", (180, 200), 165, 75, 50),
        ("ps", (180, 200), 165, 75, 50),
        ("abs", (215, 230), 190, 85, 50),
    ],
)
def test_process_values_are_the_practice_table_and_marked_assumed(name, window, target, open_below, demould):
    """Job map of the project, section 4.7: common practice, no source."""
    process = library()[name].process
    assert (process.press_low.value, process.press_high.value) == window
    assert (process.melt_target.value, process.open_below.value, process.demould_below.value) == (
        target,
        open_below,
        demould,
    )
    assert {process.melt_target.kind, process.set_point.kind} == {"assumed"}


def test_the_target_lies_above_the_melting_range():
    for name in PRESSED:
        assert library()[name].process.melt_target.value >= library()[name].thermal.melting_end.value


@given(name=st.sampled_from(IDS), upper=st.booleans())
def test_a_plastic_is_found_in_any_case(name, upper):
    asked = name.upper() if upper else name.title()
    assert find(asked, library()).id == name
    assert library()[asked] is library()[name]


def test_a_plastic_is_found_by_its_marking():
    assert find("PE-HD", library()).id == "hdpe"
    assert find("pa6", library()).id == "pa6"


def test_an_unknown_plastic_names_the_nearest_ones():
    with pytest.raises(UserError, match=r"no plastic 'hpde' is on file \(nearest: hdpe"):
        find("hpde", library())


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        (">PE-HD<", "hdpe"), ("PEHD", "hdpe"), ("pe_hd", "hdpe"), ("High-Density Polyethylene", "hdpe"),
        ("PE-LD", "ldpe"), ("PE-LLD", "lldpe"), ("pelld", "lldpe"), ("polypropylene", "pp"), ("PP-H", "pp"),
        ("PP", "pp"), ("PP-R", "pp_copolymer"), ("PS", "ps"), ("PS-HI", "hips"), ("PS-I", "hips"), ("PA 6", "pa6"),
    ],
)  # fmt: skip
def test_symbols_and_plain_names_are_understood(said, wanted):
    """Symbols of ISO 1043-1, from memory."""
    assert find(said, library()).id == wanted


@pytest.mark.parametrize("said", ["PE", ">PE<", "polyethylene"])
def test_a_word_for_several_plastics_is_refused_with_their_names(said):
    with pytest.raises(UserError, match=r"may be hdpe \(PE-HD\), ldpe \(PE-LD\) or lldpe \(PE-LLD\)"):
        find(said, library())


def test_every_other_name_belongs_to_a_plastic_on_file_and_to_one_alone():
    names = read("names")
    bare = [re.sub(r"[^a-z0-9]", "", one.lower()) for listed in names["also"].values() for one in set(listed)]
    assert set(names["also"]) | set(names["several"]) <= set(library())
    assert {
        one for key, listed in names["also"].items() for one in listed if find(one, library()).id != key
    } == set()
    assert not set(bare) & {
        re.sub(r"[^a-z0-9]", "", o.lower()) for listed in names["several"].values() for o in listed
    }


def test_two_letters_are_too_few_for_a_guess():
    with pytest.raises(UserError, match="nearest: none is close"):
        find("PX", library())


def test_every_key_that_fills_a_gap_is_an_override_key():
    assert set(CARD_KEYS.values()) <= set(KEYS)


def in_a_fresh_python(code: str) -> str:
    env = os.environ | {"PYTHONPATH": str(Path(__file__).parents[2] / "src")}
    return subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, env=env
    ).stdout


def test_the_library_needs_no_heavy_package():
    code = "import sys, flatstock.plastics as p; list(p.library().values()); print(*sorted(sys.modules))"
    assert not {"numpy", "scipy", "pydantic", "numba"} & set(in_a_fresh_python(code).split())


def test_looking_up_one_plastic_reads_no_other():
    code = (
        "from flatstock.plastics import library; from flatstock.plastics.datafile import read\n"
        "library()['pp']; print(read.cache_info().currsize)"
    )
    assert int(in_a_fresh_python(code)) < len(IDS) / 2
