"""What a search hands back: a plan, how good it is, and how good any could be."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from flatstock.planning.dispatch.rule import How
from flatstock.planning.problem.schedule import Schedule

__all__ = ["Found", "Level"]


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
    how: How | None = None  #: by which of the priority rules' ways it was begun; None: by none
