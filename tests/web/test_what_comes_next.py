"""What a press gets next, and when: the moment of its loading, not of the weighing that its button offers."""

from __future__ import annotations

import html
import re
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import httpx

from flatstock.actions.moved import Moved, moves_ahead
from tests.web.conftest import Served, demo_folder

BEFORE = datetime(2026, 3, 2, 7, 20, tzinfo=UTC)
LATE = datetime(2026, 3, 2, 7, 50, tzinfo=UTC)


def floor(folder: Path, serve: Callable[..., Served], now: datetime) -> str:
    text = html.unescape(httpx.get(f"{serve(folder, now).address}/floor", timeout=60).text)
    return " ".join(re.sub("<[^>]*>", " ", text).split())


def test_a_press_says_when_it_is_loaded_while_its_charge_is_not_weighed_yet(
    tmp_path: Path, serve: Callable[..., Served]
) -> None:
    """The demo's plan weighs O-104-01 at 07:35 and loads it at 08:10, O-104-02 at 07:43 and 09:27."""
    said = floor(demo_folder(tmp_path / "shop"), serve, BEFORE)
    assert "next 08:10 O-104-01 HDPE dark 12 mm Weigh 11.74 kg of L-2301" in said
    assert "To load after that 09:27 O-104-02" in said


def test_what_is_late_is_named(tmp_path: Path, serve: Callable[..., Served]) -> None:
    said = floor(demo_folder(tmp_path / "shop"), serve, LATE)
    assert "next 08:10 weighing 15 min late O-104-01" in said


def test_lots_of_one_charge_are_weighed_one_after_another(
    tmp_path: Path, serve: Callable[..., Served]
) -> None:
    said = floor(demo_folder(tmp_path / "shop"), serve, BEFORE)
    assert "Weigh 15.82 kg of L-2302, then 1 kg of L-2308, 0.8 kg of L-2309" in said


def test_what_moved_is_told_of_what_is_still_to_come_and_of_loadings_first() -> None:
    def moved(sheet: str, step: str, to: datetime | None) -> Moved:
        return Moved(sheet=sheet, step=step, before=BEFORE, to=to, because="")

    past, weighed = moved("A", "load", BEFORE), moved("B", "weigh", LATE)
    loaded, gone = moved("C", "load", LATE), moved("D", "demould", None)
    now = datetime(2026, 3, 2, 7, 30, tzinfo=UTC)
    assert moves_ahead((past, weighed, loaded, gone), now) == [gone, loaded, weighed]
