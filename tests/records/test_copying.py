"""Records move between SQLite and PostgreSQL and back, row by row the same, and go on counting and holding there."""

from collections.abc import Callable
from pathlib import Path

import pytest
from sqlalchemy import select

from flatstock import demo
from flatstock.actions import copies, living
from flatstock.errors import Refused
from flatstock.records import Store, files, lots, open_store
from flatstock.records.copying import copy_all
from flatstock.records.tables.all import metadata
from flatstock.workshop.written import Folder
from tests.records.some import MONDAY, a_weighing, an_event


def rows(store: Store) -> dict[str, list[tuple[object, ...]]]:
    with store.reading() as db:
        return {
            table.name: [tuple(row) for row in db.execute(select(table).order_by(*table.primary_key.columns))]
            for table in metadata.sorted_tables
        }


def lived_in(store: Store, folder: Path) -> None:
    """Files, lots, weighings, a hold, a correction, something undone, a gap in the numbers."""
    demo.copy_to(folder)
    with store.writing() as db:
        files.take_in(db, folder, Folder(folder), at=MONDAY, who=["OP4"], why="begun")
    store.append([a_weighing("w1", "L-2301", 11.74), an_event("load", facts={"whole": 1, "broken": 1.0})])
    with pytest.raises(Refused):
        store.append([an_event("lost"), a_weighing("w0", "L-none", -1.0, corrects="nothing")])
    store.append([an_event("off", kind="undone", sheet=None, facts={}, corrects="w1", why="wrong")])
    with store.writing() as db:
        lots.set_status(db, "L-2302", "blocked", at=MONDAY, who=["OP1"], why="PVC")


@pytest.mark.parametrize("there_is", ["sqlite", "postgresql"])
def test_everything_comes_out_as_it_went_in_and_goes_on(
    there_is: str, where: str, postgres: Callable[[], str], tmp_path: Path
):
    to = str(tmp_path / "other.db") if there_is == "sqlite" else postgres()
    with open_store(where) as here, open_store(to) as there:
        lived_in(here, tmp_path / "shop")
        copied = copy_all(here, there)
        assert rows(there) == rows(here)
        assert copied.rows["event"] == 3
        number = here.last()
        assert there.append([an_event("next")])[0] > number
        assert there.append([an_event("load", facts={"whole": 1, "broken": 1.0})]) == here.append(
            [an_event("load", facts={"whole": 1, "broken": 1.0})]
        )
        with pytest.raises(Refused, match="a held lot is not weighed"):
            there.append([a_weighing("w2", "L-2302")])
        with pytest.raises(Refused, match="only ever added"), there.writing() as db:
            db.execute(metadata.tables["withdrawn"].delete())


def test_there_and_back_is_the_same(postgres: Callable[[], str], tmp_path: Path):
    url = postgres()
    with open_store(tmp_path / "a.db") as first, open_store(url) as middle:
        lived_in(first, tmp_path / "shop")
        copy_all(first, middle)
        with open_store(tmp_path / "b.db") as last:
            copy_all(middle, last)
            assert rows(last) == rows(first)


def test_nothing_is_copied_over_records_that_are_there(store: Store, tmp_path: Path):
    with open_store(tmp_path / "other.db") as other:
        other.append([an_event()])
        with pytest.raises(Refused, match="records in it already"):
            copy_all(store, other)


def test_a_folder_moves_to_a_server_by_its_url_and_back(postgres: Callable[[], str], tmp_path: Path):
    folder = tmp_path / "shop"
    demo.copy_to(folder)
    living.begin_records(folder, at=MONDAY, who=["OP4"], why="begun")
    url = postgres()
    copies.copy_records(folder, url)
    (folder / "records.db").unlink()
    (folder / "records.url").write_text(f"{url}\n")
    with open_store(folder) as store:
        store.append([a_weighing(lot="L-2301", mass=12.0)])
    copies.copy_records(folder, str(folder))
    (folder / "records.url").unlink()
    with open_store(folder) as store, store.reading() as db:
        assert store.address.file is not None
        assert lots.state_of(db, "L-2301").mass == 400.0
