"""A lot that is held while tablets are away: what they kept and tell again is refused by the records, once and for all."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path

import httpx
import pytest
from playwright.sync_api import Page, expect

from flatstock.actions.lot_book import give_status
from tests.web.conftest import MONDAY, Served, demo_folder


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return demo_folder(tmp_path / "shop")


def test_a_weighing_that_is_replayed_after_its_lot_was_held(
    folder: Path, serve: Callable[..., Served]
) -> None:
    served = serve(folder)
    plan = json.loads((folder / "plan.json").read_text())
    sheet = plan["sheets"][0]
    lot, mass = sheet["lots"][0]["lot"], sheet["lots"][0]["mass_kg"]
    at = MONDAY.isoformat()
    tap = {"id": "w", "at": at, "noted_at": at, "kind": "weighed", "who": ["OP1"], "sheet": sheet["id"]}
    tap["facts"] = {"lot": lot, "mass_kg": mass}
    note = {"id": "n", "at": at, "noted_at": at, "kind": "note", "facts": {"text": "after it"}}
    before = served.app.state.place.shop().lots[lot].mass
    give_status(folder, lot, "blocked", at=MONDAY, who=["OP4"], why="PVC found")
    for _ in range(2):
        refused, kept = httpx.post(f"{served.address}/floor/taps", json=[tap, note], timeout=60).json()
        assert refused["outcome"] == "refused"
        assert lot in " ".join(refused["faults"]) or "held lot" in " ".join(refused["faults"])
        assert kept["outcome"] == "accepted"  # what was queued behind it is kept all the same
    assert served.app.state.place.shop().lots[lot].mass == before
    assert served.app.state.place.shop().lots[lot].status == "blocked"


def test_an_old_sheet_keeps_its_record_when_the_shops_settings_change(
    folder: Path, serve: Callable[..., Served]
) -> None:
    served = serve(folder)
    plan = json.loads((folder / "plan.json").read_text())
    sheet = plan["sheets"][0]
    at = MONDAY.isoformat()
    tap = {"id": "w", "at": at, "noted_at": at, "kind": "weighed", "who": ["OP1"], "sheet": sheet["id"]}
    tap["facts"] = {"lot": sheet["lots"][0]["lot"], "mass_kg": sheet["lots"][0]["mass_kg"]}
    (answer,) = httpx.post(f"{served.address}/floor/taps", json=[tap], timeout=60).json()
    assert answer["outcome"] == "accepted", answer

    def record() -> tuple[object, ...]:
        work, shop = served.app.state.floor, served.app.state.place.shop()
        from flatstock.actions.sheet_record import record_of

        board = work.board()
        found = record_of(
            sheet["id"], board.of_sheet(sheet["id"]), work.plan(), shop, board.frozen(sheet["id"])
        )
        return (
            found.set_point_C,
            found.length_mm,
            found.dwell_planned_min,
            found.frame,
            found.shop,
            found.recipe,
        )

    before = record()
    assert before[0] == sheet["set_point_C"]
    for one in plan["sheets"]:
        one["set_point_C"], one["dwell_min"], one["frame"] = 1.0, 1.0, "another"
    (folder / "plan.json").write_text(json.dumps(plan))
    text = (folder / "shop.toml").read_text()
    form = {"name": "shop", "text": text.replace("Lower Sluice", "Another")}
    assert httpx.post(f"{served.address}/shop/files", data=form, timeout=60).status_code == 303
    assert served.app.state.place.shop().name.startswith("Another")
    assert record() == before


def test_a_weighing_before_the_hold_is_no_weighing_but_a_recall_finds_its_sheet(
    folder: Path, serve: Callable[..., Served]
) -> None:
    served = serve(folder)
    plan = json.loads((folder / "plan.json").read_text())
    sheet = plan["sheets"][0]
    lot, mass = sheet["lots"][0]["lot"], sheet["lots"][0]["mass_kg"]
    place = served.app.state.place
    before = place.shop().lots[lot].mass
    give_status(folder, lot, "released", at=MONDAY - timedelta(days=3), who=["OP4"], why="tests are in")
    weighed = (MONDAY - timedelta(hours=1)).isoformat()
    give_status(folder, lot, "blocked", at=MONDAY - timedelta(minutes=30), who=["OP4"], why="PVC found")
    tap = {
        "id": "w",
        "at": weighed,
        "noted_at": weighed,
        "kind": "weighed",
        "who": ["OP1"],
        "sheet": sheet["id"],
    }
    tap["facts"] = {"lot": lot, "mass_kg": mass}
    for _ in range(2):
        (answer,) = httpx.post(f"{served.address}/floor/taps", json=[tap], timeout=60).json()
        assert answer["outcome"] == "asks"
        assert f"kept as a note of {sheet['id']}" in " ".join(answer["faults"])
    assert place.shop().lots[lot].mass == before
    found = httpx.get(f"{served.address}/store/lot/{lot}/trace", timeout=60).text
    assert f"/record/{sheet['id']}" in found
    notes = [e for _, e in served.app.state.floor.board().store.events() if e.kind == "note"]
    assert len(notes) == 1


@pytest.fixture
def told_late(folder: Path, serve: Callable[..., Served]) -> tuple[Served, str]:
    """A weighing of an hour ago that is told now, half an hour after its lot was blocked; and its sheet."""
    served = serve(folder)
    sheet = json.loads((folder / "plan.json").read_text())["sheets"][0]
    lot, mass = sheet["lots"][0]["lot"], sheet["lots"][0]["mass_kg"]
    give_status(folder, lot, "released", at=MONDAY - timedelta(days=3), who=["OP4"], why="tests are in")
    give_status(folder, lot, "blocked", at=MONDAY - timedelta(minutes=30), who=["OP4"], why="PVC found")
    at = (MONDAY - timedelta(hours=1)).isoformat()
    tap = {"id": "w", "at": at, "noted_at": at, "kind": "weighed", "who": ["OP1"], "sheet": sheet["id"],
           "facts": {"lot": lot, "mass_kg": mass}}  # fmt: skip
    httpx.post(f"{served.address}/floor/taps", json=[tap], timeout=60).raise_for_status()
    return served, sheet["id"]


@pytest.mark.parametrize(
    ("button", "kind"),
    [("Found, and set aside", "note"), ("is given up", "scrapped"), ("It was never weighed", "undone")],
)
def test_the_board_asks_where_the_charge_of_a_held_lot_is_until_somebody_answers(
    page: Page, told_late: tuple[Served, str], button: str, kind: str
) -> None:
    served, sheet = told_late
    page.goto(served.address)
    asked = page.locator(".questions")
    expect(asked).to_contain_text(f"for {sheet} at 08:00 and told only after")
    asked.get_by_role("button", name=button).click()
    if kind == "scrapped":
        page.get_by_role("button", name="its lot is held", exact=True).click()
    page.locator("#hands-people button", has_text="OP1").click()
    page.locator("#hands-done").click()
    expect(asked).to_have_count(0)
    assert [e.kind for _, e in served.app.state.floor.board().store.events()][-1] == kind
