"""Plans that differ: in one, some machine stands somewhere else, not a step of the grid away."""

from __future__ import annotations

import time
from collections.abc import Iterable, Mapping
from contextlib import suppress
from itertools import count
from math import inf

from flatstock.starting.room.answer import Alternative
from flatstock.starting.room.check import judge
from flatstock.starting.room.document import walk_per_day
from flatstock.starting.room.plan import Plan
from flatstock.starting.room.question import Placement, Question, split_zone
from flatstock.starting.room.solve.search import Found, Searcher
from flatstock.starting.room.solve.spots import Spots
from flatstock.starting.room.solve.walks import Walks
from flatstock.starting.room.words import metres

__all__ = ["ELSEWHERE_MM", "alternatives", "differs", "left_out", "more_plans", "shortest_out"]

#: so far one machine that is walked to must be from where it is in each plan shown before
ELSEWHERE_MM = 1500
NOTED_MM = 500  # what is said of other machines
MOST_SAID = 3
SHOWN = 3
FRESH = 100  # seeds that no race begins with
A_START_S, MOST_IDLE = 0.6, 5  # how long each of them is followed [s], and how many of them in vain
SAME_M = 1e-6  # [m/day]
MOST_ALIKE = 30
Where = Mapping[str, Placement]


def alternatives(
    question: Question, best: Where, pool: Iterable[Found], *, most: int = SHOWN
) -> tuple[Alternative, ...]:
    """The best few plans that differ from `best` and from each other, each passed by the judge."""
    shown: list[Where] = [best]
    found: list[Alternative] = []
    left = len(question.items) - len(best)
    for one in sorted(pool, key=lambda f: f.order):
        if len(found) == most:
            break
        if one.left_out > left or any(
            _farthest(question, one.where, other) < ELSEWHERE_MM for other in shown
        ):
            continue
        plan = Plan(placements=one.where, left_out=left_out(question, one.where))
        judgement = judge(question, plan)
        walk = None if judgement.faults else walk_per_day(question, judgement.ways, plan)
        if walk is not None:
            shown.append(one.where)
            found.append(
                Alternative(plan=plan, walk_m_per_day=walk, differs=differs(question, best, one.where))
            )
    return tuple(found)


def more_plans(question: Question, spots: Spots, pool: list[Found], best: Where, until: float) -> list[Found]:
    """The pool with plans set down from nothing, until there are enough that differ, the time is over, or Ctrl-C."""
    found = list(pool)
    with suppress(KeyboardInterrupt):
        _add_plans(question, spots, found, best, until)
    return found


def _add_plans(question: Question, spots: Spots, found: list[Found], best: Where, until: float) -> None:
    walks, idle = Walks(question), 0
    shown = len(alternatives(question, best, found))
    for seed in count(FRESH):
        if shown >= SHOWN or idle >= MOST_IDLE or time.monotonic() >= until:
            break
        end = min(until, time.monotonic() + A_START_S)
        Searcher(question, spots, walks, seed=seed).run(end, meets=found.append)
        before, shown = shown, len(alternatives(question, best, found))
        idle = 0 if shown > before else idle + 1


def shortest_out(question: Question, best: Found, pool: Iterable[Found]) -> Found:
    """Of plans as good as the best that one whose ways out are the shortest, all together."""
    alike = [one for one in pool if one.left_out == best.left_out and abs(one.walk - best.walk) < SAME_M]
    found = {id(one): _out(question, one) for one in (best, *alike[:MOST_ALIKE])}
    return min((best, *alike[:MOST_ALIKE]), key=lambda one: found[id(one)])


def _out(question: Question, one: Found) -> float:
    """The ways out of a plan added up [mm]; infinite where the judge does not pass it with its walk."""
    plan = Plan(placements=one.where, left_out=left_out(question, one.where))
    judgement = judge(question, plan)
    walk = walk_per_day(question, judgement.ways, plan)
    if judgement.faults or (inf if walk is None else walk) > one.walk + SAME_M:
        return inf
    zones = (f"{i.id}.{z.id}" for i in question.items if i.id in one.where for z in i.zones if z.standing)
    return sum(judgement.ways.out(zone).walk_mm or 0 for zone in zones)


def differs(question: Question, best: Where, other: Where) -> str:
    """How one plan differs from another, in words: "SAW stands 2.40 m away, turned 90°; all else within 0.50 m"."""
    far = sorted(
        ((_moved(question, name, best, other), name) for name in other if name in best), reverse=True
    )
    said = []
    for distance, name in far[:MOST_SAID]:
        if distance >= NOTED_MM:
            turn = (other[name].turned_deg - best[name].turned_deg) % 360
            said.append(f"{name} stands {metres(distance)} away" + (f", turned {turn}°" if turn else ""))
    said += [f"{name} stands where it was left out" for name in other if name not in best]
    said += [f"{name} is left out" for name in best if name not in other]
    rest = sum(distance >= NOTED_MM for distance, _ in far) - min(len(far), MOST_SAID)
    if rest > 0:
        said.append(f"and {rest} more stand elsewhere")
    return "; ".join(said)


def left_out(question: Question, where: Where) -> dict[str, str]:
    return {
        item.id: "no place was found for it beside the rest"
        for item in question.items
        if item.id not in where
    }


def _farthest(question: Question, one: Where, other: Where) -> int:
    """How far that machine is from where it was that moved most, of those that somebody walks to [mm]."""
    if set(one) != set(other):
        return ELSEWHERE_MM
    walked = {split_zone(end)[0] for flow in question.flows for end in (flow.start, flow.to)}
    names = [name for name in one if name in walked] or list(one)
    return max((_moved(question, name, one, other) for name in names), default=0)


def _moved(question: Question, name: str, one: Where, other: Where) -> int:
    """How far the middle of a box is from where it was, legs along x and y together [mm]."""
    item = question.by_id[name]
    a, b = (item.footprint(where[name]).centre_twice for where in (one, other))
    return (abs(a[0] - b[0]) + abs(a[1] - b[1])) // 2
