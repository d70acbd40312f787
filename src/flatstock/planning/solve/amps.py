"""On no phase more than the connection is rated for, whatever is on at once."""

from __future__ import annotations

from itertools import combinations

from flatstock.planning.problem.week import Week
from flatstock.planning.solve.cpsat import Var
from flatstock.planning.solve.ground import Ground

__all__ = ["add_supply", "too_much"]

BEGINS = {"dwell": "load", "press_cool": "transfer"}  #: a stay has begun with the step before it


def add_supply(floor: Ground) -> None:
    """On no phase more than the connection is rated for, whatever is on at once.

    What can be on together is settled by steps: a set of steps whose loads add up to more than the rating on
    a phase, and no smaller set does, must not all run at once. Of such a set two steps are kept apart.
    """
    week = floor.week
    if week.rated is None:
        return
    for apart in too_much(week):
        one, other = (
            sorted(apart, key=lambda step: (step != "heated", step))[:2]
            if len(apart) > 1
            else (*apart, *apart)
        )
        _keep_apart(floor, one, other)


def too_much(week: Week) -> list[frozenset[str]]:
    """Smallest sets of steps that overload a phase when they run at once."""
    rated = week.rated or 0.0
    steps = sorted({step for load in week.loads for step in load.on_during} - {"always"})
    found: list[frozenset[str]] = []
    for size in range(1, len(steps) + 1):
        for some in combinations(steps, size):
            chosen = frozenset(some)
            if any(smaller <= chosen for smaller in found):
                continue
            on = [load for load in week.loads if load.on_during & (chosen | {"always"})]
            if any(sum(load.amps[phase] for load in on) > rated + 1e-6 for phase in range(3)):
                found.append(chosen)
    return found


def _spans(floor: Ground, step: str) -> list[tuple[Var, Var, Var, bool]]:
    """Start, end, use of every such step, and whether it has begun; of a heated press for "heated"."""
    t = floor.week.times
    if step == "heated":
        return [
            (*heating, floor.sessions[k].start < floor.week.now and floor.on_now(press) is not None)
            for (press, k), heating in floor.heated.items()
        ]
    found: list[tuple[Var, Var, Var, bool]] = []
    if step == "dry":
        return [
            (c.dry, c.dry + minutes, c.dryer[place], False)
            for c in floor.chains
            if c.dry is not None
            for place, minutes in c.sheet.to_dry.items()
        ]
    for c in floor.chains:
        ways: dict[str, tuple[Var, Var, Var] | None] = {
            "weigh": (c.weigh, c.weighed, c.on),
            "prepare": (c.prepare, c.prepare + t.prepare, c.on),
            "load": (c.load, c.loaded, c.on),
            "dwell": (c.loaded, c.transfer, c.on),
            "transfer": (c.transfer, c.clamped, c.on),
            "press_cool": (c.clamped, c.leave, c.on),
            "move": (c.leave, c.leave + t.move, c.moving),
            "demould": (c.demould, c.free, c.on),
            "trim": None if c.trim is None else (c.trim, c.trimmed, c.on),
        }
        way = ways.get(step)
        if way is not None:
            found.append((*way, c.begun(BEGINS.get(step, step))))
    return found


def _keep_apart(floor: Ground, one: str, other: str) -> None:
    """No step of the one kind while a step of the other runs. One kind alone that overloads never runs."""
    m = floor.m
    if one == other:
        for _, _, on, begun in _spans(floor, one):
            if not begun:
                m.add(on == 0)
        return
    for a_start, a_end, a_on, a_begun in _spans(floor, one):
        for b_start, b_end, b_on, b_begun in _spans(floor, other):
            if a_begun and b_begun:
                continue
            first = m.new_bool_var("first")
            m.add(a_end <= b_start).only_enforce_if([first, a_on, b_on])
            m.add(b_end <= a_start).only_enforce_if([~first, a_on, b_on])
