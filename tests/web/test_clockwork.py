"""The app's clock."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

from flatstock.web.clockwork import Clockwork, anchored

NOON = datetime(2026, 3, 2, 12, 0, tzinfo=UTC)


class Hands:
    """A system clock and the time that passes, moved by hand."""

    def __init__(self) -> None:
        self.system, self.passed = NOON, 0.0

    def clockwork(self) -> Clockwork:
        return Clockwork(true=lambda: self.system, passing=lambda: self.passed)


def test_a_clock_goes_with_the_time_that_passes() -> None:
    hands = Hands()
    clock = hands.clockwork()
    hands.passed += 90
    assert clock.now() == NOON + timedelta(seconds=90)


def test_a_system_clock_that_is_set_moves_no_clock_and_is_noticed() -> None:
    hands = Hands()
    clock = hands.clockwork()
    hands.system += timedelta(hours=1)
    assert clock.now() == NOON
    assert clock.set_by() == timedelta(hours=1)


def test_a_practice_clock_goes_on_after_the_server_was_killed(tmp_path: Path) -> None:
    start = datetime(2026, 3, 2, 7, 0, tzinfo=UTC)
    assert anchored(tmp_path, start, true=lambda: NOON) == start
    later = NOON + timedelta(minutes=17)
    assert anchored(tmp_path, start, true=lambda: later) == start + timedelta(minutes=17)


def test_a_practice_clock_can_be_started_afresh(tmp_path: Path) -> None:
    start = datetime(2026, 3, 2, 7, 0, tzinfo=UTC)
    anchored(tmp_path, start, true=lambda: NOON)
    assert anchored(tmp_path, start, afresh=True, true=lambda: NOON + timedelta(days=2)) == start


def test_a_practice_clock_in_a_folder_that_holds_rubbish_starts_at_its_start(tmp_path: Path) -> None:
    (tmp_path / "practice-clock.json").write_text("{")
    start = datetime(2026, 3, 2, 7, 0, tzinfo=UTC)
    assert anchored(tmp_path, start, true=lambda: NOON) == start
