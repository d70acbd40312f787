"""Of plans that are equal in every level, the one whose sheets are pressed and ready soonest.

Nothing that is sought before says when in a free week a sheet without a due date is pressed: as it comes, on the last
day as well as on the first. People begin as soon as hands and presses are there. Nor does anything say that a mould
leaves its press when its dwell is over, where the next one needs the press only later: nobody leaves it in there so.
"""

from __future__ import annotations

from collections.abc import Callable, Container, Iterator, Mapping, Sequence
from dataclasses import replace
from types import MappingProxyType

from flatstock.planning.problem.clock import Span
from flatstock.planning.problem.schedule import Run
from flatstock.planning.problem.week import Week
from flatstock.planning.solve.chains import Chain
from flatstock.planning.solve.changing import CHANGES
from flatstock.planning.solve.course import HEAT, MOVED, Course, Goal
from flatstock.planning.solve.cpsat import Var, completed, evaluate, plain
from flatstock.planning.solve.first import near, settled
from flatstock.planning.solve.found import Found
from flatstock.planning.solve.naming import named
from flatstock.planning.solve.seeking import seek
from flatstock.planning.solve.settings import changeover
from flatstock.planning.solve.turns import add_turns
from flatstock.planning.solve.week_model import WeekModel

__all__ = ["sooner", "when_ripe"]

DAY = 24 * 60
AROUND = 60  #: minutes by which a step may lie elsewhere in a day than it did in another
MOVING, SHORTEST = 1.5, 0.1  #: s for a day that is moved, and with which nothing more is begun


def sooner(
    week: Week, found: Found, *, seconds: float, tell: Callable[[str, float, float], bool]
) -> Found | None:
    """A plan of the same week with no level worse and its sheets out of the hot presses and ready sooner, summed over
    them; None: none was found in the time. No sheet is loaded only to wait in its press: its stay counts too.

    `found`: a plan that was made of this very week and goes on from none.
    """
    course, values = _as_good(week, found, seconds=seconds, tell=tell, before={})
    model = course.model
    model.m.add(add_turns(model).minutes <= values.get(CHANGES, 0))
    pressed = [chain for chain in model.chains if found.schedule and chain.sheet.id in found.schedule.runs]
    for chain in pressed:
        model.m.add(chain.on == 1)
    total = sum(2 * chain.transfer - chain.load + chain.ready for chain in pressed)
    model.m.minimize(total)
    have = near(model.m, model.chains, found.values, around=0, grown=True)
    if have is None:
        return None
    was = plain(have)
    course.take(was)
    goal = Goal("soonest", total)
    if (moved := _days_sooner(course, have)) is not None:
        course.take(plain(moved))
    if course.left > SHORTEST and not course.stopped:
        seek(course, goal, course.left)
    better = [
        one for one in (*course.known, *([course.best] if course.best else [])) if goal.of(one) < goal.of(was)
    ]
    for answer in sorted(better, key=goal.of):
        whole = named(course, answer, {})
        if whole is not None and changeover(week, whole[0]) <= values.get(CHANGES, 0):
            kept = (answer.values or ())[: len(found.values)]
            return replace(found, schedule=whole[0], people=whole[1], values=kept)
    return None


def when_ripe(
    week: Week,
    found: Found,
    *,
    seconds: float,
    before: Mapping[str, Run] = MappingProxyType({}),
    emptied: bool = False,
) -> Found | None:
    """The same plan with no level worse in which no mould is in its hot press for longer than it has to: each leaves as
    soon after its planned dwell as the order of things allows, and what would wait there is loaded later, everything
    else at its minute. None: so it is in this plan, or that was not found in time.

    `before`: runs of the plan that people work by, where it goes on from one. `emptied`: each leaves its cooling press,
    its stack or rack and is sawn as soon as can be too.
    """
    course, _ = _as_good(week, found, seconds=seconds, tell=lambda *_: False, before=before)
    model, have = course.model, found.values
    pressed = [chain for chain in model.chains if found.schedule and chain.sheet.id in found.schedule.runs]
    ends = [end for _, end, _ in model.heated.values()]
    if not pressed or len(have) < model.own:
        return None
    sooner_ = [step for chain in pressed for step in _sooner_steps(chain, emptied=emptied)]
    later = [step for chain in pressed for step in _later_steps(chain)]
    loads = [chain.load for chain in pressed if not chain.begun("load")]
    total = (
        sum(sooner_) + sum(chain.transfer for chain in pressed if not chain.begun("transfer")) - sum(loads)
    )
    model.m.minimize(total + sum(ends))
    free = {step.index for step in (*sooner_, *later)}
    held = [
        (one, have[one.index], have[one.index])
        for one in (*(one for chain in model.chains for one in settled(chain)), *_switched_on(model))
        if one.index not in free
    ]
    held += [(one, week.start, have[one.index]) for one in (*sooner_, *ends)]
    held += [(one, have[one.index], have[one.index] + DAY) for one in later]
    put = completed(model.m, held, seconds=max(SHORTEST, course.left), hint=have[: model.own])
    if put is None or evaluate(total, plain(put)) >= evaluate(total, plain(have)):
        return None
    answer = plain(put)
    whole = named(course, answer, before)
    if whole is None:
        return None
    now = {HEAT: evaluate(model.energy, answer)}
    if model.moved_minutes is not None:
        now[MOVED] = evaluate(model.moved_minutes, answer)
    levels = tuple(replace(one, value=min(one.value, now.get(one.name, one.value))) for one in found.levels)
    levels = tuple(replace(one, bound=min(one.bound, one.value)) for one in levels)
    return replace(found, schedule=whole[0], people=whole[1], levels=levels, values=put[: len(have)])


