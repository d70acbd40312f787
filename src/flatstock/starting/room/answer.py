"""What a search for plans comes back with; the document is written from it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from flatstock.starting.room.plan import Plan

__all__ = ["Alternative", "Help", "Proof", "RoomAnswer"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Proof:
    """How far a plan is proven the best, or a room impossible."""

    status: Literal["optimal", "feasible", "impossible", "unknown"]
    walk_m_per_day: float | None = None  #: of the plan
    bound_m_per_day: float | None = None  #: no plan on this grid walks less
    grid_mm: int = 100
    seconds: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Help:
    """Something that was tried and would make an impossible room possible."""

    what: str  #: "without SAW", "the right wall 0.40 m further out"
    proof: str  #: how far it was tried: "a plan was found that passes"


@dataclass(frozen=True, slots=True, kw_only=True)
class Alternative:
    """Another plan that passes, in which a machine stands elsewhere."""

    plan: Plan
    walk_m_per_day: float
    differs: str  #: in words: "SAW on the other side of the door"


@dataclass(frozen=True, kw_only=True)
class RoomAnswer:
    """The answer to one question."""

    plan: Plan | None  #: None: impossible, or not found in time
    proof: Proof
    conflict: tuple[str, ...] = ()  #: a smallest set that can't stand together
    why: str = ""  #: the conflict in a sentence with metres, or what was not found in time
    would_help: tuple[Help, ...] = ()
    alternatives: tuple[Alternative, ...] = ()
