"""Naming who does what once it is settled when: one thing at a time, only while present, least skilled first.

Where people are at work by a plan, whoever it has for a step is asked first.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import combinations
from types import MappingProxyType

from flatstock.planning.problem.schedule import Run
from flatstock.planning.problem.steps import Step
from flatstock.planning.problem.week import Person, Week

__all__ = ["name_people"]

PATIENCE = 20_000  #: tries for one run of touching steps; a day of one shop needs a few hundred


class _Search:
    """Depth first along the clock; a dead end goes back to the last step that others could do."""

    def __init__(
        self, week: Week, steps: Sequence[Step], begun: Sequence[Step], before: Mapping[str, Run]
    ) -> None:
        self.week, self.begun, self.before = week, begun, before
        self.steps = sorted(steps, key=lambda s: (s.start, -s.hands, s.skill, s.sheet))
        self.chosen: list[tuple[str, ...]] = []
        self.rank = {one.id: (len(one.skills & {"hot_transfer", "saw"}), one.id) for one in week.people}

    def free(self, person: Person, step: Step) -> bool:
        """Whether this person may and can do a step, given who does the ones before it."""
        if step.skill and step.skill not in person.skills:
            return False
        if not any(span.holds(step.start, step.end) for span in person.at_hand):
            return False
        busy = [other for other, who in zip(self.steps, self.chosen, strict=False) if person.id in who]
        busy += [other for other in self.begun if person.id in other.people and other.start < step.end]
        return not any(other.end > step.start for other in busy)

    def _as_before(self, step: Step) -> tuple[str, ...]:
        """Who was to do it by the plan before."""
        run = self.before.get(step.sheet)
        return () if run is None else run.people.get(step.name, ())

    def run(self) -> bool:
        """Whether everybody could be named."""
        options: list[list[tuple[str, ...]]] = []
        for _ in range(PATIENCE):
            index = len(self.chosen)
            if index == len(self.steps):
                return True
            if len(options) == index:
                step = self.steps[index]
                able = [one.id for one in self.week.people if self.free(one, step)]
                old = self._as_before(step)
                able.sort(key=lambda name: (name not in old, self.rank[name]))
                options.append(list(reversed(list(combinations(able, step.hands)))))
            if options[-1]:
                self.chosen.append(options[-1].pop())
                continue
            options.pop()
            if not self.chosen:
                return False
            self.chosen.pop()
        return False


def name_people(
    week: Week, steps: Sequence[Step], before: Mapping[str, Run] = MappingProxyType({})
) -> dict[tuple[str, str], tuple[str, ...]] | None:
    """Who does each step, by sheet and step, those who began it where it has begun; None where no naming was found.

    `before`: runs of the plan that people are at work by.
    """
    begun = [step for step in steps if step.people]
    named = {(step.sheet, step.name): step.people for step in begun}
    for part in _apart([step for step in steps if step.hands and not step.people]):
        search = _Search(week, part, [step for step in begun if step.end > week.now], before)
        if not search.run():
            return None
        for step, who in zip(search.steps, search.chosen, strict=True):
            named[step.sheet, step.name] = tuple(sorted(who))
    return named


def _apart(steps: Sequence[Step]) -> list[list[Step]]:
    """Runs of steps that touch no step outside: each is named by itself."""
    parts: list[list[Step]] = []
    reach = 0
    for step in sorted(steps, key=lambda s: s.start):
        if not parts or step.start >= reach:
            parts.append([])
            reach = step.end
        parts[-1].append(step)
        reach = max(reach, step.end)
    return parts
