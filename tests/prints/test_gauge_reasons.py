"""A number that a shop can't have is said to be unknown, not left empty; none is said finer than its band."""

from __future__ import annotations

from flatstock.prints.shown import Shown
from flatstock.prints.text.why import input_words, now_words


def test_gauge_readings_that_no_bore_gives_are_said_to_be_unknown() -> None:
    card = {"steps": [{"at_min": 0.0, "gauge_bar": None}, {"at_min": 5.0, "gauge_bar": None}]}
    assert now_words(card, "steps.gauge_bar", Shown()) == "none is known"


def test_a_charge_among_the_inputs_is_no_finer_than_its_band() -> None:
    given = {"name": "charge", "value": 5.6729, "low": 5.63187, "high": 5.69445, "unit": "kg"}
    assert input_words(given, Shown()) == "5.673 kg (5.632 to 5.694)"
