"""A whole plan to start the search from: by a rule, or what an earlier search of nearly the same week had."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from flatstock.planning.problem.schedule import Run, Schedule
from flatstock.planning.problem.stretches import stretches
from flatstock.planning.problem.week import Week
from flatstock.planning.solve.chains import Chain
from flatstock.planning.solve.cpsat import Model, Var, completed
from flatstock.planning.solve.ground import Heated

__all__ = [
    "AT_ONCE",
    "PATIENCE",
    "again",
    "as_before",
    "as_in",
    "kept_or_dropped",
    "near",
    "near_before",
    "settled",
]

AROUND = 60  #: minutes that a step may move from where an earlier plan had it
PATIENCE = 4.0  #: s
#: s for a plan in which all is settled: a tenth of one is enough where the machine is not busy
SETTLED = 12.0
SOONER, LATER = 15, (60, 240, 1440)  #: minutes that a step may move from where the plan before had it
SOON = 1.0  #: s for each try
#: s for each try of the first answer after something went wrong: what it leaves to be had is sought afterwards
AT_ONCE, KEPT_AT_ONCE, MORE_AT_ONCE = 0.55, 0.55, 0.35
NEAR_ENOUGH = 0.01  #: share that such a try may leave of what it minimises
STEPS = ("weigh", "prepare", "load", "transfer", "move", "demould", "trim")  #: as `_starts` lists them

Bounds = list[tuple[Var, int, int]]


def as_in(
    model: Model, week: Week, chains: Sequence[Chain], heated: Heated, schedule: Schedule
) -> list[Sequence[int]]:
    """The values of every variable in a plan that is there already; empty where the week doesn't allow it."""
    held = list(_as_in(week, schedule, chains, heated))
    values = completed(model, held, seconds=SETTLED)
    return [] if values is None else [values]


def near(
    model: Model,
    chains: Sequence[Chain],
    values: Sequence[int],
    *,
    around: int = AROUND,
    grown: bool = False,
    seconds: float = PATIENCE,
) -> Sequence[int] | None:
    """A plan with the same sheets in the same places, each step at about its time; None where none is found.

    `values` are those of an earlier search's variables; the same week with other durations has the same ones.
    `grown`: the model has got more of them since.
    """
    if len(values) != len(model.proto.variables) and not grown:
        return None
    held: Bounds = []
    for chain in chains:
        for literal in _choices(chain):
            held.append((literal, values[literal.index], values[literal.index]))
        for start in _starts(chain):
            held.append((start, values[start.index] - around, values[start.index] + around))
    return completed(model, held, seconds=seconds)


def again(
    model: Model, chains: Sequence[Chain], values: Sequence[int], *, left: float
) -> list[Sequence[int]]:
    """The plan of an earlier search of the same week: as it was, or with its steps moved a little; `left`: seconds."""
    if not values:
        return []
    found = near(model, chains, values, around=0, grown=True)
    if found is None:
        found = near(model, chains, values, grown=True, seconds=min(PATIENCE, max(SOON, 0.3 * left)))
    return [] if found is None else [found]


def as_before(
    model: Model, week: Week, chains: Sequence[Chain], runs: Mapping[str, Run], *, patience: float = AT_ONCE
) -> Sequence[int] | None:
    """The plan before with each step as near to its time as is found soon; None where none is found.

    `patience`: seconds for each try; where nobody waits for a first answer it may be more than is kept for that. First
    all of it stays to the minute, then the days to come do and what is left of this one moves, then everything
    may.
    """
    tonight = _tonight(week)
    for exact_from, later in ((week.start, 0), (tonight, LATER[0]), (week.end + 1, LATER[1])):
        held: Bounds = []
        for chain in chains:
            run = runs.get(chain.sheet.id)
            if run is not None:
                held += _held(week, chain, run, later, exact=run.load >= exact_from)
        values = completed(model, held, seconds=patience, gap=NEAR_ENOUGH)
        if values is not None:
            return values
    return None


def near_before(week: Week, chains: Sequence[Chain], runs: Mapping[str, Run], around: int) -> Bounds:
    """What keeps a plan near the one before: each mould is loaded and opened `around` its minute, and what was to be
    loaded in this stay up to a day later. Places, the scale and the saw are left open."""
    tonight, held = _tonight(week), list[tuple[Var, int, int]]()
    for chain in chains:
        run = runs.get(chain.sheet.id)
        if run is None:
            continue
        later = LATER[-1] if run.load < tonight else around
        for step, start, when in (("load", chain.load, run.load), ("demould", chain.demould, run.demould)):
            if not chain.begun(step):
                held.append((start, max(week.now, when - around), max(week.now, when) + later))
    return held


def _tonight(week: Week) -> int:
    """When the stay ends in which people are at work."""
    return min((span.end for span in week.supervised() if span.end > week.now), default=week.end)


