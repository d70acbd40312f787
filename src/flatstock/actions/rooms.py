"""Place the machines of a room, or judge a plan that somebody has drawn; before or after there is a shop.toml."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from typing import Any

from flatstock.actions.workshops import Beside, shop_beside, units_of
from flatstock.errors import Fault, Refused
from flatstock.starting.naming import known_as
from flatstock.starting.room.answer import Alternative, Proof, RoomAnswer
from flatstock.starting.room.check import caveats, judge, sameness, truth
from flatstock.starting.room.document import question_document, room_document, walk_per_day
from flatstock.starting.room.drawn import plan_of, read_drawn
from flatstock.starting.room.plan import Caveat, Plan
from flatstock.starting.room.question import Placement, Question, split_zone
from flatstock.starting.room.room_file import RoomFile, read_room
from flatstock.starting.room.surroundings.air_answer import air_part
from flatstock.starting.room.surroundings.fire import Burning
from flatstock.starting.room.surroundings.fire_answer import fire_part
from flatstock.starting.room.variants import fixed as set_down
from flatstock.starting.room.variants import without as leave_out
from flatstock.starting.room.walls import floor_m2
from flatstock.starting.room.words import metres
from flatstock.workshop.shop import Workshop

__all__ = [
    "RoomFile",
    "RoomOutcome",
    "check_room",
    "judged",
    "outcome_of",
    "place_room",
    "retold",
    "room_file",
]

SECONDS = 10.0  # for whoever names no other time
ROOM_C = 18.0  # what a room is kept at where there is no shop.toml yet: assumed


@dataclass(frozen=True, slots=True)
class RoomOutcome:
    """An answer about a room."""

    document: Mapping[str, Any]  #: `flatstock.room/1`
    question: Question
    plan: Plan | None  #: None: impossible, or not found in time
    paper: str  #: "a4" or "letter"
    system: str  #: "metric" or "us": what lengths are shown in
    others: tuple[Alternative, ...] = ()  #: plans that differ from it, as in the document's `alternatives`


def check_room(
    folder: Path, drawn: Path, beside: Beside | None = None, *, made_at: datetime | None = None
) -> RoomOutcome:
    """Judge the plan in a `flatstock.room/1` file against the room.toml in `folder`.

    Raises
    ------
    Refused
        With one fault for each rule that the plan breaks, and for each thing that is not as it was asked.
    """
    beside = beside or shop_beside(folder)
    file = room_file(folder, beside)
    answer = judged(file.question, read_drawn(drawn), where=drawn.name)
    return outcome_of(folder, beside, file, answer, made_at)


def judged(question: Question, document: dict[str, Any], *, where: str) -> RoomAnswer:
    """The plan of a drawn document, which `where` names for the faults. Raises `Refused` as `check_room` does."""
    plan = plan_of(document, where=where)
    judgement = judge(question, plan)
    broken = [*sameness(question_document(question), document), *judgement.faults]
    if not broken:  # numbers of a plan that is none say nothing
        broken = list(truth(question, plan, judgement.ways, document))
    if broken:
        raise Refused([Fault(f"{where}, {' and '.join(b.about)}", b.text, "") for b in broken])
    walk = walk_per_day(question, judgement.ways, plan)
    return RoomAnswer(
        plan=plan, proof=Proof(status="feasible", walk_m_per_day=walk, grid_mm=question.grid_mm)
    )


def place_room(
    folder: Path,
    beside: Beside | None = None,
    *,
    fix: Mapping[str, tuple[int, int, int]] | None = None,
    without: Sequence[str] = (),
    seconds: float = SECONDS,
    first: bool = False,
    tell: Callable[[float, float], None] = lambda *_: None,
    named: Callable[[str], None] = lambda _: None,
    stop: Callable[[], bool] = lambda: False,
    made_at: datetime | None = None,
) -> RoomOutcome:
    """Where everything in room.toml stands; `fix` says where some of it is to be tried (x, y [mm], turn [°]).

    What has no place yet is given one: for `seconds` better plans are looked for, or with `first` until one
    passes; `tell` hears of walks and bounds [m/day], `named` of why there is no plan, as soon as either is known.
    Ctrl-C or `stop` ends it with the best plan so far.

    Raises
    ------
    Refused
        The file has faults, an item is not in it, or everything has its place and breaks rules: all of them.
    """
    beside = beside or shop_beside(folder)
    file = room_file(folder, beside)
    tried = {} if fix is None else fix
    ids = _named(file.question, [*tried, *without])
    spots = {
        name: Placement(x_mm=x, y_mm=y, turned_deg=turn)
        for name, (x, y, turn) in zip(ids[: len(tried)], tried.values(), strict=True)
    }
    question = set_down(leave_out(file.question, ids[len(tried) :]), spots)
    file, moved = replace(file, question=question), _moved(question, spots)
    _air(beside[0], file)  # an air that is refused is refused before the search, not after it
    if any(item.placed is None for item in question.items):
        from flatstock.starting.room.solve.answering import answer  # OR-Tools takes half a second to come

        found = answer(question, seconds=seconds, first=first, tell=tell, named=named, stop=stop)
        return outcome_of(folder, beside, file, found, made_at, moved)
    plan = Plan(placements={item.id: item.placed for item in question.items if item.placed is not None})
    judgement = judge(question, plan)
    if judgement.faults:
        raise Refused(
            [Fault(" and ".join(b.about), b.text, _tried_at(moved, b.about)) for b in judgement.faults]
        )
    walk = walk_per_day(question, judgement.ways, plan)
    proof = Proof(status="feasible", walk_m_per_day=walk, grid_mm=question.grid_mm)
    return outcome_of(folder, beside, file, RoomAnswer(plan=plan, proof=proof), made_at, moved)


def retold(
    outcome: RoomOutcome, folder: Path, beside: Beside | None = None, *, file: RoomFile | None = None
) -> RoomOutcome:
    """The same answer with the air and the fire load of the shop as it is now. Raises `Refused` as `place_room`.

    `file`: what room.toml asks, where it is read already.
    """
    beside = beside or shop_beside(folder)
    file = file or room_file(folder, beside)
    now = _of_shop(beside[0], file, outcome.plan, unread=bool(beside[1]))
    return replace(outcome, document={**outcome.document, **now})


def room_file(folder: Path, beside: Beside) -> RoomFile:
    """What room.toml asks. Raises `Refused` with every fault of it."""
    shop, _ = beside
    return read_room(folder, shop=shop.name if shop else folder.absolute().name)


def _named(question: Question, names: Sequence[str]) -> list[str]:
    """The items as room.toml has them. Raises `Refused` for every name that is none."""
    return known_as(names, list(question.by_id), where="", none="room.toml has no item {}")


def _moved(question: Question, spots: Mapping[str, Placement]) -> list[Caveat]:
    """What is tried beside where it was asked for, as plans go by the grid."""
    found = []
    for name, asked in spots.items():
        at = question.by_id[name].placed
        if at is not None and at != asked:
            text = (
                f"places go by {metres(question.grid_mm)}: {name} is tried at {metres(at.x_mm)}, {metres(at.y_mm)};"
                " grid_mm in room.toml makes them finer"
            )
            found.append(Caveat("grid", name, text))
    return found


def _tried_at(moved: Sequence[Caveat], about: Sequence[str]) -> str:
    """What is said of those among the items and zones of a fault that are tried beside where they were asked for."""
    names = {split_zone(name)[0] for name in about}
    return "; ".join(one.text for one in moved if one.item in names)


def outcome_of(
    folder: Path,
    beside: Beside,
    file: RoomFile,
    answer: RoomAnswer,
    made_at: datetime | None,
    moved: Sequence[Caveat] = (),
) -> RoomOutcome:
    """The document with its warnings, its air and its fire load; `moved`: what is tried beside where it was asked."""
    (shop, said), question, plan = beside, file.question, answer.plan
    warned = caveats(question, plan, judge(question, plan).ways) if plan else []
    warned = [*moved, *warned]
    warned += [Caveat("shop", "", words) for words in said]
    more = _of_shop(shop, file, plan, unread=bool(said))
    document = room_document(question, answer, made_at=made_at, caveats=warned, more=more)
    system = shop.units_shown if shop else units_of(folder)
    paper = shop.paper if shop else "letter" if system == "us" else "a4"
    return RoomOutcome(document, question, plan, paper, system, answer.alternatives)


def _of_shop(shop: Workshop | None, file: RoomFile, plan: Plan | None, *, unread: bool) -> dict[str, Any]:
    """The parts that change with what the shop has in store; `unread`: it has files, with faults."""
    return {"air": _air(shop, file), "fire": _fire(shop, file, plan, unread=unread)}


def _air(shop: Workshop | None, file: RoomFile) -> Mapping[str, Any]:
    height = file.question.room.height_mm
    on_file = {lot.plastic for lot in shop.lots.values() if lot.mass > 0} if shop else set()
    return air_part(
        file.air,
        floor=floor_m2(file.question.room),
        height=None if height is None else height / 1000,
        inside=shop.room.value if shop else ROOM_C,
        plastics=sorted(on_file),
        energy_price=shop.energy_price if shop else None,
    )


def _fire(shop: Workshop | None, file: RoomFile, plan: Plan | None, *, unread: bool) -> Mapping[str, Any]:
    masses: defaultdict[tuple[str, str], float] = defaultdict(float)  # a shop may have thousands of lots
    for lot in shop.lots.values() if shop else ():
        if lot.mass > 0:
            masses[lot.plastic, lot.place or ""] += lot.mass
    lots = [Burning(plastic, mass, at) for (plastic, at), mass in masses.items()]
    read = None if unread and shop is None else lots
    return fire_part(file.fire, file.question, plan, lots=read, area=floor_m2(file.question.room))
