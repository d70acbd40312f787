"""A plan of a room, and what a judge finds in it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from flatstock.starting.room.question import Placement

__all__ = ["Broken", "Caveat", "Plan"]


@dataclass(frozen=True, kw_only=True)
class Plan:
    """Where everything stands."""

    placements: Mapping[str, Placement]
    left_out: Mapping[str, str] = field(default_factory=dict)  #: item: because


@dataclass(frozen=True, slots=True, order=True)
class Broken:
    """A rule that a plan breaks."""

    rule: str  #: "overlap", "way_out": one word or two
    about: tuple[str, ...]  #: the items, zones and doors concerned
    text: str  #: one sentence with its metres, without the full stop


@dataclass(frozen=True, slots=True, order=True)
class Caveat:
    """Something that no rule here forbids, but that somebody has to decide."""

    code: str
    item: str  #: "" where it concerns the room
    text: str  #: names the rule and who decides
