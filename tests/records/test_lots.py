"""Lots: a held one is weighed by no route, every status is signed, the book follows the scale."""

import pytest
from sqlalchemy import insert, select, text

from flatstock.errors import Refused
from flatstock.records import Store, lots, trace
from flatstock.records.tables.stock import stock_entry, weighing
from flatstock.records.trace import Thing
from tests.records.some import MONDAY, a_lot, a_weighing, an_event

HELD = ["received", "quarantine", "blocked", "empty"]


def state(store: Store, name: str = "L-1") -> lots.LotState:
    with store.reading() as db:
        return lots.state_of(db, name)


def weighings(store: Store) -> int:
    with store.reading() as db:
        return len(db.execute(select(weighing)).all())


@pytest.mark.parametrize("status", HELD)
def test_a_lot_that_is_held_is_not_weighed_and_nothing_is_kept(store: Store, status: str):
    a_lot(store, status=status)
    with pytest.raises(Refused, match="a held lot is not weighed"):
        store.append([a_weighing()])
    assert (weighings(store), store.last(), state(store).mass) == (0, 0, 100.0)


def test_no_statement_gets_a_held_lot_onto_the_scale(store: Store):
    a_lot(store, status="blocked")
    store.append([an_event("W-1")])
    row = {"event": "W-1", "sheet": "S", "lot": "L-1", "actual_kg": 1.0, "at": MONDAY, "who": []}
    with pytest.raises(Refused, match="a held lot is not weighed"), store.writing() as db:
        db.execute(insert(weighing), [row])


@pytest.mark.parametrize("status", ["received", "quarantine", "blocked"])
def test_regrind_of_a_held_lot_is_held_with_it_however_far_down(store: Store, status: str):
    for name in ("L-1", "L-2", "L-3"):
        a_lot(store, name)
    store.append([a_weighing("W-1", "L-1")])
    with store.writing() as db:  # trim of the sheet, and regrind of that regrind
        trace.note(db, Thing("sheet", "B-014"), Thing("lot", "L-2"), at=MONDAY, who=["OP4"])
        trace.note(db, Thing("lot", "L-2"), Thing("lot", "L-3"), at=MONDAY, who=["OP4"])
        lots.set_status(db, "L-1", status, at=MONDAY, who=["OP4"], why="PVC found")
    with pytest.raises(Refused, match="a held lot is not weighed"):
        store.append([a_weighing("W-2", "L-3", sheet="B-015")])


def test_regrind_of_a_lot_that_is_used_up_is_weighed(store: Store):
    a_lot(store, "L-1", "empty", 0.0)
    a_lot(store, "L-2")
    with store.writing() as db:
        trace.note(db, Thing("lot", "L-1"), Thing("lot", "L-2"), at=MONDAY, who=["OP4"])
    assert store.append([a_weighing("W-1", "L-2")]) == [1]


@pytest.mark.parametrize("status", ["received", "quarantine", "blocked"])
def test_a_held_lot_is_not_freed_by_calling_it_empty(store: Store, status: str):
    a_lot(store, status=status)
    with pytest.raises(Refused, match="stays held when it is gone"), store.writing() as db:
        lots.set_status(db, "L-1", "empty", at=MONDAY, who=["OP4"], why="thrown away")


def test_a_status_is_not_changed_behind_the_back_of_its_entries(store: Store):
    a_lot(store, status="blocked")
    with pytest.raises(Refused, match="says who and why"), store.writing() as db:
        db.execute(text("update lot set status = 'released'"))


def test_a_lot_is_not_taken_out(store: Store):
    a_lot(store, status="blocked")
    with pytest.raises(Refused, match="stays on record"), store.writing() as db:
        db.execute(text("delete from lot"))


def test_a_release_without_a_reason_is_refused(store: Store):
    a_lot(store, status="quarantine")
    with pytest.raises(Refused, match="no reason is given"), store.writing() as db:
        lots.set_status(db, "L-1", "released", at=MONDAY, who=["OP1"], why=" ")


def test_a_lot_blocked_from_the_floor_is_blocked_and_says_by_whom_and_why(store: Store):
    a_lot(store)
    blocked = an_event("B", kind="blocked", sheet=None, place=None, facts={"lot": "L-1"}, why="acrid smell")
    store.append([blocked])
    with store.reading() as db:
        newest = lots.history(db, "L-1")[-1]
    assert (newest.status, newest.who, newest.why) == ("blocked", ("OP1", "OP2"), "acrid smell")


def test_a_block_that_is_undone_leaves_the_lot_as_it_was(store: Store):
    a_lot(store)
    blocked = an_event("B", kind="blocked", sheet=None, facts={"lot": "L-1"}, why="slip")
    store.append([blocked, an_event("U", kind="undone", sheet=None, facts={}, corrects="B")])
    assert state(store).status == "released"


def test_a_weighing_is_taken_from_the_book_once_however_often_it_is_told(store: Store):
    a_lot(store)
    for _ in range(3):
        store.append([a_weighing()])
    assert state(store).mass == pytest.approx(88.26, abs=1e-9)


def test_a_weighing_that_is_undone_is_given_back_and_its_entries_stay(store: Store):
    a_lot(store)
    store.append([a_weighing(), an_event("U", kind="undone", facts={}, corrects="W-1")])
    assert state(store).mass == 100.0
    with store.reading() as db:
        kinds = list(db.execute(select(stock_entry.c.kind).order_by(stock_entry.c.seq)).scalars())
        assert kinds == ["written", "weighed", "given_back"]
        assert trace.forward(db, Thing("lot", "L-1")) == set()


def test_a_corrected_weighing_counts_with_its_new_lot_and_mass(store: Store):
    a_lot(store, "L-1")
    a_lot(store, "L-2")
    right = an_event(
        "C", kind="corrected", corrects="W-1", why="wrong bag", facts={"lot": "L-2", "mass_kg": 11.5}
    )
    store.append([a_weighing(), right])
    assert (state(store, "L-1").mass, state(store, "L-2").mass) == (100.0, 88.5)
    with store.reading() as db:
        assert trace.backward(db, Thing("sheet", "B-014")) == {Thing("lot", "L-2")}


def test_more_than_the_book_holds_leaves_nothing_and_says_by_how_much_the_book_was_off(store: Store):
    a_lot(store, mass=10.0)
    store.append([a_weighing()])
    assert state(store).mass == 0.0
    with store.reading() as db:
        entries = {r.kind: r.change_kg for r in db.execute(select(stock_entry))}
    assert entries["more_than_booked"] == pytest.approx(1.74)
    assert sum(entries.values()) == pytest.approx(0.0, abs=1e-9)


def test_a_weighing_beyond_the_book_that_is_undone_leaves_the_book_as_it_was(store: Store):
    a_lot(store, mass=10.0)
    store.append([a_weighing(), an_event("U", kind="undone", facts={}, corrects="W-1")])
    assert state(store).mass == pytest.approx(10.0, abs=1e-9)


def test_counting_sets_the_book_to_the_scale_and_says_what_it_was_off_by(store: Store):
    a_lot(store)
    with store.writing() as db:
        assert lots.count(db, "L-1", 98.4, at=MONDAY, who=["OP4"], why="month's end") == pytest.approx(-1.6)
    assert state(store).mass == 98.4


def test_records_of_a_floor_alone_keep_weighings_as_events(store: Store):
    assert store.append([a_weighing()]) == [1]
