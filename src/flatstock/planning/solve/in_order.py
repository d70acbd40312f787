"""The kinds of sheet of a supervised stay one after the other, in the order that changes set-point and colour least.

A neighbourhood of a plan with the same model: one stay is planned anew with the sheets of each kind in a row, those due
first ahead; or two, of which one gives all its sheets of a kind to the other, and gets as many of another kind, or
none, that share their frames. So little is left open that the best of it is soon known, where planning such a stay
anew in any order is not. A plan that takes a kind in two goes is left to `neighbours`.
"""

from __future__ import annotations

import time
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations, pairwise, permutations, product

from flatstock.planning.problem.week import Week
from flatstock.planning.solve.chains import Chain
from flatstock.planning.solve.cpsat import Model, Search, Settings, Var, evaluate, plain
from flatstock.planning.solve.neighbours import held_but
from flatstock.planning.solve.turns import Turns
from flatstock.planning.solve.week_model import WeekModel

__all__ = ["kinds_in_order"]

#: s at most for one stay, and for two of which less comes, and s with which none is begun
ALONE, SLICE, SHORTEST = 8.0, 4.0, 0.3
FEW_KINDS = 6  #: whose every order is looked at
NEVER = 10**7
Stay = Mapping[int, Sequence[Chain]]  #: by its number, what is pressed in it as it is loaded


@dataclass(frozen=True, slots=True)
class _Try:
    """Which stays, and in which of them sheets are pressed that were in the other."""

    stays: tuple[int, ...]
    gone: tuple[tuple[str, int], ...] = ()


def kinds_in_order(
    model: WeekModel,
    turns: Turns,
    goal: Var,
    values: Sequence[int],
    *,
    seconds: float,
    tell: Callable[[Sequence[int], float], bool],
) -> None:
    """`tell` hears of each plan with less of `goal`, and says whether to stop. Ctrl-C is passed on after the piece that
    is under way.

    The model holds what levels before this one have settled; `values` must fit it.
    """
    end, tried = time.monotonic() + seconds, set[_Try]()
    best, many = evaluate(goal, plain(values)), len(values)
    while (left := end - time.monotonic()) > SHORTEST:
        inside = _stays(model, values)
        one = next((one for one in _tries(model.week, inside) if one not in tried), None)
        if one is None:
            return
        tried.add(one)
        piece = _piece(model, turns, values, inside, one)
        piece.add(goal <= int(best) - 1)
        piece.minimize(goal)
        answer = Search(piece, Settings(min(SLICE if one.gone else ALONE, left))).run(lambda *_: False)
        if answer.values is None:
            continue
        values, best = answer.values[:many], evaluate(goal, answer)
        tried = {other for other in tried if not set(other.stays) & set(one.stays)}
        if answer.status == "optimal":
            tried |= {_Try((k,)) for k in one.stays}
        if tell(values, best):
            return


def _stays(model: WeekModel, values: Sequence[int]) -> dict[int, list[Chain]]:
    """What is pressed in each stay and not yet loaded, in the order of loading."""
    found: dict[int, list[Chain]] = defaultdict(list)
    for chain in sorted(model.chains, key=lambda chain: values[chain.load.index]):
        for (_, k), inside in chain.session.items():
            if values[inside.index] and not chain.begun("load"):
                found[k].append(chain)
    return found


