"""What stands ready for one sheet: plastic, lots, frame with skins, presses; chosen, checked, or refused."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from flatstock.errors import Fault, NoSuchNumber, Refused, UserError
from flatstock.evidence import Value
from flatstock.plastics.library import library
from flatstock.plastics.model import Plastic, Process
from flatstock.plastics.naming import find
from flatstock.plastics.overrides import with_overrides
from flatstock.plastics.pairs import pair
from flatstock.plastics.safety import check_pressable, never_pressed
from flatstock.pressing.blending import heat_of_parts, pressed_parts, process_of_parts, said_of_parts
from flatstock.pressing.drying import drying_notes
from flatstock.pressing.fitting import frame_for, skins_for
from flatstock.pressing.lot_rules import unfit_lot
from flatstock.pressing.mixing import clean, mixing_notes, too_many_strangers
from flatstock.pressing.picking import pick
from flatstock.pressing.polymers import Material
from flatstock.pressing.rig import MouldSet
from flatstock.workshop.shop import CoolingPress, HotPress, Lot, Workshop

__all__ = ["Setting", "WetCharge", "plastic_called", "plastics_of", "set_out"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """Everything that one card is computed from."""

    shop: Workshop
    plastic: Plastic
    thermal: Material  #: of all its plastics
    process: Process  #: by the limits of the plastic that bears least
    thickness: float
    press: HotPress
    cooling: CoolingPress | None
    mould: MouldSet
    lots: Mapping[str, float]  #: share of the charge by lot; empty: none named
    set_point: Value
    warnings: tuple[str, ...]

    @property
    def stock(self) -> list[tuple[Lot, float]]:
        """The lots of the charge with their shares."""
        return [(self.shop.lots[name], share) for name, share in self.lots.items()]

    @property
    def moisture(self) -> float:
        """Water in the charge, as a mass fraction."""
        return sum(share * (lot.moisture or 0.0) for lot, share in self.stock)

    @property
    def parts(self) -> list[tuple[Plastic, float]]:
        """The plastics of the charge's lots with their shares; strangers within a lot count as its plastic."""
        return _parts(plastics_of(self.shop), self.shop, self.plastic, self.lots)

    @property
    def melting(self) -> Sequence[tuple[Plastic, float]]:
        """Those of them that heat and limits go by, the largest share first."""
        return pressed_parts(self.parts, self.plastic)

    def plastic_of(self, lot: Lot) -> Plastic:
        """What a lot is of."""
        known = plastics_of(self.shop)
        return known[find(lot.plastic, known).id]

    @property
    def bulk_density(self) -> Value:
        """Loose bulk density of the charge [kg/m3]: volumes of the lots added."""
        known = [(lot.bulk_density, share) for lot, share in self.stock]
        if known and all(density is not None for density, _ in known):
            whole = 1.0 / sum(share / density for density, share in known if density)
            return Value.sure(whole, kind="measured", source="lots of this workshop", unit="kg/m3")
        return self.plastic.loose_bulk_density


#: the last few overrides, held so that none is taken for another, with their plastics
_PUT_TOGETHER: deque[tuple[Mapping[str, Any], Mapping[str, Plastic]]] = deque(maxlen=4)


class WetCharge(Refused):
    """Refused for its water alone: what stands ready is known."""

    def __init__(self, faults: Iterable[Fault], setting: Setting) -> None:
        super().__init__(faults)
        self.setting = setting


def plastics_of(shop: Workshop) -> Mapping[str, Plastic]:
    """The library with what this shop has measured or added.

    Asked for again and again of one shop, by each lot and each record, it is put together once: a shop that changes
    otherwise keeps the very same overrides.
    """
    for overrides, plastics in tuple(_PUT_TOGETHER):
        if overrides is shop.plastic_overrides:
            return plastics
    plastics = with_overrides(library(), shop.plastic_overrides)
    _PUT_TOGETHER.append((shop.plastic_overrides, plastics))
    return plastics


