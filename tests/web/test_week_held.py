"""The week says which of its sheets wait for a lot that is held since it was planned."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path

import httpx

from flatstock.actions.lot_book import give_status
from flatstock.running.event import Event
from tests.web.conftest import MONDAY, Served, demo_on_record


def week_of(served: Served) -> str:
    return " ".join(httpx.get(f"{served.address}/week", timeout=60).text.split())


def test_sheets_of_a_lot_that_is_held_are_named_until_they_are_in_a_press(
    tmp_path: Path, serve: Callable[..., Served]
) -> None:
    folder = demo_on_record(tmp_path / "shop")
    served = serve(folder)
    assert "be pressed as planned" not in week_of(served)
    laid = Event(id="l", at=MONDAY - timedelta(hours=1), noted_at=MONDAY, kind="loaded", who=("OP1", "OP2"),
                 sheet="O-102-01", place="HP1")  # fmt: skip
    served.app.state.floor.board().store.append([laid])
    give_status(folder, "L-2303", "quarantine", at=MONDAY, who=["OP4"], why="strangers in it")
    said = re.sub("<[^>]*>", "", week_of(served)).replace("&#39;", "'")
    assert "O-102-02, O-102-03 can't be pressed as planned" in said
    assert "lot L-2303" in said
