"""Rooms: the demo's, one of fifteen machines, one that can't be; beside the plain model and a plan only built up."""

from __future__ import annotations

import tempfile
import time
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from benchmarks.table import Peer, Row
from flatstock.demo import copy_to
from flatstock.starting.room.question import Flow, Placement, Question
from flatstock.starting.room.room_file import read_room
from flatstock.starting.room.solve.answering import answer
from flatstock.starting.room.solve.cpsat import solve
from flatstock.starting.room.solve.master import Master
from flatstock.starting.room.solve.spots import Spots

__all__ = ["room_rows"]


def room_rows(*, quick: bool) -> Iterator[Row]:
    """Time to the first plan, walks and bounds after a while, a machine put down, a room that can't be."""
    demo = _demo()
    yield _first("demo room, first plan that passes", demo, 2.0)
    yield _best("demo room, the best plan", demo, 2.0 if quick else 30.0)
    fixed = replace(
        demo,
        items=tuple(
            replace(item, placed=Placement(x_mm=5900, y_mm=900, turned_deg=90)) if item.id == "SAW" else item
            for item in demo.items
        ),
    )
    yield _first("demo room, the saw put down, placed again", fixed, 2.0)
    if not quick:
        large = fifteen(demo)
        yield _first("room of 15 machines, first plan that passes", large, 10.0)
        yield _best("room of 15 machines", large, 60.0)
    yield _impossible(sized(demo, 5200, 5600), quick=quick)


def sized(question: Question, length: int, width: int) -> Question:
    """The question in a plain room with its door in the right wall."""
    room = question.room
    doors = tuple(replace(door, x1_mm=length, x2_mm=length) for door in room.doors)
    outline = ((0, 0), (length, 0), (length, width), (0, width))
    return replace(question, room=replace(room, outline_mm=outline, doors=doors))


def fifteen(demo: Question) -> Question:
    """The demo's ten and five more, with walks between them, in 13 x 8 m."""
    more = {"FLAKE3": "FLAKE2", "MIX": "SCALE", "BENCH2": "BENCH", "STORE2": "STORE", "HOT2": "HOT"}
    items = tuple(replace(demo.by_id[like], id=name) for name, like in more.items())
    flows = (
        Flow(start="FLAKE3.draw", to="MIX.stand", trips_per_day=6),
        Flow(start="MIX.stand", to="BENCH2.stand", trips_per_day=6),
        Flow(start="BENCH2.stand", to="HOT2.load", trips_per_day=4),
    )
    return sized(replace(demo, items=demo.items + items, flows=demo.flows + flows), 13_000, 8_000)


def _demo() -> Question:
    with tempfile.TemporaryDirectory() as folder:
        copy_to(Path(folder) / "demo")
        return read_room(Path(folder) / "demo").question


def _first(work: str, question: Question, target: float) -> Row:
    found = answer(question, seconds=60, first=True)
    walk = found.proof.walk_m_per_day
    said = "none found" if walk is None else f"{walk:.1f} m/day"
    return Row(work=work, seconds=found.proof.seconds, target=target, setting=said, note="one run")


def _best(work: str, question: Question, seconds: float) -> Row:
    built = answer(question, seconds=60, first=True)
    found = answer(question, seconds=seconds)
    walk, bound = found.proof.walk_m_per_day, found.proof.bound_m_per_day
    plain = _plain(question, seconds)
    only_built = built.proof.walk_m_per_day
    return Row(
        work=work,
        seconds=found.proof.seconds,
        setting=f"{_metres(walk)} walked, bound {_metres(bound)}, {found.proof.status}",
        peers=(
            Peer(name="the model without walking", seconds=seconds, setting=f"bound {_metres(plain)}"),
            Peer(name="only built up", seconds=built.proof.seconds, setting=f"{_metres(only_built)} walked"),
        ),
        note="one run",
    )


def _plain(question: Question, seconds: float) -> float:
    master = Master(question, Spots(question))
    master.minimise()
    bound = solve(master.model, seconds=seconds).bound
    return 0.0 if bound is None else master.metres(bound)


def _impossible(question: Question, *, quick: bool) -> Row:
    start, named = time.perf_counter(), list[float]()
    found = answer(
        question,
        seconds=2 if quick else 30,
        named=lambda _: named.append(time.perf_counter() - start),
    )
    said = (
        f"{found.proof.status}: {len(found.conflict)} things; {len(found.would_help)} of what was tried help,"
        f" all told after {time.perf_counter() - start:.1f} s"
    )
    return Row(
        work="room that can't be, named", seconds=named[0] if named else time.perf_counter() - start, target=10.0,
        setting=said, note="one run",
    )  # fmt: skip


def _metres(walk: float | None) -> str:
    return "none" if walk is None else f"{walk:.1f} m/day"
