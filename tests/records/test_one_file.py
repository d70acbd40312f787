"""A file of the written form is read from the records without writing the list of lots, which takes its time, anew."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import pytest

from flatstock.actions.living import begin_records, find_living
from flatstock.actions.workshops import copy_demo
from flatstock.records import files, open_store
from flatstock.workshop.lot_states import State, with_states
from flatstock.workshop.spots import Notes
from tests.records.some import MONDAY, a_weighing


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    copy_demo(tmp_path / "shop")
    begin_records(tmp_path / "shop", at=MONDAY, who=(), why="a test begins")
    with open_store(tmp_path / "shop") as store:
        store.append([a_weighing(lot="L-2301", mass=12.0)])
    return tmp_path / "shop"


def test_the_list_of_lots_is_written_anew_only_when_it_is_read(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[str] = []

    def seen(file: str, data: bytes, states: Mapping[str, State]) -> bytes:
        asked.append(file)
        return with_states(file, data, states)

    monkeypatch.setattr(files, "with_states", seen)
    living, notes = find_living(folder), Notes()
    assert living is not None
    assert living.has("lots.csv")
    assert living.read("room.toml", notes) == (folder / "room.toml").read_bytes()
    assert asked == []
    first, second = (living.read("lots.csv", notes) for _ in range(2))
    assert asked == ["lots.csv"]
    assert first == second
    assert first is not None
    assert b"L-2301" in first
    assert first != (folder / "lots.csv").read_bytes()  # as the book has it by now
