"""What is on record of many sheets at once is what is on record of each."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime

import pytest

from flatstock.actions.board import Board
from flatstock.actions.kept import kept_plan
from flatstock.actions.living import begin_records
from flatstock.actions.many_sheets import records_of_sheets, sheets_weighed_of, weighed_for_sheets
from flatstock.actions.practice import noted_by
from flatstock.actions.sheet_record import record_of
from flatstock.actions.workshops import copy_demo, open_workshop
from flatstock.errors import Refused
from flatstock.records import open_store
from flatstock.records.sheets import Recipe
from flatstock.running.event import Event
from tests.web.conftest import PLAN

NOON = datetime(2026, 3, 2, 12, 0, tzinfo=UTC)
RIGHT = "T-1"  #: of no plan: the sheet that a weighing was really for


@pytest.fixture(scope="module")
def board(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Board]:
    """The demo's Monday until noon, with a weighing put right, one taken back, one brought back, one done twice
    and one that was told of the wrong sheet."""
    folder = tmp_path_factory.mktemp("many") / "shop"
    copy_demo(folder)
    (folder / "plan.json").write_bytes(PLAN.read_bytes())
    begin_records(folder, at=NOON.replace(hour=6), who=(), why="a test")
    plan = kept_plan(folder)
    assert plan is not None
    noted = noted_by(plan, NOON)
    weighed = [one for one in noted if one.kind == "weighed"]
    right = [
        told("corrected", weighed[0], mass_kg=9.5),
        told("undone", weighed[1]),
        told("undone", weighed[2]),
        replace(told("undone", told("undone", weighed[2])), sheet=weighed[2].sheet),
        replace(weighed[3], id="again", facts={**weighed[3].facts, "mass_kg": 0.5}, noted_at=NOON),
        replace(told("corrected", weighed[4]), sheet=RIGHT),
    ]
    made_by = {
        one["id"]: Recipe(name=one["order"], body={"order": one["order"], "plastic": one["plastic"]})
        for one in plan["sheets"][:2]
    }
    with open_store(folder) as store:
        store.append([*noted, *right], made_by)
        yield Board(store)


def told(kind: str, of: Event, **facts: float) -> Event:
    return replace(of, id=f"{kind} {of.id}", kind=kind, corrects=of.id, facts=facts, noted_at=NOON)


def sheets_in(board: Board) -> list[str]:
    return sorted({one.sheet for one in board.events(NOON) if one.sheet is not None})


def test_each_record_is_the_same_as_when_it_is_asked_for_alone(board: Board) -> None:
    folder = board.store.address.folder
    assert folder is not None
    shop, plan, names = open_workshop(folder), kept_plan(folder), sheets_in(board)
    alone = {name: record_of(name, board.of_sheet(name), plan, shop, board.frozen(name)) for name in names}
    together = records_of_sheets(names, board.store, plan, shop)
    assert len(names) > 5
    assert {name: replace(one, deviations=()) for name, one in together.items()} == {
        name: replace(one, deviations=()) for name, one in alone.items()
    }
    assert weighed_for_sheets(names, board.store) == {
        name: dict(one.lots) for name, one in alone.items() if one.weighed
    }


def test_a_sheet_that_nobody_knows_is_refused_among_others(board: Board) -> None:
    folder = board.store.address.folder
    assert folder is not None
    with pytest.raises(Refused, match="nothing is on record of 'X-1'"):
        records_of_sheets([*sheets_in(board)[:2], "X-1"], board.store, None, open_workshop(folder))


def test_an_order_has_its_planned_sheets_and_those_that_were_pressed_for_it_by_another_plan(
    board: Board,
) -> None:
    folder = board.store.address.folder
    assert folder is not None
    plan = kept_plan(folder)
    assert plan is not None
    first, second = plan["sheets"][:2]
    planned = {second["id"]: first["order"]}
    found = sheets_weighed_of([first["order"], "O-none"], planned, board.store)
    weighed = weighed_for_sheets([first["id"], second["id"]], board.store)
    assert found == {"O-none": {}, first["order"]: {one: weighed[one] for one in (second["id"], first["id"])}}


def test_a_weighing_corrected_to_another_sheet_is_on_record_of_that_one_alone(board: Board) -> None:
    told_of = next(
        one.corrects for one in board.events(NOON) if one.kind == "corrected" and one.sheet == RIGHT
    )
    first = next(one for one in board.events(NOON) if one.id == told_of)
    assert first.sheet is not None
    weighed = weighed_for_sheets([RIGHT, first.sheet], board.store)
    assert weighed[RIGHT] == {str(first.facts["lot"]): first.facts["mass_kg"]}
    assert first.facts["lot"] not in weighed.get(first.sheet, {})
    folder = board.store.address.folder
    assert folder is not None
    record = record_of(RIGHT, board.of_sheet(RIGHT), None, open_workshop(folder))
    assert [line.kind for line in record.way] == ["weighed"]
