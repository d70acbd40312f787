"""The page of the week says too what is done at its time, but in another place or by others than before."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import httpx

from tests.web.conftest import TUESDAY, Served, demo_on_record


def test_a_step_at_its_time_in_another_place_or_by_others_is_told_with_its_reason(
    tmp_path: Path, serve: Callable[..., Served]
) -> None:
    folder = demo_on_record(tmp_path / "shop")
    plan = json.loads((folder / "plan.json").read_text("utf-8"))
    one = {
        "sheet": "O-104-01", "step": "move", "at": "2026-03-03T10:00:00+00:00",
        "places_before": ["CP1", "ST1", "LT1"], "people_before": ["OP1"],
        "places": ["CP1", "R1", "LT1"], "people": ["OP2"], "because": "OP1 is away",
    }  # fmt: skip
    new = {**one, "sheet": "O-104-02", "places_before": [], "people_before": []}
    plan["since"] = {"now": "2026-03-03T08:00:00+00:00", "moved": [], "changed": [one, new]}
    (folder / "plan.json").write_text(json.dumps(plan), "utf-8")
    text = httpx.get(f"{serve(folder, TUESDAY).address}/week", timeout=60).text
    assert "At its time, elsewhere or by others" in text
    assert "CP1 ST1 LT1, OP1" in text
    assert "CP1 R1 LT1, OP2" in text
    assert "not planned" in text
    assert "OP1 is away" in text
    assert "the plan stands as it was" not in text
