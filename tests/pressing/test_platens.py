"""Where empty platens get to: the same law as how long they take, read the other way."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flatstock.pressing.platens import temperature_after, time_between
from flatstock.workshop.shop import Workshop


@given(start=st.floats(20.0, 150.0), rise=st.floats(1.0, 60.0))
def test_after_the_time_between_the_platens_are_where_they_were_going(
    shop: Workshop, start: float, rise: float
) -> None:
    press = shop.hot_presses["HP1"]
    seconds = time_between(press, start, start + rise, room=20.0)
    there = temperature_after(press, start, seconds, heaters=True, room=20.0)
    assert there == pytest.approx(start + rise, abs=0.01)


@given(start=st.floats(60.0, 220.0), seconds=st.floats(0.0, 1e5))
def test_without_heat_they_cool_towards_the_room_and_never_below(
    shop: Workshop, start: float, seconds: float
) -> None:
    press = shop.hot_presses["HP1"]
    after = temperature_after(press, start, seconds, heaters=False, room=20.0)
    assert 20.0 <= after <= start
    assert temperature_after(press, start, seconds + 60, heaters=False, room=20.0) <= after
