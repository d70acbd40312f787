"""Kernels may fuse a product with a sum and divide by a reciprocal: answers stay those of plain IEEE arithmetic.

Pinned: the numbers were made with the same kernels compiled without these freedoms, where they differed by 1e-12. They
hold to 1e-6 on any machine: the order of rounding may tip whether one step of many is refused.
"""

import pytest

from flatstock.heat.pile import Until, run
from flatstock.heat.stack import Arrival, cool_stack
from tests.heat.columns import hot_column, hot_mould, stack_place


def test_a_press_cycle_is_that_of_plain_arithmetic():
    end = run(
        hot_column(kind="on_off", cells=24), duration=14_400, until=Until(kind="coldest_above", level=165),
        close_after=30, activation=1e5,
    )  # fmt: skip
    found = [end.time, end.energy.heaters, end.dose]
    assert found == pytest.approx([808.9161324302363, 9903053.317973256, 284.90332969818604], rel=1e-6)


def test_a_stack_is_that_of_plain_arithmetic():
    moulds = [Arrival(hot_mould(cells=12), 2400.0 * i) for i in range(3)]
    stood = cool_stack(stack_place(), moulds, end=48 * 3600)
    pinned = [20164.140818820415, 20205.941247237708, 19694.72136955479]
    assert [stood.below(i, 45) for i in range(3)] == pytest.approx(pinned, rel=1e-6)
