"""Which flake goes into a dryer before it is weighed, in which, and for how long.

A lot is dried that is on file to be dried first, one that holds more water than its plastic may, and one of a plastic
that always needs it and whose water nobody has measured. The limit, the least temperature and the time are the
plastic's; a dryer below that temperature doesn't dry it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from math import ceil

from flatstock.plastics.library import library
from flatstock.plastics.model import Process
from flatstock.plastics.overrides import with_overrides
from flatstock.plastics.safety import rules
from flatstock.workshop.shop import Lot, Place, Workshop

__all__ = ["KEEPS", "Drying", "after_drying", "drying_of"]

KEEPS = 240  #: minutes from the dryer to the press: common practice, no source; kept closed, dry flake takes up little


@dataclass(frozen=True, slots=True)
class Drying:
    """Minutes by dryer that one charge takes; empty: it is pressed as it is. `said`: in words."""

    minutes: Mapping[str, int]
    said: tuple[str, ...]


def drying_of(shop: Workshop, plastic: str, lots: Iterable[str], charge: float) -> Drying:
    """What has to be dried of a charge [kg] from these lots, and where."""
    known = _process(shop, plastic)
    wet = [shop.lots[name] for name in lots if name in shop.lots and _wet(known, shop.lots[name])]
    if known is None or not wet:
        return Drying({}, ())
    dryers = {place.id: _minutes(known, place) for place in _dryers(shop, known, charge)}
    named = ", ".join(f"{lot.id} {_holds(lot)}" for lot in wet)
    if dryers:
        best = min(dryers, key=lambda name: (dryers[name], name))
        return Drying(dryers, (f"{named}: dried {dryers[best]} min in {best} before it is weighed, and pressed within"
                               f" {KEEPS // 60} h",))  # fmt: skip
    if not known.drying_needed and not any(p.kind == "dryer" for p in shop.places.values()):
        return Drying({}, ())  # the card says what its water does
    low = known.drying_temperature
    warm = "" if low is None else f" at {low.low:g} °C or more"
    return Drying(
        {}, (f"{named}: to be dried first{warm}, and no dryer on file does that for {charge:.1f} kg",)
    )


def after_drying(shop: Workshop) -> Workshop:
    """The shop with every lot that a dryer of it can dry as dry as its plastic may be."""
    lots = {name: _dry(shop, _process(shop, lot.plastic), lot) for name, lot in shop.lots.items()}
    return replace(shop, lots=lots)


def _process(shop: Workshop, plastic: str) -> Process | None:
    found = with_overrides(library(), shop.plastic_overrides).get(plastic.lower())
    return None if found is None else found.process


def _dry(shop: Workshop, process: Process | None, lot: Lot) -> Lot:
    if process is None or not _wet(process, lot) or not any(_dryers(shop, process, 0.0)):
        return lot
    most = rules().wet_charge_share if process.max_moisture is None else process.max_moisture.value
    return replace(lot, moisture=most if lot.moisture is None else min(lot.moisture, most), dry_first=False)


def _wet(process: Process | None, lot: Lot) -> bool:
    if process is None or lot.dry_first:
        return process is not None
    if lot.moisture is None:
        return process.drying_needed
    return process.max_moisture is not None and lot.moisture > process.max_moisture.value


def _holds(lot: Lot) -> str:
    if lot.dry_first:
        return "to be dried first"
    return "of unknown water" if lot.moisture is None else f"with {100 * lot.moisture:.2g} % water"


def _dryers(shop: Workshop, process: Process, charge: float) -> Iterator[Place]:
    """Dryers that are warm enough and take the charge at once."""
    low = process.drying_temperature
    for place in shop.places.values():
        if place.kind != "dryer" or place.hours is None:
            continue
        warm = low is None or place.temperature is None or place.temperature >= low.low
        if warm and (place.load_max is None or place.load_max >= charge):
            yield place


def _minutes(process: Process, place: Place) -> int:
    """A load of the dryer, and not less than the plastic takes."""
    takes = 0.0 if process.drying_time is None else process.drying_time.value
    return ceil(max(place.hours or 0.0, takes) / 60 - 1e-9)
