"""What the records say of a bad sheet without anybody being asked."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from flatstock import demo
from flatstock.actions.fault_evidence import Read, Seen, evidence
from flatstock.actions.fault_numbers import numbers, water_words
from flatstock.plastics.library import library
from flatstock.quality.faults.guide import guide
from flatstock.quality.faults.ranking import rank
from flatstock.quality.thickness import Point, map_of
from flatstock.running.event import Event
from flatstock.running.sheets import Planned
from flatstock.workshop.files import read as read_files

NINE = datetime(2026, 3, 2, 9, 0, tzinfo=UTC)
STORY_8 = (11.62, 11.80, 11.99, 11.74, 11.95, 12.10, 11.85, 12.04, 12.24)


@pytest.fixture(scope="module")
def shop(tmp_path_factory):
    folder = tmp_path_factory.mktemp("shops") / "demo"
    demo.copy_to(folder)
    return read_files(folder)


def happened(kind, minutes, **facts):
    at = NINE + timedelta(minutes=minutes)
    return Event(
        id=f"{kind}-{minutes}", at=at, noted_at=at, kind=kind, who=("OP1",), sheet="S-1", facts=facts
    )


def a_read(shop, *events, lots=None, **changes):
    sheet = Planned(
        id="S-1", plastic="hdpe", thickness_mm=12.0, dwell=27 * 60, dwell_planned=28 * 60, dwell_latest=46 * 60,
        press_cool=20 * 60, set_point=195.0, lots=lots or {"L-2301": 11.74}, charge=11.74,
    )  # fmt: skip
    return Read(
        **{"sheet": sheet, "events": events, "lots": lots or {"L-2301": 11.74}, "shop": shop, **changes}
    )


def found(fault, read):
    return {one.question: one for one in evidence(guide().faults[fault], read)}


def of(readings):
    spots = [(x, y) for y in (0.05, 0.4, 0.75) for x in (0.05, 0.6, 1.15)]
    return map_of([Point(x=x, y=y, thickness=t / 1e3) for (x, y), t in zip(spots, readings, strict=True)])


@pytest.mark.parametrize(("dwell", "answer"), [(20, "yes"), (30, "no")])
def test_a_dwell_is_held_against_melt_through(shop, dwell, answer):
    read = a_read(shop, happened("loaded", 0), happened("transferred", dwell))
    assert found("raw", read)["dwell_below"].answer == answer


def test_a_dwell_past_its_latest_speaks_for_scorch_by_time(shop):
    read = a_read(shop, happened("loaded", 0), happened("transferred", 60))
    seen = evidence(guide().faults["scorch"], read)
    assert rank(guide().faults["scorch"], seen)[0].cause == "dwell_long"


def test_a_wet_lot_says_grams_and_counts_a_quarter_of_a_test(shop):
    wet = replace(shop, lots={**shop.lots, "L-2304": replace(shop.lots["L-2304"], moisture=0.0035)})
    one = found("holes", a_read(wet, lots={"L-2304": 5.67}))["mass_loss"]
    assert (one.answer, one.weight) == ("yes", 0.25)
    assert "20 g in this charge" in one.where


def test_flake_that_was_dried_before_it_was_weighed_is_not_taken_as_wet(shop):
    weighed = happened("weighed", 0, lot="L-2301", mass_kg=11.74, dried=True)
    assert "mass_loss" not in found("holes", a_read(shop, weighed))


def test_breathing_that_is_noted_and_that_is_not(shop):
    way = (happened("loaded", 0), happened("transferred", 30))
    assert found("holes", a_read(shop, *way))["breathed"].answer == "no"
    assert found("holes", a_read(shop, *way, happened("breathed", 20)))["breathed"].answer == "yes"


def test_a_cooling_press_that_was_opened_early(shop):
    way = (happened("loaded", 0), happened("transferred", 30), happened("moved", 40))
    assert found("sink", a_read(shop, *way))["opened_early"].answer == "yes"


@pytest.mark.parametrize(
    ("mass", "below", "above"), [(11.3, "yes", "no"), (11.74, "no", "no"), (12.2, "no", "yes")]
)
def test_a_weighing_is_held_against_its_target(shop, mass, below, above):
    read = a_read(shop, happened("weighed", 0, lot="L-2301", mass_kg=mass))
    assert found("thin", read)["charge_below"].answer == below
    assert found("flash", read)["charge_above"].answer == above


def test_half_weighed_says_nothing_of_the_charge(shop):
    read = a_read(
        shop, happened("weighed", 0, lot="L-2301", mass_kg=8.0), lots={"L-2301": 8.0, "L-2302": 3.74}
    )
    assert "charge_below" not in found("thin", read)


def test_three_alike_wedges_put_the_platens_first_with_the_shims_of_story_8(shop):
    """The worked story of nine readings: 0.46 mm over 1350 and 0.33 mm over 950, thick at the back right."""
    read = a_read(shop, press="HP1", map=of(STORY_8), maps=[of(STORY_8)] * 3)
    wedge = guide().faults["wedge"]
    assert rank(wedge, evidence(wedge, read))[0].cause == "not_parallel"
    said = numbers("not_parallel", read, None)
    assert "0.46 mm over 1350 mm under the right side and 0.33 mm over 950 mm under the back" in said


def test_wedges_that_disagree_put_spreading_first_and_warn_off_the_shims(shop):
    maps = [of(STORY_8), of(STORY_8[::-1]), of(STORY_8)]
    read = a_read(shop, press="HP1", map=maps[-1], maps=maps)
    wedge = guide().faults["wedge"]
    assert rank(wedge, evidence(wedge, read))[0].cause == "spreading"
    assert "Only where the last three sheets agree" in numbers("not_parallel", read, None)


def test_the_same_skin_and_place_on_sheets_before(shop):
    before = [
        Seen(
            sheet="S-0",
            press="HP1",
            skins="S03-04",
            frame="F12-1",
            lots=frozenset({"L-2302"}),
            cells=frozenset({1}),
        ),
    ]
    read = a_read(shop, press="HP1", skins="S03-04", cells=frozenset({1, 2}), before=before)
    seen = found("mark", read)
    assert seen["same_skin"].answer == "yes"
    assert seen["same_place"].answer == "yes"
    assert found("wedge", replace(read, frame="F12-1"))["same_frame"].answer == "yes"
    assert found("wedge", replace(read, frame="F12-2"))["same_frame"].answer == "no"
    other = found("mark", replace(read, skins="S05-06", cells=frozenset({9})))
    assert other["same_skin"].answer == "no"
    assert other["same_place"].answer == "no"


def test_lots_with_strangers_regrind_and_melt_flows_far_apart(shop):
    read = a_read(shop, lots={"L-2301": 6.0, "L-2303": 2.0, "L-2308": 3.74})
    assert found("streaks", read)["has_regrind"].answer == "yes"
    two = a_read(shop, lots={"L-2301": 8.0, "L-2303": 3.74})
    assert found("bleed", two)["flow_gap"].answer == "yes"


def test_water_of_story_12_in_grams_and_litres(shop):
    """0.35 % of 5.67 kg: 20 g (the worked story of a wet charge); as steam an ideal gas at 210 °C: 19.8 g x 8.314 x 483.15 / 18.015 / 101325."""
    read = a_read(shop, lots={"L-2304": 5.67}, sheet=Planned(id="S-1", plastic="pp", set_point=210.0))
    said = water_words(read, 0.0035, library()["pp"])
    assert "0.35 % of 5.67 kg is 20 g of water" in said
    assert f"{0.0035 * 5.67 * 8.314462 * 483.15 / 0.0180153 / 101.325:.0f} L of steam at 210 °C" in said
    assert "dry it first" in said


def test_the_charge_goes_with_the_mean_thickness(shop):
    """11.74 kg gave 11.93 mm: 11.81 kg for 12 mm."""
    said = numbers("charge_short", a_read(shop, map=of(STORY_8)), None)
    assert "11.81 kg for 12 mm" in said
