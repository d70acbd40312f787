"""Everything in this folder runs on SQLite and on PostgreSQL."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import count
from pathlib import Path

import psycopg
import pytest

from flatstock.records import Store, open_store
from tests.records.postgres import server

_NUMBERS = count(1)


@pytest.fixture(scope="session")
def postgres() -> Iterator[Callable[[], str]]:
    """Makes a new, empty database on the tests' own server at each call; its URL."""
    with server() as url:

        def made() -> str:
            name = f"shop{next(_NUMBERS)}"
            with psycopg.connect(url.format(name="postgres"), autocommit=True) as db:
                db.execute(f"create database {name}")
            return url.format(name=name)

        yield made


@pytest.fixture(params=["sqlite", "postgresql"])
def where(request: pytest.FixtureRequest, tmp_path: Path) -> str:
    """The address of records that are not there yet, once in each kind of database."""
    if request.param == "sqlite":
        return str(tmp_path)
    made: Callable[[], str] = request.getfixturevalue("postgres")
    return made()


@pytest.fixture
def store(where: str) -> Iterator[Store]:
    """Empty records, once in each kind of database."""
    with open_store(where) as opened:
        yield opened
