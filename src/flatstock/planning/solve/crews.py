"""Who does each step, as part of the model: dearer than counting hands, for where counting lets too much through."""

from __future__ import annotations

from collections.abc import Sequence

from flatstock.planning.problem.clock import joined
from flatstock.planning.problem.week import Person, Week
from flatstock.planning.solve.chains import Hands
from flatstock.planning.solve.cpsat import Model, Var

__all__ = ["add_crews"]


def add_crews(model: Model, week: Week, hands: Sequence[Hands]) -> None:
    """Every step that needs people gets them by name: one thing at a time, only while they are there."""
    busy: dict[str, list[Var]] = {one.id: _away(model, week, one) for one in week.people}
    for n, work in enumerate(hands):
        able = [one for one in week.people if not work.skill or work.skill in one.skills]
        picked = {one.id: model.new_bool_var(f"{one.id} does {n}") for one in able}
        model.add(sum(picked.values()) == work.people * work.on)
        for name, pick in picked.items():
            busy[name].append(
                model.new_optional_fixed_size_interval_var(work.start, work.minutes, pick, f"{name} at {n}")
            )
    for spans in busy.values():
        model.add_no_overlap(spans)


def _away(model: Model, week: Week, person: Person) -> list[Var]:
    gaps, at = [], week.now
    for stay in joined(person.at_hand):
        if stay.start > at:
            gaps.append((at, stay.start))
        at = max(at, stay.end)
    if at < week.end:
        gaps.append((at, week.end))
    return [model.new_fixed_size_interval_var(a, b - a, f"{person.id} away") for a, b in gaps]
