"""The wall chart: the card's own figures, side by side, inside every limit."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from math import floor

import pytest

from flatstock.errors import Refused
from flatstock.plastics.safety import topic_of
from flatstock.pressing.card import Card
from flatstock.pressing.left_out import grouped
from flatstock.pressing.questions import CardQuestion
from flatstock.pressing.setting import plastics_of, set_out
from flatstock.pressing.wallchart import answer_wallchart
from flatstock.prints.numbers import dwell_and_latest

from .conftest import MONDAY


def row_of(chart, plastic, mm, set_point):
    (row,) = [
        r
        for r in chart["rows"]
        if (r["plastic"], r["thickness_mm"], r["set_point_C"]) == (plastic, mm, set_point)
    ]
    return row


def test_there_is_a_row_for_each_plastic_in_house_each_frame_and_up_to_three_set_points(chart):
    assert {row["plastic"] for row in chart["rows"]} == {"hdpe", "ldpe", "pp", "hips", "abs"}
    assert {row["thickness_mm"] for row in chart["rows"]} == {6, 12, 18}
    assert sorted({row["set_point_C"] for row in chart["rows"] if row["plastic"] == "hdpe"}) == [
        185,
        195,
        205,
    ]


def test_every_set_point_lies_over_the_core_target_and_under_every_limit(chart, shop):
    known = plastics_of(shop)
    for row in chart["rows"]:
        process = known[row["plastic"]].process
        assert process.melt_target.value + 5 <= row["set_point_C"] <= process.highest_set_point.value
        assert row["set_point_C"] <= shop.hot_presses["HP1"].highest_platen


@pytest.mark.parametrize(
    ("plastic", "mm", "set_point"), [("hdpe", 12, 195), ("pp", 6, 210), ("hips", 18, 190), ("abs", 12, 222.5)]
)
def test_a_row_is_the_card_without_a_lot(chart, shop, plastic, mm, set_point):
    """Charge exactly; the dwell's band, which comes from a fitted surface, within 0.5 %."""
    row = row_of(chart, plastic, mm, set_point)
    setting = set_out(shop, plastic=plastic, thickness=mm / 1e3, set_point=float(set_point), any_lot=False)
    card = Card(question=CardQuestion(plastic=plastic, thickness=mm / 1e3), setting=setting)
    assert row["charge_kg"]["value"] == pytest.approx(card.charge.charge.value, rel=1e-6)
    assert row["dwell_min"]["value"] == pytest.approx(card.heating.dwell.value / 60, rel=1e-5)
    assert row["dwell_min"]["low"] == pytest.approx(card.heating.dwell.low / 60, rel=5e-3)
    assert row["dwell_min"]["high"] == pytest.approx(card.heating.dwell.high / 60, rel=5e-3)
    if card.advised[0] > card.heating.dwell_latest.low:
        assert row["dwell_advised_min"] is None
    else:
        assert row["dwell_advised_min"] == pytest.approx(card.advised[0] / 60, rel=5e-3)


def test_no_dwell_is_advised_that_the_face_is_not_sure_to_bear_and_the_row_says_why(chart):
    for row in chart["rows"]:
        latest, advised = row["dwell_latest_min"], row["dwell_advised_min"]
        if advised is None:
            assert "core and face" in row["note"] or "its face is spent first" in row["note"]
        else:
            shown = (row["note"] or "").startswith("by practice; check its face, assumed") and row["usual"]
            assert latest is None or shown or advised <= latest["low"] + 1e-9


def test_a_press_that_melts_nothing_through_says_so_once_for_all_sheets(started):
    shop = started(heated="bottom", power=4000.0, platen_metal="aluminium")
    with pytest.raises(Refused) as refused:
        answer_wallchart(shop, MONDAY)
    (fault,) = refused.value.faults
    assert fault.what.startswith(
        "HDPE 6 and 12 mm at 180, 190 and 200 °C left out: HP1, heated from below only"
    )


def test_practice_at_its_own_set_point_stands_on_the_chart_as_on_the_card(chart):
    row = row_of(chart, "pp", 12, 210)
    assert row["dwell_advised_min"] == 32
    assert (
        row["note"]
        == f"by practice; check its face, assumed to bear {floor(row['dwell_latest_min']['low'])} min"
    )
    assert row["latest_by_practice"]


def test_whoever_reads_the_chart_finds_one_moment_to_take_the_mould_out_by(chart):
    """An advised dwell beside a shorter latest one can't be kept: where practice goes further it is both."""
    shown = [dwell_and_latest(row) for row in chart["rows"] if row["dwell_advised_min"] is not None]
    assert ("32", "32") in shown
    assert all(latest is None or float(advised) <= float(latest) for advised, latest in shown)