def kept_or_dropped(
    model: Model, chains: Sequence[Chain], runs: Mapping[str, Run], *, patience: float = PATIENCE
) -> Sequence[int] | None:
    """Every sheet that has not begun at its minute or not at all; then a time is sought for those left out.

    `patience`: seconds more for it where it is not found at once.
    """
    held: Bounds = []
    waiting = [chain for chain in chains if chain.sheet.done is None]
    for chain in waiting:
        run = runs.get(chain.sheet.id)
        exact = [] if run is None else list(_exactly(chain, run))
        if run is None or not all(_allows(var, least) for var, least, _ in exact):
            held.append((chain.on, 0, 0))
            continue
        held += exact
        for choice, chosen in (
            (chain.press, run.press),
            (chain.cooling, run.cooling),
            (chain.stay, run.stay),
        ):
            held += [(literal, 0, 0) for place, literal in choice.items() if place != chosen]
    values = completed(model, held, seconds=KEPT_AT_ONCE, gap=NEAR_ENOUGH)
    if values is None and patience > 0:
        values = completed(model, held, seconds=patience, gap=NEAR_ENOUGH)
    if values is None:
        return None
    held = []
    for chain in waiting:
        if values[chain.on.index]:
            held.append((chain.on, 1, 1))
            held += [(start, values[start.index], values[start.index]) for start in _starts(chain)]
    return completed(model, held, seconds=MORE_AT_ONCE, hint=values, gap=NEAR_ENOUGH) or values


def _exactly(chain: Chain, run: Run) -> Iterator[tuple[Var, int, int]]:
    """Each step that has not begun at its minute."""
    whens = (run.weigh, run.prepare, run.load, run.transfer, run.leave, run.demould, run.trim)
    for step, start, when in zip(STEPS, _starts(chain), whens, strict=False):
        if when is not None and not chain.begun(step):
            yield start, when, when


def _allows(var: Var, value: int) -> bool:
    domain = list(var.proto.domain)
    return any(low <= value <= high for low, high in zip(domain[::2], domain[1::2], strict=True))


def _held(week: Week, chain: Chain, run: Run, later: int, *, exact: bool) -> Iterator[tuple[Var, int, int]]:
    """The same places, and each step to the minute or within what it may move; what has begun is as it is."""
    for step, choice, chosen in (
        ("load", chain.press, run.press),
        ("transfer", chain.cooling, run.cooling),
        ("move", chain.stay, run.stay),
    ):
        if not chain.begun(step):
            for place, literal in choice.items():
                yield literal, int(place == chosen), int(place == chosen)
    if exact:
        yield chain.on, 1, 1
        yield from _exactly(chain, run)
        return
    for step, start, when in (("load", chain.load, run.load), ("demould", chain.demould, run.demould)):
        if not chain.begun(step):
            yield start, max(week.now, when - SOONER), max(week.now, when) + later


def settled(chain: Chain) -> Iterator[Var]:
    """What settles a sheet's way: where it goes, and when each step with hands begins."""
    yield from _choices(chain)
    yield from _starts(chain)
    yield from chain.dryer.values()
    if chain.dry is not None:
        yield chain.dry


def _choices(chain: Chain) -> Iterator[Var]:
    places = (chain.press, chain.cooling, chain.stay, chain.session)
    yield chain.on
    yield chain.direct
    for choice in places:
        yield from choice.values()


def _starts(chain: Chain) -> Iterator[Var]:
    yield from (chain.weigh, chain.prepare, chain.load, chain.transfer, chain.leave, chain.demould)
    if chain.trim is not None:
        yield chain.trim


def _as_in(
    week: Week, schedule: Schedule, chains: Sequence[Chain], heated: Heated
) -> Iterator[tuple[Var, int, int]]:
    """What a schedule says of the variables: each with its least and its most."""

    def exactly(var: Var, value: int) -> tuple[Var, int, int]:
        return var, value, value

    for chain in chains:
        run = schedule.runs.get(chain.sheet.id)
        yield exactly(chain.on, int(run is not None))
        if run is None:
            continue
        whens = (run.weigh, run.prepare, run.load, run.transfer, run.leave, run.demould, run.trim)
        for start, when in zip(_starts(chain), whens, strict=False):
            if when is not None:
                yield exactly(start, when)
        if chain.dry is not None and run.dry is not None:
            yield exactly(chain.dry, run.dry)
        for choice, chosen in (
            (chain.press, run.press),
            (chain.cooling, run.cooling),
            (chain.stay, run.stay),
            (chain.dryer, run.dryer),
        ):
            for place, literal in choice.items():
                yield exactly(literal, int(place == chosen))
    listed = {press.id: stretches(week, press.id) for press in week.of_kind("hot_press")}
    for (press, k), (start, end, used) in heated.items():
        on, window = week.on_now(press), next(one.span for one in listed[press] if one.number == k)
        later = [one.span.start for one in listed[press] if window.start < one.span.start < window.end]
        begun = [
            (a, b)
            for a, b in schedule.heated.get(press, ())
            if window.start <= a < min(later, default=window.end)
            # what was off again before now is no part of the model
            and (b > week.now or (on is not None and a == max(on.start, window.start)))
        ]
        yield exactly(used, len(begun))
        for a, b in begun:
            yield exactly(start, a)
            yield exactly(end, b)
