"""Where on a sheet, and whether three wedges agree."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flatstock.errors import OutOfRange
from flatstock.quality.faults.places import cells_of, place_finds, place_words
from flatstock.quality.faults.wedges import same_side
from flatstock.quality.thickness import Point, ThicknessMap, map_of

XS, YS = (0.05, 0.6, 1.15), (0.05, 0.4, 0.75)
STORY_8 = (11.62, 11.80, 11.99, 11.74, 11.95, 12.10, 11.85, 12.04, 12.24)


def of(readings: tuple[float, ...]) -> ThicknessMap:
    spots = [(x, y) for y in YS for x in XS]
    return map_of([Point(x=x, y=y, thickness=t / 1e3) for (x, y), t in zip(spots, readings, strict=True)])


def turned(readings: tuple[float, ...]) -> tuple[float, ...]:
    return readings[::-1]


def test_story_8_three_sheets_alike_agree() -> None:
    assert same_side([of(STORY_8)] * 3) is True


def test_story_8_a_sheet_that_rises_the_other_way_disagrees() -> None:
    assert same_side([of(STORY_8), of(turned(STORY_8)), of(STORY_8)]) is False


def test_two_sheets_say_nothing_yet() -> None:
    assert same_side([of(STORY_8)] * 2) is None


def test_only_the_last_three_count() -> None:
    assert same_side([of(turned(STORY_8)), *[of(STORY_8)] * 3]) is True


def test_a_flat_sheet_among_them_is_no_wedge_of_the_press() -> None:
    assert same_side([of(STORY_8), of((12.0,) * 9), of(STORY_8)]) is False


@given(st.floats(0, 6.283), st.floats(0.2e-3, 2e-3), st.floats(0, 0.7))
def test_wedges_within_45_degrees_agree_whichever_way_they_point(
    angle: float, slope: float, off: float
) -> None:
    from math import cos, sin

    def plane(at: float) -> ThicknessMap:
        return map_of(
            [Point(x=x, y=y, thickness=0.012 + slope * (cos(at) * x + sin(at) * y)) for x in XS for y in YS]
        )

    assert same_side([plane(angle), plane(angle + off), plane(angle)]) is True


def test_fields_are_said_in_words() -> None:
    assert place_words(cells_of("9 8 7")) == "along the back"
    assert place_words(cells_of("1 9")) == "front left, back right"


def test_a_field_that_no_sheet_has_is_refused() -> None:
    with pytest.raises(OutOfRange, match="1 to 9"):
        cells_of("1 12")


def test_the_rim_and_one_zone_answer_where_it_is_raw() -> None:
    assert [one.answer for one in place_finds((1, 2, 3, 4, 6, 7, 8, 9))] == ["yes"]
    assert [one.answer for one in place_finds((3, 6))] == ["no"]
    assert place_finds(range(1, 10)) == ()
