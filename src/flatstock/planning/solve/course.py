"""How far a search has come: the best plan so far, those met on the way, and the time that is left."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from flatstock.planning.problem.week import Week
from flatstock.planning.solve.cpsat import Answer, Var, evaluate
from flatstock.planning.solve.first import near
from flatstock.planning.solve.week_model import WeekModel

__all__ = ["HEAT", "MANY", "MOVED", "OVER", "Course", "Goal", "Heard"]

OVER, MOVED, HEAT = "over_latest_min", "moved_min", "heaters_Wh"
#: workers for a plan that is asked for as a whole, on any number of cores: one of several ways through is quick, and
#: none knows which
MANY = 4
ASKED_EVERY = 1.0  #: s
Heard = Callable[[Sequence[int], float], bool]  #: hears of a better plan's values, and says whether to stop


@dataclass(frozen=True, slots=True)
class Goal:
    """One level of what is wanted: a sum of the model's variables that is to be as small as can be."""

    name: str
    sum: Var
    whole: float = 0.4  #: of its time for all at once, before it goes piece by piece
    nearby: float = 3.0  #: s that it has at least for that
    #: of the sum, in which it is told and held; what is less than one of it decides between equals
    unit: int = 1
    #: a way of its own to a better plan, in so many seconds, taken in turn with pieces
    between: Callable[[float, Heard], None] | None = None

    def of(self, answer: Answer) -> float:
        """What a plan has of the sum."""
        return evaluate(self.sum, answer)

    def value(self, answer: Answer) -> float:
        """What a plan has of it, in its unit."""
        return self.told(self.of(answer))

    def told(self, total: float) -> float:
        """A value of the sum, or a bound of it, in whole units: no plan with a sum of at least that has fewer."""
        return total if self.unit == 1 else total // self.unit


class Course:
    """One search. `tell` hears level, value and bound, and says whether to stop.

    `repeatable`: its seconds are the solver's own, and count as soon as they are given away.
    """

    def __init__(
        self, week: Week, seconds: float, tell: Callable[[str, float, float], bool], *, repeatable: bool
    ) -> None:
        self.began, self.seconds, self.given = time.monotonic(), seconds, 0.0
        self.week, self.model, self.tell, self.repeatable = week, WeekModel(week), tell, repeatable
        self.roughly: Var = 0  #: what a plan to begin from has little of
        self.best: Answer | None = None
        self.known: list[Answer] = []  #: every plan met, in order
        self.stopped = False
        self.status = "unknown"

    @property
    def spent(self) -> float:
        """Seconds by the clock."""
        return time.monotonic() - self.began

    @property
    def left(self) -> float:
        """Seconds; of a repeatable search those not given away, whatever the clock says."""
        return self.seconds - (self.given if self.repeatable else self.spent)

    def take(self, answer: Answer) -> None:
        """A plan that is better than the best so far."""
        self.best = answer
        self.known.append(answer)

    def told(self, goal: Goal, value: float, bound: float) -> bool:
        """Whether somebody wants it stopped."""
        self.stopped = self.tell(goal.name, goal.told(value), goal.told(bound)) or self.stopped
        return self.stopped

    def over(self, seconds: float) -> Callable[[], bool]:
        """Says when so much time has gone by, or somebody has stopped the search, who is asked now and then."""
        asked = time.monotonic()
        end, known = asked + seconds, ("trying", 0.0, 0.0)  # nothing is known before there is a plan
        if self.best is not None:
            known = ("late_sheets", evaluate(self.model.late_sheets, self.best), 0.0)

        def over() -> bool:
            nonlocal asked
            if not self.repeatable and time.monotonic() > asked + ASKED_EVERY:
                asked = time.monotonic()
                self.stopped = self.tell(*known) or self.stopped
            return self.stopped or (not self.repeatable and time.monotonic() > end)

        return over

    def tighten(self) -> None:
        """What a level left loose (late by how much, done by closing) is told as its plan has it."""
        if self.best is None or self.best.values is None:
            return
        self.model.m.minimize(self.roughly)
        values = near(self.model.m, self.model.chains, self.best.values, around=0)
        if values is not None:
            self.take(replace(self.best, values=values))
