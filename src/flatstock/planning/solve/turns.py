"""Which mould follows which on each hot press, and the minutes of changing set-point and colour between them.

A path through the sheets of a press, as they are loaded: each pays the wiping from the one before it, and, where both
are pressed in one heated stay, the way from its set-point; the first of a stay is heated up to its own. It is added to
a week's model for the last level alone: it takes as many choices as there are pairs of sheets, and tells the levels
before nothing.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from flatstock.planning.problem.week import Kind, Week
from flatstock.planning.solve.chains import Chain
from flatstock.planning.solve.cpsat import Var
from flatstock.planning.solve.week_model import WeekModel

__all__ = ["Turns", "add_turns"]


@dataclass(slots=True)
class Turns:
    """The paths. `follows`: by the two sheets' numbers, whether the second is loaded next after the first."""

    minutes: Var  #: of changing, over all presses
    follows: dict[tuple[str, str, str], Var] = field(default_factory=dict)  #: by press, before, after


def add_turns(model: WeekModel) -> Turns:
    """Add them for what has not been loaded yet; the first of it pays nothing for what was before."""
    turns, total = Turns(0), []
    for press in model.week.of_kind("hot_press"):
        chains = [c for c in model.chains if press.id in c.press and not c.begun("load")]
        if len({c.sheet.kind.key for c in chains}) > 1:
            total += _path(model, press.id, chains, turns.follows)
    turns.minutes = sum(total)
    return turns


def _path(
    model: WeekModel, press: str, chains: Sequence[Chain], follows: dict[tuple[str, str, str], Var]
) -> list[Var]:
    m = model.m
    arcs: list[tuple[int, int, Var]] = [(0, 0, m.new_bool_var(f"nothing in {press}"))]
    into: dict[str, dict[str, Var]] = {}  #: by sheet, those that may be before it
    for n, chain in enumerate(chains, 1):
        name = chain.sheet.id
        arcs.append((n, n, ~chain.press[press]))
        arcs.append((0, n, m.new_bool_var(f"{name} first in {press}")))
        arcs.append((n, 0, m.new_bool_var(f"{name} last in {press}")))
        into[name] = {}
    for n, one in enumerate(chains, 1):
        for k, other in enumerate(chains, 1):
            if n == k:
                continue
            a, b = one.sheet.id, other.sheet.id
            next_ = m.new_bool_var(f"{b} after {a} in {press}")
            m.add(other.load >= one.clamped).only_enforce_if(next_)
            arcs.append((n, k, next_))
            into[b][a] = follows[press, a, b] = next_
    m.add_circuit(arcs)
    return _paid(model, press, chains, into)


def _paid(
    model: WeekModel, press: str, chains: Sequence[Chain], into: Mapping[str, Mapping[str, Var]]
) -> list[Var]:
    """What each sheet pays. One may be spared the way from another set-point in each stay: the first of it."""
    m, week, paid, spared = model.m, model.week, list[Var](), list[Var]()
    kinds = {chain.sheet.id: chain.sheet.kind for chain in chains}
    by_name = {chain.sheet.id: chain for chain in chains}
    for b, before in into.items():
        wipe = [week.cleans.get((kinds[a].key, kinds[b].key), 0) * next_ for a, next_ in before.items()]
        ways = {a: way for a in before if (way := _way(week, press, kinds[a], kinds[b]))}
        paid += wipe
        if not ways:
            continue
        most = max(ways.values())
        first = m.new_bool_var(f"{b} is heated up for in {press}")
        raised = m.new_int_var(0, most, f"to the set-point of {b} in {press}")
        m.add(raised >= sum(minutes * before[a] for a, minutes in ways.items()) - most * first)
        for a in ways:
            for key, inside in by_name[b].session.items():
                if key[0] == press and (there := by_name[a].session.get(key)) is not None:
                    m.add_bool_or([~first, ~before[a], ~inside, ~there])
        paid.append(raised)
        spared.append(first)
    if spared:
        m.add(sum(spared) <= sum(used for (at, _), (_, _, used) in model.heated.items() if at == press))
    return paid


def _way(week: Week, press: str, before: Kind, after: Kind) -> int:
    return week.ramps.get((press, before.dwell[press].set_point, after.dwell[press].set_point), 0)
