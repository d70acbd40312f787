"""Records of every earlier version are led to the tables of this one."""

from importlib.resources import files

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from sqlalchemy import inspect, text

from flatstock.errors import Refused
from flatstock.records import open_store
from flatstock.records.address import address_of
from flatstock.records.engine import engine_of
from flatstock.records.tables.all import metadata
from flatstock.records.upgrading import HEAD, at_version, upgrade

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
