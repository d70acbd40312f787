"""Spans in which the app was not running: nobody can know what the presses' heat did then, until somebody says so."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from flatstock.running.danger import Heat
from flatstock.running.event import Event
from flatstock.running.stays import Stay

__all__ = ["Silence", "unexplained"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Silence:
    """From the app's last sign of life to its next start."""

    since: datetime
    until: datetime

    @property
    def name(self) -> str:
        """By which a note says that it has been explained."""
        return self.since.isoformat()


def unexplained(
    silences: Iterable[Silence], events: Sequence[Event], hot: Sequence[Stay], heats: Mapping[str, Heat]
) -> tuple[Silence, ...]:
    """Those in which a mould that is still in it stood in a heated press, and of which nobody has told the heat yet.

    A power cut noted within it explains one, and so does a note that names it in the fact `silence`.
    """
    told = {str(e.facts["silence"]) for e in events if e.kind == "note" and "silence" in e.facts}
    cuts = [e.at for e in events if e.kind == "power_cut"]
    return tuple(
        one
        for one in silences
        if one.name not in told
        and not any(one.since <= at <= one.until for at in cuts)
        and any(stay.since < one.until and _heated(heats.get(stay.place), one) for stay in hot)
    )


def _heated(heat: Heat | None, silence: Silence) -> bool:
    """Whether the heaters were on, as far as was told, when the silence began."""
    return heat is not None and heat.on and (heat.since is None or heat.since < silence.until)
