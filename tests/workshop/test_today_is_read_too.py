"""`read` looks at what happened and what changed as at every other file, before a plan stumbles over it."""

from __future__ import annotations

from pathlib import Path

import pytest

from flatstock import demo
from flatstock.actions.workshops import read_workshop

PLAN = Path(__file__).parents[1] / "planning" / "on_the_way" / "plan.json"  #: of the demo
HEAD = "sheet;step;start;end;place;people\n"


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    demo.copy_to(tmp_path / "shop")
    return tmp_path / "shop"


def said(folder: Path) -> list[str]:
    return [fault.sentence() for fault in read_workshop(folder).faults]


def test_every_fault_of_changes_toml_is_named_by_its_line(shop):
    (shop / "changes.toml").write_text(
        '[[absences]]\nperson = "OP9"\n[[held]]\nlot = "L-9"\n[[absent]]\n', "utf-8"
    )
    assert said(shop) == [
        "changes.toml line 2, absences.1.person: nobody of this name: 'OP9'; the nearest is OP4.",
        "changes.toml line 4, held.1.lot: no such lot: 'L-9'; the nearest is L-2309.",
        "changes.toml line 5, absent: unknown key 'absent'; the nearest is absences.",
    ]


def test_done_csv_is_held_against_the_plan_that_is_kept(shop):
    (shop / "done.csv").write_text(
        HEAD + "O-104-92;weigh;2026-03-02T08:00;2026-03-02T08:04;SCALE60;OP4\n", "utf-8"
    )
    assert said(shop) == []  # no plan, nothing to hold it against
    (shop / "plan.json").write_text(PLAN.read_text("utf-8"), "utf-8")
    assert said(shop) == [
        "done.csv line 2, sheet: plan.json has no such sheet: 'O-104-92'; the nearest is O-104-02."
    ]


def test_a_plan_that_cannot_be_read_is_a_fault_of_the_folder(shop):
    (shop / "plan.json").write_text("{", "utf-8")
    assert len(said(shop)) == 1
    assert said(shop)[0].startswith("plan.json: can't be read")
    (shop / "plan.json").write_text('{"format": "flatstock.plan/1", "sheets": [3]}', "utf-8")
    assert said(shop) == ["plan.json: it is no flatstock.plan/1; make a new one: flatstock plan FOLDER."]


def test_what_happened_later_than_a_practice_workshop_stands_is_no_fault_for_read(shop):
    (shop / "done.csv").write_text(HEAD + "O-104-01;weigh;2026-03-04T08:00;;SCALE60;OP4\n", "utf-8")
    assert said(shop) == []


def test_what_was_done_may_stand_in_done_toml(shop):
    (shop / "plan.json").write_text(PLAN.read_text("utf-8"), "utf-8")
    (shop / "done.toml").write_text(
        '[[done]]\nsheet = "O-104-92"\nstep = "weigh"\nstart = 2026-03-02T08:00:00\n', "utf-8"
    )
    (only,) = said(shop)
    assert only.startswith("done.toml line 2, sheet: plan.json has no such sheet: 'O-104-92'")
