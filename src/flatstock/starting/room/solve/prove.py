"""Proofs: that a room is impossible, that no plan walks less than a bound.

The model without walking is solved; its plan is walked through; what walking forbids or costs comes back as cuts, and
it is solved again. The model never forbids a plan that passes, so its refusal is proof and its bound holds at every
step; it ends when a plan that passes walks no more than the bound.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from math import inf
from typing import Literal

from flatstock.starting.room.check import judge
from flatstock.starting.room.document import walk_per_day
from flatstock.starting.room.plan import Plan
from flatstock.starting.room.question import Placement, Question
from flatstock.starting.room.solve.cpsat import solve
from flatstock.starting.room.solve.cuts import Cut, Explainer, Learnt, exactly
from flatstock.starting.room.solve.master import Master
from flatstock.starting.room.solve.room_to_walk import room_to_walk
from flatstock.starting.room.solve.spots import Spots

__all__ = ["TOLERANCE", "Proven", "prove"]

GAPS = ("apart", "hot_gap")  # rules that the model keeps in steps only
TOLERANCE = 1e-3  # [m/day]: a plan that is so near its bound is the best
Status = Literal["optimal", "impossible", "unknown"]


@dataclass(frozen=True, slots=True)
class Proven:
    """How far a proof came."""

    status: Status
    bound: float  #: no plan walks less [m/day]
    where: Mapping[str, Placement] | None  #: the best plan that was met on the way
    walk: float | None
    rounds: int


def prove(
    question: Question,
    spots: Spots,
    *,
    until: float,
    best: tuple[Mapping[str, Placement], float] | None = None,
    bounds: Callable[[Master], None] = lambda _: None,
    learnt: Learnt | None = None,
    goal: bool = True,
    workers: int = 2,
    stop: Callable[[], bool] = lambda: False,
    meets: Callable[[Mapping[str, Placement]], None] = lambda _: None,
    tell: Callable[[float, Mapping[str, Placement] | None, float], None] = lambda *_: None,
) -> Proven:
    """Prove until the clock says `until`.

    Parameters
    ----------
    best
        A plan that passes, and its walk: only better ones are looked for.
    bounds
        Adds what is proven elsewhere.
    learnt
        What is known already of this question or what it is a part of; what is found out joins it.
    goal
        False: any plan that passes ends it.
    meets
        Hears of each plan of boxes and zones before it is walked through.
    tell
        Hears of each new bound and better plan.
    """
    where, walk = best or (None, None)
    learnt = Learnt() if learnt is None else learnt
    master, explainer = Master(question, spots), Explainer(question, spots)
    bounds(master)
    goal = goal and bool(question.flows)
    if goal:
        master.minimise()
    if walk is not None:
        if not goal:
            return Proven("optimal", walk, where, walk, 0)
        master.below(walk)
    bound, rounds, known, walked = 0.0, 0, 0, goal
    while (left := until - time.monotonic()) > 0 and not stop():
        known, cuts = learnt.since(known, question)
        for cut in cuts:
            master.cut(cut.boxes, cut.walk)
        # not before a plan was walked through: what boxes and zones alone say is said at once
        if known and not walked:
            room_to_walk(master)
            walked = True
        answer = solve(master.model, seconds=left, workers=workers, stop=stop, lean=not goal)
        rounds += 1
        if answer.status == "impossible":
            if where is None:
                return Proven("impossible", bound, None, None, rounds)
            return Proven("optimal", walk or 0.0, where, walk, rounds)
        if answer.bound is not None:
            bound = max(bound, min(master.metres(answer.bound), walk if walk is not None else inf))
            tell(bound, where, walk or 0.0)
        if answer.values is None:
            break
        found = master.where(answer)
        meets(found)
        plan = Plan(placements=found)
        judgement = judge(question, plan)
        total = None if judgement.faults else walk_per_day(question, judgement.ways, plan)
        if total is not None and (walk is None or total < walk):
            where, walk = found, total
            tell(bound, where, walk)
            if not goal or walk <= bound + TOLERANCE:
                return Proven("optimal", min(bound, walk) if goal else walk, where, walk, rounds)
            master.below(walk)
        cuts = explainer.cuts(found, master.walked(answer))
        if not cuts and total is None:
            # a gap is between two things wherever the rest stands; whatever is walked depends on all of them
            gap = next((f for f in judgement.faults if f.rule in GAPS), None)
            blamed = set(found) if gap is None else set(gap.about)
            cuts = [Cut(tuple(exactly(question, found, blamed)))]
        elif not cuts and not goal:
            break
        learnt.add(cuts)
    return Proven("unknown", bound, where, walk, rounds)