def test_a_practice_dwell_beyond_the_face_is_cut_and_noted(chart):
    """42 min are on file for HDPE 18 mm; at 205 °C the face is sure to bear less."""
    row = row_of(chart, "hdpe", 18, 205)
    assert row["note"] == "42 min of practice is longer than the face is sure to bear"
    assert row["dwell_min"]["high"] < row["dwell_advised_min"] < 42


def test_a_row_says_whether_its_flake_is_in_stock_and_its_set_point_the_usual_one(chart):
    assert {row["plastic"] for row in chart["rows"] if not row["in_stock"]} == {"abs"}  # its one lot is held
    assert {row["set_point_C"] for row in chart["rows"] if row["plastic"] == "hdpe" and row["usual"]} == {195}


def test_thicker_takes_longer_and_weighs_more_in_every_column(chart):
    columns = {}
    for row in chart["rows"]:
        columns.setdefault((row["plastic"], row["set_point_C"]), []).append(row)
    for rows in columns.values():
        rows.sort(key=lambda row: row["thickness_mm"])
        for thin, thick in pairwise(rows):
            assert thick["dwell_min"]["value"] > thin["dwell_min"]["value"]
            assert thick["charge_kg"]["value"] > thin["charge_kg"]["value"]


def test_a_hotter_column_is_never_slower_and_its_face_bears_less(chart):
    lines = {}
    for row in chart["rows"]:
        lines.setdefault((row["plastic"], row["thickness_mm"]), []).append(row)
    for rows in lines.values():
        rows.sort(key=lambda row: row["set_point_C"])
        for mild, hot in pairwise(rows):
            assert hot["dwell_min"]["value"] <= mild["dwell_min"]["value"]
            if mild["dwell_latest_min"] is not None:
                assert hot["dwell_latest_min"]["value"] < mild["dwell_latest_min"]["value"]


def test_it_says_what_it_rests_on_and_when_it_was_made(chart):
    assert sum(chart["rests_on"].values()) == len(chart["rows"])
    assert chart["made_at"] == "2026-03-02T07:00:00+00:00"
    assert any("card of the lot in hand" in warning for warning in chart["warnings"])


def test_a_thickness_that_never_melts_is_left_out_and_said(shop):
    thick = replace(shop.frames["F18-1"], id="F90", thickness=0.090)
    one = replace(
        shop, frames={"F06-1": shop.frames["F06-1"], "F90": thick}, lots={"L-2301": shop.lots["L-2301"]}, orders={},
        plastic_overrides={"hdpe": shop.plastic_overrides["hdpe"]},
    )  # fmt: skip
    document = answer_wallchart(one, MONDAY).document
    assert {row["thickness_mm"] for row in document["rows"]} == {6}
    assert any(
        w.startswith("HDPE 90 mm at 185, 195 and 205 °C left out: HP1 does not") for w in document["warnings"]
    )


def test_a_reason_that_leaves_everything_out_is_given_once_for_each_frame(shop):
    worn = {name: replace(skin, fit_for_use=False) for name, skin in shop.skins.items()}
    with pytest.raises(Refused) as refused:
        answer_wallchart(replace(shop, skins=worn), MONDAY)
    faults = refused.value.faults
    assert len(faults) == len({fault.what.rsplit(" ", 1)[1] for fault in faults}) <= len(shop.frames)
    assert all("no pair of skins that is fit for use" in fault.what for fault in faults)


def test_what_is_left_out_is_listed_whole_and_nothing_else():
    """Every thickness with every set-point is said together, a single one by itself."""
    left_out = [("pp", t, s, "why") for t in (0.006, 0.012) for s in (200.0, 210.0)] + [
        ("ps", 0.006, 190.0, "else")
    ]
    assert grouped(left_out) == [
        "PP 6 and 12 mm at 200 and 210 °C left out: why.",
        "PS 6 mm at 190 °C left out: else.",
    ]
    assert grouped(left_out[:3]) == ["PP 6 mm at 200 and 210 °C; PP 12 mm at 200 °C left out: why."]


def test_a_workshop_without_frames_has_no_wall_chart(shop):
    with pytest.raises(Refused, match="no frame"):
        answer_wallchart(replace(shop, frames={}), MONDAY)


def test_a_wall_chart_carries_every_caution_of_its_cards_but_on_what_the_sheet_is_used_for(chart, card):
    ours, theirs = ({topic_of(one["text"]) for one in each["cautions"]} for each in (chart, card()))
    assert theirs - ours == {"claims", "wet"} & theirs
    assert {"water", "lifting", "pressure"} <= ours <= theirs
