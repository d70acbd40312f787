"""Dryers are filled once a load: charges of one kind go in together, up to its mass, and nothing comes in between."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

from flatstock.planning.problem.week import Site, Week
from flatstock.planning.solve.chains import Chain
from flatstock.planning.solve.cpsat import Model, Var

__all__ = ["add_dryers"]

GRAMS = 1000  #: in a kilogram: the model counts in whole numbers


def add_dryers(m: Model, week: Week, chains: Sequence[Chain]) -> None:
    """What every dryer allows of the charges that are still to be dried."""
    for place in week.of_kind("dryer"):
        there = [chain for chain in chains if place.id in chain.dryer]
        still = [chain.sheet.dried for chain in chains if chain.sheet.dried is not None]
        full_until = max((end for _, end, name in still if name == place.id), default=week.now)
        _masses(m, place, there)
        for chain in there:
            on, minutes = chain.dryer[place.id], chain.sheet.kind.dry[place.id]
            m.add(_start(chain) >= full_until).only_enforce_if(on)
            for out in place.absent:
                before = m.new_bool_var(f"{chain.sheet.id} dried before {place.id} is out")
                m.add(_start(chain) + minutes <= out.start).only_enforce_if([before, on])
                m.add(_start(chain) >= out.end).only_enforce_if([~before, on])
        for one, other in combinations(there, 2):
            _one_load(m, one, other, place.id)


def _start(chain: Chain) -> Var:
    assert chain.dry is not None  # it has a dryer to choose
    return chain.dry


def _masses(m: Model, place: Site, there: Sequence[Chain]) -> None:
    spans = [
        m.new_optional_fixed_size_interval_var(
            _start(c), c.sheet.kind.dry[place.id], c.dryer[place.id], f"{c.sheet.id} in {place.id}"
        )
        for c in there
    ]
    m.add_cumulative(spans, [1] * len(spans), place.capacity)
    if place.mass_max is not None:
        heavy = [-int(-c.sheet.kind.charge * GRAMS // 1) for c in there]
        m.add_cumulative(spans, heavy, int(place.mass_max * GRAMS))


def _one_load(m: Model, one: Chain, other: Chain, place: str) -> None:
    """Two charges in a dryer: in one load, or one load after the other."""
    both = [one.dryer[place], other.dryer[place]]
    names = f"{one.sheet.id} {other.sheet.id}"
    before, after, together = (
        m.new_bool_var(f"{way} {names}") for way in ("dried before", "dried after", "dried with")
    )
    m.add_bool_or([before, after, together, ~both[0], ~both[1]])
    m.add(_start(other) >= _start(one) + one.sheet.kind.dry[place]).only_enforce_if([before, *both])
    m.add(_start(one) >= _start(other) + other.sheet.kind.dry[place]).only_enforce_if([after, *both])
    if one.sheet.kind.key == other.sheet.kind.key:
        m.add(_start(one) == _start(other)).only_enforce_if([together, *both])
    else:
        m.add(together == 0)