def set_out(
    shop: Workshop,
    *,
    plastic: str,
    thickness: float,
    press: str | None = None,
    frame: str | None = None,
    lots: Mapping[str, float] | None = None,
    set_point: float | None = None,
    any_lot: bool = True,
    frame_must_fit: bool = True,
) -> Setting:
    """Choose what is not named and refuse what must not or cannot be pressed.

    Without lots the largest released one of this plastic is taken, unless `any_lot` is False: then none.
    A frame that does not fit the sheet is refused, or warned of where the sheet has been pressed already.

    Parameters
    ----------
    thickness
        Of the cold sheet, 0.5 to 100 mm [m].
    lots
        Shares of the charge by lot; they sum to 1.
    set_point
        Of the platens [°C]; None: as on file.

    Raises
    ------
    NoSuchNumber
        No sheet is so thick.
    WetCharge
        Its water alone stands against it.
    Refused
        Anything else does, with every reason found by then.
    """
    known = plastics_of(shop)
    chosen = plastic_called(known, plastic)
    machine = pick(press, shop.hot_presses, what="hot press", where="--press", default=shop.default_hot_press)
    _check_thickness(thickness)
    shares = _shares(known, shop, chosen, lots or {}) if lots or any_lot else {}
    melting = pressed_parts(_parts(known, shop, chosen, shares), chosen)
    asked = _set_point(chosen, set_point)
    faults = _never_to_press(chosen, melting, asked, named=set_point is not None)
    for name in shares:
        faults += unfit_lot(shop, chosen, shop.lots[name], where="--lot")
    faults += too_many_strangers(known, shop, chosen, shares)
    if faults:
        raise Refused(_once(faults))
    own = _own_process(chosen)
    goal = _reachable(asked, chosen, machine)
    warnings: list[str] = []
    ring = frame_for(
        shop, machine, thickness, frame, warnings, shrinkage=chosen.shrinkage, must_fit=frame_must_fit
    )
    process = process_of_parts(own, melting, goal.value)
    if (worked_out := said_of_parts(melting, process)) is not None:
        warnings.append(worked_out)
    warnings += mixing_notes(known, shop, chosen, shares)
    warnings += drying_notes(chosen.id, own, [shop.lots[name] for name in shares])
    setting = Setting(
        shop=shop,
        plastic=chosen,
        thermal=heat_of_parts(melting),
        process=process,
        thickness=thickness,
        press=machine,
        cooling=_cooling_press(shop),
        mould=MouldSet(frame=ring, skin=skins_for(shop, machine, ring, warnings)),
        lots=shares,
        set_point=goal,
        warnings=tuple(warnings),
    )
    if wet := _too_wet(setting):
        raise WetCharge(wet, setting)
    return setting


def _check_thickness(thickness: float) -> None:
    if not 0.5e-3 <= thickness <= 0.1:
        raise NoSuchNumber(
            Fault(
                where="--thickness",
                what=f"{thickness * 1e3:g} mm is no thickness for a pressed sheet",
                instead="ask for 0.5 to 100 mm",
            )
        )


def _never_to_press(
    plastic: Plastic, melting: Sequence[tuple[Plastic, float]], asked: Value | None, *, named: bool
) -> list[Fault]:
    """What forbids this plastic, or this set-point for it and for the others of the charge.

    `named`: the set-point was asked for, and isn't the one on file.
    """
    faults = check_pressable(plastic, None, None, None, where="--plastic")
    if asked is None:
        return faults
    where = "--set-point" if named else f"plastics.toml, {plastic.id}.set_point_C"
    faults += check_pressable(plastic, asked.value, None, None, where=where)
    for one, _ in melting:
        if one.id != plastic.id:
            faults += check_pressable(one, asked.value, None, None, where="--lot")
    return faults


def _own_process(plastic: Plastic) -> Process:
    """How the plastic is pressed; refused where something that a card needs is not on file."""
    if plastic.missing or plastic.thermal is None or plastic.process is None:
        missing = ", ".join(plastic.missing)
        raise Refused(
            Fault(
                where="--plastic",
                what=f"a card for {plastic.name} needs data that are not on file: {missing}",
                instead=f"measure or look them up and write them under [{plastic.id}] in plastics.toml",
            )
        )
    return plastic.process


