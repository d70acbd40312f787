"""Every door to a weighing of a held lot: the database itself says no, whatever stands before it thinks.

Each test gives the door a workshop as it was read before the lot was held, so that no rule but the database's can
have refused. What the records refuse leaves nothing behind.
"""

from __future__ import annotations

import json
import shutil
from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from flatstock import demo
from flatstock.actions import living, lot_book, practice
from flatstock.actions.board import Board
from flatstock.actions.cards import card_of_order, make_card
from flatstock.actions.weighed import book_what_was_weighed, weighed_on_record
from flatstock.actions.workshops import open_workshop
from flatstock.errors import Refused
from flatstock.records import open_store
from flatstock.running.event import Event
from flatstock.workshop.shop import Workshop
from flatstock.workshop.today import Happened, Today
from tests.records.some import MONDAY

PLAN = Path(__file__).parents[1] / "web" / "demo_week.json"


class Shop:
    """A demo workshop on record, a sheet of its plan, and a lot of that sheet's recipe."""

    def __init__(self, folder: Path) -> None:
        demo.copy_to(folder)
        shutil.copy(PLAN, folder / "plan.json")
        living.begin_records(folder, at=MONDAY, who=["OP4"], why="begun")
        self.folder = folder
        self.plan: dict[str, Any] = json.loads(PLAN.read_text())
        self.before = open_workshop(folder)
        task = next(one for one in self.plan["tasks"] if one["step"] == "weigh")
        self.who, self.at = task["people"][0], datetime.fromisoformat(task["end"])
        sheet = next(one for one in self.plan["sheets"] if one["id"] == task["sheet"])
        self.sheet, self.lot, self.mass = sheet["id"], sheet["lots"][0]["lot"], sheet["lots"][0]["mass_kg"]
        self.order = sheet["order"]

    def hold(self, lot: str | None = None) -> None:
        lot_book.give_status(self.folder, lot or self.lot, "blocked", at=MONDAY, who=["OP4"], why="PVC found")

    def weighing(self, name: str = "w", **changes: Any) -> Event:
        facts = {"lot": self.lot, "mass_kg": self.mass}
        usual = {"at": self.at, "noted_at": self.at, "who": (self.who,), "sheet": self.sheet, "facts": facts}
        return Event(id=name, kind="weighed", **(usual | changes))

    def nothing_was_weighed(self) -> bool:
        now = open_workshop(self.folder)
        stock = {name: lot.mass for name, lot in self.before.lots.items()}
        return not weighed_on_record(now, [self.sheet]) and {n: x.mass for n, x in now.lots.items()} == stock


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    return Shop(tmp_path / "shop")


@pytest.fixture
def board(shop: Shop) -> Iterator[Board]:
    with open_store(shop.folder) as store:
        yield Board(store)


def test_a_tap_on_the_floor_is_let_in_while_the_lot_is_released_and_its_stock_goes_down(
    shop: Shop, board: Board
):
    answer = board.tap(shop.weighing(), shop.before, shop.plan, shop.at)
    assert answer.outcome == "accepted", answer.faults
    assert open_workshop(shop.folder).lots[shop.lot].mass == pytest.approx(
        shop.before.lots[shop.lot].mass - shop.mass
    )


def test_stock_comes_back_when_a_tap_is_undone(shop: Shop, board: Board):
    board.tap(shop.weighing(), shop.before, shop.plan, shop.at)
    later = shop.at + timedelta(seconds=5)
    off = Event(id="u", kind="undone", at=later, noted_at=later, who=(shop.who,), corrects="w")
    assert board.tap(off, shop.before, shop.plan, later).outcome == "accepted"
    assert shop.nothing_was_weighed()


def test_a_tap_on_the_floor_weighs_no_held_lot(shop: Shop, board: Board):
    shop.hold()
    answer = board.tap(shop.weighing(), shop.before, shop.plan, shop.at)
    assert answer.outcome == "refused"
    assert "a held lot is not weighed" in answer.faults[0].sentence()
    assert shop.nothing_was_weighed()


def test_a_tap_that_a_tablet_kept_while_it_had_no_network_and_tells_again_weighs_no_held_lot(
    shop: Shop, board: Board
):
    shop.hold()
    for _ in range(2):
        answer = board.tap(shop.weighing(), shop.before, shop.plan, shop.at + timedelta(hours=3))
        assert answer.outcome == "asks"  # where that charge is; what it told is kept, as no weighing
    assert shop.nothing_was_weighed()


def test_a_row_of_done_csv_weighs_no_held_lot(shop: Shop):
    shop.hold()
    with pytest.raises(Refused, match=r"done\.csv: .* a held lot is not weighed"):
        book_what_was_weighed(shop.before, shop.plan, told(shop))
    assert shop.nothing_was_weighed()


def told(shop: Shop) -> Today:
    row = Happened(
        sheet=shop.sheet,
        step="weigh",
        start=shop.at - timedelta(minutes=5),
        end=shop.at,
        places=(),
        people=(shop.who,),
        where="done.csv line 2",
    )
    return Today(done=(row,))


def test_a_row_of_done_csv_is_booked_once_while_its_lots_are_released(shop: Shop):
    assert book_what_was_weighed(shop.before, shop.plan, told(shop)) == [shop.sheet]
    assert book_what_was_weighed(shop.before, shop.plan, told(shop)) == []
    after = open_workshop(shop.folder).lots[shop.lot].mass
    assert after == pytest.approx(shop.before.lots[shop.lot].mass - shop.mass)


def test_a_plan_that_was_made_before_weighs_no_held_lot(shop: Shop):
    shop.hold()
    with open_store(shop.folder) as store, pytest.raises(Refused, match="a held lot is not weighed"):
        store.append(practice.noted_by(shop.plan, shop.at))
    assert shop.nothing_was_weighed()


def test_a_recipe_that_names_it_weighs_no_held_lot(shop: Shop):
    shop.hold()
    now: Workshop = open_workshop(shop.folder)
    order = replace(now.orders[shop.order], lots={shop.lot: 1.0})
    with pytest.raises(Refused, match=shop.lot):
        make_card(replace(now, orders={**now.orders, shop.order: order}), card_of_order(order))
    with open_store(shop.folder) as store, pytest.raises(Refused, match="a held lot is not weighed"):
        store.append([shop.weighing("by recipe", facts={"lot": shop.lot, "mass_kg": 0.5, "target_kg": 0.5})])
    assert shop.nothing_was_weighed()


def test_regrind_of_a_held_lot_is_not_weighed(shop: Shop, board: Board):
    child = next(one for one in shop.before.lots.values() if one.parents and one.status == "released")
    shop.hold(child.parents[0])
    facts = {"lot": child.id, "mass_kg": 1.0}
    with pytest.raises(Refused, match="a held lot is not weighed"):
        board.store.append([shop.weighing(facts=facts)])
    assert shop.nothing_was_weighed()


def test_a_correction_of_another_weighing_weighs_no_held_lot(shop: Shop, board: Board):
    other = next(n for n, x in shop.before.lots.items() if n != shop.lot and x.status == "released")
    shop.hold(other)
    board.store.append([shop.weighing()])
    wrong = Event(
        id="c",
        kind="corrected",
        at=shop.at,
        noted_at=shop.at,
        facts={"lot": other},
        corrects="w",
        why="the other",
    )
    with pytest.raises(Refused, match="a held lot is not weighed"):
        board.store.append([wrong])
    assert weighed_on_record(open_workshop(shop.folder), [shop.sheet]) == {shop.sheet: {shop.lot: shop.mass}}
