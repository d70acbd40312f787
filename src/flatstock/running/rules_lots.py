"""What may go into a mould: released lots of the sheet's recipe, dry where it is breathed, within the set-point."""

from __future__ import annotations

from collections.abc import Iterator

from flatstock.errors import Fault
from flatstock.plastics.library import library
from flatstock.plastics.overrides import with_overrides
from flatstock.plastics.safety import check_pressable, rules
from flatstock.running.breach import Breach, never, slip, soft
from flatstock.running.event import Event
from flatstock.running.sheets import Planned
from flatstock.running.situation import Situation
from flatstock.running.stays import Track
from flatstock.running.words import kilograms

__all__ = ["lots", "set_points", "unfit"]

SLIP = 3.0  #: times more or less than the target: a slip of the decimal sign, not a weighing; our own figure


def lots(event: Event, now: Situation) -> Iterator[Breach]:
    """A lot that nothing may use, one that the recipe does not have, a mass that cannot be meant."""
    if event.kind == "released":
        yield from _release(event, now)
    if event.kind == "weighed":
        yield from _weighed(event, now)
    if event.kind in ("loaded", "prepared") and event.sheet is not None:
        track = now.tracks.get(event.sheet)
        for fault in unfit(now.sheet(event.sheet), track, now):
            yield Breach(fault, hard=True)
    if event.kind == "breathed" and event.sheet is not None:
        for lot in now.sheet(event.sheet).lots:
            one = now.shop.lots.get(lot)
            most = rules().wet_charge_share
            if one is not None and (one.moisture or 0.0) > most:
                wet = 100 * (one.moisture or 0.0)
                what = f"it holds {wet:.2g} % water; above {100 * most:g} % breathing is refused"
                yield never(lot, what, "leave it closed; dry the flake before the next charge")


def unfit(sheet: Planned, track: Track | None, now: Situation) -> Iterator[Fault]:
    """What holds a charge back, lot by lot; a lot that is used up holds back nothing that was weighed before."""
    weighed = set() if track is None else set(track.weighed)
    for lot in sorted((set(sheet.lots) | weighed) & set(now.shop.lots)):
        gone = lot in weighed and now.shop.lots[lot].status == "empty"
        yield from now.lot_faults(now.with_status(lot, "released") if gone else now.shop, lot)


def _weighed(event: Event, now: Situation) -> Iterator[Breach]:
    lot = event.facts.get("lot")
    if not isinstance(lot, str) or lot not in now.shop.lots:
        known = ", ".join(sorted(now.shop.lots)) or "none"
        yield never("lot", f"no lot is called {lot!r}", f"there are {known}")
        return
    for fault in now.lot_faults(now.shop, lot):
        yield Breach(fault, hard=True)
    recipe = now.sheet(event.sheet or "").lots
    if recipe and lot not in recipe:
        yield soft("lot", f"{event.sheet} takes {', '.join(recipe)}, not {lot}", "weigh from its recipe")
    track = now.tracks.get(event.sheet or "")
    if track is not None and lot in track.weighed:
        what = f"{track.weighed[lot]:g} kg of {lot} have been weighed for {event.sheet} already"
        yield soft("lot", what, "weigh what is still missing, or correct that entry")
    if now.shop.lots[lot].dry_first and event.facts.get("dried") is not True:
        yield soft(
            lot, "it is to be dried before it is weighed", "dry it, and say at the scale that it is dry"
        )
    said = event.facts.get("target_kg")
    target = recipe.get(lot, float(said) if isinstance(said, int | float) else None)
    mass = event.facts.get("mass_kg")
    if not isinstance(mass, int | float) or mass <= 0:
        yield never(lot, f"{mass!r} kg is no weighing", "read the scale again")
    elif target and not target / SLIP < mass < target * SLIP:
        yield slip(
            lot,
            f"{mass:g} kg, where {kilograms(target)} is wanted: a slip of the decimal sign?",
            "read the scale again",
        )


def _release(event: Event, now: Situation) -> Iterator[Breach]:
    """A release that no rule allows, whoever gives it: electrical without a bromine result, PVC and the rest."""
    lot = event.facts.get("lot")
    if not isinstance(lot, str) or lot not in now.shop.lots:
        yield never("lot", f"no lot is called {lot!r}", "name a lot on file")
        return
    freed = now.with_status(lot, "released")
    for fault in now.lot_faults(freed, lot):
        yield Breach(fault, hard=True)


def set_points(event: Event, now: Situation) -> Iterator[Breach]:
    """Heaters set above what the press or the plastic bears."""
    if event.kind == "heating_on":
        press = now.shop.hot_presses.get(event.place or "")
        point = event.facts.get("set_point_C")
        if press and isinstance(point, int | float) and press.highest_platen and point > press.highest_platen:
            what = f"{point:g} °C is above its cut-out at {press.highest_platen:g} °C"
            yield never(press.id, what, "set it lower")
    if event.kind == "loaded" and event.sheet is not None:
        said = event.facts.get("set_point_C")
        heat = now.heats.get(event.where or "")
        point = said if isinstance(said, int | float) else (heat.set_point if heat else None)
        name = now.sheet(event.sheet).plastic
        known = with_overrides(library(), now.shop.plastic_overrides)
        if name is not None and name in known:
            for fault in check_pressable(known[name], point, None, None, where=event.where or ""):
                yield Breach(fault, hard=True)
