"""The app's sign of life: from when to when nobody watched the floor."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from flatstock.actions.workshops import copy_demo
from flatstock.running.silence import Silence
from flatstock.web.awake import FILE, Awake
from flatstock.web.clockwork import Clockwork
from flatstock.web.workplace import Workplace

NOW = datetime(2026, 3, 2, 8, 30, tzinfo=UTC)
Start = Callable[[float], Awake]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    copy_demo(tmp_path / "shop")
    return tmp_path / "shop"


@pytest.fixture
def awake(folder: Path) -> Iterator[Start]:
    """The sign of an app that is started so many minutes after `NOW`, where its clock stands still.

    Its records are given back at the end.
    """
    opened: list[Workplace] = []

    def started(minutes: float) -> Awake:
        moment = NOW + timedelta(minutes=minutes)
        opened.append(Workplace(folder, moment, Clockwork(moment, passing=lambda: 0.0)))
        return Awake(opened[-1])

    yield started
    for place in opened:
        place.close()


def test_a_first_start_has_no_silence_before_it(awake: Start) -> None:
    assert awake(0).silences() == ()


def test_a_stop_is_a_silence_from_the_last_sign_to_the_next_start(awake: Start) -> None:
    awake(0).sign()
    assert awake(9).silences() == (Silence(since=NOW, until=NOW + timedelta(minutes=9)),)


def test_a_restart_within_a_minute_is_none(awake: Start) -> None:
    awake(0).sign()
    assert awake(0.9).silences() == ()


def test_a_silence_is_remembered_over_the_next_stop(awake: Start) -> None:
    awake(0).sign()
    second = awake(9)
    second.silences()
    second.sign()
    assert [one.since for one in awake(30).silences()] == [NOW, NOW + timedelta(minutes=9)]


def test_a_clock_that_stands_before_the_last_sign_tells_of_none(awake: Start) -> None:
    awake(0).sign()
    assert awake(-60).silences() == ()


@pytest.mark.parametrize("text", ["", "{", "[]", '{"awake": 5, "silences": []}', '{"awake": "yesterday"}'])
def test_a_file_that_cannot_be_read_tells_of_none(folder: Path, awake: Start, text: str) -> None:
    (folder / FILE).write_text(text, encoding="utf-8")
    assert awake(9).silences() == ()


def test_a_thread_gives_the_sign_until_it_is_ended(folder: Path, awake: Start) -> None:
    one = awake(0)
    one.begin()
    assert (folder / FILE).is_file()
    one.end()
    assert not one._thread.is_alive()  # type: ignore[union-attr]
