"""The least that changing set-point and colour takes, whichever kinds of sheet a press takes in which stay.

Of a stay only the kinds are known that are pressed in it. In any plan take the kinds of each stay by their first sheet
in it: from one to the next the platens went some way over other kinds, which is no shorter than the shortest way there
is. So a path through the kinds of all stays, stay after stay, that pays these shortest ways has no more minutes than
the plan. From a stay to the next only wiping is paid, as it is the less part of every change.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import product

from flatstock.planning.problem.week import Week
from flatstock.planning.solve.cpsat import Model, Var

__all__ = ["least_turns"]

Ways = Mapping[tuple[str, str], int]


def least_turns(m: Model, week: Week, press: str, inside: Mapping[tuple[int, str], Sequence[Var]]) -> Var:
    """Minutes of changing on one press; `inside`: by stay and kind, how many sheets it takes, a sum each."""
    keys = sorted({key for _, key in inside})
    change = _shortest(keys, {(a, b): week.changes.get((press, a, b), 0) for a, b in product(keys, keys)})
    wipe = _shortest(keys, {(a, b): week.cleans.get((a, b), 0) for a, b in product(keys, keys)})
    arcs: list[tuple[int, int, Var]] = [(0, 0, m.new_bool_var("nothing"))]
    total: list[Var] = []
    nodes = dict(enumerate(sorted(inside), 1))
    for n, node in nodes.items():
        there = m.new_bool_var("there")
        m.add(sum(inside[node]) == 0).only_enforce_if(~there)
        arcs += [(n, n, ~there), (0, n, m.new_bool_var("first")), (n, 0, m.new_bool_var("last"))]
    for (n, (k, a)), (i, (j, b)) in product(nodes.items(), nodes.items()):
        if n == i or j < k:
            continue
        next_ = m.new_bool_var("next")
        arcs.append((n, i, next_))
        minutes = change[a, b] if j == k else wipe[a, b]
        if minutes:
            total.append(minutes * next_)
    m.add_circuit(arcs)
    return sum(total)


def _shortest(keys: Sequence[str], ways: Ways) -> dict[tuple[str, str], int]:
    """From each to each, over any others."""
    found = {(a, b): 0 if a == b else ways[a, b] for a, b in product(keys, keys)}
    for over, a, b in product(keys, keys, keys):
        found[a, b] = min(found[a, b], found[a, over] + found[over, b])
    return found
