"""Answers in a terminal: eighty columns, everything that matters in words."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flatstock.errors import WrongWords
from flatstock.plastics.safety import cautions_for
from flatstock.prints.text import card_text, correct_text, stack_text, wallchart_text, why_text
from flatstock.prints.text.layout import table, width_of, wrapped


@pytest.fixture
def answers(card, stack, wallchart, correct, thickness_picture, stack_picture):
    return [
        card_text(card, thickness_picture),
        card_text(card, None),
        stack_text(stack, stack_picture),
        wallchart_text(wallchart),
        correct_text(correct),
        *(why_text(card, reason["of"]) for reason in card["why"]),
    ]


def widest(text):
    return max(width_of(line) for line in text.splitlines())


def test_no_answer_is_wider_than_eighty_columns(answers):
    assert [widest(text) for text in answers if widest(text) > 80] == []


def test_no_line_ends_in_blanks_and_nothing_steers_the_terminal(answers):
    for text in answers:
        for line in text.splitlines():
            assert line == line.rstrip()
            assert line.isprintable()


def test_a_card_says_charge_set_point_and_dwell_with_their_bands(card, thickness_picture):
    text = card_text(card, thickness_picture)
    for words in (
        "11.74 kg (11.69 to 11.79)",
        "195 °C",
        "28 min from laying the mould down",
        "21.2 min (18.9 to 24.0)",
    ):
        assert words in text


def test_a_card_says_what_the_weighing_tolerance_means_in_the_sheet(card):
    assert "± 0.06 kg is ± 0.05 mm of sheet" in card_text(card, None)


def test_a_card_waits_for_the_late_end_and_says_the_middle(card):
    text = card_text(card, None)
    assert "first mould      11 min  expected 9 min (7 to 11)" in text
    assert "third in a row        —  not cool enough before the next one arrives" in text


def test_a_flash_that_rests_on_an_assumption_says_so_on_the_same_line(card):
    assert "0.31 kg (0.12 to 0.55), assumed" in card_text(card, None)


def test_the_drawing_in_letters_shows_a_solid_core_that_closes(card, thickness_picture):
    lines = card_text(card, thickness_picture).splitlines()
    (middle,) = (line for line in lines if line.startswith("   middle │"))
    (face,) = (line for line in lines if line.startswith(" top skin │"))
    assert middle.count("▓") > face.count("▓") > 0
    assert "░" in middle


@pytest.mark.parametrize("asked", ["steps.gauge_bar", "gauge_bar", "GAUGE_BAR", "steps"])
def test_numbers_of_a_list_are_explained_by_their_own_name_or_their_list_s(card, asked):
    reason = {"of": "steps.gauge_bar", "formula": "p · A / piston", "inputs": [], "source": "docs/flow.md"}
    said = why_text(card | {"why": [*card["why"], reason]}, asked)
    assert "Why steps.gauge_bar" in said
    assert "bar;" in said


def test_every_caution_is_followed_by_who_decides(card, stack, wallchart, correct):
    for document, text in (
        (card, card_text(card, None, every_caution=True)),
        (stack, stack_text(stack, None, every_caution=True)),
        (wallchart, wallchart_text(wallchart, every_caution=True)),
        (correct, correct_text(correct)),
    ):
        flat = " ".join(text.split())
        for caution in document["cautions"]:
            assert f"{caution['text']} Defer to: {caution['defer_to']}." in flat


def test_four_cautions_of_many_are_shown_and_the_rest_counted(card):
    every = cautions_for("hot", "opening", "press", "unattended", "fume", "lifting", "claims")
    text = card_text(card | {"cautions": every}, None)
    assert text.count("Defer to:") == 4
    assert f"{len(every) - 4} more: --cautions shows all" in text
    for topic in ("hot", "opening", "fume", "lifting"):
        assert cautions_for(topic)[0]["text"] in " ".join(text.split())


def test_the_steps_of_a_card_agree_with_its_dwell_and_its_cooling_time(card):
    steps = [
        {"at_min": at, "do": do, "pressure_MPa": None, "gauge_bar": None, "people": 1}
        for at, do in (
            (0, "in"),
            (38.2, "full"),
            (38.7, "out"),
            (41.7, "clamp"),
            (59.35, "open"),
            (None, "demould"),
        )
    ]
    cool = {"value": 16.7, "low": 15.4, "high": 17.65, "kind": "computed", "source": "x"}
    text = card_text(
        card | {"dwell_advised_min": 38.7, "steps": steps, "press_cool_min": [cool, None, None]}, None
    )
    assert "DWELL       39 min" in text
    assert [line.split()[0] for line in text.splitlines() if line.endswith("1 person")][:5] == [
        "0",
        "38.5",
        "39",
        "42",
        "60",
    ]
    assert "first mould      18 min" in text


def test_practice_beyond_an_assumed_face_is_the_one_moment_to_take_the_mould_out_by(card):
    late = {"value": 21.0, "low": 18.9, "high": 24.0, "kind": "computed", "source": "x"}
    beyond = {"dwell_advised_min": 32, "dwell_latest_min": late, "latest_by_practice": True}
    text = card_text(card | beyond, None)
    assert "LATEST      32 min, by practice; faces are only assumed to bear 18 (21 expected)" in text


def test_a_latest_transfer_before_the_dwell_is_over_is_pointed_out(card):
    late = {"value": 9.0, "low": 8.0, "high": 11.0, "kind": "computed", "source": "x"}
    text = card_text(card | {"dwell_advised_min": 9.1, "dwell_latest_min": late}, None)
    assert "LATEST      8 min (9 expected), sooner than the dwell: see Take note" in text
    assert "sooner" not in card_text(card | {"dwell_advised_min": 7.9, "dwell_latest_min": late}, None)


def test_a_dwell_whose_whole_minutes_would_pass_the_latest_is_told_in_tenths(card):
    latest = {"value": 41.0, "low": 38.9, "high": 43.0, "kind": "computed", "source": "x"}
    text = card_text(card | {"dwell_advised_min": 38.7, "dwell_latest_min": latest}, None)
    assert "DWELL       38.7 min" in text
    assert "LATEST      38.9 min" in text


def test_a_shop_that_reads_inches_reads_no_other_unit(
    card, stack, wallchart, correct, thickness_picture, stack_picture
):
    us = "us"
    for text in (
        card_text(card, thickness_picture, us), stack_text(stack, stack_picture, us), wallchart_text(wallchart, us),
        correct_text(correct, us), *(why_text(card, reason["of"], us) for reason in card["why"]),
    ):  # fmt: skip
        assert widest(text) <= 80
        beside = re.sub(r"\(12 mm\)|= [\d.]+\s+kg|[\d.]+ kg on the scale|\d+ mm\b(?=\.)", "", text)
        assert re.findall(r"\d ?(?:mm|°C|kg|MPa|bar)\b.*", beside) == []
    assert "HDPE 0.472 in (12 mm)" in card_text(card, None, us)
    assert "383 °F" in card_text(card, None, us)


def test_a_stack_is_read_from_the_top_and_names_what_melts_again(stack, stack_picture):
    text = stack_text(stack, stack_picture)
    assert text.index("PP-8") < text.index("HDPE-1")
    assert "ALL READY  not before 14:10 (expected 12:30 (10:50 to 14:10))" in text
    assert text.count("YES") == 6 + 2


def test_a_day_other_than_that_of_the_question_is_named(stack):
    assert "Mon 09:48" in stack_text(stack, None)


def test_what_is_null_reads_unknown_or_not_within(card, stack, wallchart, correct):
    assert "LATEST      the face bears more than 4 h" in card_text(card | {"dwell_latest_min": None}, None)
    assert "ALL READY  not within the time looked at" in stack_text(stack | {"ready_at": None}, None)
    assert "over 4 h  assumed" in wallchart_text(wallchart)
    assert "not weighed" in correct_text(correct | {"flash_kg": None})


def test_why_lists_the_inputs_that_make_the_band_largest_first(card):
    text = why_text(card, "dwell_min")
    order = [text.index(words) for words in ("clamped bed", "contact platen", "melt", "latent heat", "room")]
    assert order == sorted(order)
    assert "55%" in text


def test_why_of_something_unknown_names_the_nearest(card):
    with pytest.raises(WrongWords, match="'dwel_min' is not explained here; nearest: dwell_min"):
        why_text(card, "dwel_min")


def test_names_with_wide_letters_and_control_characters_keep_to_eighty_columns(card):
    text = card_text(card | {"for": "花園プランター工房" * 9, "shop": "\x1b[31mred\x07" * 9}, None)
    assert widest(text) <= 80
    assert "\x1b" not in text


@given(st.text(), st.integers(20, 80))
def test_wrapping_keeps_every_letter_and_never_exceeds_the_width(text, width):
    lines = wrapped(text, first="  ", width=width)
    assert max(width_of(line) for line in lines) <= width
    kept = "".join("".join(lines).split())
    assert len(kept) == len("".join("".join(c if c.isprintable() else "?" for c in text).split()))


@given(
    st.lists(
        st.tuples(st.text(max_size=60), st.text(max_size=60), st.text(max_size=60)), min_size=1, max_size=4
    )
)
def test_a_table_never_exceeds_eighty_columns(rows):
    assert max(map(width_of, table(rows, "<><"))) <= 80
