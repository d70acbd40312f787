"""Laws of the two forms: written, living, written is byte for byte the same; living, written, living is the same shop.

Of workshops that hypothesis makes up, with every kind of file, saved as people's programs save them.
"""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from datetime import timedelta
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from flatstock.errors import Refused
from flatstock.records import Store, files, lots, open_store
from flatstock.workshop.files import read
from flatstock.workshop.shop import Workshop
from flatstock.workshop.written import FILES, Folder, Texts
from tests.records.some import MONDAY, a_weighing
from tests.records.workshops import written

USUAL = settings(
    max_examples=12, deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow, HealthCheck.data_too_large],
)  # fmt: skip


@pytest.fixture(params=["sqlite", "postgresql"])
def fresh(request: pytest.FixtureRequest, tmp_path: Path) -> Callable[[], Any]:
    """Makes empty records at each call."""
    made: list[int] = []

    @contextmanager
    def make() -> Iterator[Store]:
        made.append(1)
        if request.param == "sqlite":
            where = str(tmp_path / f"{len(made)}.db")
        else:
            where = request.getfixturevalue("postgres")()
        with open_store(where) as store:
            yield store

    return make


@contextmanager
def folder_of(texts: dict[str, bytes]) -> Iterator[Path]:
    with TemporaryDirectory() as name:
        folder = Path(name)
        for file, data in texts.items():
            (folder / file).write_bytes(data)
        yield folder


def take(store: Store, folder: Path, **given: Any) -> list[str]:
    with store.writing() as db:
        return files.take_in(db, folder, Folder(folder), at=MONDAY, who=["OP1"], why="as written", **given)


def out(store: Store) -> dict[str, bytes]:
    with store.reading() as db:
        return files.give_out(db)


def as_shop(texts: dict[str, bytes]) -> Workshop:
    return replace(read(Path(), Texts(texts)), folder=Path())


@USUAL
@given(texts=written())
def test_written_living_written_is_byte_for_byte_the_same(fresh: Callable[[], Any], texts: dict[str, bytes]):
    with folder_of(texts) as folder, fresh() as store:
        taken = take(store, folder)
        assert set(taken) == set(texts) & set(FILES)
        assert out(store) == {name: data for name, data in texts.items() if name in FILES}
        assert take(store, folder) == []
        assert as_shop(out(store)) == replace(read(folder, Folder(folder)), folder=Path(), form="records")


@USUAL
@given(texts=written(), data=st.data())
def test_living_written_living_is_the_same_shop_whatever_happened_in_it(
    fresh: Callable[[], Any], texts: dict[str, bytes], data: st.DataObject
):
    with folder_of(texts) as folder, fresh() as store, fresh() as again:
        take(store, folder)
        happened(store, data)
        now = out(store)
        with folder_of(now) as other:
            take(again, other)
        assert out(again) == now
        assert as_shop(out(again)) == as_shop(now)
        with store.reading() as one, again.reading() as two:
            assert lots.states(one) == lots.states(two)


@USUAL
@given(texts=written(), data=st.data())
def test_a_change_by_hand_undoes_nothing_that_happened_meanwhile(
    fresh: Callable[[], Any], texts: dict[str, bytes], data: st.DataObject
):
    """Somebody changes one lot's note, colour or nothing in the file of before; stock and statuses stay as they are."""
    with folder_of(texts) as folder, fresh() as store:
        take(store, folder)
        before = out(store)
        happened(store, data)
        with store.reading() as db:
            states = lots.states(db)
        name = next(one for one in ("shop.toml", "orders.csv", "lots.csv", "lots.toml") if one in before)
        end = b"\n# looked at by hand\n"
        (folder / name).write_bytes(before[name] + end)
        take(store, folder)
        with store.reading() as db:
            assert lots.states(db) == states
        assert b"looked at by hand" in out(store)[name]


def happened(store: Store, data: st.DataObject) -> None:
    """Weighings, holds, releases and counts, of which the records refuse some."""
    with store.reading() as db:
        names = sorted(lots.states(db))
    for n in range(data.draw(st.integers(0, 6), "acts")):
        lot = data.draw(st.sampled_from(names), "lot")
        act = data.draw(st.sampled_from(["weigh", "status", "count"]), "act")
        at = MONDAY + timedelta(minutes=n)
        number = data.draw(st.floats(0.001, 500).map(lambda x: round(x, 3)), "kg")
        try:
            if act == "weigh":
                store.append([a_weighing(f"w{n}", lot, number, at=at)])
            else:
                with store.writing() as db:
                    if act == "count":
                        lots.count(db, lot, number, at=at, who=["OP1"], why="counted")
                    else:
                        status = data.draw(st.sampled_from(["released", "blocked", "quarantine", "empty"]))
                        lots.set_status(db, lot, status, at=at, who=["OP1"], why="looked at")
        except Refused:
            continue


def test_a_made_up_workshop_has_files_of_every_kind(tmp_path: Path):
    """So that the laws above are of all of them."""
    seen: set[str] = set()

    @settings(max_examples=40, deadline=None, database=None, suppress_health_check=list(HealthCheck))
    @given(texts=written())
    def look(texts: dict[str, bytes]) -> None:
        seen.update(texts)

    look()
    shutil.rmtree(tmp_path)
    assert {Path(name).stem for name in seen} >= {Path(name).stem for name in FILES}
    assert {"lots.csv", "lots.toml", "orders.csv", "orders.toml", "offcuts.csv", "offcuts.toml"} <= seen
