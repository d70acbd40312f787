"""A whole plan to begin from: ways to one, what keeps most of an earlier plan first; the best of what they find.

A way is tried while nothing is there yet that loses no more than the plan before, some in any case. Where a plan is
made anew the priority rules' is made better by its orders sooner and later, and by asking for one with nothing late as
a whole.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from flatstock.planning.dispatch.kept_order import in_kept_order
from flatstock.planning.dispatch.rule import Dispatched, How, dispatch, dispatches, reordered
from flatstock.planning.dispatch.sawing import worth
from flatstock.planning.problem.schedule import Run, Schedule
from flatstock.planning.solve.course import MANY, MOVED, Course, Goal
from flatstock.planning.solve.cpsat import evaluate, improve, plain
from flatstock.planning.solve.first import (
    AT_ONCE,
    PATIENCE,
    again,
    as_before,
    as_in,
    kept_or_dropped,
    near_before,
)
from flatstock.planning.solve.fitted_again import fitted_again
from flatstock.planning.solve.naming import nobody_missing

__all__ = ["Given", "begin"]

WHOLE_SHARE, LEAST_WHOLE = 0.6, 1.0  #: of the time, and s, for a plan with nothing late and everything done
#: minutes that days to come may move from the plan before, the fewest in which there is a plan
NEARER = (60, 240, 480)
#: of the time left for it, s with less than which none is sought, and s that it has at least after a first answer
NEARER_SHARE, LEAST_NEARER, NEARER_AT_LEAST = 0.6, 0.8, 1.5
FEW = 8  #: sheets late or not done, at most, for it to be worth while
REORDER_SHARE = 0.25  #: of the time left, for orders sooner and later in the rule's plan
REPEATED, MOST_TRIES = 12, 100_000  #: of them, where the clock may not count and where it does
PATIENT_SHARE = 0.25  #: of the time left, for each try to keep the plan before, where a date is asked for
RULED_SHARE = 0.3  #: of the time left, for the priority rules
#: s that they have at least where the plan before can't be brought to fit, or loses something: they are the one way
#: then to an answer that loses less, and five or six of their plans come in that time
RULED_AT_ONCE = 0.6
MENDED_AT_ONCE = 0.5  #: s for ways to mend the plan before; one is tried whatever it takes
#: and for a plan of which the heat model asks more, where there is time: all of them take that long
MENDED_LATER = 2.0

Plans = list[Sequence[int]]  #: values of every variable


@dataclass(frozen=True, slots=True, kw_only=True)
class Given:
    """What there is already to begin from."""

    #: of an earlier search of the same week with other durations; they need not fit
    values: Sequence[int] = ()
    like: Schedule | None = None  #: a plan of this week, perhaps with less of something
    before: Mapping[str, Run] = field(default_factory=dict)  #: runs of the plan that people work by
    how: How | None = None  #: the priority rules' way that an earlier search of this week began from
    by_rule: bool = True  #: whether the priority rules may be asked
    soonest: frozenset[str] = frozenset()  #: sheets that are to be ready as soon as can be


@dataclass(frozen=True, slots=True)
class _Way:
    """How to come to a plan. `always`: else while those found lose something."""

    find: Callable[[], Plans]
    always: bool = False


def begin(course: Course, given: Given, wanted: Sequence[Goal]) -> How | None:
    """Begin a search from the best plan that the ways find; by which of the rules' ways, where it was one."""
    return _Beginning(course, given).run(wanted)


