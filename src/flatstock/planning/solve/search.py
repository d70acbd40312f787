"""The levels of what is wanted, one after the other: each is settled, then held, while the next is sought."""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType

from flatstock.planning.problem.schedule import Run, Schedule
from flatstock.planning.problem.steps import steps_of
from flatstock.planning.problem.week import Week
from flatstock.planning.solve.chains import Chain, Hands, chain_of
from flatstock.planning.solve.cpsat import Answer, Var, evaluate, improve, new_model
from flatstock.planning.solve.crews import add_crews
from flatstock.planning.solve.first import as_before, as_in, by_rule, near
from flatstock.planning.solve.floor import Heated, add_floor
from flatstock.planning.solve.people import name_people
from flatstock.planning.solve.seats import seated

__all__ = ["Found", "Level", "search"]

LONGEST_LATE = 100_000  #: minutes: a sheet that is left out counts as this late
WATT_HOURS = 1000
MOVED_FOR_LATE = 60  #: in a first plan, minutes that steps may move to save a late minute or a sheet
EARLY = 0.95  #: a search without proof that ends before this share of its time was stopped


@dataclass(frozen=True, slots=True)
class Level:
    """One thing that is wanted: its value in the plan, and how good it could be at best."""

    name: str
    value: float
    bound: float


@dataclass(frozen=True, slots=True)
class Found:
    """The best plan, its levels in their order, and how the search ended."""

    schedule: Schedule | None
    people: dict[tuple[str, str], tuple[str, ...]]  #: who does each step, by sheet and step
    levels: tuple[Level, ...]
    status: str
    seconds: float
    stopped: bool = False  #: somebody asked for it
    values: Sequence[int] = ()  #: of the model's variables, where the next search may start from


class _Model:
    """The week's variables, and the sums that are sought."""

    def __init__(self, week: Week) -> None:
        self.week, self.m = week, new_model()
        self.chains: list[Chain] = []
        hands: list[Hands] = []
        for sheet in week.sheets:
            chain, work = chain_of(self.m, week, sheet)
            self.chains.append(chain)
            hands += work
        self.hands = hands
        self.heated: Heated = add_floor(self.m, week, self.chains, hands)
        self.late_sheets, self.late_minutes = self._lateness()
        self.unfinished = self._unfinished()
        self.energy = self._energy()

    def _lateness(self) -> tuple[Var, Var]:
        m, week = self.m, self.week
        late, minutes = [], []
        for chain in self.chains:
            due = chain.sheet.due
            if due is None:
                continue
            is_late = m.new_bool_var(f"{chain.sheet.id} late")
            by = m.new_int_var(0, LONGEST_LATE, f"{chain.sheet.id} late by")
            m.add(chain.ready <= due).only_enforce_if([~is_late, chain.on])
            m.add(by >= chain.ready - due).only_enforce_if(chain.on)
            if due <= week.end + chain.sheet.condition:
                m.add(is_late == 1).only_enforce_if(~chain.on)
                m.add(by >= week.end + chain.sheet.condition - due + 24 * 60).only_enforce_if(~chain.on)
            late.append(is_late)
            minutes.append(by)
        return sum(late), sum(minutes)

    def _unfinished(self) -> Var:
        """Sheets that are not out of their mould, and sawn, by closing."""
        m, left = self.m, []
        for chain in self.chains:
            over = m.new_bool_var(f"{chain.sheet.id} after closing")
            m.add_implication(~chain.on, over)
            m.add(chain.ready - chain.sheet.condition <= self.week.closing).only_enforce_if([~over, chain.on])
            left.append(over)
        return sum(left)

    def _energy(self) -> Var:
        """Of heating up and holding [Wh]; what the sheets take in is the same in every plan."""
        total = []
        for (press, _), (start, end, used) in self.heated.items():
            up, hold = self.week.heat_cost[press]
            total.append(round(up * WATT_HOURS) * used)
            total.append(round(hold * WATT_HOURS / 60) * (end - start))
        return sum(total)

    def last_ready(self, sheets: frozenset[str]) -> Var:
        """When the last of these is ready; all of them are pressed."""
        last = self.m.new_int_var(self.week.start, self.week.end + LONGEST_LATE, "all are ready")
        for chain in self.chains:
            if chain.sheet.id in sheets:
                self.m.add(chain.on == 1)
                self.m.add(last >= chain.ready)
        return last

    def moved(self, before: Mapping[str, Run]) -> Var:
        """Minutes that steps which haven't begun are shifted from an earlier plan, sooner or later, summed."""
        m, total = self.m, []
        for chain in self.chains:
            run = before.get(chain.sheet.id)
            if run is None:
                continue
            pairs = [
                ("weigh", chain.weigh, run.weigh),
                ("prepare", chain.prepare, run.prepare),
                ("load", chain.load, run.load),
                ("transfer", chain.transfer, run.transfer),
                ("move", chain.leave, run.leave),
                ("demould", chain.demould, run.demould),
            ]
            if chain.trim is not None and run.trim is not None:
                pairs.append(("trim", chain.trim, run.trim))
            for step, start, was in pairs:
                if chain.begun(step):
                    continue
                by = m.new_int_var(0, LONGEST_LATE, f"{step} of {chain.sheet.id} moved by")
                m.add(by >= start - was).only_enforce_if(chain.on)
                m.add(by >= was - start).only_enforce_if(chain.on)
                total.append(by)
        return sum(total)

    def schedule(self, answer: Answer) -> Schedule:
        """What was found, as runs."""
        runs = {c.sheet.id: _run(self.week, c, answer) for c in self.chains if answer(c.on)}
        heated: dict[str, list[tuple[int, int]]] = {
            press: [(span.start, span.end) for span in spans if span.end < self.week.now]
            for press, spans in self.week.hot.items()
        }
        for (press, _), (start, end, used) in self.heated.items():
            if answer(used) and answer(end) > answer(start):
                heated.setdefault(press, []).append((answer(start), answer(end)))
        return Schedule(
            runs=seated(self.week, runs),
            heated={press: tuple(sorted(spans)) for press, spans in heated.items()},
        )


