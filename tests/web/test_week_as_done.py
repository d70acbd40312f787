"""What was done as no plan may have it stands folded under a week's notes, by the shop's clock."""

from __future__ import annotations

import html
import json
from collections.abc import Callable
from pathlib import Path

import httpx

from tests.web.conftest import MONDAY, Served, demo_folder

NOTE = "O-104: The charge holds 2.1 % PP."
DONE = [
    "As it was done: BENCH at 2026-03-02T08:09:00+00:00: O-104-01 is there until 2026-03-02T08:12:00+00:00, 1 can be.",
    "As it was done: O-104-03 transfer (O-104-03-transfer) at 2026-03-03T10:28:00+00:00: it begins 64 min after dwell.",
]


def test_what_no_plan_may_do_is_folded_and_said_by_the_clock(
    tmp_path: Path, serve: Callable[..., Served]
) -> None:
    folder = demo_folder(tmp_path / "shop")
    path = folder / "plan.json"
    path.write_text(json.dumps({**json.loads(path.read_text()), "warnings": [NOTE, *DONE]}))
    text = html.unescape(httpx.get(f"{serve(folder, MONDAY).address}/week", timeout=60).text)
    notes, _, folded = text.partition('<details class="notes">')
    assert NOTE in notes
    assert "As it was done" not in text
    assert "2 things noted that no plan may do" in folded
    assert "<li>BENCH at 08:09: O-104-01 is there until 08:12, 1 can be.</li>" in folded
    assert "<li>O-104-03 transfer at Tue 10:28: it begins 64 min after dwell.</li>" in folded