class _Beginning:
    """The ways, and what they have found so far."""

    def __init__(self, course: Course, given: Given) -> None:
        self.course, self.given, self.model = course, given, course.model
        self.found: Plans = []
        self.ruled: Dispatched | None = None
        self.how = given.how
        known = given.before
        if not known and given.like is not None and given.values:
            known = given.like.runs
        late, _, open_ = worth(course.week, known) if known else (0.0, 0.0, 0.0)
        #: sheets late or not done by the plan that people work by, or by the one of which the heat model asks more
        self.lost_before = late + open_

    def run(self, wanted: Sequence[Goal]) -> How | None:
        course, given = self.course, self.given
        self.model.m.minimize(course.roughly)
        self.found = again(self.model.m, self.model.chains, given.values, left=course.left)
        if not self.found and given.like is not None:
            self.found += self._filled_in(given.like)
        for way in list(self._ways(kept=bool(self.found))):
            if way.always or not self._enough():
                self.found += way.find()
        if not self.found:
            return self.how
        answers = [plain(values) for values in self.found]
        whole = nobody_missing(course, answers, given.before)
        if not whole and given.by_rule and self.ruled is None:  # a rule's plan has its people by name
            answers = [plain(values) for values in self._by_rules()] or answers
        course.take(min(whole or answers, key=lambda one: [goal.of(one) for goal in wanted]))
        assert course.best is not None
        for goal in wanted:
            course.told(goal, goal.of(course.best), 0.0)
        if given.before and not given.soonest and not course.stopped:
            self._nearer(wanted)
        if not given.soonest and not given.before and not course.stopped:
            if self.ruled is not None:
                self._reordered(self.ruled, wanted)
            self._all_in_time()
        return self.how

    def _nearer(self, wanted: Sequence[Goal]) -> None:
        """Where the plan that loses least moves steps by hours: one that loses no more and stays near the plan before
        is asked for as a whole. Piece by piece, a plan that was made anew doesn't come back to it."""
        course = self.course
        assert course.best is not None
        moved = next(n for n, goal in enumerate(wanted) if goal.name == MOVED)
        # a first answer is not kept waiting for it; once there is one, too much moves for want of a second
        least = NEARER_AT_LEAST if self.given.like is not None and not course.repeatable else 0.0
        end = time.monotonic() + max(least, NEARER_SHARE * course.left)
        for around in NEARER:
            held = near_before(course.week, self.model.chains, self.given.before, around)
            seconds = NEARER_SHARE * course.left if course.repeatable else end - time.monotonic()
            if seconds < LEAST_NEARER or all(low <= course.best(var) <= high for var, low, high in held):
                return
            near = self.model.tidied()
            for var, low, high in held:
                near.add_linear_constraint(near.get_int_var_from_proto_index(var.index), low, high)
            for goal in wanted[:moved]:
                near.add(goal.sum <= int(goal.of(course.best)))
            near.minimize(wanted[moved].sum)
            course.given += seconds
            answer = improve(near, seconds=seconds, repeatable=course.repeatable, workers=MANY)
            course.stopped = answer.stopped or course.stopped
            if answer.values is not None and wanted[moved].of(answer) < wanted[moved].of(course.best):
                course.take(plain(answer.values))
                course.told(wanted[moved], wanted[moved].of(course.best), 0.0)
            if answer.values is not None or course.stopped:
                return

    def _ways(self, *, kept: bool) -> Iterator[_Way]:
        """`kept`: there is an earlier search's plan, or one of this week, as it was."""
        given = self.given
        if given.before:
            if not kept or not given.values:
                yield _Way(lambda: self._mended(given.before, seconds=MENDED_AT_ONCE), always=True)
            if not kept:
                if given.like is not None:
                    runs = given.like.runs
                    yield _Way(lambda: self._mended(runs, seconds=MENDED_AT_ONCE), always=True)
                yield _Way(self._as_before, always=True)
        elif not kept and given.like is not None and given.values:
            # what was asked of it since moves it too far for a search
            runs, left = given.like.runs, self.course.left
            longer = max(MENDED_AT_ONCE, min(MENDED_LATER, left), RULED_SHARE * left)
            # a week that loses something was searched for long: what a rule makes of it anew loses far more
            if self.lost_before:
                yield _Way(lambda: self._fitted_again(runs, seconds=longer))
                yield _Way(lambda: [] if self.found else self._mended(runs, seconds=longer))
                yield _Way(lambda: [] if self.found else self._by_the_same_rule())
            else:
                yield _Way(lambda: self._mended(runs, seconds=longer), always=True)
                yield _Way(self._by_the_same_rule, always=True)
                yield _Way(lambda: self._fitted_again(runs, seconds=longer))
        if given.by_rule and not (kept and given.before and given.values):
            yield _Way(self._by_rules)
        if given.before and not kept:
            yield _Way(self._kept_or_dropped)

    def _enough(self) -> bool:
        """Whether a plan has every sheet in time, or loses no more than the plan before, or somebody has had enough."""
        lost = self.model.late_sheets + self.model.unfinished
        lacking = [evaluate(lost, plain(one)) for one in self.found]
        return bool(lacking) and (self.course.stopped or min(lacking) <= self.lost_before)

    def _filled_in(self, schedule: Schedule) -> Plans:
        model = self.model
        try:
            return as_in(model.m, self.course.week, model.chains, model.heated, schedule)
        except KeyboardInterrupt:  # a plan that is there is worth the moment that this takes
            self.course.stopped = True
            return as_in(model.m, self.course.week, model.chains, model.heated, schedule)

    def _mended(self, runs: Mapping[str, Run], *, seconds: float) -> Plans:
        until = self.course.over(seconds)
        mended = in_kept_order(self.course.week, runs, until=until, soonest=self.given.soonest)
        return [] if mended is None else self._filled_in(mended)

    def _fitted_again(self, runs: Mapping[str, Run], *, seconds: float) -> Plans:
        if self.course.repeatable:
            return []  # how far it comes depends on the clock
        return list(fitted_again(self.model, self.given.values, runs, seconds=seconds))

    def _as_before(self) -> Plans:
        # a date that is asked for has to be found beside what is promised, and nobody waits for a first answer
        patience = max(AT_ONCE, PATIENT_SHARE * self.course.left) if self.given.soonest else AT_ONCE
        values = as_before(
            self.model.m, self.course.week, self.model.chains, self.given.before, patience=patience
        )
        return [] if values is None else [values]

    def _by_the_same_rule(self) -> Plans:
        hows = [] if self.given.how is None else [self.given.how]
        again_so = dispatches(self.course.week, hows=hows) if hows else ()
        return [values for one in again_so for values in self._filled_in(one.schedule)]

    def _kept_or_dropped(self) -> Plans:
        """What can be kept of the plan before; that is not tried any more when time is over and there is a plan."""
        left = max(0.0, self.course.left) if self.found else PATIENCE
        if left <= 0:
            return []
        model, patience = self.model, min(PATIENCE, left)
        values = kept_or_dropped(model.m, model.chains, self.given.before, patience=patience)
        return [] if values is None else [values]

    def _by_rules(self) -> Plans:
        """The priority rules' plan, of as many of their ways as there is time for; Ctrl-C leaves the best so far."""
        course, met = self.course, list[Dispatched]()
        seconds = max(RULED_SHARE * course.left, RULED_AT_ONCE if self.given.before else 0.0)
        end = time.monotonic() + seconds

        def over() -> bool:
            return not course.repeatable and time.monotonic() > end

        try:
            self.ruled = dispatch(course.week, until=over, heard=met.append)
        except KeyboardInterrupt:
            if not met:
                raise
            course.stopped, self.ruled = True, met[-1]
        if self.ruled is None:
            return []
        self.how = self.how or self.ruled.how
        return self._filled_in(self.ruled.schedule)

    def _reordered(self, ruled: Dispatched, wanted: Sequence[Goal]) -> None:
        """Where the rule's plan is late, or leaves something undone: its orders sooner and later, which is quicker
        than a search of the whole and goes further."""
        course = self.course
        assert course.best is not None
        tries = REPEATED if course.repeatable else MOST_TRIES
        until = course.over(REORDER_SHARE * course.left)
        better = reordered(course.week, ruled, tries=tries, until=until)
        if better.worth < ruled.worth:
            for values in self._filled_in(better.schedule):
                one = plain(values)
                if [goal.of(one) for goal in wanted] < [goal.of(course.best) for goal in wanted]:
                    course.take(one)
                    self.how = better.how

    def _all_in_time(self) -> None:
        """Where little is missing, a plan with nothing late and everything done: asked for as a whole, it is found
        sooner than by getting less late step by step."""
        course, model = self.course, self.model
        assert course.best is not None
        sheets = sum(evaluate(goal, course.best) for goal in (model.late_sheets, model.unfinished))
        seconds = WHOLE_SHARE * course.left
        if not 0 < sheets <= FEW or seconds < LEAST_WHOLE:
            return
        whole = model.tidied()
        whole.clear_objective()  # type: ignore[no-untyped-call]  # OR-Tools gives it no types
        whole.add(model.late_sheets + model.unfinished == 0)
        course.given += seconds
        answer = improve(whole, seconds=seconds, repeatable=course.repeatable, workers=MANY)
        course.stopped = answer.stopped or course.stopped
        if answer.values is not None:
            course.best = answer
            course.tighten()  # by how much each is late was left loose
