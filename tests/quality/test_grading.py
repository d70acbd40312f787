"""Grades, size, bow and what burns."""

from dataclasses import replace
from itertools import pairwise

import pytest

from flatstock.quality.grading import Measured, grade_of, grades, out_of_square
from flatstock.quality.thickness import Point, map_of
from flatstock.quality.touching import burn_caution


def a_sheet(wedge=0.0, **more):
    points = [
        Point(x=x, y=y, thickness=0.012 + wedge * (x - 0.5)) for x in (0, 0.5, 1) for y in (0, 0.4, 0.8)
    ]
    return Measured(nominal=0.012, thickness=map_of(points), **more)


def test_diagonals_of_a_sheared_sheet():
    """By Pythagoras: 1200 x 800 sheared by 4 mm, 6.656 mm."""
    assert 1e3 * out_of_square(length=1.2, width=0.8, sheared=0.004) == pytest.approx(6.656, abs=1e-3)


def test_a_flat_even_sheet_is_of_the_best_grade():
    assert grade_of(a_sheet(bow=0.001, size_off=0.0005, faults=0)).grade == "A"


def test_a_wedge_costs_a_grade_and_says_so():
    answer = grade_of(a_sheet(wedge=0.0006))
    assert (answer.grade, answer.because) == ("B", ("not A: wedge 0.60 mm, 0.40 allowed",))


def test_a_sheet_too_thick_by_two_millimetres_says_so_for_each_grade_it_misses():
    """By hand from the grades on file, of 10 mm: 0.16 + 0.06 x 10 = 0.76 mm, 0.4 + 0.1 x 10 = 1.40 mm."""
    answer = grade_of(replace(a_sheet(), nominal=0.010))
    off = "a point is 2.00 mm off"
    assert (answer.grade, answer.because) == (
        "C",
        (f"not A: {off}, 0.76 allowed", f"not B: {off}, 1.40 allowed"),
    )


def test_what_was_not_measured_is_named():
    assert grade_of(a_sheet()).not_measured == ("bow", "size", "faults")


def test_a_sheet_outside_every_grade_has_none():
    answer = grade_of(a_sheet(bow=0.05))
    assert answer.grade is None
    assert len(answer.because) == 3


def test_a_better_grade_never_allows_more():
    for better, worse in pairwise(grades()):
        for limit in ("thickness_fixed", "wedge", "bow", "size", "faults"):
            fine, coarse = getattr(better, limit), getattr(worse, limit)
            assert coarse is None or fine <= coarse


@pytest.mark.parametrize(
    ("steel", "seconds"), [(65, 0.0), (55, 10), (51, 60), (48, 600), (43, 28800), (42, None)]
)
def test_the_recalled_thresholds_of_bare_metal(steel, seconds):
    """ISO 13732-1, from memory, as the safety document recalls it."""
    assert burn_caution(steel).seconds == (None if seconds is None else pytest.approx(seconds))


def test_hotter_steel_never_gives_a_hand_longer():
    given = [burn_caution(t / 4).seconds for t in range(43 * 4, 80 * 4)]
    assert all(a >= b for a, b in pairwise(given))
