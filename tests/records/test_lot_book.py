"""A lot is taken in, held, released and counted by one action each, with who, when and why."""

from pathlib import Path

import pytest

from flatstock import demo
from flatstock.actions import lot_book
from flatstock.actions.living import hand_changes
from flatstock.actions.workshops import open_workshop
from flatstock.errors import Refused
from flatstock.records import open_store
from tests.records.some import MONDAY, a_weighing


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    folder = tmp_path / "shop"
    demo.copy_to(folder)
    return folder


def enter(shop: Path, **said: str) -> tuple[str, ...]:
    usual = {"id": "L-9", "plastic": "hdpe", "mass_kg": "12,5", "status": "quarantine", "origin": "crates"}
    faults = lot_book.enter_lot(shop, usual | said, at=MONDAY, who=["OP4"], why="brought by the school")
    return tuple(fault.sentence() for fault in faults)


def test_a_new_lot_is_on_record_in_its_file_and_in_what_commands_read(shop: Path):
    assert enter(shop) == ()
    assert open_workshop(shop).lots["L-9"].mass == 12.5
    assert "L-9" in (shop / "lots.csv").read_text()
    (entry,) = lot_book.lot_history(shop, "L-9")
    assert (entry.status, entry.who, entry.why) == ("quarantine", ("OP4",), "brought by the school")
    assert hand_changes(shop) == []


def test_a_lot_with_a_fault_is_not_taken_in(shop: Path):
    before = (shop / "lots.csv").read_bytes()
    assert any("mass_kg" in fault for fault in enter(shop, mass_kg="-3"))
    assert (shop / "lots.csv").read_bytes() == before
    assert "L-9" not in open_workshop(shop).lots


def test_a_name_that_is_taken_is_no_new_lot(shop: Path):
    assert "called L-2301 already" in enter(shop, id="L-2301")[0]


def test_a_held_lot_is_not_weighed_until_it_is_released_again(shop: Path):
    lot_book.give_status(shop, "L-2301", "quarantine", at=MONDAY, who=["OP4"], why="smells of solvent")
    with open_store(shop) as store:
        with pytest.raises(Refused, match="a held lot is not weighed"):
            store.append([a_weighing(lot="L-2301")])
        lot_book.give_status(shop, "L-2301", "released", at=MONDAY, who=["OP4"], why="aired, looked at")
        store.append([a_weighing(lot="L-2301")])
    assert [one.status for one in lot_book.lot_history(shop, "L-2301")] == [
        "released",
        "quarantine",
        "released",
    ]


@pytest.mark.parametrize(
    ("who", "why", "said"), [([], "damp", "nobody says so"), (["OP4"], " ", "no reason is given")]
)
def test_a_hold_needs_somebody_and_a_reason(shop: Path, who: list[str], why: str, said: str):
    with pytest.raises(Refused, match=said):
        lot_book.give_status(shop, "L-2301", "blocked", at=MONDAY, who=who, why=why)


def test_a_release_that_a_rule_forbids_is_refused_whoever_gives_it(shop: Path):
    held = enter(shop, id="L-10", plastic="hdpe", origin="electrical", colour="black")
    assert held == ()
    with pytest.raises(Refused, match="brom"):
        lot_book.give_status(shop, "L-10", "released", at=MONDAY, who=["OP4"], why="looks clean")
    assert open_workshop(shop).lots["L-10"].status == "quarantine"


def test_a_count_says_what_the_book_was_off_by(shop: Path):
    assert lot_book.count_lot(shop, "L-2301", 400.0, at=MONDAY, who=["OP4"]) == -12.0
    assert open_workshop(shop).lots["L-2301"].mass == 400.0
