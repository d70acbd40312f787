"""The levels of what is wanted, one after the other: each is settled, then held, while the next is sought."""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from math import ceil
from types import MappingProxyType

from flatstock.planning.dispatch.kept_order import in_kept_order
from flatstock.planning.dispatch.rule import Dispatched, How, dispatch, dispatches, reordered
from flatstock.planning.problem.schedule import Run, Schedule
from flatstock.planning.problem.steps import steps_of
from flatstock.planning.problem.week import Week
from flatstock.planning.solve.cpsat import Answer, Var, evaluate, improve, plain
from flatstock.planning.solve.crews import add_crews
from flatstock.planning.solve.first import PATIENCE, again, as_before, as_in, kept_or_dropped, near
from flatstock.planning.solve.found import Found, Level
from flatstock.planning.solve.in_order import kinds_in_order
from flatstock.planning.solve.least import least_of
from flatstock.planning.solve.mornings import weighed_that_day
from flatstock.planning.solve.neighbours import better_nearby
from flatstock.planning.solve.people import name_people
from flatstock.planning.solve.settings import changeover
from flatstock.planning.solve.tidy import tidy
from flatstock.planning.solve.turns import Turns, add_turns
from flatstock.planning.solve.week_model import WeekModel

__all__ = ["search"]

MOVED_FOR_LATE = 60  #: in a first plan, minutes that steps may move to save a late minute or a sheet
MOVED_FOR_OVER = 10_000  #: and for a minute that a mould stays hot past its latest
OVER, HEAT, CHANGES = "over_latest_min", "heaters_Wh", "changeover_min"
WHOLE_SHARE, LEAST_WHOLE = 0.6, 1.0  #: of the time, and s, for a plan with nothing late and everything done
#: workers for it, on any number of cores: one of several ways through is quick, and none knows which
MANY = 4
#: sheets late or not done, at most, for it to be worth while; and of a week whose changes are sought as a whole
FEW = 8
#: of the time left, for each level, and for heat, which falls as well while changes are sought
LEVEL_SHARE, HEAT_SHARE = 0.6, 0.3
LEVELS = 4  #: that are sums of the model's variables in every week; after them come the changes
A_CHANGE = (
    10_000_000  #: Wh that a minute of changing outweighs while changes are sought: more than any week has
)
ROUNDING = 1e-6  #: what the solver's bound may lack of a whole number
FIRST = 2.0  #: s at least for a plan at all, where none was there to begin from
#: of a level's time for all at once before piece by piece, of heat's less, and s that a level has at least for that
WHOLE_FIRST, WHOLE_OF_HEAT, LEAST_NEARBY = 0.4, 0.15, 3.0
WHOLE_OF_MOVED, LEAST_BACK = 0.1, 0.8  #: the same for what is moved: piece by piece it is found soonest
COLDER = 0.5  #: of the time left, for a plan with a stay left cold
#: of the time left, and s at most, for a bound from how sheets share the stays
BOUND_SHARE, LEAST_BOUND = 0.1, 3.0
BOUND_FLOOR, SHORTEST_BOUND = 0.5, 0.1  #: s at least where there is time, and s with which none is begun
REORDER_SHARE = 0.25  #: of the time left, for orders sooner and later in the rule's plan
REPEATED, MOST_TRIES = 12, 100_000  #: of them, where the clock may not count and where it does
LEAST_PIECE, ASKED_EVERY = 0.5, 1.0  #: s
RULED_SHARE = 0.3  #: of the time left, for the priority rules
#: s that they have at least where the plan before can't be brought to fit, or loses something: they are the one way
#: then to an answer that loses less, and five or six of their plans come in that time
RULED_AT_ONCE = 0.6
MENDED_AT_ONCE = 0.8  #: s for ways to mend the plan before; one is tried whatever it takes
MENDED_LATER = 2.0  #: and for a plan of which the heat model asks more; all of them take that long


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
    one = _Search(
        week, seconds, tell, start, repeatable=repeatable, by_rule=by_rule, before=before, soonest=soonest,
        like=like, how=how,
    )  # fmt: skip
    return one.run(levels)


