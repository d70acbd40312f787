"""Amperes on each phase at every instant, added up as magnitudes."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from flatstock.planning.check.document import Plan
from flatstock.planning.check.finding import Finding
from flatstock.planning.check.heating import sessions

__all__ = ["Piece", "drawn", "overloads", "said"]

#: from, to, amperes per phase, ids of what is on
Piece = tuple[datetime, datetime, tuple[float, float, float], tuple[str, ...]]
_ROUNDED = 0.05  # A: a sum of rounded currents, rounded
_SAME = 1e-6


def drawn(plan: Plan) -> list[Piece]:
    """What is drawn between each two instants at which something starts or ends, from plan start on."""
    events: list[tuple[datetime, int, str]] = []

    def on(label: str, start: datetime, end: datetime) -> None:
        if end > start:
            events.extend([(start, 1, label), (end, -1, label)])

    for task in plan.tasks:
        on(task.step, task.start, task.end)
    for setting in plan.settings:
        on(setting.kind, setting.start, setting.end)
    for _, start, end in sessions(plan):
        on("heated", start, end)
    for piece in plan.power:
        on("said", piece.start, piece.end)
    on(
        "always",
        min([plan.start, *(at for at, _, _ in events)]),
        max([plan.end, *(at for at, _, _ in events)]),
    )
    events.sort(key=lambda event: event[0])
    running: dict[str, int] = {}
    found: list[Piece] = []
    for n, (at, change, label) in enumerate(events):
        running[label] = running.get(label, 0) + change
        if n + 1 < len(events) and events[n + 1][0] > at:
            labels = {name for name, count in running.items() if count > 0}
            loads = [load for load in plan.loads if load.on_during & labels]
            amps = [sum(load.amps[phase] for load in loads) for phase in range(3)]
            found.append(
                (at, events[n + 1][0], (amps[0], amps[1], amps[2]), tuple(load.id for load in loads))
            )
    return found


def overloads(plan: Plan, pieces: list[Piece]) -> Iterator[Finding]:
    """Phases over the rating: each stretch once, with what is on."""
    if plan.rated is None:
        return
    since: datetime | None = None
    for start, end, amps, loads in pieces:
        over = [n for n in range(3) if amps[n] > plan.rated + _SAME]
        if over and since is None:
            words = " and ".join(f"L{n + 1} draws {amps[n]:.2f} A" for n in over)
            what = f"{words} at least until {end.isoformat()}: {', '.join(loads)}"
            where = f"supply at {start.isoformat()}"
            yield Finding(where, what, f"at most {plan.rated:g} A on a phase", "rated", start)
        since = start if over else None


def said(plan: Plan, pieces: list[Piece]) -> Iterator[Finding]:
    """Where `power` says something else than the loads add up to, or leaves out what is on."""
    steady = [sum(load.amps[n] for load in plan.loads if "always" in load.on_during) for n in range(3)]
    for before, after in zip(plan.power, plan.power[1:], strict=False):
        if after.start < before.end:
            where = f"power at {after.start.isoformat()}"
            what = f"it starts before the piece before ends at {before.end.isoformat()}"
            yield Finding(where, what, "pieces that touch", "power", after.start)
            return
    for start, end, amps, loads in pieces:
        piece = next((one for one in plan.power if one.start <= start and end <= one.end), None)
        if piece is None:
            if any(abs(amps[n] - steady[n]) > _ROUNDED for n in range(3)):
                what = f"nothing is said until {end.isoformat()}, and {', '.join(loads)} are on"
                yield Finding(
                    f"power at {start.isoformat()}", what, "every instant with its amperes", "power", start
                )
                return
        elif any(abs(amps[n] - piece.amps[n]) > _ROUNDED for n in range(3)):
            given = " / ".join(f"{one:.2f}" for one in piece.amps)
            true = " / ".join(f"{one:.2f}" for one in amps)
            what = f"it says {given} A, {', '.join(loads) or 'nothing'} on draws {true} A"
            yield Finding(f"power at {start.isoformat()}", what, f"{true} A", "power", start)
            return
