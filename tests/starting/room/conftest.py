"""The demo's room with a plan that passes, drawn by hand."""

from __future__ import annotations

import json

import pytest

from flatstock.demo import copy_to
from flatstock.starting.room.answer import Proof, RoomAnswer
from flatstock.starting.room.document import room_document
from flatstock.starting.room.room_file import read_room
from tests.starting.room.making import stand

BY_HAND = {
    "HOT": (0, 3400), "COOL": (3000, 3400), "ROLL": (1700, 3500), "SAW": (5900, 900, 90), "STORE": (7900, 4700),
    "FLAKE1": (0, 0, 180), "FLAKE2": (1200, 0, 180), "BENCH": (2600, 0, 180), "SCALE": (0, 1600, 90),
    "PANEL": (9000, 100, 270),
}  # fmt: skip


@pytest.fixture(scope="session")
def demo_folder(tmp_path_factory):
    folder = tmp_path_factory.mktemp("room") / "demo"
    copy_to(folder)
    return folder


@pytest.fixture(scope="session")
def demo_room(demo_folder):
    return read_room(demo_folder).question


@pytest.fixture(scope="session")
def demo_plan():
    return stand(**BY_HAND)


@pytest.fixture
def drawn(demo_room, demo_plan):
    """The plan as a document that somebody may change."""
    answer = RoomAnswer(plan=demo_plan, proof=Proof(status="feasible"))
    return json.loads(json.dumps(room_document(demo_room, answer)))
