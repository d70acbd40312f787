"""What stands ready for one sheet: plastic, lots, frame with skins, presses; chosen, checked, or refused."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from typing import TypeVar

from flatstock.errors import Fault, Refused, UserError
from flatstock.evidence import Value
from flatstock.plastics.library import library
from flatstock.plastics.model import Plastic, Process, Thermal
from flatstock.plastics.naming import find
from flatstock.plastics.overrides import with_overrides
from flatstock.plastics.pairs import pair
from flatstock.plastics.safety import check_pressable, never_pressed
from flatstock.pressing.rig import MouldSet
from flatstock.workshop.shop import CoolingPress, Frame, HotPress, Lot, Skin, Workshop

__all__ = ["Setting", "WetCharge", "pick", "plastics_of", "set_out"]

Thing = TypeVar("Thing")
FRAME_THINNER_MOST = 0.75e-3  #: m: a frame this much under the sheet still holds its melt
#: m: a frame this much over the sheet still counts as of its thickness: 0.4725 in for 12 mm (assumed)
FRAME_THICKER_MOST = 0.05e-3
TOLERATED_UNITS = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """Everything that one card is computed from."""

    shop: Workshop
    plastic: Plastic
    thermal: Thermal
    process: Process
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
    def bulk_density(self) -> Value:
        """Loose bulk density of the charge [kg/m3]: volumes of the lots added."""
        known = [(lot.bulk_density, share) for lot, share in self.stock]
        if known and all(density is not None for density, _ in known):
            whole = 1.0 / sum(share / density for density, share in known if density)
            return Value.sure(whole, kind="measured", source="lots of this workshop", unit="kg/m3")
        return self.plastic.loose_bulk_density


class WetCharge(Refused):
    """Refused for its water alone: what stands ready is known."""

    def __init__(self, faults: Iterable[Fault], setting: Setting) -> None:
        super().__init__(faults)
        self.setting = setting


def plastics_of(shop: Workshop) -> Mapping[str, Plastic]:
    """The library with what this shop has measured or added."""
    return with_overrides(library(), shop.plastic_overrides)


def pick(
    named: str | None, known: Mapping[str, Thing], *, what: str, where: str, default: str | None = None
) -> Thing:
    """The thing called `named`, or the default, or the only one. Ids are matched whatever their case."""
    if not known:
        raise Refused(
            Fault(
                where=where,
                what=f"the workshop has no {what}",
                instead=f"add a {what} to {'lots.csv' if what == 'lot' else 'shop.toml'}",
            )
        )
    name = named or default or next(iter(known))
    for key, thing in known.items():
        if key.lower() == name.lower():
            return thing
    near = " or ".join(get_close_matches(name, list(known))) or ", ".join(known)
    raise Refused(
        Fault(where=where, what=f"there is no {what} {name!r} in this workshop", instead=f"write {near}")
    )


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
) -> Setting:
    """Choose what is not named and refuse what must not or cannot be pressed.

    Without lots the largest released one of this plastic is taken, unless `any_lot` is False: then none.
    """
    chosen = _plastic(shop, plastic)
    machine = pick(press, shop.hot_presses, what="hot press", where="--press", default=shop.default_hot_press)
    if not 0.5e-3 <= thickness <= 0.1:
        raise Refused(
            Fault(
                where="--thickness",
                what=f"{thickness * 1e3:g} mm is no thickness for a pressed sheet",
                instead="ask for 0.5 to 100 mm",
            )
        )
    shares = _shares(shop, chosen, lots or {}) if lots or any_lot else {}
    goal = _set_point(chosen, set_point)
    faults = check_pressable(chosen, None, None, None, where="--plastic")
    if goal is not None:
        where = "--set-point" if set_point is not None else f"plastics.toml, {chosen.id}.set_point_C"
        faults += check_pressable(chosen, goal.value, None, None, where=where)
    for name in shares:
        lot = shop.lots[name]
        faults += check_pressable(
            chosen,
            None,
            lot.origin,
            lot.status,
            form=lot.form,
            lot=lot.id,
            bromine_free={"clear": True, "found": False}.get(lot.bromine),
            strangers=lot.strangers,
            where="--lot",
        )
    if faults:
        raise Refused(_once(faults))
    if chosen.missing or chosen.thermal is None or chosen.process is None:
        missing = ", ".join(chosen.missing)
        raise Refused(
            Fault(
                where="--plastic",
                what=f"a card for {chosen.name} needs data that are not on file: {missing}",
                instead=f"measure or look them up and write them under [{chosen.id}] in plastics.toml",
            )
        )
    if goal is None:
        raise Refused(
            Fault(
                where=f"plastics.toml, {chosen.id}.set_point_C",
                what="no set-point is on file",
                instead="add it, or say --set-point",
            )
        )
    if machine.highest_platen is not None and goal.value > machine.highest_platen:
        raise Refused(
            Fault(
                where="--set-point",
                what=f"{goal.value:g} °C is above the over-temperature cut-out of {machine.id},"
                f" {machine.highest_platen:g} °C",
                instead="stay below it",
            )
        )
    warnings: list[str] = []
    ring = _frame(shop, machine, thickness, frame, warnings)
    skins = _skins(shop, ring)
    cooling = shop.cooling_presses.get(shop.default_cooling_press or "") if shop.cooling_presses else None
    if cooling is None and shop.cooling_presses:
        cooling = next(iter(shop.cooling_presses.values()))
    warnings += _mixed(shop, chosen, shares)
    setting = Setting(
        shop=shop,
        plastic=chosen,
        thermal=chosen.thermal,
        process=chosen.process,
        thickness=thickness,
        press=machine,
        cooling=cooling,
        mould=MouldSet(frame=ring, skin=skins),
        lots=shares,
        set_point=goal,
        warnings=tuple(warnings),
    )
    # every press cycle here breathes, or lets steam out when it opens
    wet = check_pressable(
        chosen,
        None,
        None,
        None,
        lot=" and ".join(shares),
        moisture=setting.moisture,
        breathing=True,
        where="--lot",
    )
    if wet:
        raise WetCharge(wet, setting)
    return setting


def _once(faults: Iterable[Fault]) -> list[Fault]:
    """Each thing that is wrong said once, where it was met first."""
    found: dict[str, Fault] = {}
    for fault in faults:
        found.setdefault(fault.what, fault)
    return list(found.values())


def _plastic(shop: Workshop, named: str) -> Plastic:
    """The plastic called `named`; one that is never pressed and so not on file is refused with the reason."""
    known = plastics_of(shop)
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


def _shares(shop: Workshop, plastic: Plastic, asked: Mapping[str, float]) -> dict[str, float]:
    """The lots asked for, by the shop's own spelling; else the largest released clean lot of this plastic."""
    if not asked:
        mine = [
            lot
            for lot in shop.lots.values()
            if lot.plastic.lower() == plastic.id
            and lot.status == "released"
            and lot.mass > 0
            and all(
                part <= pair(plastic.like, stranger).share_max for stranger, part in lot.strangers.items()
            )
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


def _frame(
    shop: Workshop, press: HotPress, thickness: float, named: str | None, warnings: list[str]
) -> Frame:
    if named is not None:
        ring = pick(named, shop.frames, what="frame", where="--frame")
    elif shop.frames:
        ring = min(shop.frames.values(), key=lambda f: _misfit(thickness - f.thickness))
    else:
        raise Refused(
            Fault(where="--frame", what="the workshop has no frame", instead="add a frame to shop.toml")
        )
    fits = any(
        ring.outside_length <= long + TOLERATED_UNITS and ring.outside_width <= wide + TOLERATED_UNITS
        for plate in (press.bottom,)
        for long, wide in ((plate.length, plate.width), (plate.width, plate.length))
    )
    if not fits:
        raise Refused(
            Fault(
                where="--frame",
                what=f"frame {ring.id} ({ring.outside_length * 1e3:g} x {ring.outside_width * 1e3:g} mm outside)"
                f" is larger than the platens of {press.id},"
                f" {press.bottom.length * 1e3:g} x {press.bottom.width * 1e3:g} mm",
                instead="choose a frame that fits",
            )
        )
    thinner = thickness - ring.thickness
    if thinner < -FRAME_THICKER_MOST:
        warnings.append(
            f"Frame {ring.id} is {-thinner * 1e3:.2g} mm thicker than the sheet: once the sheet shrinks the skins bear"
            " on the frame and nothing follows; expect sink and voids."
        )
    elif thinner > FRAME_THINNER_MOST + 1e-9:
        warnings.append(
            f"Frame {ring.id} is {thinner * 1e3:.3g} mm thinner than the sheet; more than 0.75 mm under it the melt"
            " stands too proud and flash takes it away."
        )
    return ring


def _misfit(thinner: float) -> float:
    """How badly a frame fits [m]: 0.2 to 0.5 mm under the sheet is best, over it is three times as bad as under."""
    if thinner < -FRAME_THICKER_MOST:
        return -3.0 * thinner
    return 0.0 if 0.2e-3 - 1e-9 <= thinner <= 0.5e-3 + 1e-9 else abs(thinner)


def _skins(shop: Workshop, ring: Frame) -> Skin:
    fit = [
        skin
        for skin in shop.skins.values()
        if skin.fit_for_use
        and skin.length >= ring.outside_length - 1e-9
        and skin.width >= ring.outside_width - 1e-9
    ]
    if not fit:
        raise Refused(
            Fault(
                where="shop.toml, skins",
                what=f"no pair of skins that is fit for use covers frame {ring.id}",
                instead=f"add skins of at least {ring.outside_length * 1e3:g} x {ring.outside_width * 1e3:g} mm",
            )
        )
    return fit[0]


def _mixed(shop: Workshop, plastic: Plastic, shares: Mapping[str, float]) -> list[str]:
    """Strangers in the whole charge against the pair rules; lots that flow very differently."""
    strangers: dict[str, float] = {}
    for name, share in shares.items():
        lot = shop.lots[name]
        if lot.plastic.lower() != plastic.id:
            strangers[lot.plastic.lower()] = strangers.get(lot.plastic.lower(), 0.0) + share
        for stranger, part in lot.strangers.items():
            strangers[stranger] = strangers.get(stranger, 0.0) + share * part
    notes = []
    for stranger, part in strangers.items():
        rule = pair(plastic.like, stranger)
        if part > rule.share_max:
            notes.append(
                f"The charge holds {100 * part:.2g} % {stranger.upper()}; more than {100 * rule.share_max:g} % is too"
                f" much: {rule.reason}."
            )
    flows = [shop.lots[name].mfr for name in shares if shop.lots[name].mfr]
    rates = [rate for rate in flows if rate]
    if len(rates) > 1 and max(rates) > 10 * min(rates):
        notes.append(
            f"The lots' melt flow rates differ {max(rates) / min(rates):.0f}-fold; more than tenfold stays visible as"
            " islands, since a press does not mix."
        )
    return notes
