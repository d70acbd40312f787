"""Whether the lots of a charge hold what it takes, and which others would do."""

from __future__ import annotations

from flatstock.errors import Fault
from flatstock.plastics.model import Plastic
from flatstock.pressing.charging import Charge
from flatstock.pressing.lot_rules import unfit_lot
from flatstock.pressing.mixing import clean
from flatstock.pressing.setting import plastics_of
from flatstock.workshop.shop import Lot

__all__ = ["too_little"]

SLACK = 1e-9  # kg


def too_little(charge: Charge) -> list[Fault]:
    """A fault for each lot that holds less than its part of the charge, with the kilograms and a way out."""
    lots = charge.setting.shop.lots
    return [
        Fault(
            where="--lot",
            what=f"lot {name} holds {lots[name].mass:g} kg and this charge takes {mass:g} kg of it",
            instead=_way_out(charge, name, mass),
        )
        for name, mass in charge.weigh_list
        if name is not None and mass > lots[name].mass + SLACK
    ]


def _way_out(charge: Charge, short: str, mass: float) -> str:
    """A released lot of the same plastic that holds enough, else two that hold it together, else a thinner sheet."""
    setting = charge.setting
    others = [
        lot
        for lot in setting.shop.lots.values()
        if lot.id not in setting.lots and _may_be_pressed(charge, lot)
    ]
    if enough := [lot for lot in others if lot.mass >= mass]:
        listed = ", ".join(f"{lot.id} ({lot.mass:g} kg)" for lot in enough[:3])
        return f"take {listed} for it"
    rest = setting.shop.lots[short]
    for lot in sorted(others, key=lambda one: -one.mass):
        if len(setting.lots) == 1 and rest.mass > 0 and rest.mass + lot.mass >= charge.weighed:
            share = int(100 * rest.mass / charge.weighed)
            if share > 0:
                return f"write --lot {short}={share}% {lot.id}={100 - share}% ({lot.mass:g} kg of it are on file)"
    together = sum(lot.mass for lot in others) + rest.mass
    return f"all released {setting.plastic.id.upper()} together is {together:g} kg: press thinner, or wait for more"


def _may_be_pressed(charge: Charge, lot: Lot) -> bool:
    setting = charge.setting
    plastic: Plastic = setting.plastic
    if lot.plastic.lower() != plastic.id or lot.mass <= 0:
        return False
    known = plastics_of(setting.shop)
    unfit = unfit_lot(setting.shop, plastic, lot, where="", breathing=True)
    return not unfit and clean(known, setting.shop, plastic, lot)
