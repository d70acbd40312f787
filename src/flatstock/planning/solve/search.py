"""The levels of what is wanted, one after the other: each is settled, then held, while the next is sought."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import partial
from math import ceil
from types import MappingProxyType

from flatstock.planning.dispatch.rule import How
from flatstock.planning.problem.schedule import Run, Schedule
from flatstock.planning.problem.week import Week
from flatstock.planning.solve.beginning import Given, begin
from flatstock.planning.solve.changing import CHANGES, fewest_changes
from flatstock.planning.solve.course import HEAT, MOVED, OVER, Course, Goal
from flatstock.planning.solve.found import Found, Level
from flatstock.planning.solve.least import least_of
from flatstock.planning.solve.naming import named, with_crews
from flatstock.planning.solve.seeking import colder, no_hotter_than_needed, seek
from flatstock.planning.solve.settings import changeover
from flatstock.planning.solve.week_model import SOONER

__all__ = ["search"]

MOVED_FOR_LATE = 60  #: in a first plan, minutes that steps may move to save a late minute or a sheet
MOVED_FOR_OVER = 10_000  #: and for a minute that a mould stays hot past its latest
#: of the time left, for each level, and for heat, which falls as well while changes are sought
LEVEL_SHARE, HEAT_SHARE = 0.6, 0.3
LEVELS = 4  #: that are sums of the model's variables in every week; after them come the changes
ROUNDING = 1e-6  #: what the solver's bound may lack of a whole number
FIRST = 2.0  #: s at least for a plan at all, where none was there to begin from
WHOLE_OF_HEAT = 0.15  #: of heat's time, for all at once before piece by piece
WHOLE_OF_MOVED, LEAST_BACK = 0.1, 0.8  #: the same for what is moved, and s for it: so it is found soonest
#: of the time left, and s at most, for a bound from how sheets share the stays
BOUND_SHARE, LEAST_BOUND = 0.1, 3.0
BOUND_FLOOR, SHORTEST_BOUND = 0.5, 0.1  #: s at least where there is time, and s with which none is begun
SHORTEST = 0.2  #: s with which no level is begun any more


def search(
    week: Week,
    *,
    seconds: float,
    tell: Callable[[str, float, float], bool] = lambda *_: False,
    start: Sequence[int] = (),
    levels: int = 5,
    repeatable: bool = False,
    by_rule: bool = True,
    before: Mapping[str, Run] = MappingProxyType({}),
    soonest: frozenset[str] = frozenset(),
    like: Schedule | None = None,
    how: How | None = None,
) -> Found:
    """The best plan that `seconds` allow; `tell` hears level, value and bound, and says whether to stop.

    `levels`: how many of the five that every week has are sought, the others are left as they fall. `start`: the
    values of an earlier search of the same week with other durations; it need not fit. `by_rule`: else it starts from
    a priority rule's plan. `before`: runs of an earlier plan of this week, which it starts from where they can be
    brought to fit. `like`: a plan of this week with less of something, which it may begin from as it is. `how`: the
    priority rules' way that an earlier search of this week began from, taken again where its plan doesn't fit.
    `repeatable`: the same plan each time, by one worker; `seconds` are the solver's own then, in which it counts its
    steps, and the clock may show more.
    """
    given = Given(values=start, like=like, before=before, how=how, by_rule=by_rule, soonest=soonest)
    return _Search(Course(week, seconds, tell, repeatable=repeatable), given).run(levels)


class _Search:
    """One search through the levels; what is found is held as the least that later levels must keep."""

    def __init__(self, course: Course, given: Given) -> None:
        self.course, self.given, self.how = course, given, given.how
        self.many = 0  #: of the model's variables that any search of such a week has
        self.bounds: dict[str, float] = {}
        self.wanted = self._wanted()

    def _wanted(self) -> list[Goal]:
        """Late sheets, late minutes, sheets after closing, energy, in this order; and what only some weeks have."""
        course, given, model = self.course, self.given, self.course.model
        wanted = [
            Goal("late_sheets", model.late_sheets),
            Goal("late_min", model.late_minutes),
            Goal("sheets_after_closing", model.unfinished),
        ]
        roughly = model.late_sheets + model.late_minutes + model.unfinished
        if given.soonest:
            wanted = [Goal("ready_min", model.last_ready(given.soonest))]
            roughly = wanted[0].sum
        elif given.before:  # people are at work by the plan before: it is left as it is where nothing is lost
            moved = model.moved(given.before)
            wanted.append(Goal(MOVED, moved, whole=WHOLE_OF_MOVED, nearby=LEAST_BACK))
            roughly = MOVED_FOR_LATE * roughly + moved  # what is lost weighs more than what is moved
        if not given.soonest:
            # a plan that is gone on from stays where it is; one made anew heats in the first stays that do
            heat, unit = (model.energy, 1) if given.before else (model.energy_soonest, SOONER)
            between = partial(colder, course, heat)
            wanted.append(Goal(HEAT, heat, whole=WHOLE_OF_HEAT, unit=unit, between=between))
        if model.over_latest is not None:  # nothing is gained by leaving a mould in its press too long
            wanted.insert(0, Goal(OVER, model.over_latest))
            roughly = roughly + MOVED_FOR_OVER * model.over_latest
        course.roughly = roughly
        return wanted

    def run(self, levels: int) -> Found:
        """Every level in its order, then the changes; then every step gets its people."""
        course, before = self.course, self.given.before
        self.many = len(course.model.m.proto.variables)
        try:
            self.how = begin(course, self.given, self.wanted)
            settled = self._levels(levels)
            if course.best is not None and not self.given.soonest:
                self._changes(settled, sought=levels > LEVELS and not before)
            with_crews(course, self.wanted, before)
        except KeyboardInterrupt:  # between two searches; in one it is heard there
            if course.best is None:
                raise
            course.stopped = True
        if course.best is None:
            return Found(None, {}, (), course.status, course.spent)
        return self._found()

    def _levels(self, levels: int) -> dict[str, float]:
        """One level after the other; what each reached is held. The first `levels` are sought, and before them what
        only a week under way has. What each level came to."""
        course, model, whole = self.course, self.course.model, levels
        levels += bool(self.given.before) + (self.wanted[0].name == OVER)
        settled: dict[str, float] = {}
        for index, goal in enumerate(self.wanted):
            if goal.name == HEAT and course.best is not None and not self.given.before:
                no_hotter_than_needed(course, goal)
            value = None if course.best is None else goal.value(course.best)
            bound = self._least(goal.name, settled) if value else 0.0
            self.bounds[goal.name] = bound
            if bound > 0:
                model.m.add(goal.sum >= goal.unit * int(bound))
            time_for_it = course.left > SHORTEST and not course.stopped
            sought = value is None or (value > 0 and index < levels and time_for_it)
            if sought or value is None:
                last = goal is self.wanted[-1]
                share = (
                    LEVEL_SHARE if not last else 1.0 if whole <= LEVELS or self.given.before else HEAT_SHARE
                )
                seconds = max(course.left * share, FIRST if value is None else 0.0)
                answer = seek(course, goal, seconds, start=self.given.values)
                if course.best is None:
                    return settled
                # every level is a whole number
                self.bounds[goal.name] = max(bound, goal.told(float(ceil((answer.bound or 0.0) - ROUNDING))))
                value = goal.value(course.best)
            settled[goal.name] = value
            model.m.add(goal.sum <= goal.unit * (int(value) + 1) - 1)
            if sought and value > 0:
                course.tighten()
        return settled

    def _least(self, name: str, settled: Mapping[str, float]) -> float:
        """What no plan can undercut, whatever is searched."""
        if self.course.stopped:
            return 0.0
        seconds = min(LEAST_BOUND, BOUND_SHARE * self.course.left)
        first = not self.given.values  # of what is asked later no bound is kept
        if first and self.given.by_rule and not self.given.before:  # nobody waits for the first answer
            seconds = max(seconds, BOUND_FLOOR)
        if seconds < SHORTEST_BOUND or self.course.repeatable:  # how far it comes depends on the clock
            return 0.0
        return least_of(name, self.course.week, settled, seconds=seconds)

    def _changes(self, settled: dict[str, float], *, sought: bool) -> None:
        """The changes of the best plan, and fewer where they are `sought` and there is time."""
        course = self.course
        assert course.best is not None
        value = changeover(course.week, course.model.schedule(course.best))
        bound = self._least(CHANGES, settled) if value else 0.0
        if sought and value > bound and course.left >= SHORTEST and not course.stopped:
            bound = max(bound, fewest_changes(course))
        self.bounds[CHANGES] = bound

    def _found(self) -> Found:
        """The best plan for which there are people to name, else the last one before it; its own values are told."""
        course, spent, bounds = self.course, self.course.spent, self.bounds
        for answer in reversed([*course.known, *([course.best] if course.best else [])]):
            found = named(course, answer, self.given.before)
            if found is None:
                continue
            schedule, people = found
            values = {goal.name: goal.value(answer) for goal in self.wanted}
            if not self.given.soonest:
                values[CHANGES] = float(changeover(course.week, schedule))
            levels = tuple(
                Level(name, value, min(bounds.get(name, 0.0), value)) for name, value in values.items()
            )
            proven = all(level.bound >= level.value - ROUNDING for level in levels)
            return Found(
                schedule=schedule,
                people=people,
                levels=levels,
                status="optimal" if proven else "feasible",
                seconds=spent,
                stopped=course.stopped,
                values=(answer.values or ())[: self.many],
                how=self.how,
            )
        return Found(None, {}, (), "unknown", spent)
