"""Copies of records: whole, proved, thinned out, and put back elsewhere."""

import sqlite3
from contextlib import closing
from datetime import timedelta
from pathlib import Path

import pytest

from flatstock.errors import Refused
from flatstock.records import backup, open_store
from tests.records.some import MONDAY, an_event


def test_a_copy_made_while_records_are_open_is_put_back_on_another_machine(tmp_path: Path):
    here, there = tmp_path / "here", tmp_path / "there"
    here.mkdir()
    there.mkdir()
    with open_store(here) as store:
        store.append([an_event("a"), an_event("b")])
        copy = backup.back_up(store, MONDAY)
        store.append([an_event("c")])
    assert backup.prove(copy.file) == 2
    assert backup.restore(copy.file, there, MONDAY) is None
    with open_store(there) as store:
        assert [e.id for _, e in store.events()] == ["a", "b"]
        assert store.append([an_event("d")]) == [3]


def test_what_a_copy_holds_beside_the_records_is_in_the_copy_alone(tmp_path: Path):
    here, there = tmp_path / "here", tmp_path / "there"
    here.mkdir()
    there.mkdir()
    with open_store(here) as store:
        copy = backup.back_up(store, MONDAY, {"plan.json": b"the week"}).file
    assert backup.beside_in(copy) == {"plan.json": b"the week"}
    backup.restore(copy, there, MONDAY)
    assert backup.beside_in(there / "records.db") == {}


def test_a_copy_made_before_copies_held_plans_is_put_back_as_well(tmp_path: Path):
    with open_store(tmp_path) as store:
        store.append([an_event("a")])
        copy = backup.back_up(store, MONDAY, {"plan.json": b"the week"}).file
    with closing(sqlite3.connect(copy)) as db:
        db.execute(f"drop table {backup.BESIDE}")
        db.commit()
    assert backup.beside_in(copy) == {}
    backup.restore(copy, tmp_path, MONDAY)
    with open_store(tmp_path) as store:
        assert [e.id for _, e in store.events()] == ["a"]


def test_what_stood_in_the_place_of_a_restored_copy_is_put_aside_whole(tmp_path: Path):
    with open_store(tmp_path) as store:
        copy = backup.back_up(store, MONDAY)
        store.append([an_event("late")])
    aside = backup.restore(copy.file, tmp_path, MONDAY)
    assert aside is not None
    assert backup.prove(aside) == 1
    assert backup.prove(tmp_path / "records.db") == 0


def test_a_copy_is_not_put_back_under_an_app_that_goes_on_writing(tmp_path: Path):
    with open_store(tmp_path) as store:
        copy = backup.back_up(store, MONDAY)
        with pytest.raises(Refused, match="in use"):
            backup.restore(copy.file, tmp_path, MONDAY)
        store.append([an_event("late")])
    assert backup.prove(tmp_path / "records.db") == 1
    assert list(tmp_path.glob("records-put-aside*")) == []


def test_damaged_records_make_room_for_a_copy(tmp_path: Path):
    with open_store(tmp_path) as store:
        copy = backup.back_up(store, MONDAY)
    (tmp_path / "records.db").write_bytes(b"no records any more" * 500)
    assert backup.restore(copy.file, tmp_path, MONDAY) is not None
    assert backup.prove(tmp_path / "records.db") == 0


def test_a_damaged_copy_is_never_put_back(tmp_path: Path):
    with open_store(tmp_path) as store:
        store.append(an_event(f"E-{n}") for n in range(200))
        copy = backup.back_up(store, MONDAY).file
    data = bytearray(copy.read_bytes())
    data[8192:12288] = b"\xff" * 4096
    copy.write_bytes(data)
    with pytest.raises(Refused, match=r"damaged|no whole copy"):
        backup.restore(copy, tmp_path, MONDAY)


def test_a_copy_is_due_an_hour_after_the_last(tmp_path: Path):
    assert backup.is_due(tmp_path, MONDAY)
    with open_store(tmp_path) as store:
        backup.back_up(store, MONDAY)
    assert not backup.is_due(tmp_path, MONDAY + timedelta(minutes=59))
    assert backup.is_due(tmp_path, MONDAY + timedelta(minutes=60))


def test_a_day_of_hours_and_a_month_of_days_are_kept(tmp_path: Path):
    (tmp_path / "backups").mkdir()
    (tmp_path / "backups" / "records-mine.db").touch()
    for hour in range(24 * 40):
        at = MONDAY + timedelta(hours=hour)
        (tmp_path / "backups" / at.strftime("records-%Y%m%dT%H%M%SZ.db")).touch()
    with open_store(tmp_path) as store:
        backup.back_up(store, MONDAY + timedelta(days=40))
    made = backup.backups(tmp_path)
    assert len(made) == 24 + 28  # the newest day's hours reach into two of the thirty days
    assert (tmp_path / "backups" / "records-mine.db").exists()


def test_records_in_postgresql_are_copied_by_its_own_tools(postgres):
    with open_store(postgres()) as store, pytest.raises(Refused, match="pg_dump"):
        backup.back_up(store, MONDAY)
