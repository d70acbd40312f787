"""Whether a frame gives the size sold, and when the melt has filled it: cards and `read`."""

from __future__ import annotations

from dataclasses import replace

import pytest

from flatstock.actions.workshops import read_workshop
from flatstock.demo import copy_to
from flatstock.errors import Refused
from flatstock.evidence import Value
from flatstock.flow.rectangle import rectangle_spreading_time
from flatstock.pressing.card import answer_card, work_out
from flatstock.pressing.frame_size import FrameQuestion, answer_frame
from flatstock.pressing.frames_held import short_frames
from flatstock.pressing.notes import card_warnings
from flatstock.pressing.questions import CardQuestion
from flatstock.pressing.trimming import Trimming
from flatstock.prints.frame_words import FrameWords
from flatstock.prints.shown import Shown

HDPE = Value(0.022, 0.020, 0.025, "assumed", "a test")
ASK = CardQuestion(plastic="hdpe", thickness=0.012)


def trimming(shop, length, width, **sold):
    frame = replace(shop.frames["F12-1"], cavity_length=length, cavity_width=width)
    return Trimming(frame=frame, practice=replace(shop.practice, **sold), shrinkage=HDPE)


# The size sold


def test_a_cavity_of_1220_leaves_nothing_to_trim_off_a_sheet_of_1200_that_shrinks_by_2_2_percent(shop):
    """The workshop's own case: (1200 + 2 · 10) / (1 - 0.022) = 1247.4 mm is what it takes."""
    length, _ = trimming(shop, 1.220, 0.840).sides
    assert length.needed.value == pytest.approx(1.24744, abs=1e-5)
    assert length.after_trim.value + 2 * 0.010 == pytest.approx(1.19316, abs=1e-5)
    assert length.spare.value == pytest.approx(1.19316 - 1.220, abs=1e-5)
    assert trimming(shop, 1.220, 0.840).verdict == "no"


@pytest.mark.parametrize(
    ("length", "verdict"), [(1.2513, "yes"), (1.2512, "perhaps"), (1.2450, "perhaps"), (1.2448, "no")]
)
def test_a_frame_surely_gives_the_size_sold_only_if_it_does_at_the_most_that_the_plastic_shrinks(
    shop, length, verdict
):
    """1220 / 0.975 is 1251.28 mm and 1220 / 0.980 is 1244.90 mm; 850 mm is enough across."""
    assert trimming(shop, length, 0.850).verdict == verdict


def test_the_longer_side_sold_comes_of_the_longer_side_of_the_cavity(shop):
    turned = trimming(shop, 0.860, 1.260, trimmed_length=1.200, trimmed_width=0.800)
    assert [side.wanted for side in turned.sides] == [0.800, 1.200]
    assert turned.verdict == "yes"


def test_a_shop_that_sells_no_one_size_is_told_what_the_trim_leaves(shop):
    free = trimming(shop, 1.250, 0.840, trimmed_length=None, trimmed_width=None)
    assert free.verdict is None
    assert [side.needed for side in free.sides] == [None, None]
    assert [round(side.after_trim.low * 1e3, 2) for side in free.sides] == [1198.75, 799.0]


def test_a_card_says_which_cavity_the_size_sold_needs_and_by_how_much_the_frame_falls_short(card):
    document = card()
    assert document["cavity_needed_width_mm"]["value"] == pytest.approx(820 / 0.978, abs=0.01)
    assert document["spare_length_mm"]["low"] == pytest.approx(1250 * 0.975 - 1220, abs=0.01)
    assert document["gives_trimmed"] == "perhaps"
    name, said = FrameWords(document, Shown()).trimmed
    assert name == "trimmed 1200 × 800 mm"
    assert said == (
        "not sure: length 1.3 mm short to 5 mm over, width 1 mm short to 3.2 mm over;"
        " a cavity of 1251.3 × 841.1 mm surely does"
    )


