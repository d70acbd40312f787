"""A plan made better piece by piece: most of it is held to the minute while a few sheets are planned anew.

Large-neighbourhood search with the same model: what is freed are the sheets of two supervised stays, or those loaded
within some hours and a few that are late or left out. How many are freed follows what a slice of time can settle.
Sheets that nothing tells apart are not kept in the order of their numbers here: that would tie the freed to the held.
The freed keep the order among themselves that they have, where no plan before has an order of its own for them.
"""

from __future__ import annotations

import random
import time
from collections import defaultdict
from collections.abc import Callable, Container, Sequence
from itertools import pairwise

from flatstock.planning.solve.chains import Chain
from flatstock.planning.solve.cpsat import Answer, Model, Search, Settings, Var, evaluate
from flatstock.planning.solve.first import settled
from flatstock.planning.solve.floor import likeness
from flatstock.planning.solve.week_model import WeekModel

__all__ = ["better_nearby", "held_but"]

SLICE = 3.0  #: s for each piece at most
FIRST_SIZE, LEAST_SIZE = 14, 4  #: sheets freed at once
PAIR, PAIRS = 20, 0.75  #: sheets of two stays that are freed together at most, and how often
TROUBLED = 4  #: of them late or left out, at most
ALONE = 0.35  #: how often sheets that have moved are freed without their neighbours
STALE = 14  #: pieces without a better plan, after which it is left
LATE_SHEET = 10_000  #: minutes that a late sheet counts while late sheets are sought


def better_nearby(
    model: WeekModel,
    goal: Var,
    values: Sequence[int],
    *,
    seconds: float,
    tell: Callable[[Sequence[int], float], bool],
    seed: int = 1,
) -> Sequence[int]:
    """Values of every variable with `goal` as small as was found; `tell` hears of each better plan and says whether
    to stop. Ctrl-C is passed on after the piece that is under way.

    The model holds what levels before this one have settled; `values` must fit it.
    """
    draw, end = random.Random(seed), time.monotonic() + seconds
    size, stale, pieces = FIRST_SIZE, 0, 0
    rough = model.late_minutes + 60 * model.unfinished
    sought = LATE_SHEET * goal + rough if goal is model.late_sheets else goal
    best = evaluate(sought, _plan(values))
    while stale < STALE and best > 0 and (left := end - time.monotonic()) > 0.3:
        back = goal is model.moved_minutes
        free = _to_bring_back(model, values, draw, size) if back else _freed(model, values, draw, size)
        piece = held_but(model, values, free)
        piece.minimize(sought)
        pieces += 1
        answer = Search(piece, Settings(min(SLICE, left), seed=pieces)).run(lambda *_: False)
        if answer.values is not None and (found := evaluate(sought, answer)) <= best:
            values, better = answer.values, found < best  # one as good leads elsewhere
            if better:
                best, stale = found, 0
                if tell(values, evaluate(goal, answer)):
                    break
                continue
        stale += 1
        whole = len(free) >= len(model.chains)
        if answer.status == "optimal" and whole:
            break
        size = size + 2 if answer.status == "optimal" else max(LEAST_SIZE, size - 1)
    return values


def held_but(model: WeekModel, values: Sequence[int], free: Container[str]) -> Model:
    """The model with every sheet but these where the plan has it, and the plan as its hint."""
    piece = model.m.clone()
    piece.clear_hints()  # type: ignore[no-untyped-call]  # OR-Tools gives it no types
    alike: dict[object, list[Chain]] = defaultdict(list)
    for chain in model.chains:
        if chain.sheet.id in free:
            if chain.sheet.done is None and chain.sheet.id not in model.before:
                alike[likeness(chain.sheet)].append(chain)
            continue
        for var in settled(chain):
            held = piece.get_int_var_from_proto_index(var.index)
            piece.add_linear_constraint(held, values[var.index], values[var.index])
    for chains in alike.values():
        pressed = sorted((c for c in chains if values[c.on.index]), key=lambda c: values[c.load.index])
        for one, other in pairwise(pressed):
            piece.add(one.load <= other.load).only_enforce_if(one.on, other.on)
    for index, value in enumerate(values):
        piece.add_hint(piece.get_int_var_from_proto_index(index), value)
    return piece


def _plan(values: Sequence[int]) -> Answer:
    return Answer("feasible", values, None, None, 0.0)


def _freed(model: WeekModel, values: Sequence[int], draw: random.Random, size: int) -> set[str]:
    """Numbers of the sheets that are planned anew."""
    waiting = [chain for chain in model.chains if chain.sheet.done is None]
    pressed = [chain for chain in waiting if values[chain.on.index]]
    troubled = [chain for chain in waiting if not values[chain.on.index] or _late(model, chain, values)]
    free = {chain.sheet.id for chain in draw.sample(troubled, min(TROUBLED, size // 3, len(troubled)))}
    stays = model.week.supervised()
    if not free and len(stays) > 1:
        both = draw.sample(stays, 2)
        inside = [c for c in pressed if any(stay.start <= values[c.load.index] < stay.end for stay in both)]
        if 0 < len(inside) <= PAIR and draw.random() < PAIRS:
            return {chain.sheet.id for chain in inside}
    if pressed:
        middle = values[draw.choice(pressed).load.index]
        pressed.sort(key=lambda chain: abs(values[chain.load.index] - middle))
        free |= {chain.sheet.id for chain in pressed[: size - len(free)]}
    return free


def _to_bring_back(model: WeekModel, values: Sequence[int], draw: random.Random, size: int) -> set[str]:
    """Sheets that have moved from the plan before, alone or with those that are loaded about where one of them was to
    be and where it is now."""
    open_ = [c for c in model.chains if values[c.on.index] and not c.begun("demould")]
    amounts = {c.sheet.id: _shift(model, c, values) for c in open_}
    moved = [name for name, minutes in amounts.items() if minutes]
    if not moved:
        return _freed(model, values, draw, size)
    if draw.random() < ALONE:
        return set(draw.sample(moved, min(size, len(moved))))
    name = draw.choices(moved, [amounts[one] for one in moved])[0]
    load = next(c.load for c in open_ if c.sheet.id == name)
    free = {name}
    for middle in (model.before[name].load, values[load.index]):
        near = sorted(open_, key=lambda c: abs(values[c.load.index] - middle))
        free |= {c.sheet.id for c in near[: size // 2]}
    return free


def _shift(model: WeekModel, chain: Chain, values: Sequence[int]) -> int:
    """Minutes by which a sheet's load and demould are not where they were to be."""
    old = model.before.get(chain.sheet.id)
    if old is None:
        return 0
    load, demould = values[chain.load.index], values[chain.demould.index]
    return int(abs(load - old.load) + abs(demould - old.demould))


def _late(model: WeekModel, chain: Chain, values: Sequence[int]) -> bool:
    ready, due = values[chain.ready.index], chain.sheet.due
    after = ready - chain.sheet.condition > model.week.closing
    return after or (due is not None and ready > due)
