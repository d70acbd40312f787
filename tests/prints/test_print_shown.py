"""What a shop reads quantities in."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flatstock.errors import Fault
from flatstock.prints.shown import METRIC, Shown
from flatstock.prints.text.why import input_words

US = Shown("us", scale_step=0.02)


def band(middle, low, high):
    return {"value": middle, "low": low, "high": high, "kind": "computed", "source": "x"}


def test_a_metric_shop_reads_what_the_document_says():
    text = "82 kg at 195 °C, 0.2 to 0.5 mm under 0.25 MPa"
    assert METRIC.prose(text) == text
    assert METRIC.one(195.0, "C") == "195 °C"
    assert METRIC.sizes(1250, 840) == "1250 × 840 mm"


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        (US.one(195, "C"), "383 °F"),
        (US.one(0.25, "MPa", 2), "36 psi"),
        (US.one(171, "bar", 0), "2480 psi"),
        (US.size(12.7), "0.5 in"),
        (US.size(12, both=True), "0.472 in (12 mm)"),
        (US.mass(17.62), "38.85 lb"),
        (US.mass(0.43), "15.2 oz"),
        (US.band(band(19, 18, 21), "K", 0), "34 °F (32 to 38)"),
        (US.band(band(18.0, 17.91, 18.12), "mm"), "0.709 in (0.705 to 0.713)"),
    ],
)
def test_quantities_in_inches_pounds_fahrenheit_and_psi(said, wanted):
    """Converted by hand with 1 in = 25.4 mm, 1 lb = 0.45359237 kg, 1 psi = 6894.757 Pa (NIST SP 811)."""
    assert said == wanted


def test_a_difference_of_temperature_has_no_offset():
    assert US.convert(10.0, "K") == 18.0
    assert US.convert(10.0, "C") == 50.0


def test_minutes_and_kilowatt_hours_stay():
    assert (US.one(26.3, "min"), US.band(band(5.8, 5.6, 6.0), "kWh")) == (
        "26.3 min",
        "5.8 kWh (5.6 to 6.0)",
    )


def test_every_member_of_a_list_is_converted():
    """6 mm is 0.236 in, 12 mm 0.472 in, 18 mm 0.709 in."""
    assert US.prose("frames of 6, 12 and 18 mm") == "frames of 0.24, 0.47 and 0.71 in"
    assert US.prose("O-101, 5 kg") == "O-101, 11 lb"


@pytest.mark.parametrize(
    ("what", "said"),
    [
        ("no frame makes 8 mm", "no frame makes 0.315 in"),
        ("set-point 315.556 °C is above 220 °C", "set-point 600 °F is above 428 °F"),
        ("'8 mm' and `--thickness 8 mm` were typed", "'8 mm' and `--thickness 8 mm` were typed"),
        ("the press's platen is 6 mm off, isn't it", "the press's platen is 0.236 in off, isn't it"),
        ("use at least 168 °C", "use at least 335 °F"),  # 334.4
        ("stay at or below 222 °C", "stay at or below 431 °F"),  # 431.6
        ("ask for 6.35 to 7.1 mm", "ask for 0.250 to 0.279 in"),  # 0.2795
        ("0.00689476 MPa is less than 0.03 MPa", "1 psi is less than 4 psi"),
    ],
)
def test_a_refusal_is_said_in_the_shops_units_and_an_end_holds_as_it_is_said(what, said):
    fault = Fault("--thickness", what, what)
    assert US.fault(fault) == Fault("--thickness", said, said)
    assert METRIC.fault(fault) == fault


def test_sentences_are_read_in_the_shops_units():
    text = "The mould weighs 82 kg; steel burns at 65-70 °C; 14 g of water on 1.05 m2; MFR 5 g/10min; lot M2."
    assert US.prose(text) == (
        "The mould weighs 181 lb; steel burns at 149-158 °F; 0.5 oz of water on 11.3 ft²; MFR 5 g/10min; lot M2."
    )


def test_a_scale_step_is_never_said_as_nothing():
    steps = [Shown(scale_step=kg).step() for kg in (1.0, 0.02, 0.0001)]
    assert steps == ["1 kg", "20 g", "0.1 g"]
    assert [Shown("us", scale_step=kg).step() for kg in (0.0226796, 0.02)] == ["0.05 lb", "0.71 oz"]


def test_a_mass_that_would_round_to_nothing_is_said_in_grams():
    assert Shown(scale_step=0.02).mass(0.0004) == "0.4 g"
    assert Shown(scale_step=0.02).mass(0.0) == "0.00 kg"


def test_pounds_have_the_digits_of_a_scale_in_pounds():
    assert Shown("us", scale_step=0.0226796).mass(11.7027) == "25.80 lb"
    assert not Shown("us", scale_step=0.0226796).two_scales
    assert US.two_scales


OUNCES = Shown("us", scale_step=0.5 * 0.028349523125)


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        (OUNCES.mass(3.0475736), "6 lb 11.5 oz"),
        (OUNCES.mass(0.2), "7.1 oz"),
        (OUNCES.mass(0.45358), "1 lb 0.0 oz"),
        (OUNCES.mass(-3.0475736), "-6 lb 11.5 oz"),
        (OUNCES.mass_band(band(3.0475736, 3.0, 3.1)), "6 lb 11.5 oz (6 lb 9.8 to 6 lb 13.3)"),
        (OUNCES.step(), "0.5 oz"),
        (OUNCES.prose("Weigh 3.05 kg of L-1"), "Weigh 6 lb 11.6 oz of L-1"),
        (OUNCES.prose("0.15 kg too much"), "5.3 oz too much"),
    ],
)
def test_a_scale_that_counts_in_pounds_and_ounces_is_told_both(said, wanted):
    """6 lb 11.5 oz are 107.5 oz of 0.028349523125 kg (NIST SP 811)."""
    assert said == wanted


def test_a_scale_in_grams_or_tenths_of_a_pound_counts_no_ounces():
    steps = (0.0001, 0.002, 0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1.0, 0.0226796, 0.00453592)
    assert not any(Shown("us", scale_step=step).in_ounces for step in steps)
    assert not OUNCES.two_scales


@given(st.floats(-50, 400), st.sampled_from(["C", "mm", "kg", "MPa", "bar", "K"]))
def test_the_order_of_two_numbers_is_kept(value, unit):
    assert US.convert(value + 1, unit) > US.convert(value, unit)


def test_a_band_in_brackets_after_a_quantity_is_read_in_the_same_unit():
    assert US.prose("about 64 °C (58 to 68), limit 45 °C") == "about 147 °F (136 to 154), limit 113 °F"
    assert US.prose("stands 3.5 mm proud; 30 L of steam") == "stands 0.14 in proud; 8 gal of steam"


def test_a_large_input_of_a_reason_is_written_out():
    given = {"name": "melt contact", "value": 3000.0, "low": 1000.0, "high": 10_000.0, "unit": "W/m2K"}
    assert input_words(given, METRIC) == "3000 W/m²K (1000 to 10000)"


def test_an_input_that_is_a_bare_number_is_shown_without_a_unit():
    """A document writes its unit as 1; beside the number that reads as another number."""
    given = {"name": "void share", "value": 0.5, "low": 0.4, "high": 0.65, "unit": "1"}
    assert input_words(given, METRIC) == "0.5 (0.4 to 0.65)"
