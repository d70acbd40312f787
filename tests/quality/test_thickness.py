"""Thickness maps: a published grid, the job's wedge, and what turning a sheet does to its directions."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from flatstock.errors import OutOfRange
from flatstock.quality.thickness import Point, in_press, map_of, shims


def a_grid(xs, ys, rows):
    return [
        Point(x=x / 1e3, y=y / 1e3, thickness=t / 1e3)
        for y, row in zip(ys, rows, strict=True)
        for x, t in zip(xs, row, strict=True)
    ]


STORY = a_grid((50, 600, 1150), (50, 400, 750),
               ((11.62, 11.80, 11.99), (11.74, 11.95, 12.10), (11.85, 12.04, 12.24)))  # fmt: skip


def test_a_three_by_three_grid_as_recomputed():
    """A grid of nine worked out apart: mean, range, plane (-0.380 and +0.137 mm/m), largest and rms residual, within 1e-4 mm."""
    found = map_of(a_grid((0, 500, 1000), (0, 500, 1000),
                          ((10.21, 10.05, 9.88), (10.32, 10.11, 9.94), (10.40, 10.18, 9.97))))  # fmt: skip
    got = [1e3 * v for v in (found.mean, found.most - found.least, found.residual, found.residual_rms)]
    assert got == pytest.approx([10.1178, 0.520, 0.0294, 0.02213], abs=1e-4)
    assert [1e3 * found.slope_x, 1e3 * found.slope_y] == pytest.approx([-0.380, 0.13667], abs=1e-4)


def test_a_sheet_in_tolerance_can_be_a_wedge():
    """Acceptance story 8: mean 11.93, 0.34 mm/m each way, 0.68 mm corner to corner in the sheet, residual to 0.03."""
    found = map_of(STORY)
    assert 1e3 * found.mean == pytest.approx(11.93, abs=0.01)
    assert [1e3 * found.slope_x, 1e3 * found.slope_y] == pytest.approx([0.34, 0.34], abs=0.01)
    assert 1e3 * found.residual <= 0.03
    assert 1e3 * (found.slope_x * 1.2 + found.slope_y * 0.8) == pytest.approx(0.68, abs=0.01)


def test_the_shims_of_that_wedge():
    """Acceptance story 8: 0.46 mm over 1350 and 0.33 mm over 950."""
    x, y = shims(map_of(STORY), length=1.350, width=0.950)
    assert [1e3 * x, 1e3 * y] == pytest.approx([0.46, 0.33], abs=0.01)


def test_a_sheet_turned_over_shows_its_wedge_the_other_way_across():
    there = map_of(in_press(STORY, length=1.2, width=0.8, turned_over=True, front_at_back=False))
    assert there.slope_x == pytest.approx(-map_of(STORY).slope_x)
    assert there.slope_y == pytest.approx(map_of(STORY).slope_y)


def test_a_sheet_turned_half_round_shows_both_slopes_the_other_way():
    there = map_of(in_press(STORY, length=1.2, width=0.8, turned_over=False, front_at_back=True))
    assert [there.slope_x, there.slope_y] == pytest.approx([-map_of(STORY).slope_x, -map_of(STORY).slope_y])


def test_a_thick_middle_is_a_bowl_and_no_wedge():
    found = map_of(
        a_grid((0, 500, 1000), (0, 400, 800), ((10, 10.1, 10), (10.1, 10.4, 10.1), (10, 10.1, 10)))
    )
    assert (found.wedge, found.bowl) == (pytest.approx(0, abs=1e-12), pytest.approx(0.4e-3))


@given(st.lists(st.tuples(st.floats(0, 1.2), st.floats(0, 0.8), st.floats(0.005, 0.02)), min_size=6, max_size=12, unique_by=lambda p: (round(p[0], 2), round(p[1], 2))))  # fmt: skip
def test_the_plane_is_the_one_of_least_squares(readings):
    """numpy's lstsq as the independent method."""
    matrix = np.array([[1, x, y] for x, y, _ in readings])
    centred = matrix[:, 1:] - matrix[:, 1:].mean(axis=0)
    if np.linalg.svd(centred, compute_uv=False)[1] < 0.05:
        return  # nearly one line: refused, or too badly posed to compare
    want = np.linalg.lstsq(matrix, np.array([t for *_, t in readings]), rcond=None)[0]
    found = map_of([Point(x=x, y=y, thickness=t) for x, y, t in readings])
    assert [found.slope_x, found.slope_y] == pytest.approx(want[1:], abs=1e-9)


def test_readings_in_one_line_make_no_map():
    with pytest.raises(OutOfRange, match="one line"):
        map_of([Point(x=x, y=x, thickness=0.01) for x in (0.1, 0.2, 0.3, 0.4)])