def _switched_on(model: WeekModel) -> Iterator[Var]:
    """When each press is, and whether."""
    for start, _, used in model.heated.values():
        yield from (one for one in (start, used) if hasattr(one, "index"))


def _sooner_steps(chain: Chain, *, emptied: bool) -> Iterator[Var]:
    if not chain.begun("transfer"):
        yield chain.transfer
    if emptied:
        if not chain.begun("move") and not chain.begun("demould"):
            yield chain.leave
        if not chain.begun("demould"):
            yield chain.demould
        if chain.trim is not None and not chain.begun("trim"):
            yield chain.trim


def _later_steps(chain: Chain) -> Iterator[Var]:
    if not chain.begun("load"):
        yield chain.load
        if not chain.begun("prepare"):
            yield chain.prepare


def _as_good(
    week: Week,
    found: Found,
    *,
    seconds: float,
    tell: Callable[[str, float, float], bool],
    before: Mapping[str, Run],
) -> tuple[Course, dict[str, int]]:
    """The week in which no level is worse than it is in a plan, and its levels."""
    course = Course(week, seconds, lambda *_: tell("trying", 0.0, 0.0), repeatable=False)
    model, values = course.model, {one.name: int(one.value) for one in found.levels}
    for name, total in (
        ("over_latest_min", model.over_latest),
        ("late_sheets", model.late_sheets),
        ("late_min", model.late_minutes),
        ("sheets_after_closing", model.unfinished),
        (MOVED, model.moved(before) if before else None),
        (HEAT, model.energy),
    ):
        if total is not None and name in values:
            model.m.add(total <= values[name])
    return course, values


def _days_sooner(course: Course, values: Sequence[int]) -> Sequence[int] | None:
    """What is pressed in a stay put, as it is, into the first one that is free, for each stay in turn; None: nowhere.

    Piece by piece a whole day is seldom moved: every sheet of it has to go at once.
    """
    week, model, found = course.week, course.model, None
    for late in week.supervised():
        inside = _loaded_in(model, values, late)
        for free in week.supervised() if inside else ():
            if free.start >= late.start or course.left <= SHORTEST or course.stopped:
                break
            if not _loaded_in(model, values, free):
                by = DAY * round((late.start - free.start) / DAY)
                moved = completed(
                    model.m, list(_put(model, values, inside, by)), seconds=min(MOVING, course.left)
                )
                if moved is not None:
                    values = found = moved
                    break
    return found


def _loaded_in(model: WeekModel, values: Sequence[int], stay: Span) -> set[str]:
    return {
        c.sheet.id
        for c in model.chains
        if values[c.on.index] and stay.start <= values[c.load.index] < stay.end
    }


def _put(
    model: WeekModel, values: Sequence[int], names: Container[str], by: int
) -> Iterator[tuple[Var, int, int]]:
    """Some sheets about so many minutes sooner, in the same places, all others to the minute."""
    for chain in model.chains:
        around = AROUND if chain.sheet.id in names else 0
        held = [chain.on, *chain.press.values(), *chain.cooling.values(), *chain.stay.values()]
        yield from ((one, values[one.index], values[one.index]) for one in held)
        for start in (chain.load, chain.transfer, chain.leave, chain.demould):
            about = values[start.index] - (by if around else 0)
            yield start, about - around, about + around
