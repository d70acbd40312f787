"""Kinds of sheet as a plan worked them out, kept in plan.json so that planning again needn't wait for physics."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import asdict, fields, is_dataclass, replace
from hashlib import sha256
from typing import Any

from flatstock.planning.problem.week import Dwell, Kind, Warming, Week
from flatstock.workshop.shop import Workshop

__all__ = ["digest_of", "kinds_in", "remembering"]

#: what a recipe doesn't rest on
APART = ("folder", "people", "orders", "offcuts", "today", "name")


def remembering(shop: Workshop, week: Week) -> dict[str, Any]:
    """The kinds of the week's sheets by recipe, with a digest of what they rest on."""
    kinds = {sheet.order: sheet.kind for sheet in week.sheets}
    recipes: dict[str, Any] = {}
    for order, kind in kinds.items():
        recipes[_recipe(shop, order)] = asdict(_as_advised(kind))
    return {"digest": digest_of(shop), "kinds": recipes}


def _as_advised(kind: Kind) -> Kind:
    """The kind of a mould that has to leave its press sooner, as any other of its order is pressed."""
    dwell = {
        press: one if one.advised is None else replace(one, planned=one.advised, advised=None)
        for press, one in kind.dwell.items()
    }
    return replace(kind, dwell=dwell)


def kinds_in(plan: Mapping[str, Any], shop: Workshop) -> dict[tuple[object, ...], Kind]:
    """By recipe, the kinds of a plan that still hold; none where the shop's files have changed since."""
    kept = plan.get("remembered")
    if not isinstance(kept, Mapping) or kept.get("digest") != digest_of(shop):
        return {}
    return {
        order.recipe: _kind(kept["kinds"][name])
        for order in shop.orders.values()
        if (name := _recipe(shop, order.id)) in kept["kinds"]
    }


def _recipe(shop: Workshop, order: str) -> str:
    return json.dumps(shop.orders[order].recipe)


def _kind(kept: Mapping[str, Any]) -> Kind:
    whole = dict(kept)
    whole["dwell"] = {press: Dwell(**dwell) for press, dwell in whole["dwell"].items()}
    whole["frames"], whole["skins"] = tuple(whole["frames"]), tuple(whole["skins"])
    whole["warming"] = {place: _warming(one) for place, one in whole.get("warming", {}).items()}
    return Kind(**whole)


def _warming(kept: Mapping[str, Any]) -> Warming:
    lines = {name: tuple((slope, cold) for slope, cold in kept[name]) for name in ("opens", "ends", "leaves")}
    return Warming(**lines, fades=kept["fades"])


def digest_of(shop: Workshop) -> str:
    """Of everything in the shop's files that a recipe may rest on."""
    whole = {f.name: _plain(getattr(shop, f.name)) for f in fields(shop) if f.name not in APART}
    return sha256(json.dumps(whole, sort_keys=True).encode()).hexdigest()


def _plain(value: object) -> object:
    """In an order that doesn't change from one run to the next."""
    if is_dataclass(value):
        return [_plain(getattr(value, f.name)) for f in fields(value)]
    if isinstance(value, Mapping):
        return sorted((str(key), json.dumps(_plain(held))) for key, held in value.items())
    if isinstance(value, (set, frozenset)):
        return sorted(map(str, value))
    if isinstance(value, (list, tuple)):
        return [_plain(one) for one in value]
    return value if isinstance(value, (int, float, str)) else str(value)
