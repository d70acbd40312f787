"""What a week has to reckon with for one kind of sheet: charge, dwell, and how long it cools where.

Times are on the safe side: "not before" acts on the late end of its band, "latest" on the early end.
Moulds cool as in a row that never rests, so the plates are as warm as their kind makes them; where no water runs also
as on plates of any other warmth (`warm_plates`).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from math import ceil, inf

from flatstock.errors import Fault, Refused
from flatstock.evidence import Value
from flatstock.heat import layers as h
from flatstock.heat.pile import Until
from flatstock.heat.press import ColdPress, Mould, carry_through_air
from flatstock.heat.stack import Arrival, cool_stack
from flatstock.pressing.card_numbers import Card
from flatstock.pressing.cooling import Cooling
from flatstock.pressing.fitting import lies_on
from flatstock.pressing.notes import practice_notes
from flatstock.pressing.rig import SKIN_TO_SHEET, MouldSet, rack_faces, stack_place
from flatstock.pressing.warm_plates import WarmPlates, warm_plates
from flatstock.workshop.shop import CoolingPress, Rack, Stack, Workshop, watered

__all__ = ["Forecast", "forecast"]

LONGEST = 48 * 3600.0  #: s that cooling is looked at
ROW = 4  #: moulds after which a row that never rests is steady
PILED = 4  #: moulds of one kind that a stack is taken to hold when nothing is known of it yet


@dataclass(frozen=True, slots=True, kw_only=True)
class Forecast:
    """One kind of sheet on one hot press. Seconds, kg, °C."""

    plastic: str
    colour: str | None
    charge: float
    weigh: Mapping[str, float]  #: by lot
    set_point: float
    dwell: float  #: the coldest point reaches its target
    advised: float
    latest: float | None  #: early end of its band
    frame: str
    skin: str
    mould_mass: float
    press_cool: Mapping[str, float]  #: by cooling press, until it may be opened
    cool_to_end: Mapping[str, float]  #: by cooling press, until it may be demoulded
    warming: Mapping[str, WarmPlates]  #: by cooling press, but those with water
    rest: Mapping[str, float]  #: by stack or rack, after press_cool, until it may be demoulded
    energy: float  #: heaters, one sheet [J]
    warnings: tuple[str, ...]


def forecast(shop: Workshop, card: Card, *, colour: str | None) -> Forecast:
    """Work one kind of sheet out. Raises `Refused` where it must not or cannot be pressed or cooled."""
    if card.unsure:
        raise Refused(card.unsure)
    dwell, latest = card.heating.dwell, card.heating.dwell_latest
    advised = card.advised[0]
    if latest is not None and latest.low < advised and not card.beyond_assumed:
        raise Refused(
            Fault(
                where=f"{card.setting.plastic.id.upper()} {card.setting.thickness * 1e3:g} mm"
                f" in {card.setting.press.id}",
                what=f"its face has had enough after {latest.low / 60:.0f} min, before the advised dwell of"
                f" {advised / 60:.0f} min is over",
                instead="lower the set-point, or press thinner",
            )
        )
    if not shop.cooling_presses or card.cooling is None:
        raise Refused(
            Fault(
                where="shop.toml",
                what="there is no cooling press, and a hot sheet needs pressure while it shrinks",
                instead="add one under cooling_presses",
            )
        )
    cooled, to_end, warming, rest = _cooling(shop, card, card.cooling)
    return Forecast(
        plastic=card.setting.plastic.id,
        colour=colour,
        charge=card.charge.weighed,
        weigh={lot: mass for lot, mass in card.charge.weigh_list if lot is not None},
        set_point=card.setting.set_point.value,
        dwell=dwell.value,
        advised=advised,
        latest=None if latest is None else _latest(card, latest),
        frame=card.setting.mould.frame.id,
        skin=card.setting.mould.skin.id,
        mould_mass=card.charge.mould_mass,
        press_cool=cooled,
        cool_to_end=to_end,
        warming=warming,
        rest=rest,
        energy=card.heating.energy(advised).value,
        warnings=(*practice_notes(card), *card.setting.warnings),
    )


def _latest(card: Card, latest: Value) -> float:
    """The early end of its band; where practice has shown more than was assumed, the minute in which that ends."""
    return ceil(card.advised[0] / 60 - 1e-9) * 60.0 if card.beyond_assumed else latest.low


def _cooling(
    shop: Workshop, card: Card, first: Cooling
) -> tuple[dict[str, float], dict[str, float], dict[str, WarmPlates], dict[str, float]]:
    """Press-cooling, cooling to the end, both by the plates' warmth, and rest, each at the late end."""
    demould = card.setting.process.demould_below
    assert demould is not None  # a card without it is refused
    late = _late_share(first)
    cooled: dict[str, float] = {}
    to_end: dict[str, float] = {}
    warming: dict[str, WarmPlates] = {}
    opened: Mould | None = None
    for place in _large_enough(shop, card):
        fans = place.fans_on and place.fan_film is not None
        own = replace(first, shop_press=place, fans=fans)
        seconds, mould, after = _row(own, shop)
        cooled[place.id] = seconds * late
        _, _, further = after.hold(
            mould, duration=LONGEST, until=Until(kind="hottest_below", level=demould.value)
        )
        to_end[place.id] = (seconds + further.time) * late if further.reached else inf
        if not watered(place):
            by_warmth = warm_plates(own, late=late, demould_below=demould.value)
            warming |= {} if by_warmth is None else {place.id: by_warmth}
        if opened is None or place.id == shop.default_cooling_press:
            opened = mould
    assert opened is not None
    places: tuple[Stack | Rack, ...] = (*shop.stacks.values(), *shop.racks.values())
    rest = {
        place.id: _rest(shop, place, card.setting.mould, opened, demould.value) * late for place in places
    }
    return cooled, to_end, warming, rest


