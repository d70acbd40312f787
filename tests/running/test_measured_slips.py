"""A number of a measured sheet that nobody can have meant is refused, told at once or as a correction.

The charge, the thickness and the frame are the demo's: 11.74 kg for 12 mm in a frame of 1250 by 840 mm (job.md 4.6).
"""

import pytest

from tests.running.morning import an_event, way_to
from tests.running.test_taps import refused

GOOD = {"t1_mm": 11.62, "mass_kg": 11.2, "length_mm": 1222, "width_mm": 822, "bow_mm": 2, "bow_over_mm": 1000}


def measured(**facts):
    return an_event("measured", "15:00", sheet="S-1", who=("OP2",), facts={**GOOD, **facts})


def test_a_sheet_as_it_comes_out_is_noted(tap):
    assert tap(measured(), way_to("demoulded")).outcome == "accepted"


def test_a_sheet_that_was_sawn_into_its_trimmed_size_is_noted(tap):
    sawn = measured(mass_kg=10.9, length_mm=1200, width_mm=800)
    assert tap(sawn, way_to("demoulded")).outcome == "accepted"


@pytest.mark.parametrize(
    ("facts", "said"),
    [
        ({"mass_kg": 112}, "112 kg, of a charge of 11.74 kg"),
        ({"mass_kg": 1.12}, "1.12 kg, of a charge of 11.74 kg"),
        ({"length_mm": 12220}, "12220 mm, from a frame of 1250 by 840 mm"),
        ({"width_mm": 82.2}, "82.2 mm, from a frame of 1250 by 840 mm"),
        ({"t1_mm": 116.2}, "116.2 mm at point 1, where 12 mm is wanted"),
        ({"bow_mm": 2000}, "a gap of 2000 mm under 1000 mm of straightedge"),
    ],
)
def test_a_slip_of_the_decimal_sign_is_refused(tap, facts, said):
    answer = refused(tap(measured(**facts), way_to("demoulded")))
    assert said in answer
    assert "a slip of the decimal sign?" in answer


def test_a_correction_with_a_slip_is_refused_too(tap):
    first = measured()
    slip = an_event(
        "corrected", "15:00", noted="15:20", sheet="S-1", who=("OP2",), corrects=first.id,
        why="wrong number, says OP1", facts={"mass_kg": 112},
    )  # fmt: skip
    assert "112 kg, of a charge of 11.74 kg" in refused(tap(slip, [*way_to("demoulded"), first]))


def test_a_weighing_is_not_corrected_to_another_decimal_place(tap):
    weighed = next(one for one in way_to("loaded") if one.kind == "weighed")

    def correction(mass):
        return an_event(
            "corrected", "08:25", noted="08:50", sheet="S-1", who=("OP2",), corrects=weighed.id,
            why="wrong number, says OP1", facts={"mass_kg": mass},
        )  # fmt: skip

    assert tap(correction(11.94), way_to("loaded")).outcome == "accepted"
    assert "119.4 kg, where 11.74 kg is wanted" in refused(tap(correction(119.4), way_to("loaded")))


def test_a_reading_of_platens_is_none_that_no_press_has(tap):
    read = an_event("platen_read", "08:20", place="HP1", who=("OP1",), facts={"temperature_C": 1.83})
    assert "1.83 °C, where 5 to 300 °C is expected" in refused(tap(read, way_to("heating_on")))
