"""The shop as it is with some purchases there and others not: what each adds is named by its id in shop.toml."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any

from flatstock.starting.outlay.question import Purchase
from flatstock.workshop.shop import CoolingPress, Stack, Workshop

__all__ = ["ALL", "FANS", "kind_of", "shop_with", "things", "those"]

FANS = ".fans"  #: "CP1.fans": the fans of a cooling press or a stack
ALL = ("frames", "skins", "fans")  #: words that stand for every one of the shop's, whatever they are called
_GROUPS = ("hot_presses", "cooling_presses", "stacks", "racks", "places", "frames", "skins", "people")
_DEFAULTS = {
    "default_hot_press": "hot_presses",
    "default_cooling_press": "cooling_presses",
    "default_stack": "stacks",
}


def things(shop: Workshop) -> list[str]:
    """Everything that a purchase can add, by id; fans where a press or a stack has them."""
    named = [name for group in _GROUPS for name in getattr(shop, group)]
    fanned: list[CoolingPress | Stack] = [*shop.cooling_presses.values(), *shop.stacks.values()]
    return [
        *named,
        *(one.id for one in shop.scales),
        *(one.id + FANS for one in fanned if one.fan_film is not None),
    ]


def those(shop: Workshop, name: str) -> list[str]:
    """The things that `name` stands for: itself, or every one of `ALL`; an id of the shop goes before such a word."""
    known = things(shop)
    if name in known or name not in ALL:
        return [name]
    if name == "fans":
        return [one for one in known if one.endswith(FANS)]
    return list(getattr(shop, name))


def kind_of(shop: Workshop, name: str) -> str:
    """The kind of a thing as a week plan names it."""
    if name.endswith(FANS):
        return "cooling_press"
    for group, kind in zip(_GROUPS, ("hot_press", "cooling_press", "stack", "rack", "", "frame", "skins", "person"),
                           strict=True):  # fmt: skip
        if name in getattr(shop, group):
            return kind or str(shop.places[name].kind)
    return "scale"


def shop_with(shop: Workshop, bought: Iterable[Purchase], left_out: Iterable[Purchase]) -> Workshop:
    """`shop` with one more of what the purchases `bought` are like, and without what those `left_out` add."""
    gone = {name for one in left_out for name in one.adds}
    for name in gone:
        shop = _without_fans(shop, name.removesuffix(FANS)) if name.endswith(FANS) else _without(shop, name)
    for one in bought:
        for name in one.adds_like:
            if name not in gone:
                shop = _one_more(shop, name)
    for default, group in _DEFAULTS.items():
        there: Mapping[str, Any] = getattr(shop, group)
        if getattr(shop, default) not in there:
            first: dict[str, Any] = {default: next(iter(there), None)}
            shop = replace(shop, **first)
    return shop


def _without(shop: Workshop, name: str) -> Workshop:
    groups: dict[str, Any] = {
        group: {k: v for k, v in getattr(shop, group).items() if k != name} for group in _GROUPS
    }
    return replace(shop, scales=tuple(one for one in shop.scales if one.id != name), **groups)


def _without_fans(shop: Workshop, name: str) -> Workshop:
    presses, stacks = dict(shop.cooling_presses), dict(shop.stacks)
    if name in presses:
        presses[name] = replace(presses[name], fan_film=None, fans_on=False)
    elif name in stacks:
        stacks[name] = replace(stacks[name], fan_film=None)
    return replace(shop, cooling_presses=presses, stacks=stacks)


def _one_more(shop: Workshop, name: str) -> Workshop:
    known, number = set(things(shop)), 2
    while f"{name}-no{number}" in known:
        number += 1
    new = f"{name}-no{number}"
    for group in _GROUPS:
        those: Mapping[str, Any] = getattr(shop, group)
        if name in those:
            more: dict[str, Any] = {group: {**those, new: replace(those[name], id=new)}}
            shop = replace(shop, **more)
    scales = [replace(one, id=new) for one in shop.scales if one.id == name]
    return replace(shop, scales=(*shop.scales, *scales))
