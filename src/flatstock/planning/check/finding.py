"""What the judge finds: a fault with the rule it breaks and the moment it happens."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from flatstock.errors import Fault

__all__ = ["Finding"]


@dataclass(frozen=True, slots=True)
class Finding(Fault):
    """One rule of a plan that is broken, in one clear sentence."""

    rule: str  #: a key of `rules.RULES`
    at: datetime | None = None  #: when it happens; None where it has no moment
