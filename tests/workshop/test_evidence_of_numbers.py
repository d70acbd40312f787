"""What stands behind a plain number: measured where a file states it, assumed where it says so or is silent."""

from __future__ import annotations

import pytest

from flatstock.workshop.files import read


def test_a_bare_measure_counts_as_measured(folder):
    assert read(folder).frames["F06-1"].evidence["cavity_length"] == "measured"


def test_a_measure_may_say_that_nobody_has_measured_it(edit):
    shop = read(
        edit("shop.toml", "cavity_length_mm = 1250", 'cavity_length_mm = { value = 1250, kind = "assumed" }')
    )
    frame = shop.frames["F06-1"]
    assert frame.cavity_length == pytest.approx(1.25)
    assert (frame.evidence["cavity_length"], frame.evidence["cavity_width"]) == ("assumed", "measured")


def test_the_number_in_a_table_may_have_another_unit(edit):
    shop = read(edit("shop.toml", "step_g = 20", 'step_oz = { value = "1/2", kind = "assumed" }'))
    scale = next(s for s in shop.scales if s.id == "SCALE60")
    assert scale.step == pytest.approx(0.0141747, rel=1e-4)
    assert scale.evidence["step"] == "assumed"


def test_a_default_is_assumed(folder):
    assert read(folder).practice.evidence["breathe_time"] == "assumed"


def test_a_band_where_none_counts_is_a_fault(fault):
    said = fault("shop.toml", "step_g = 20", "step_g = { value = 20, low = 10, high = 30 }")
    assert "this number has no band, so low and high would count for nothing" in said
    assert "scales.SCALE60.step_g" in said


def test_a_kind_that_is_none_is_a_fault(fault):
    assert "'guess' is no kind of evidence" in fault(
        "shop.toml", "step_g = 20", 'step_g = { value = 20, kind = "guess" }'
    )
