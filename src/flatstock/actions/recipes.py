"""How a sheet is to be made, as it stands at one moment: what is frozen onto the sheet when it is weighed or loaded."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from flatstock import __version__
from flatstock.pressing.setting import plastics_of
from flatstock.records.sheets import Recipe
from flatstock.workshop.shop import Workshop

__all__ = ["recipe_in_force"]

#: what a plan says of a sheet that belongs to how it is made
PLANNED = (
    "order",
    "plastic",
    "colour",
    "thickness_mm",
    "charge_kg",
    "set_point_C",
    "dwell_min",
    "dwell_planned_min",
    "dwell_latest_min",
    "press_cool_min",
    "mould_mass_kg",
    "frame",
    "skins",
)


def recipe_in_force(sheet: str, plan: Mapping[str, Any] | None, shop: Workshop) -> Recipe | None:
    """What the plan and the shop's settings say now of how a sheet is made; None: no plan knows it.

    The body has the plan's figures and charge by lot, what the sheet is sold as, and the version of this program that
    the card's figures came from.
    """
    found = next((one for one in (plan or {}).get("sheets", ()) if one["id"] == sheet), None)
    if found is None:
        return None
    body: dict[str, Any] = {name: found.get(name) for name in PLANNED}
    body["lots"] = [{"lot": one["lot"], "mass_kg": one["mass_kg"]} for one in found.get("lots", ())]
    order = shop.orders.get(found.get("order") or "")
    plastic = plastics_of(shop).get(found.get("plastic") or "")
    rest = order.condition if order is not None and order.condition is not None else shop.practice.condition
    body |= {
        "shop": shop.name,
        "marking": f">{plastic.symbol}<" if plastic is not None else "",
        "sold_length_mm": _mm(shop.practice.trimmed_length),
        "sold_width_mm": _mm(shop.practice.trimmed_width),
        "condition_h": rest / 3600,
        "worked_out_by": f"flatstock {__version__}",
    }
    of = f"{found['plastic']} {found['thickness_mm']:g} mm"
    return Recipe(name=str(found.get("order") or of), body=body, plan=(plan or {}).get("made_at"))


def _mm(metres: float | None) -> float | None:
    return None if metres is None else round(metres * 1000, 3)