def test_read_tells_frames_that_cannot_give_the_size_sold_with_their_line(tmp_path):
    folder = tmp_path / "shop"
    copy_to(folder)
    file = folder / "shop.toml"
    assert read_workshop(folder).document["warnings"] == []
    file.write_text(
        file.read_text("utf-8").replace("cavity_length_mm = 1250", "cavity_length_mm = 1220"), "utf-8"
    )
    (said,) = read_workshop(folder).document["warnings"]
    line = next(n for n, text in enumerate(file.read_text("utf-8").splitlines(), 1) if "= 1220" in text)
    assert said.startswith(f"shop.toml line {line}, frames.1.cavity_length_mm: F06-1")
    assert "length 24.4 mm too short where it shrinks 2 %, 30.5 mm too short where 2.5 %" in said


def test_a_frame_too_short_for_one_plastic_alone_names_that_one(shop):
    """HIPS hardly shrinks: 1228 mm less 0.6 % is 1220.6 mm."""
    frames = {"F": replace(shop.frames["F12-1"], id="F", cavity_length=1.228, cavity_width=0.850)}
    (short,) = short_frames(replace(shop, frames=frames))
    assert "hdpe" in [one.id for one in short.plastics]
    assert "hips" not in [one.id for one in short.plastics]


# The frame to have made


def test_a_frame_is_made_for_the_plastic_that_may_shrink_most_in_whole_millimetres(shop):
    """HDPE by 2.5 % at most: 1220 / 0.975 = 1251.28 mm, 820 / 0.975 = 841.03 mm."""
    made = answer_frame(shop, FrameQuestion(plastics=("hips", "HDPE")))
    assert (made["cavity_length_mm"], made["cavity_width_mm"]) == (1252, 842)
    assert (made["outside_length_mm"], made["outside_width_mm"]) == (1332, 922)
    assert [one["plastic"] for one in made["plastics"]] == ["hdpe", "hips"]
    assert made["plastics"][0]["spare_length_mm"]["low"] >= 0
    (there,) = made["frames"]
    assert [one["gives_trimmed"] for one in there["gives"]] == ["perhaps", "yes"]


def test_a_frame_larger_than_the_platens_is_told_with_what_skins_and_force_it_takes(shop):
    said = " ".join(answer_frame(shop, FrameQuestion(length=1.4, width=0.9, plastics=("hdpe",)))["warnings"])
    assert "larger than the platens of HP1, 1350 x 950 mm, by " in said
    assert "No pair of skins on file covers it" in said
    assert "HP1 is rated for 300 kN" in said


def test_a_shop_without_a_frame_yet_is_told_what_its_first_one_takes(shop):
    made = answer_frame(replace(shop, frames={}), FrameQuestion(plastics=("hdpe",)))
    assert (made["cavity_length_mm"], made["land_mm"], made["frames"]) == (1252, 40, [])
    assert [one["thickness_mm"] for one in made["thicknesses"]] == [6, 12, 18]  # of its orders


def test_a_frame_for_no_size_or_for_what_is_never_pressed_is_refused(shop):
    nothing = replace(shop, practice=replace(shop.practice, trimmed_length=None, trimmed_width=None))
    with pytest.raises(Refused, match="no trimmed length is on file"):
        answer_frame(nothing, FrameQuestion())
    for name in ("pvc", "pet"):
        with pytest.raises(Refused, match="never pressed"):
            answer_frame(shop, FrameQuestion(plastics=(name,)))


# Spreading


def test_a_heap_over_half_of_the_cavity_spreads_as_the_rectangle_of_its_melt_does(shop):
    """Viscosity as the card says it, volume and gap of the weighed charge, force of 0.25 MPa on 1.05 m2."""
    made = work_out(shop, replace(ASK, footprint=0.5, viscosity=10e3))
    level = made.charge.plastic_mass / 760 / 1.05
    seconds = rectangle_spreading_time(
        volume=level * 1.05, ratio=1250 / 840, start=2 * level, end=level, force=262.5e3,
        viscosity=made.spreading.viscosity.value,
    )  # fmt: skip
    assert made.spreading.at_full.value == pytest.approx(seconds, rel=1e-6)
    assert made.spreading.at_contact.value == pytest.approx(seconds * 0.25 / 0.03, rel=1e-6)
    assert made.spreading.at_full.value < made.spreading.at_full.high


