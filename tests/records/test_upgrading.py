"""Records of every earlier version are led to the tables of this one."""

import shutil
from contextlib import closing
from datetime import timedelta
from importlib.resources import files

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from sqlalchemy import Engine, MetaData, Table, inspect, text

from flatstock.errors import Refused
from flatstock.records import open_store, sheets
from flatstock.records.address import address_of
from flatstock.records.engine import engine_of
from flatstock.records.store import Store
from flatstock.records.tables.all import metadata
from flatstock.records.upgrading import HEAD, at_version, upgrade
from flatstock.running.event import Event
from tests.records.some import MONDAY, an_event

STEPS = sorted(
    path.name[:5]
    for path in (files("flatstock.records") / "migrations" / "versions").iterdir()
    if path.name.startswith("r")
)


def test_the_last_step_is_the_version_of_this_program():
    assert STEPS[-1] == HEAD


@pytest.mark.parametrize("step", STEPS)
def test_records_of_each_version_come_to_the_tables_of_this_one(where: str, step: str):
    engine = engine_of(address_of(where))
    with engine.begin() as db:
        upgrade(db, shown="old", to=step)
        assert at_version(db) == step
    engine.dispose()
    with open_store(where) as store, store.reading() as db:
        assert at_version(db) == HEAD
        context = MigrationContext.configure(db, opts={"compare_type": True, "compare_server_default": True})
        assert compare_metadata(context, metadata) == []


@pytest.mark.parametrize("step", STEPS)
def test_upgraded_records_keep_the_same_rules_as_new_ones(where: str, tmp_path, step: str):
    engine = engine_of(address_of(where))
    with engine.begin() as db:
        upgrade(db, shown="old", to=step)
    with engine.begin() as db:
        upgrade(db, shown="old")
        stepwise = _triggers(db)
        assert {f"{t}_is_not_changed" for t in inspect(db).get_table_names() if t == "event"} <= stepwise
    engine.dispose()


def kept_by_version_2(engine: Engine, told: list[Event], withdrawn: dict[str, str]) -> None:
    """Events in the tables that records had before those of sheets; which of them were taken back, and by which."""
    with engine.begin() as db:
        upgrade(db, shown="old", to="r0002")
        event = Table("event", MetaData(), *(column._copy() for column in metadata.tables["event"].columns))
        for one in told:
            row = {c.name: getattr(one, c.name) for c in event.columns if c.name not in ("seq", "kept_at")}
            row |= {"facts": dict(one.facts), "who": list(one.who), "kept_at": MONDAY}
            db.execute(event.insert(), [row])
        for gone, by in withdrawn.items():
            db.execute(text("insert into withdrawn (event, by_event) values (:e, :b)"), {"e": gone, "b": by})
    engine.dispose()


def rows_of(store: Store) -> dict[str, set[tuple[object, ...]]]:
    asked = {
        "step": "event, sheet, kind, place",
        "measurement": "event, sheet, mass_kg, bow_mm, grade, face_up",
        "thickness": "event, point, mm",
        "sheet": "id",
    }
    with store.reading() as db:
        return {
            table: {tuple(map(str, row)) for row in db.execute(text(f"select {names} from {table}"))}
            for table, names in asked.items()
        }


def test_a_long_history_comes_to_the_same_rows_as_if_it_were_told_today(where: str, tmp_path):
    """Carried over by the database where nobody corrected anything, by the program where somebody did."""
    told = [
        an_event("l1", sheet="S-1", place=None, facts={"press": "HP1", "set_point_C": 195}),
        an_event("t1", kind="transferred", sheet="S-1", place="CP1", facts={}),
        an_event("m1", kind="measured", sheet="S-1", place=None,
                 facts={"mass_kg": 11.5, "t1_mm": 12.1, "t9_mm": 12, "grade": "A", "face_up": "top"}),
        an_event("l2", sheet="S-2", facts={}),
        an_event("l2b", sheet="S-2", kind="corrected", corrects="l2", place="HP2", facts={}, why="slip"),
        an_event("m2", kind="measured", sheet="S-2", place=None, facts={"bow_mm": 1.5}),
        an_event("n", kind="note", sheet="S-3", facts={"text": "stored"}),
        an_event("m3", kind="measured", sheet="S-3", place=None, facts={"grade": "B"}),
    ]  # fmt: skip
    kept_by_version_2(engine_of(address_of(where)), told, {"l2": "l2b"})
    (tmp_path / "new").mkdir()
    with open_store(where) as old, open_store(tmp_path / "new") as new:
        new.append(told)
        carried, today = rows_of(old), rows_of(new)
    today["step"] = {
        row for row in today["step"] if row[0] != "l2"
    }  # it stays, withdrawn, where it was told today
    assert carried == today


def test_what_earlier_events_said_stands_in_the_tables_that_came_later(where: str):
    """As it stands: a loading corrected in its instant, another undone, a measurement, a check, two signatures."""
    engine = engine_of(address_of(where))
    told = [
        an_event("load"),
        an_event("late", kind="corrected", place=None, facts={}, corrects="load", why="tapped late",
                 at=MONDAY - timedelta(minutes=4)),
        an_event("moved", kind="moved", place="ST1", facts={}),
        an_event("not", kind="undone", place=None, facts={}, corrects="moved"),
        an_event("m", kind="measured", place=None, facts={"mass_kg": 11.5, "t1_mm": 12.1}),
        an_event("c", kind="checked", sheet=None, place=None, facts={"list": "closing"}),
        an_event("h", kind="handed_over", sheet=None, place=None, facts={}),
    ]  # fmt: skip
    kept_by_version_2(engine, told, {"load": "late", "moved": "not"})
    with open_store(where) as store:
        with store.reading() as db:
            steps = sheets.steps_of(db, "B-014")
            (measured,) = sheets.measurements_of(db, ["B-014"])["B-014"]
            checks = db.execute(text("select list from safety_check")).scalars().all()
            signed = set(db.execute(text("select person from signature")).scalars())
        assert [(one.kind, one.event, one.at) for one in steps] == [
            ("loaded", "late", MONDAY - timedelta(minutes=4))
        ]
        assert (measured.mass, dict(measured.points)) == (11.5, {1: 12.1})
        assert (checks, signed) == (["closing"], {"OP1", "OP2"})
        store.append([an_event("u", kind="undone", place=None, facts={}, corrects="late")])
        with store.reading() as db:
            assert [one.at for one in sheets.steps_of(db, "B-014")] == [MONDAY]


def test_records_of_a_newer_version_are_left_alone(where: str):
    with open_store(where) as store, store.writing() as db:
        db.execute(text("update alembic_version set version_num = 'r9999'"))
    with pytest.raises(Refused, match=r"newer version \(tables r9999"):
        open_store(where)


def _triggers(db) -> set[str]:
    asked = (
        "select name from sqlite_master where type = 'trigger'"
        if db.dialect.name == "sqlite"
        else "select tgname from pg_trigger where not tgisinternal"
    )
    return set(db.execute(text(asked)).scalars())


def test_the_steps_are_found_in_a_folder_with_a_percent_sign_in_its_name(tmp_path, monkeypatch):
    there = tmp_path / "100 % ours"
    shutil.copytree(str(files("flatstock.records") / "migrations"), there / "migrations")
    monkeypatch.setattr("flatstock.records.upgrading.files", lambda _: there)
    (tmp_path / "shop").mkdir()
    with closing(open_store(tmp_path / "shop")) as store, store.reading() as db:
        assert db.execute(text("select count(*) from event")).scalar() == 0
