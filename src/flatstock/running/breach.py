"""A rule of the floor that a tap would break."""

from __future__ import annotations

from dataclasses import dataclass

from flatstock.errors import Fault

__all__ = ["Breach", "never", "slip", "soft"]


@dataclass(frozen=True, slots=True)
class Breach:
    """Why not, and whether the same words keep a late telling out too.

    `hard`: no door lets it in, ever (a held lot, one person for two). Else a tap is refused, but what another
    device noted when it happened, and tells only now, is kept and asked about: it has happened.
    `slip`: a number that nobody can have meant; a correction is refused for it too.
    """

    fault: Fault
    hard: bool = False
    slip: bool = False


def soft(where: str, what: str, instead: str) -> Breach:
    """Refused now; asked about where it has happened."""
    return Breach(Fault(where, what, instead))


def never(where: str, what: str, instead: str) -> Breach:
    """Refused by every door."""
    return Breach(Fault(where, what, instead), hard=True)


def slip(where: str, what: str, instead: str) -> Breach:
    """A slip of the hand: refused now, of a correction too; asked about where it comes late."""
    return Breach(Fault(where, what, instead), slip=True)
