"""Kinds of sheet as a plan worked them out, and what its rehearsal asked for beyond that: kept in plan.json.

Planning again needn't wait for physics so, nor find out anew what the heat model asks of such a plan.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from dataclasses import asdict, fields, is_dataclass, replace
from hashlib import sha256
from types import MappingProxyType
from typing import Any

from flatstock.actions.weaker import PressesSlowed
from flatstock.planning.problem.week import Dwell, Kind, Sheet, Warming, Week
from flatstock.workshop.shop import Workshop

__all__ = ["asks_in", "digest_of", "kinds_in", "refused_in", "remembering", "weaker_in"]

#: what a rehearsal asks of a sheet, by the name that `Sheet.asks` has for it: minutes, and per cent
ASKS = {
    "dwell": "dwell_least", "cool": "cool_least", "rest": "rest_least", "stack": "stack_least",
    "warm_percent": "warm_percent", "stack_percent": "stack_percent",
}  # fmt: skip
#: the same: the kinds that it would melt again in a stack, and minutes in a stack or rack by its id
MELTS, STAYS = "melts", "stays"
#: what a recipe doesn't rest on
APART = ("folder", "form", "people", "orders", "offcuts", "today", "name")
_NOTHING = {field.name: field.default for field in fields(Sheet)}


def remembering(
    shop: Workshop,
    week: Week,
    weaker: Mapping[tuple[object, ...], PressesSlowed] = MappingProxyType({}),
) -> dict[str, Any]:
    """The kinds of the week's sheets by recipe, and why what is unplaced can't be pressed, with a digest of what both
    rest on; what was asked of them in the rehearsal of the plan, the most that any sheet of a recipe was asked; and
    what fewer elements would do to them, as far as it is known."""
    kinds = {sheet.order: sheet.kind for sheet in week.sheets}
    recipes: dict[str, Any] = {}
    for order, kind in kinds.items():
        recipes[_recipe(shop, order)] = asdict(_as_advised(kind))
    asked: dict[str, dict[str, Any]] = {}
    for sheet in week.sheets:
        most = asked.setdefault(_recipe(shop, sheet.order), {})
        for name, field in ASKS.items():
            if getattr(sheet, field) > _NOTHING[field]:
                most[name] = max(most.get(name, 0), getattr(sheet, field))
        if sheet.melts:
            most[MELTS] = sorted(sheet.melts.union(most.get(MELTS, ())))
        for place, minutes in sheet.stays_least:
            stays = most.setdefault(STAYS, {})
            stays[place] = max(stays.get(place, 0), minutes)
    asked = {recipe: most for recipe, most in asked.items() if most}
    refused = {_recipe(shop, order): list(words) for order, words in week.unplaced.items()}
    fewer = {
        _recipe(shop, order): weaker[recipe]
        for order in kinds
        if (recipe := shop.orders[order].recipe) in weaker
    }
    return {
        "digest": digest_of(shop), "kinds": recipes, "asked": asked, "refused": refused, "weaker": fewer
    }  # fmt: skip


def _as_advised(kind: Kind) -> Kind:
    """The kind of a mould that has to leave its press sooner, or whose heat was another, as any other of its order is
    pressed."""
    own = {press: one.of_kind or one for press, one in kind.dwell.items()}
    dwell = {
        press: one if one.advised is None else replace(one, planned=one.advised, advised=None)
        for press, one in own.items()
    }
    return replace(kind, dwell=dwell)


def kinds_in(plan: Mapping[str, Any], shop: Workshop) -> dict[tuple[object, ...], Kind]:
    """By recipe, the kinds of a plan that still hold; none where the shop's files have changed since."""
    return {recipe: _kind(kept) for recipe, kept in _by_recipe(plan, shop, "kinds")}


def asks_in(plan: Mapping[str, Any], shop: Workshop) -> dict[tuple[object, ...], dict[str, Any]]:
    """By recipe, what the rehearsal of a plan asked of it, as `Sheet.asks` takes it; none where the shop's files have
    changed since, or the plan was kept before such things were remembered."""
    return {
        recipe: {name: int(value) for name, value in asked.items() if name in ASKS}
        | ({MELTS: [str(key) for key in asked[MELTS]]} if MELTS in asked else {})
        | ({STAYS: {str(place): int(m) for place, m in asked[STAYS].items()}} if STAYS in asked else {})
        for recipe, asked in _by_recipe(plan, shop, "asked")
    }


def refused_in(plan: Mapping[str, Any], shop: Workshop) -> dict[tuple[object, ...], tuple[str, ...]]:
    """By recipe, why it can't be pressed; none where the shop's files have changed since."""
    return {recipe: tuple(words) for recipe, words in _by_recipe(plan, shop, "refused")}


def weaker_in(plan: Mapping[str, Any], shop: Workshop) -> dict[tuple[object, ...], PressesSlowed]:
    """By recipe and press, what fewer elements do to it (`weaker.worked_out`); none where the shop's files have changed
    since, or the plan was kept before such things were remembered."""
    return dict(_by_recipe(plan, shop, "weaker"))


def _by_recipe(
    plan: Mapping[str, Any], shop: Workshop, what: str
) -> Iterator[tuple[tuple[object, ...], Any]]:
    """What a plan remembers of the shop's orders, as long as it holds."""
    kept = plan.get("remembered")
    if not isinstance(kept, Mapping) or kept.get("digest") != digest_of(shop):
        return
    held = kept.get(what, {})
    for order in shop.orders.values():
        if (name := _recipe(shop, order.id)) in held:
            yield order.recipe, held[name]


def _recipe(shop: Workshop, order: str) -> str:
    return json.dumps(shop.orders[order].recipe)


def _kind(kept: Mapping[str, Any]) -> Kind:
    whole = dict(kept)
    whole["dwell"] = {press: Dwell(**dwell) for press, dwell in whole["dwell"].items()}
    whole["frames"], whole["skins"] = tuple(whole["frames"]), tuple(whole["skins"])
    for name in ("by_warmth", "warming"):
        whole[name] = {place: _warming(one) for place, one in whole.get(name, {}).items()}
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
