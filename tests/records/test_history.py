"""What a page reads does not grow with the history behind it: SQLite's own steps are counted, and rows handed over."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import timedelta
from pathlib import Path

import pytest
from sqlalchemy import event as listening

from flatstock.actions.board import Board
from flatstock.records import Store, changing, lots, open_store, photos, sheet_events, sheets, trace
from flatstock.records.sheets import Recipe
from flatstock.records.trace import Thing
from flatstock.running.event import Event
from tests.records.some import MONDAY, a_lot

NOW = MONDAY + timedelta(days=400)
RECIPE = Recipe(name="O-1", body={"order": "O-1", "plastic": "hdpe", "thickness_mm": 12.0})


class Counted:
    """Steps of SQLite's machine, in hundreds."""

    def __init__(self, store: Store) -> None:
        self.steps = 0

        def step() -> int:
            self.steps += 1
            return 0

        store._engine.dispose()
        listening.listen(
            store._engine, "connect", lambda raw, _: raw.set_progress_handler(step, 100), insert=True
        )

    def of(self, ask: Callable[[], object]) -> int:
        ask()  # prepared, pages in memory
        self.steps = 0
        ask()
        return self.steps


def a_day(n: int, sheet: str, at_hours: float) -> list[Event]:
    at = MONDAY + timedelta(hours=at_hours)
    kinds = ("weighed", "loaded", "transferred", "moved", "demoulded", "trimmed", "measured")
    facts = {"weighed": {"lot": "L-1", "mass_kg": 0.01}, "measured": {"t1_mm": 12.0}}
    return [
        Event(
            id=f"{sheet}-{kind}",
            at=at + timedelta(minutes=10 * k),
            noted_at=at + timedelta(minutes=10 * k),
            kind=kind,
            who=("OP1", "OP2"),
            sheet=sheet,
            place="HP1" if kind == "loaded" else None,
            facts=facts.get(kind, {}),
        )
        for k, kind in enumerate(kinds)
    ]


def shop_with(folder: Path, before: int) -> Store:
    """So many sheets in the year before, and twenty in this fortnight from a lot of their own."""
    folder.mkdir()
    store = open_store(folder)
    a_lot(store, "L-1", mass=1000.0)
    a_lot(store, "L-2", mass=1000.0)
    old = [one for n in range(before) for one in a_day(n, f"old-{n}", n * 9000 / before)]
    store.append(old, {f"old-{n}": RECIPE for n in range(before)})
    new: list[Event] = []
    for n in range(20):
        for one in a_day(n, f"new-{n}", 24 * 390 + 5 * n):
            facts = {"lot": "L-2", "mass_kg": 1.0} if one.kind == "weighed" else dict(one.facts)
            new.append(Event(**{f: getattr(one, f) for f in ("id", "at", "noted_at", "kind", "who", "sheet", "place")}, facts=facts))  # fmt: skip
    store.append(new, {f"new-{n}": RECIPE for n in range(20)})
    return store


@pytest.fixture(scope="module")
def short_and_long(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Store, Store]]:
    folder = tmp_path_factory.mktemp("history")
    with shop_with(folder / "short", 40) as short, shop_with(folder / "long", 800) as long:
        yield short, long


def _trace(store: Store) -> object:
    with store.reading() as db:
        return trace.backward(db, Thing("sheet", "new-3")), trace.forward(db, Thing("lot", "L-2"))


def _sheet(store: Store) -> object:
    with store.reading() as db:
        found = (
            sheets.steps_of(db, "new-3"),
            sheets.measurements_of(db, ["new-3"]),
            sheets.frozen_of(db, "new-3"),
        )
        return *found, photos.photos_of(db, ["new-3"]), lots.weighed_for(db, ["new-3"])


def _newest(store: Store) -> object:
    with store.reading() as db:
        return sheets.sheets_between(db, most=20), sheets.sheets_between(db, since=NOW - timedelta(days=14))


def _mark(store: Store) -> object:
    with store.reading() as db:
        return changing.mark(db)


def _stock(store: Store) -> object:
    with store.reading() as db:
        return lots.states(db), lots.history(db, "L-2")


def _tap(store: Store) -> object:
    """Told a second time: found by its id."""
    return store.append(a_day(0, "new-3", 24 * 390 + 15)[1:2])


SOME = [f"new-{n}" for n in range(20)]


def _many(store: Store) -> object:
    with store.reading() as db:
        return sheet_events.events_of_sheets(db, SOME), sheets.frozen_of_sheets(db, SOME)


def _book(store: Store) -> object:
    with store.reading() as db:
        return lots.rebooked(db, changing.mark(db).book - 20)


ASKED: dict[str, Callable[[Store], object]] = {
    "board": lambda store: Board(store).events(NOW),
    "what happened last": lambda store: Board(store).events(NOW)[-100:],
    "a sheet's events": lambda store: Board(store).of_sheet("new-3"),
    "a sheet's record": _sheet,
    "twenty sheets at once": _many,
    "what the book says since": _book,
    "trace both ways": _trace,
    "newest sheets": _newest,
    "whether anything has changed": _mark,
    "the newest number": lambda store: store.last(),
    "stock": _stock,
    "a tap": _tap,
}


@pytest.mark.parametrize("page", ASKED)
def test_what_is_read_does_not_grow_with_history(short_and_long: tuple[Store, Store], page: str):
    """Twenty times the history takes at most a quarter more steps: indexes are a little deeper."""
    short, long = (Counted(store).of(lambda store=store: ASKED[page](store)) for store in short_and_long)
    assert long <= 1.25 * short + 5, f"{100 * short} steps, {100 * long} with the longer history"


@pytest.mark.parametrize("page", ["board", "a sheet's record", "newest sheets", "twenty sheets at once"])
def test_the_answer_is_the_same_whatever_lies_before_it(short_and_long: tuple[Store, Store], page: str):
    short, long = (ASKED[page](store) for store in short_and_long)
    assert short == long
