"""When and where each sheet goes: what a solver or a dispatcher finds, before people are named."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

__all__ = ["Run", "Schedule"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """One sheet's way. Starts in minutes; each stay ends where the next step begins."""

    sheet: str
    press: str
    cooling: str
    weigh: int
    scale: str
    prepare: int
    bench: str
    load: int
    transfer: int
    leave: int  #: press_cool ends
    stay: str | None  #: stack or rack; None: demoulded from the cooling press
    demould: int
    demould_at: str
    trim: int | None
    saw: str | None
    ready: int
    dry: int | None = None
    dryer: str | None = None
    people: Mapping[str, tuple[str, ...]] = field(
        default_factory=dict
    )  #: by step, where a plan has named them


@dataclass(frozen=True, slots=True, kw_only=True)
class Schedule:
    """Runs by sheet, and from when to when each press is heated."""

    runs: Mapping[str, Run]
    heated: Mapping[str, tuple[tuple[int, int], ...]]  #: by hot press