def _reachable(asked: Value | None, plastic: Plastic, press: HotPress) -> Value:
    """The set-point; refused where there is none, or where this press would cut out before it."""
    if asked is None:
        raise Refused(
            Fault(
                where=f"plastics.toml, {plastic.id}.set_point_C",
                what="no set-point is on file",
                instead="add it, or say --set-point",
            )
        )
    if press.highest_platen is not None and asked.value > press.highest_platen:
        raise Refused(
            Fault(
                where="--set-point",
                what=f"{asked.value:g} °C is above the over-temperature cut-out of {press.id},"
                f" {press.highest_platen:g} °C",
                instead="stay below it",
            )
        )
    return asked


def _cooling_press(shop: Workshop) -> CoolingPress | None:
    """The shop's default one, else its first; None where it has none."""
    first = next(iter(shop.cooling_presses.values()), None)
    return shop.cooling_presses.get(shop.default_cooling_press or "", first)


def _too_wet(setting: Setting) -> list[Fault]:
    """What forbids the charge's water: every press cycle here breathes, or lets steam out when it opens."""
    return check_pressable(
        setting.plastic,
        None,
        None,
        None,
        lot=" and ".join(setting.lots),
        moisture=setting.moisture,
        breathing=True,
        where="--lot",
    )


def _parts(
    known: Mapping[str, Plastic], shop: Workshop, plastic: Plastic, lots: Mapping[str, float]
) -> list[tuple[Plastic, float]]:
    found = {plastic.id: 0.0 if lots else 1.0}
    for name, share in lots.items():
        own = find(shop.lots[name].plastic, known).id
        found[own] = found.get(own, 0.0) + share
    return [(known[name], share) for name, share in found.items() if share > 0]


def _once(faults: Iterable[Fault]) -> list[Fault]:
    """Each thing that is wrong said once, where it was met first."""
    found: dict[str, Fault] = {}
    for fault in faults:
        found.setdefault(fault.what, fault)
    return list(found.values())


def plastic_called(known: Mapping[str, Plastic], named: str) -> Plastic:
    """The plastic called `named`; one that is never pressed and so not on file is refused with the reason."""
    try:
        return find(named, known, where="--plastic")
    except UserError as unknown:
        entry = never_pressed(named)
        if entry is None or entry.id == "unidentified":
            raise Refused(unknown.faults) from None
        raise Refused(
            Fault(
                where="--plastic",
                what=f"{named} is never pressed: {entry.reason}",
                instead=f"leave it out; decides: {entry.defer_to}",
            )
        ) from None


def _set_point(plastic: Plastic, asked: float | None) -> Value | None:
    if asked is not None:
        return Value.sure(asked, kind="measured", source="asked for", unit="°C")
    return plastic.process.set_point if plastic.process else None


def _shares(
    known: Mapping[str, Plastic], shop: Workshop, plastic: Plastic, asked: Mapping[str, float]
) -> dict[str, float]:
    """The lots asked for, by the shop's own spelling; else the largest released clean lot of this plastic."""
    if not asked:
        mine = [
            lot
            for lot in shop.lots.values()
            if lot.plastic.lower() == plastic.id
            and lot.status == "released"
            and lot.mass > 0
            and clean(known, shop, plastic, lot)
        ]
        return {max(mine, key=lambda lot: lot.mass).id: 1.0} if mine else {}
    found: dict[str, float] = {}
    for name, share in asked.items():
        lot = pick(name, shop.lots, what="lot", where="--lot")
        found[lot.id] = found.get(lot.id, 0.0) + share
        if not 0 < share <= 1:
            raise Refused(
                Fault(
                    where=f"--lot {name}",
                    what=f"a share of {share:g} is not between 0 and 1",
                    instead="write 0.25",
                )
            )
        if lot.plastic.lower() != plastic.id and pair(plastic.like, lot.plastic).share_max < share:
            rule = pair(plastic.like, lot.plastic)
            raise Refused(
                Fault(
                    where=f"--lot {lot.id}",
                    what=f"{lot.id} is {lot.plastic.upper()}; a charge of {plastic.id.upper()} may hold"
                    f" {100 * rule.share_max:g} % of it at most, not {100 * share:g} %: {rule.reason}",
                    instead="choose a lot of the same plastic",
                )
            )
    total = sum(found.values())
    if abs(total - 1) > 1e-3:
        raise Refused(
            Fault(where="--lot", what=f"the shares sum to {total:g}", instead="make them sum to 1 (or 100 %)")
        )
    return {name: share / total for name, share in found.items()}