def _picked(answer: Answer, choice: dict[str, Var]) -> str | None:
    return next((place for place, literal in choice.items() if answer(literal)), None)


def _run(week: Week, c: Chain, answer: Answer) -> Run:
    lift = week.lift_for(c.sheet.kind.mould_mass)
    press, cooling = _picked(answer, c.press), _picked(answer, c.cooling)
    assert press is not None
    assert cooling is not None
    return Run(
        sheet=c.sheet.id,
        press=press,
        cooling=cooling,
        weigh=answer(c.weigh),
        scale=week.scale_for(c.sheet.kind.charge).id,
        prepare=answer(c.prepare),
        bench="",
        load=answer(c.load),
        transfer=answer(c.transfer),
        leave=answer(c.leave),
        stay=_picked(answer, c.stay),
        demould=answer(c.demould),
        demould_at=lift.id if lift else "",
        trim=None if c.trim is None else answer(c.trim),
        saw=None,
        ready=answer(c.ready),
    )


def search(
    week: Week,
    *,
    seconds: float,
    tell: Callable[[str, float, float], bool] = lambda *_: False,
    start: Sequence[int] = (),
    levels: int = 4,
    repeatable: bool = False,
    by_rule: bool = True,
    before: Mapping[str, Run] = MappingProxyType({}),
    soonest: frozenset[str] = frozenset(),
    like: Schedule | None = None,
) -> Found:
    """The best plan that `seconds` allow; `tell` hears level, value and bound, and says whether to stop.

    `levels`: how many are sought, the others are left as they fall. `start`: the values of an earlier search
    of the same week with other durations; it need not fit. `by_rule`: else it starts from a priority rule's plan.
    `before`: runs of an earlier plan of this week, which it starts from where they can be brought to fit.
    `like`: a plan of this week with less of something, which it may begin from as it is.
    `repeatable`: the same plan each time on the same number of cores; `seconds` are the solver's own then, in which
    it counts its steps, and the clock may show more.
    """
    one = _Search(
        week, seconds, tell, start, repeatable=repeatable, by_rule=by_rule, before=before, soonest=soonest,
        like=like,
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
    ) -> None:
        self.start, self.by_rule, self.before, self.soonest = start, by_rule, before, soonest
        self.like = like
        self.week, self.model, self.tell, self.repeatable = week, _Model(week), tell, repeatable
        self.began, self.seconds, self.given = time.monotonic(), seconds, 0.0
        self.best: Answer | None = None
        self.known: list[Answer] = []  #: every plan met, in order
        self.stopped = False
        self.status = "unknown"

    @property
    def left(self) -> float:
        """Seconds; of a repeatable search those not given away, whatever the clock says."""
        return self.seconds - (self.given if self.repeatable else time.monotonic() - self.began)

    def seek(self, name: str, goal: Var, seconds: float) -> Answer:
        """Make `goal` as small as can be, starting from the best so far."""
        self.given += seconds
        self.model.m.minimize(goal)

        def heard(values: Sequence[int], value: float, bound: float) -> bool:
            self.known.append(Answer("feasible", values, value, bound, 0.0))
            self.stopped = self.tell(name, value, bound) or self.stopped
            return self.stopped

        hint = self.start if self.best is None else self.best.values
        answer = improve(
            self.model.m,
            seconds=seconds,
            hint=hint,
            tell=heard,
            repair=self.best is None and bool(self.start),
            repeatable=self.repeatable,
        )
        self.status = answer.status
        if answer.status == "feasible" and answer.seconds < EARLY * seconds and not self.repeatable:
            self.stopped = True  # Ctrl-C: CP-SAT gives back the best it has
        if answer.values is not None:
            self.best = answer
        return answer

    def run(self, levels: int) -> Found:
        """Late sheets, late minutes, sheets after closing, energy; then every step gets its people."""
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
            wanted.append(("heaters_Wh", model.energy))
        self._begin(wanted)
        bounds: list[float] = []
        for index, (name, goal) in enumerate(wanted):
            value = None if self.best is None else evaluate(goal, self.best)
            bound = 0.0
            sought = value is None or (
                value > 0 and index < levels + bool(self.before) and self.left > 0.2 and not self.stopped
            )
            if sought or value is None:
                share = 1.0 if name == wanted[-1][0] else 0.6
                answer = self.seek(name, goal, self.left * share)
                bound = max(0.0, answer.bound or 0.0)
                if self.best is None:
                    return Found(None, {}, (), self.status, time.monotonic() - self.began)
                value = evaluate(goal, self.best)
            bounds.append(bound)
            model.m.add(goal <= int(value))
            if sought and value > 0:
                self._tighten()
        self._with_crews()
        return self.named([(name, goal, bound) for (name, goal), bound in zip(wanted, bounds, strict=True)])

    def _begin(self, wanted: Sequence[tuple[str, Var]]) -> None:
        """A whole plan to start from: the one before with the durations as they are now, or a rule's."""
        model = self.model
        roughly = model.late_sheets + model.late_minutes + model.unfinished
        if self.soonest:
            roughly = dict(wanted)["ready_min"]
        elif self.before:  # what is lost weighs more than what is moved
            roughly = MOVED_FOR_LATE * roughly + dict(wanted)["moved_min"]
        self.roughly = roughly
        model.m.minimize(roughly)
        values = near(model.m, model.chains, self.start) if self.start else None
        if values is None and self.before:
            values = as_before(model.m, self.week, model.chains, self.before)
        found = [] if values is None else [values]
        if not found and self.like is not None:
            found += as_in(model.m, self.week, model.chains, model.heated, self.like)
        if not found or self.like is not None:
            found += by_rule(model.m, self.week, model.chains, model.heated) if self.by_rule else []
        if not found:
            return
        answers = [Answer("feasible", values, None, None, 0.0) for values in found]
        self.best = min(answers, key=lambda answer: [evaluate(goal, answer) for _, goal in wanted])
        self.known.append(self.best)
        for name, goal in wanted:
            self.stopped = self.tell(name, evaluate(goal, self.best), 0.0) or self.stopped

    def _tighten(self) -> None:
        """What a level left loose (late by how much, done by closing) is told as its plan has it."""
        if self.best is None or self.best.values is None:
            return
        model = self.model
        model.m.minimize(self.roughly)
        values = near(model.m, model.chains, self.best.values, around=0)
        if values is not None:
            self.best = replace(self.best, values=values)
            self.known.append(self.best)

    def _with_crews(self) -> None:
        """Where nobody can be named for the best plan, one as good is sought in which everybody is."""
        if self.best is None or self.best.values is None or self._names(self.best)[1] is not None:
            return
        add_crews(self.model.m, self.week, self.model.hands)
        self.model.m.clear_objective()  # type: ignore[no-untyped-call]  # OR-Tools gives it no types
        values = near(self.model.m, self.model.chains, self.best.values, grown=True)
        if values is not None:
            self.known.append(self.best)
            self.best = replace(self.best, values=values)

    def _names(self, answer: Answer) -> tuple[Schedule, dict[tuple[str, str], tuple[str, ...]] | None]:
        sheets = {sheet.id: sheet for sheet in self.week.sheets}
        schedule = self.model.schedule(answer)
        steps = [s for name, run in schedule.runs.items() for s in steps_of(self.week, sheets[name], run)]
        return schedule, name_people(self.week, steps)

    def named(self, wanted: Sequence[tuple[str, Var, float]]) -> Found:
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
                Level(name, value := evaluate(goal, answer), min(bound, value))
                for name, goal, bound in wanted
            )
            proven = all(level.bound >= level.value - 1e-6 for level in levels)
            return Found(
                schedule=schedule,
                people=people,
                levels=levels,
                status="optimal" if proven else "feasible",
                seconds=spent,
                stopped=self.stopped,
                values=answer.values or (),
            )
        return Found(None, {}, (), "unknown", spent)
