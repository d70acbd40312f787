"""The kinds of sheet that the orders ask for, worked out once each, or why one can't be pressed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from math import ceil, floor, inf
from types import MappingProxyType

from flatstock.errors import Fault, Refused
from flatstock.planning.problem.drying import drying_of
from flatstock.planning.problem.physics import ByWarmth, Forecasts, Recipe
from flatstock.planning.problem.straight_lines import SCALE, straight_lines
from flatstock.planning.problem.warmth import in_a_row, to_open
from flatstock.planning.problem.week import Dwell, Kind, Warming
from flatstock.workshop.shop import Frame, Order, Skin, Workshop

__all__ = ["KWH", "kinds_of", "whole_minutes"]

KWH = 3.6e6  #: J
NEVER = 10**5  #: minutes
#: of the hot presses' time, that they may wait before the warmth of plates is worth the time to plan by it: our own
MUCH = 0.1
CHARGE_SAME = 1e-3  #: kg


def whole_minutes(seconds: float) -> int:
    """Upwards."""
    return ceil(seconds / 60 - 1e-9)


def kinds_of(
    shop: Workshop,
    physics: Forecasts,
    remembered: Mapping[tuple[object, ...], Kind | tuple[str, ...]] = MappingProxyType({}),
) -> tuple[dict[str, Kind], dict[str, tuple[str, ...]], list[str]]:
    """The kind of each order's sheets, the orders that can't be pressed, and what was said on the way.

    `remembered`: by recipe, what was worked out before and still holds: a kind, or why it can't be pressed.
    """
    kinds: dict[str, Kind] = {}
    unplaced: dict[str, tuple[str, ...]] = {}
    said: list[str] = []
    known: dict[tuple[object, ...], Kind | tuple[str, ...]] = dict(remembered)
    for order in shop.orders.values():
        if order.recipe not in known:
            known[order.recipe] = _kind(shop, physics, order, said)
        found = known[order.recipe]
        if isinstance(found, Kind):
            kinds[order.id] = found
        else:
            unplaced[order.id] = found
    return _where_it_matters(shop, kinds), unplaced, said


def _where_it_matters(shop: Workshop, kinds: Mapping[str, Kind]) -> dict[str, Kind]:
    """The kinds without the warmth of plates, where cooling keeps pace with the hot presses however warm they get, or
    hardly holds them up. Where it mattered to the plan before it does on: what people work by is not told otherwise in
    mid-week."""
    places = {place for kind in kinds.values() for place in kind.by_warmth}
    slow = {place for kind in kinds.values() for place in kind.warming}
    slow |= {place for place in places if any(_holds_up(shop, kind, place) for kind in kinds.values())}
    slow |= {place for place in places if _hold_up_together(shop, kinds, place)}
    return {
        order: replace(kind, warming={place: one for place, one in kind.by_warmth.items() if place in slow})
        for order, kind in kinds.items()
    }


def _holds_up(shop: Workshop, kind: Kind, place: str) -> bool:
    """Whether a row that never rests stays longer in the cooling presses than in the hot presses that feed them."""
    minutes = kind.press_cool.get(place)
    return minutes is not None and _cools(shop, kind, minutes) > _is_pressed(shop, kind)


def _hold_up_together(shop: Workshop, kinds: Mapping[str, Kind], place: str) -> bool:
    """Whether hot presses wait much for cooling presses in all that is ordered, were each mould to find plates as warm
    as a row of the kind that warms them most."""
    there = [(shop.orders[order].sheets, kind) for order, kind in kinds.items() if place in kind.press_cool]
    rest = whole_minutes(shop.practice.transfer_time + shop.practice.move_time)
    warmth = max(in_a_row(kind, place, rest=rest) for _, kind in there)
    wait = sum(
        n * max(0.0, _cools(shop, kind, to_open(kind, place, warmth)) - _is_pressed(shop, kind))
        for n, kind in there
    )
    return wait > MUCH * sum(n * _is_pressed(shop, kind) for n, kind in there)


def _cools(shop: Workshop, kind: Kind, minutes: int) -> float:
    """Seconds of all cooling presses that take it, for one mould."""
    return (60 * minutes + shop.practice.transfer_time + shop.practice.move_time) / len(kind.press_cool)


def _is_pressed(shop: Workshop, kind: Kind) -> float:
    """Seconds of all hot presses that take it, for one mould."""
    times = shop.practice
    cycle = min(60 * one.planned for one in kind.dwell.values()) + times.load_time + times.transfer_time
    return cycle / len(kind.dwell)


def _kind(shop: Workshop, physics: Forecasts, order: Order, said: list[str]) -> Kind | tuple[str, ...]:
    recipes: dict[str, Recipe] = {}
    reasons: list[str] = []
    for press in shop.hot_presses:
        try:
            recipes[press] = _in_whole_minutes(press, physics.recipe(order, press))
        except Refused as no:
            reasons += [_said(fault) for fault in no.faults]
    if not recipes:
        return tuple(dict.fromkeys(reasons))
    first = shop.default_hot_press if shop.default_hot_press in recipes else next(iter(recipes))
    one = recipes[first]
    for press, other in list(recipes.items()):  # a sheet is of one size wherever it is pressed
        if not _same_mould(shop, one, other):
            del recipes[press]
            said.append(
                f"{order.id}: pressed in {first}, not in {press}: that takes frame {other.frame}, another size than"
                f" {one.frame}."
            )
    if not one.weigh:
        return (f"no released lot of {one.plastic.upper()} is on file to weigh it from",)
    said += [f"{order.id}: {words}" for words in one.warnings]
    drying = drying_of(shop, one.plastic, one.weigh, one.charge)
    said += [f"{order.id}: {words}." for words in drying.said]
    rest = {place: whole_minutes(s) for place, s in one.rest.items() if s < inf}
    return Kind(
        key=f"{one.plastic} {order.colour or ''} {order.thickness * 1e3:g} {' '.join(sorted(one.weigh))}",
        plastic=one.plastic,
        colour=order.colour,
        thickness=round(order.thickness * 1e3, 6),
        charge=one.charge,
        lots=dict(one.weigh),
        mould_mass=one.mould_mass,
        frames=_like_frame(shop, shop.frames[one.frame]),
        skins=_like_skin(shop, shop.skins[one.skin]),
        dwell={
            press: Dwell(
                set_point=recipe.set_point,
                least=whole_minutes(recipe.dwell),
                planned=whole_minutes(recipe.advised),
                latest=None if recipe.latest is None else floor(recipe.latest / 60),
            )
            for press, recipe in recipes.items()
        },
        press_cool={
            place: whole_minutes(max(r.press_cool[place] for r in recipes.values()))
            for place in one.press_cool
        },
        cool_to_end={place: whole_minutes(s) if s < inf else NEVER for place, s in one.cool_to_end.items()},
        rest=rest,
        energy=one.energy / KWH,
        dry=drying.minutes,
        by_warmth={place: _by_lines(by_warmth) for place, by_warmth in one.warming.items()},
    )


def _by_lines(one: ByWarmth) -> Warming:
    """In whole numbers."""
    at = [seconds / 60 for seconds in one.warmth]
    ends = [seconds / 60 for seconds in one.ends]
    # as long as it stays to be opened it fades too: with that added the warmth left behind is one of the stay's end
    left = [(leaves + one.fades * opens) / 60 for leaves, opens in zip(one.leaves, one.opens, strict=True)]
    return Warming(
        opens=straight_lines(at, [seconds / 60 for seconds in one.opens]),
        ends=straight_lines(at, ends) if max(ends) < inf else ((0, NEVER * SCALE),),
        leaves=straight_lines(at, left),
        fades=floor(one.fades * SCALE),
    )


def _same_mould(shop: Workshop, one: Recipe, other: Recipe) -> bool:
    """Whether the same sheets come out, and the same frames and skins go round."""
    return (
        other.frame in _like_frame(shop, shop.frames[one.frame])
        and other.skin in _like_skin(shop, shop.skins[one.skin])
        and abs(other.charge - one.charge) < CHARGE_SAME
    )


def _said(fault: Fault) -> str:
    """A fault's sentence; a plan's reader has no option of a command before them."""
    return replace(fault, where="").sentence() if fault.where.startswith("--") else fault.sentence()


def _in_whole_minutes(press: str, recipe: Recipe) -> Recipe:
    """A recipe of which a whole minute, as plans count, lies between the advised dwell and the latest."""
    if recipe.latest is not None and floor(recipe.latest / 60) < whole_minutes(recipe.advised):
        raise Refused(
            Fault(
                where=f"{recipe.plastic.upper()} in {press}",
                what=f"its face has had enough after {recipe.latest / 60:.1f} min, in the very minute in which the"
                f" advised dwell of {recipe.advised / 60:.1f} min ends",
                instead="lower the set-point, or press thinner",
            )
        )
    return recipe


def _like_frame(shop: Workshop, frame: Frame) -> tuple[str, ...]:
    """Every frame that is the same but for its number."""
    measures = ("thickness", "cavity_length", "cavity_width", "outside_length", "outside_width")
    return tuple(
        other.id
        for other in shop.frames.values()
        if all(abs(getattr(other, m) - getattr(frame, m)) < 1e-6 for m in measures)
    )


def _like_skin(shop: Workshop, skin: Skin) -> tuple[str, ...]:
    """Every fit pair of skins that is the same but for its number."""
    return tuple(
        other.id
        for other in shop.skins.values()
        if other.fit_for_use
        and all(abs(getattr(other, m) - getattr(skin, m)) < 1e-6 for m in ("length", "width", "thickness"))
    )
