"""The least rectangle for the squares of side 1 to n, by the room's own model.

Least areas: Korf, Moffitt & Pollack 2010, Annals of Operations Research 179, and Huang & Korf 2013, JAIR 46, as in the
list of public instances.
"""

from __future__ import annotations

import time

import pytest

from benchmarks.square_rows import LEAST_AREAS, least_rectangle


@pytest.mark.parametrize("count", [4, 6])
def test_the_least_rectangle_of_a_few_squares_is_found_and_proven(count):
    assert least_rectangle(count, until=time.monotonic() + 300) == (LEAST_AREAS[count], LEAST_AREAS[count])


def test_many_squares_fit_into_little_more_than_the_least_rectangle_known():
    """From above: 16 squares, of which a proof from below takes longer than anybody waits."""
    area, bound = least_rectangle(16, until=time.monotonic() + 10)
    assert area is not None
    assert LEAST_AREAS[16] <= area <= 1.1 * LEAST_AREAS[16]
    assert sum(side * side for side in range(1, 17)) <= bound <= LEAST_AREAS[16]
