"""Where nobody can tell in time whether a week can be ended, the next week is looked at before the search gives up."""

from __future__ import annotations

from typing import Any

import pytest

from flatstock.actions import replans
from flatstock.errors import Fault
from flatstock.workshop.files import read


def test_a_week_that_nobody_can_decide_in_time_goes_on_into_the_next_and_gives_nothing_up(
    shop, now, monkeypatch
):
    """The mould in the hot press would be given up on a later way: not because the time was short."""
    tried: list[tuple[int, bool, int]] = []

    def planned(_: object, week: Any, **__: object) -> None:
        tried.append((week.clock.minute(now) < week.end, week.loose, week.end))
        raise replans.NotInTime(Fault("the plan", "no plan was found in the time given", "give it more"))

    monkeypatch.setattr(replans, "planned", planned)
    with pytest.raises(replans.NotInTime):
        replans.plan_from_now(read(shop), now=now, seconds=1)
    (_, loose, end), (_, later_loose, later_end), *search = tried
    assert (loose, later_loose) == (False, False)
    assert later_end > end
    assert search == [tried[1]]  # and what has more time looks there too
