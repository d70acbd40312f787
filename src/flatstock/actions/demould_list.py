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
    ready: bool
    hottest: (
        float | None
    )  #: that the steel may be [°C]: its core at the late end of the band; None: nobody knows
    burns: BurnCaution


def demould_list(floor: Floor) -> tuple[ToDemould, ...]:
    """Everything that stands outside the hot presses: what is ready first, then by when it will be."""
    found = []
    for place in floor.places:
        if place.kind in HOT:
            continue
        for mould in place.moulds:
            above = tuple(one.sheet for one in place.moulds if one.level > mould.level)
            ready = mould.next.kind == "demoulded" and mould.next.permitted
            # past the late end of its band the core is below what it was waited for
            hottest = mould.core if mould.core is not None else mould.limit if ready else None
            found.append(
                ToDemould(
                    mould=mould,
                    place=place.id,
                    kind=place.kind,
                    on_top=above,
                    ready=ready,
                    hottest=hottest,
                    burns=burn_caution(HOTTEST if hottest is None else hottest),
                )
            )
    return tuple(
        sorted(
            found,
            key=lambda one: (
                not one.ready,
                one.mould.counts_to is None,
                one.mould.counts_to or one.mould.since,
                one.mould.sheet,
            ),
        )
    )