class _Search:
    """One search through the levels; what is found is held as the least that later levels must keep."""

    def __init__(
        self,
        week: Week,
        seconds: float,
        tell: Callable[[str, float, float], bool],
        start: Sequence[int],
        *,
        repeatable: bool,
        by_rule: bool,
        before: Mapping[str, Run],
        soonest: frozenset[str],
        like: Schedule | None,
        how: How | None,
    ) -> None:
        self.began, self.seconds, self.given = time.monotonic(), seconds, 0.0
        self.start, self.by_rule, self.before, self.soonest = start, by_rule, before, soonest
        self.like, self.how = like, how
        self.week, self.model, self.tell, self.repeatable = week, WeekModel(week), tell, repeatable
        self.best: Answer | None = None
        self.known: list[Answer] = []  #: every plan met, in order
        self.turns: Turns | None = None  #: once changes are sought
        self.many = 0  #: of its variables that any search of such a week has
        self.stopped = False
        self.status = "unknown"

    @property
    def left(self) -> float:
        """Seconds; of a repeatable search those not given away, whatever the clock says."""
        return self.seconds - (self.given if self.repeatable else time.monotonic() - self.began)

    def seek(self, name: str, goal: Var, seconds: float) -> Answer:
        """Make `goal` as small as can be, starting from the best so far."""
        began = time.monotonic()
        self.given += seconds
        self.model.m.minimize(goal)
        moved = goal is self.model.moved_minutes
        least = LEAST_BACK if moved else LEAST_NEARBY
        nearby = self.best is not None and not self.repeatable and seconds >= least

        def heard(values: Sequence[int], value: float, bound: float) -> bool:
            self.known.append(Answer("feasible", values, value, bound, 0.0))
            self.stopped = self._told(name, value, bound) or self.stopped
            return self.stopped

        hint = self.start if self.best is None else self.best.values
        first = WHOLE_OF_HEAT if name == HEAT else WHOLE_FIRST
        first = WHOLE_OF_MOVED if moved else first
        whole = seconds * (first if nearby else 1.0)
        answer = improve(
            self.model.tidied(),
            seconds=whole,
            hint=hint,
            tell=heard,
            repair=self.best is None and bool(self.start),
            repeatable=self.repeatable,
        )
        self.status = answer.status
        self.stopped = answer.stopped or self.stopped
        if answer.values is not None:
            self.best = answer
        # in a short time it may not even have come upon the plan that it was given
        if nearby and answer.status in ("feasible", "unknown") and not self.stopped:
            self._nearby(name, goal, answer.bound or 0.0, began + seconds)
        return answer

    def _told(self, name: str, value: float, bound: float) -> bool:
        """Whether to stop; of the last level, which counts heat too, its minutes are told."""
        if name == CHANGES:
            value, bound = value // A_CHANGE, bound // A_CHANGE
        return self.tell(name, value, bound)

    def _nearby(self, name: str, goal: Var, bound: float, end: float) -> None:
        """Piece by piece what the search of the whole has not found; of energy, whole stays left cold too."""
        assert self.best is not None
        was = evaluate(goal, self.best)

        def heard(values: Sequence[int], value: float) -> bool:
            self.best = Answer("feasible", values, value, bound, 0.0)
            self.known.append(self.best)
            self.stopped = self._told(name, value, bound) or self.stopped
            return self.stopped or value <= bound

        try:
            turn = 0
            while not self.stopped and (left := end - time.monotonic()) > LEAST_PIECE:
                turn += 1
                colder = goal is self.model.energy and turn % 2 == 1
                before = evaluate(goal, self.best)
                if colder:
                    self._colder(left * COLDER, heard, goal)
                elif name == CHANGES and turn % 2 == 1:
                    assert self.turns is not None
                    have = self.best.values or ()
                    kinds_in_order(self.model, self.turns, goal, have, seconds=left, tell=heard)
                else:
                    better_nearby(
                        self.model, goal, self.best.values or (), seconds=left, tell=heard, seed=turn
                    )
                if evaluate(goal, self.best) <= bound or (turn > 2 and evaluate(goal, self.best) >= before):
                    break
        except KeyboardInterrupt:
            self.stopped = True
        if evaluate(goal, self.best) < was:
            values = tidy(self.model, self.week, self.best)
            if values is not None:
                self.best = replace(self.best, values=values)

    def _colder(self, seconds: float, heard: Callable[[Sequence[int], float], bool], goal: Var) -> None:
        """A plan with one stay of one press left cold: asked for as a whole, it is found sooner than by saving
        minute by minute."""
        assert self.best is not None
        used = [used for _, _, used in self.model.heated.values()]
        fewer = self.model.tidied()
        fewer.add(sum(used) <= sum(self.best(one) for one in used) - 1)
        fewer.add(goal <= int(evaluate(goal, self.best)) - 1)
        fewer.clear_objective()  # type: ignore[no-untyped-call]  # OR-Tools gives it no types
        answer = improve(fewer, seconds=seconds, workers=MANY)
        self.stopped = answer.stopped or self.stopped
        if answer.values is not None:
            heard(answer.values, evaluate(goal, answer))

    def _least(self, name: str, settled: Mapping[str, float]) -> float:
        """What no plan can undercut, whatever is searched."""
        if self.stopped:
            return 0.0
        seconds = min(LEAST_BOUND, BOUND_SHARE * self.left)
        if self.by_rule and not self.before:  # nobody waits for the first answer
            seconds = max(seconds, BOUND_FLOOR)
        if seconds < SHORTEST_BOUND or self.repeatable:  # how far it comes depends on the clock
            return 0.0
        return least_of(name, self.week, settled, seconds=seconds)

    def run(self, levels: int) -> Found:
        """Late sheets, late minutes, sheets after closing, energy, changes; then every step gets its people."""
        model = self.model
        wanted: list[tuple[str, Var]] = [
            ("late_sheets", model.late_sheets),
            ("late_min", model.late_minutes),
            ("sheets_after_closing", model.unfinished),
        ]
        if self.soonest:
            wanted = [("ready_min", model.last_ready(self.soonest))]
        elif self.before:  # people are at work by the plan before: it is left as it is where nothing is lost
            wanted.append(("moved_min", model.moved(self.before)))
        if not self.soonest:
            wanted.append((HEAT, model.energy))
        if model.over_latest is not None:  # nothing is gained by leaving a mould in its press too long
            wanted.insert(0, (OVER, model.over_latest))
        bounds: dict[str, float] = {}
        self.many = len(model.m.proto.variables)
        try:
            self._begin(wanted)
            settled = self._levels(wanted, levels, bounds)
            if self.best is not None and not self.soonest:
                self._changes(bounds, settled, sought=levels > LEVELS and not self.before)
            self._with_crews(wanted)
        except KeyboardInterrupt:  # between two searches; in one it is heard there
            if self.best is None:
                raise
            self.stopped = True
        if self.best is None:
            return Found(None, {}, (), self.status, time.monotonic() - self.began)
        return self.named(wanted, bounds)

    def _levels(
        self, wanted: Sequence[tuple[str, Var]], levels: int, bounds: dict[str, float]
    ) -> dict[str, float]:
        """One level after the other; what each reached is held. The first `levels` are sought, and before them what
        only a week under way has. What each level came to."""
        model, whole = self.model, levels
        levels += bool(self.before) + (wanted[0][0] == OVER)
        settled: dict[str, float] = {}
        for index, (name, goal) in enumerate(wanted):
            value = None if self.best is None else evaluate(goal, self.best)
            bounds[name] = self._least(name, settled) if value else 0.0
            if bounds[name] > 0:
                model.m.add(goal >= int(bounds[name]))
            sought = value is None or (value > 0 and index < levels and self.left > 0.2 and not self.stopped)
            if sought or value is None:
                last = name == wanted[-1][0]
                share = LEVEL_SHARE if not last else 1.0 if whole <= LEVELS or self.before else HEAT_SHARE
                answer = self.seek(name, goal, max(self.left * share, FIRST if value is None else 0.0))
                if self.best is None:
                    return settled
                # every level is a whole number
                bounds[name] = float(max(bounds[name], ceil((answer.bound or 0.0) - ROUNDING)))
                value = evaluate(goal, self.best)
            settled[name] = value
            model.m.add(goal <= int(value))
            if sought and value > 0:
                self._tighten()
        return settled

    def _changes(self, bounds: dict[str, float], settled: dict[str, float], *, sought: bool) -> None:
        """Fewest minutes of changing set-point and colour; of plans with as few the one that heats for less."""
        assert self.best is not None
        model = self.model
        value = changeover(self.week, model.schedule(self.best))
        bounds[CHANGES] = self._least(CHANGES, settled) if value else 0.0
        if not sought or value <= bounds[CHANGES] or self.left < 0.2 or self.stopped:
            return
        self.turns = add_turns(model)
        goal = A_CHANGE * self.turns.minutes + model.energy
        model.m.minimize(goal)
        values = near(model.m, model.chains, self.best.values or (), around=0, grown=True)
        if values is None:
            return
        self.best = replace(self.best, values=values)
        if len(self.week.sheets) > FEW and not self.repeatable:
            self._nearby(CHANGES, goal, 0.0, self.began + self.seconds)
            return
        answer = self.seek(CHANGES, goal, self.left)
        bounds[CHANGES] = max(bounds[CHANGES], float(ceil((answer.bound or 0.0) - ROUNDING) // A_CHANGE))

    def _begin(self, wanted: Sequence[tuple[str, Var]]) -> None:
        """A whole plan to start from: the one before with the durations as they are now, or a rule's."""
        model = self.model
        roughly = model.late_sheets + model.late_minutes + model.unfinished
        if self.soonest:
            roughly = dict(wanted)["ready_min"]
        elif self.before:  # what is lost weighs more than what is moved
            roughly = MOVED_FOR_LATE * roughly + dict(wanted)["moved_min"]
        if model.over_latest is not None:
            roughly = roughly + MOVED_FOR_OVER * model.over_latest
        self.roughly = roughly
        model.m.minimize(roughly)
        found = again(model.m, model.chains, self.start, left=self.left)
        if not found and self.like is not None:
            found += self._filled_in(self.like)
            if not found and self.start and not self.before:
                # what was asked of it since moves it too far for a search
                found += self._mended(self.like.runs, seconds=max(MENDED_LATER, RULED_SHARE * self.left))
                again_so = () if self.how is None else dispatches(self.week, hows=[self.how])
                found += [values for one in again_so for values in self._filled_in(one.schedule)]
        if self.before and not found:
            found += self._gone_on()
        elif self.before and not self.start:  # there was little time for it before the first answer
            found += self._mended(self.before)
        ruled: Dispatched | None = None
        lost = model.late_sheets + model.unfinished
        loses = self.like is not None and not self.start and found and evaluate(lost, plain(found[0])) > 0
        in_time = self.start and found and evaluate(lost, plain(found[0])) == 0
        fresh = self.like is not None and not self.before and not in_time
        if self.by_rule and (not found or loses or fresh):
            ruled = self._by_rules(RULED_SHARE * self.left)
            self.how = self.how or (None if ruled is None else ruled.how)
            found += [] if ruled is None else self._filled_in(ruled.schedule)
        if not found:
            return
        answers = [plain(values) for values in found]
        named = [one for one in answers if self._names(one)[1] is not None]
        if not named and (values := self._ruled()) is not None:  # a rule's plan has its people by name
            answers = [plain(values)]
        self.best = min(named or answers, key=lambda one: [evaluate(goal, one) for _, goal in wanted])
        self.known.append(self.best)
        for name, goal in wanted:
            self.stopped = self.tell(name, evaluate(goal, self.best), 0.0) or self.stopped
        if not self.soonest and not self.before and not self.stopped:
            if ruled is not None:
                self._reordered(ruled, [goal for _, goal in wanted])
            self._all_in_time()

    def _gone_on(self) -> list[Sequence[int]]:
        """The plan before as it fits now, step by step mended and moved by a search, a rule's where both lose
        something, or what can be kept of it; that is not tried any more when time is over and there is one."""
        model, lost = self.model.m, self.model.late_sheets + self.model.unfinished
        found: list[Sequence[int]] = []

        def enough() -> bool:
            return bool(found) and (self.stopped or any(evaluate(lost, plain(one)) == 0 for one in found))

        def take(values: Sequence[int] | None) -> None:
            found.extend([] if values is None else [values])

        for runs in (self.before, *([] if self.like is None else [self.like.runs])):
            found += self._mended(runs)
        take(as_before(model, self.week, self.model.chains, self.before))
        if not enough():
            take(self._ruled())
        if not found or (self.left > 0 and not enough()):
            patience = min(PATIENCE, max(0.0, self.left)) if found else PATIENCE
            take(kept_or_dropped(model, self.model.chains, self.before, patience=patience))
        return found

    def _mended(self, runs: Mapping[str, Run], *, seconds: float = MENDED_AT_ONCE) -> list[Sequence[int]]:
        mended = in_kept_order(self.week, runs, until=self._over(seconds))
        return [] if mended is None else self._filled_in(mended)

    def _ruled(self) -> Sequence[int] | None:
        seconds = max(RULED_SHARE * self.left, RULED_AT_ONCE if self.before else 0.0)
        ruled = self._by_rules(seconds) if self.by_rule else None
        return None if ruled is None else next(iter(self._filled_in(ruled.schedule)), None)

    def _by_rules(self, seconds: float) -> Dispatched | None:
        """The priority rules' plan, of as many of their ways as there is time for; Ctrl-C leaves the best so far."""
        end, met = time.monotonic() + seconds, list[Dispatched]()

        def over() -> bool:
            return not self.repeatable and time.monotonic() > end

        try:
            return dispatch(self.week, until=over, heard=met.append)
        except KeyboardInterrupt:
            if not met:
                raise
            self.stopped = True
            return met[-1]

    def _filled_in(self, schedule: Schedule) -> list[Sequence[int]]:
        model = self.model
        try:
            return as_in(model.m, self.week, model.chains, model.heated, schedule)
        except KeyboardInterrupt:  # a plan that is there is worth the moment that this takes
            self.stopped = True
            return as_in(model.m, self.week, model.chains, model.heated, schedule)

    def _reordered(self, ruled: Dispatched, wanted: Sequence[Var]) -> None:
        """Where the rule's plan is late, or leaves something undone: its orders sooner and later, which is quicker
        than a search of the whole and goes further."""
        assert self.best is not None
        tries = REPEATED if self.repeatable else MOST_TRIES
        better = reordered(self.week, ruled, tries=tries, until=self._over(REORDER_SHARE * self.left))
        if better.worth < ruled.worth:
            for values in self._filled_in(better.schedule):
                one = plain(values)
                if [evaluate(goal, one) for goal in wanted] < [evaluate(goal, self.best) for goal in wanted]:
                    self.best, self.how = one, better.how
                    self.known.append(one)

    def _over(self, seconds: float) -> Callable[[], bool]:
        """Says when so much time has gone by, or somebody has stopped the search, who is asked now and then."""
        asked = time.monotonic()
        end, late = asked + seconds, float(evaluate(self.model.late_sheets, self.best)) if self.best else 0.0

        def over() -> bool:
            nonlocal asked
            if not self.repeatable and time.monotonic() > asked + ASKED_EVERY:
                asked = time.monotonic()
                self.stopped = self.tell("late_sheets", late, 0.0) or self.stopped
            return self.stopped or (not self.repeatable and time.monotonic() > end)

        return over

    def _all_in_time(self) -> None:
        """Where little is missing, a plan with nothing late and everything done: asked for as a whole, it is found
        sooner than by getting less late step by step."""
        assert self.best is not None
        sheets = sum(evaluate(goal, self.best) for goal in (self.model.late_sheets, self.model.unfinished))
        seconds = WHOLE_SHARE * self.left
        if not 0 < sheets <= FEW or seconds < LEAST_WHOLE:
            return
        whole = self.model.tidied()
        whole.clear_objective()  # type: ignore[no-untyped-call]  # OR-Tools gives it no types
        whole.add(self.model.late_sheets + self.model.unfinished == 0)
        self.given += seconds
        answer = improve(whole, seconds=seconds, repeatable=self.repeatable, workers=MANY)
        self.stopped = answer.stopped or self.stopped
        if answer.values is not None:
            self.best = answer
            self._tighten()  # by how much each is late was left loose

    def _tighten(self) -> None:
        """What a level left loose (late by how much, done by closing) is told as its plan has it."""
        if self.best is None or self.best.values is None:
            return
        model = self.model
        model.m.minimize(self.roughly)
        if (values := near(model.m, model.chains, self.best.values, around=0)) is not None:
            self.best = replace(self.best, values=values)
            self.known.append(self.best)

    def _with_crews(self, wanted: Sequence[tuple[str, Var]]) -> None:
        """Where nobody can be named for the best plan, one as good is sought in which everybody is."""
        if self.best is None or self.best.values is None or self._names(self.best)[1] is not None:
            return
        named = next((one for one in reversed(self.known) if self._names(one)[1] is not None), None)
        add_crews(self.model.m, self.week, self.model.hands)
        self.model.m.clear_objective()  # type: ignore[no-untyped-call]  # OR-Tools gives it no types
        values = near(self.model.m, self.model.chains, self.best.values, grown=True)
        if values is None:
            return
        self.known.append(self.best)
        self.best = replace(self.best, values=values)
        if named is not None and self._worth(named, wanted) < self._worth(self.best, wanted):
            self.best = named

    def _worth(self, answer: Answer, wanted: Sequence[tuple[str, Var]]) -> list[float]:
        """The levels' values, in their order; of two plans the less one is better."""
        levels = [evaluate(goal, answer) for _, goal in wanted]
        return [*levels, float(changeover(self.week, self.model.schedule(answer)))]

    def _names(self, answer: Answer) -> tuple[Schedule, dict[tuple[str, str], tuple[str, ...]] | None]:
        sheets = {sheet.id: sheet for sheet in self.week.sheets}
        found = self.model.schedule(answer)
        # where people are at work by a plan, what it says of weighing stays
        ways = [found] if self.before else [weighed_that_day(self.week, found), found]
        for schedule in ways:
            steps = [s for name, run in schedule.runs.items() for s in steps_of(self.week, sheets[name], run)]
            people = name_people(self.week, steps, self.before)
            if people is not None:
                return schedule, people
        return found, None

    def named(self, wanted: Sequence[tuple[str, Var]], bounds: Mapping[str, float]) -> Found:
        """The best plan for which there are people to name.

        The model counts hands by skill, which lets through a few plans that no naming fits; then the last one
        before it that can be named is taken, and its own values are told.
        """
        spent = time.monotonic() - self.began
        for answer in reversed([*self.known, *([self.best] if self.best else [])]):
            schedule, people = self._names(answer)
            if people is None:
                continue
            levels = tuple(
                Level(name, value := evaluate(goal, answer), min(bounds.get(name, 0.0), value))
                for name, goal in wanted
            )
            if not self.soonest:
                value = float(changeover(self.week, schedule))
                levels += (Level(CHANGES, value, min(bounds.get(CHANGES, 0.0), value)),)
            proven = all(level.bound >= level.value - 1e-6 for level in levels)
            return Found(
                schedule=schedule,
                people=people,
                levels=levels,
                status="optimal" if proven else "feasible",
                seconds=spent,
                stopped=self.stopped,
                values=(answer.values or ())[: self.many],
                how=self.how,
            )
        return Found(None, {}, (), "unknown", spent)
