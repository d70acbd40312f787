"""What can be taken out of its mould, the readiest first, and what its steel does to a hand."""

from __future__ import annotations

from dataclasses import dataclass

from flatstock.quality.touching import BurnCaution, burn_caution
from flatstock.running.view import Floor, MouldHere

__all__ = ["ToDemould", "demould_list"]

HOT = ("hot_press",)
HOTTEST = 140.0  #: taken for a core that nobody knows: it burns at a touch [°C]


@dataclass(frozen=True, slots=True, kw_only=True)
class ToDemould:
    """One mould that waits to be taken out."""

    mould: MouldHere
    place: str
    kind: str  #: of the place
    on_top: tuple[str, ...]  #: sheets above it in its stack: they come off first
    ready: bool  #: it may be taken out now
    cool: bool  #: its own wait is over: it may be, or only what stands on it is in the way
    hottest: (
        float | None
    )  #: that the steel may be [°C]: its core at the late end of the band; None: nobody knows
    burns: BurnCaution


def demould_list(floor: Floor) -> tuple[ToDemould, ...]:
    """Everything that stands outside the hot presses: what is ready first, then by when it and what stands on it will
    be; of a stack the upper one first.
    """
    found: list[tuple[tuple[object, ...], ToDemould]] = []
    for place in floor.places:
        if place.kind in HOT:
            continue
        for mould in place.moulds:
            above = [one for one in place.moulds if one.level > mould.level]
            ready = mould.next.kind == "demoulded" and mould.next.permitted
            over = mould.counts_to is not None and mould.counts_to <= floor.now
            cool = ready or (mould.next.kind == "demoulded" and over)
            # past the late end of its band the core is below what it was waited for
            hottest = mould.core if mould.core is not None else mould.limit if cool else None
            waits = [one.counts_to for one in (mould, *above)]
            known = [at for at in waits if at is not None]
            due = None if len(known) < len(waits) else max(known)
            order = (not ready, due is None, due or mould.since, place.id, -mould.level, mould.sheet)
            row = ToDemould(
                mould=mould,
                place=place.id,
                kind=place.kind,
                on_top=tuple(one.sheet for one in above),
                ready=ready,
                cool=cool,
                hottest=hottest,
                burns=burn_caution(HOTTEST if hottest is None else hottest),
            )
            found.append((order, row))
    return tuple(row for _, row in sorted(found, key=lambda one: one[0]))