def _tries(week: Week, inside: Stay) -> Iterator[_Try]:
    """Each stay with several kinds; then two stays, those first that promise to change most less."""
    yield from (_Try((k,)) for k, chains in sorted(inside.items()) if len(_kinds(chains)) > 1)
    ways: list[tuple[int, _Try]] = []
    for k, j in product(inside, inside):
        if k == j:
            continue
        before = _path(week, _kinds(inside[k])) + _path(week, _kinds(inside[j]))
        for kind in set(_kinds(inside[k])) & set(_kinds(inside[j])):
            given = [chain for chain in inside[k] if chain.sheet.kind.key == kind]
            for got in ([], *_got(inside[j], given, sooner=k < j)):
                there = [c for c in inside[k] if c not in given] + got
                other = [c for c in inside[j] if c not in got] + given
                less = before - _path(week, _kinds(there)) - _path(week, _kinds(other))
                if less > 0:
                    gone = [(c.sheet.id, j) for c in given] + [(c.sheet.id, k) for c in got]
                    ways.append((less, _Try(tuple(sorted((k, j))), tuple(sorted(gone)))))
    yield from (one for _, one in sorted(ways, key=lambda way: (-way[0], way[1].stays, way[1].gone)))


def _got(chains: Sequence[Chain], given: Sequence[Chain], *, sooner: bool) -> Iterator[list[Chain]]:
    """Of each other kind in the same frames as many: the first of them, where they go to an earlier stay."""
    frames = {frame for chain in given for frame in chain.sheet.kind.frames}
    own = given[0].sheet.kind.key
    for kind in _kinds(chains):
        of = [c for c in chains if c.sheet.kind.key == kind and frames & set(c.sheet.kind.frames)]
        if kind != own and len(of) >= len(given):
            of.sort(key=_due)
            yield of[: len(given)] if sooner else of[-len(given) :]


def _due(chain: Chain) -> int:
    return NEVER if chain.sheet.due is None else chain.sheet.due


def _kinds(chains: Iterable[Chain]) -> list[str]:
    return sorted({chain.sheet.kind.key for chain in chains})


def _path(week: Week, kinds: Sequence[str]) -> int:
    """Minutes of changing in the best order of some kinds on a press; of very many kinds as they are listed."""
    press = week.of_kind("hot_press")[0].id
    orders = permutations(kinds) if len(kinds) <= FEW_KINDS else [tuple(kinds)]
    return min(sum(week.changes.get((press, a, b), 0) for a, b in pairwise(order)) for order in orders)


def _piece(model: WeekModel, turns: Turns, values: Sequence[int], inside: Stay, one: _Try) -> Model:
    free = [chain for k in one.stays for chain in inside[k]]
    names = {chain.sheet.id for chain in free}
    piece = held_but(model, values, names)
    held = [c for c in model.chains if c.sheet.id not in names and values[c.on.index]]
    held.sort(key=lambda chain: values[chain.load.index])
    place = {chain.sheet.id: n for n, chain in enumerate(held)}
    for (_, a, b), next_ in turns.follows.items():
        if a in place and b in place and place[b] != place[a] + 1:
            piece.add(next_ == 0)
    pressed_in = {chain.sheet.id: k for k in one.stays for chain in inside[k]} | dict(one.gone)
    by_kind: dict[tuple[int, str], list[Chain]] = defaultdict(list)
    for chain in free:
        own = pressed_in[chain.sheet.id]
        by_kind[own, chain.sheet.kind.key].append(chain)
        for (_, k), there in chain.session.items():
            if k != own:
                piece.add(there == 0)
    presses = [site.id for site in model.week.of_kind("hot_press")]
    for chains in by_kind.values():
        for x, y in combinations(sorted(chains, key=_due), 2):
            _one_first(piece, presses, x, y)
    for ((k, a), those), ((j, b), these) in combinations(by_kind.items(), 2):
        if k == j:
            first = piece.new_bool_var(f"{a} before {b} in {k}")
            for x, y in product(those, these):
                _one_first(piece, presses, x, y, first)
                _one_first(piece, presses, y, x, ~first)
    return piece


def _one_first(piece: Model, presses: Sequence[str], x: Chain, y: Chain, *where: Var) -> None:
    """One sheet has left a press before the other comes into it."""
    for press in presses:
        if press in x.press and press in y.press:
            piece.add(y.load >= x.clamped).only_enforce_if(x.press[press], y.press[press], *where)