def _large_enough(shop: Workshop, card: Card) -> list[CoolingPress]:
    """The cooling presses whose plates carry the whole frame. Raises `Refused` without one."""
    ring = card.setting.mould.frame
    found = [press for press in shop.cooling_presses.values() if lies_on(ring, press.bottom)]
    if not found:
        raise Refused(
            Fault(
                where="shop.toml",
                what=f"frame {ring.id} ({ring.outside_length * 1e3:g} x {ring.outside_width * 1e3:g} mm outside) is"
                f" larger than the plates of {' and '.join(shop.cooling_presses)}",
                instead="add a cooling press that carries it, or a smaller frame",
            )
        )
    return found


def _late_share(cooling: Cooling) -> float:
    """How much later than the middle the late end of the band lies, from the first mould of a row."""
    first = cooling.times[0]
    return 1.0 if first is None or first.value <= 0 else max(1.0, first.high / first.value)


def _row(cooling: Cooling, shop: Workshop) -> tuple[float, Mould, ColdPress]:
    """The longest stay of a row that never rests, the mould that had it, and the press with it inside."""
    press, longest, mould = cooling.press, 0.0, cooling.arriving
    between = shop.practice.transfer_time + shop.practice.move_time
    until = Until(kind="hottest_below", level=cooling.open_below)
    for _ in range(ROW):
        press, left, outcome = press.hold(cooling.arriving, duration=LONGEST, until=until, tolerance=0.1)
        if outcome.time >= longest:
            longest, mould, held = outcome.time, left, press
        press = press.stand_empty(between, tolerance=0.1)
    return longest, mould, held


def _rest(shop: Workshop, place: Stack | Rack, mould_set: MouldSet, mould: Mould, limit: float) -> float:
    """How long a mould rests in a rack, or among its like in a stack, until it may be demoulded."""
    room = shop.room.value
    if isinstance(place, Rack):
        _, outcome = carry_through_air(
            mould,
            duration=LONGEST,
            skin_sheet=h.Joint.fixed(SKIN_TO_SHEET),
            faces=rack_faces(place, mould_set, room=room),
            room=room,
            edge_film=place.edge_film.value,
            perimeter_per_area=mould_set.perimeter_per_area,
            until=Until(kind="hottest_below", level=limit),
        )
        return outcome.time if outcome.reached else inf
    count = min(PILED, place.moulds_max)
    stood = stack_place(place, mould_set, room=room, fans=False)
    run = cool_stack(stood, [Arrival(mould, 0.0)] * count, end=LONGEST, tolerance=0.2)
    found = [run.below(i, limit) for i in range(count)]
    return max((inf if t is None else t) for t in found)
