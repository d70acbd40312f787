"""A whole plan to start the search from: by a rule, or what an earlier search of nearly the same week had."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from flatstock.planning.dispatch.rule import dispatch
from flatstock.planning.problem.clock import Span
from flatstock.planning.problem.schedule import Run, Schedule
from flatstock.planning.problem.week import Week
from flatstock.planning.solve.chains import Chain
from flatstock.planning.solve.cpsat import Model, Var, completed
from flatstock.planning.solve.floor import Heated

__all__ = ["as_before", "as_in", "by_rule", "near"]

AROUND = 60  #: minutes that a step may move from where an earlier plan had it
PATIENCE = 4.0  #: s
SOONER, LATER = 15, (60, 240, 1440)  #: minutes that a step may move from where the plan before had it
SOON = 1.5  #: s for each of them

Bounds = list[tuple[Var, int, int]]


def by_rule(model: Model, week: Week, chains: Sequence[Chain], heated: Heated) -> list[Sequence[int]]:
    """The values of every variable in the plan of the best priority rule; empty where there is none."""
    found = dispatch(week)
    return [] if found is None else as_in(model, week, chains, heated, found.schedule)


def as_in(
    model: Model, week: Week, chains: Sequence[Chain], heated: Heated, schedule: Schedule
) -> list[Sequence[int]]:
    """The values of every variable in a plan that is there already; empty where the week doesn't allow it."""
    held = list(_as_in(schedule, chains, heated, week.supervised()))
    values = completed(model, held, seconds=PATIENCE)
    return [] if values is None else [values]


def near(
    model: Model, chains: Sequence[Chain], values: Sequence[int], *, around: int = AROUND, grown: bool = False
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
    return completed(model, held, seconds=PATIENCE)


def as_before(
    model: Model, week: Week, chains: Sequence[Chain], runs: Mapping[str, Run]
) -> Sequence[int] | None:
    """The plan before with each step as near to its time as is found soon; None where none is found."""
    for later in LATER:
        held: Bounds = []
        for chain in chains:
            run = runs.get(chain.sheet.id)
            if chain.sheet.done is not None or run is None:
                continue
            for choice, chosen in (
                (chain.press, run.press),
                (chain.cooling, run.cooling),
                (chain.stay, run.stay),
            ):
                held += [
                    (literal, int(place == chosen), int(place == chosen)) for place, literal in choice.items()
                ]
            for start, when in ((chain.load, run.load), (chain.demould, run.demould)):
                held.append((start, max(week.now, when - SOONER), max(week.now, when) + later))
        values = completed(model, held, seconds=SOON)
        if values is not None:
            return values
    return None


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
    schedule: Schedule, chains: Sequence[Chain], heated: Heated, windows: Sequence[Span]
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
        for choice, chosen in (
            (chain.press, run.press),
            (chain.cooling, run.cooling),
            (chain.stay, run.stay),
        ):
            for place, literal in choice.items():
                yield exactly(literal, int(place == chosen))
    for (press, k), (start, end, used) in heated.items():
        begun = [(a, b) for a, b in schedule.heated.get(press, ()) if windows[k].start <= a < windows[k].end]
        yield exactly(used, len(begun))
        for a, b in begun:
            yield exactly(start, a)
            yield exactly(end, b)