def test_the_melt_is_stiffer_than_at_the_set_point_and_less_so_than_its_core_is(shop):
    """At melt-through the core is at 165 °C and the faces are nearly at the platens' temperature."""
    made = work_out(shop, replace(ASK, viscosity=10e3))
    law = made.setting.plastic.viscosity
    assert 10e3 < made.spreading.viscosity.value < 10e3 * law.ratio(165.0, reference=195.0)


def test_full_pressure_may_go_on_once_the_core_has_melted_and_the_melt_is_at_the_frame(card):
    document = card(footprint=0.5)
    for end in ("low", "value", "high"):
        assert document["full_pressure_from_min"][end] == pytest.approx(
            document["dwell_min"][end] + document["spread_contact_s"][end] / 60, rel=1e-4
        )
    assert document["spread_by"] == "contact"
    assert document["spread_half_contact_s"]["value"] == pytest.approx(document["spread_contact_s"]["value"])


def test_a_melt_that_no_force_of_the_press_spreads_in_time_is_told_with_the_force_it_would_take(shop):
    made = work_out(shop, replace(ASK, footprint=0.4, viscosity=300e3))
    assert made.spreading.verdict(contact_until=made.contact_until, full_time=made.full_time) == "short"
    (said,) = [one for one in card_warnings(made) if "not sure to be at the frame" in one]
    assert "lay the flake level, corners first" in said
    assert "more than HP1 is rated for" in said


def test_breathing_spreads_nothing(shop):
    """Without practice the dwell ends with breathing and full pressure after melt-through: no contact is left."""
    bare = replace(shop, practice=replace(shop.practice, dwell={}))
    made = work_out(bare, ASK)
    assert made.contact_until == pytest.approx(made.advised[0] - made.full_time - 2 * 15.0)
    assert made.spreading.verdict(contact_until=made.contact_until, full_time=made.full_time) == "full"
    assert FrameWords(answer_card(bare, ASK).document, Shown()).start == (
        "Full pressure goes on while the melt still spreads, and ends that."
    )


def test_a_charge_without_a_viscosity_is_not_said_to_spread_but_what_to_write_where(card):
    document = card(lots={"L-2308": 1.0})
    assert document["spread_contact_s"] is None
    assert document["full_pressure_from_min"] is None
    assert document["spread_by"] is None
    words = FrameWords(document, Shown())
    assert words.spreading == [words.start]
    assert "not known" in words.start
    assert [
        one
        for one in document["warnings"]
        if "lot L-2308" in one and "mfr_g_10min" in one and "lots.csv" in one
    ]


def test_a_plastics_own_viscosity_counts_for_a_lot_without_a_melt_flow_rate(started):
    shop = started(plastics="[hdpe]\nviscosity_kPas = 8\n")
    made = work_out(shop, CardQuestion(plastic="hdpe", thickness=0.006))
    assert [lot.mfr for lot, _ in made.setting.stock] == [None]
    assert made.flash.viscosity.value == pytest.approx(8e3)


def test_every_new_number_of_a_card_about_its_frame_says_why(card):
    document = card()
    explained = {reason["of"] for reason in document["why"]}
    names = [name for name in document if name.startswith(("spread_", "spare_", "after_trim_", "trimmed_"))]
    assert names
    assert (
        set(names) | {"cavity_needed_length_mm", "heap_covers_percent", "full_pressure_from_min"} <= explained
    )


def test_a_footprint_that_is_no_share_of_a_cavity_is_refused(shop):
    with pytest.raises(Exception, match="--footprint"):
        answer_card(shop, replace(ASK, footprint=1.5))
