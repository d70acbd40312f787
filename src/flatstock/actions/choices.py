"""What can be chosen for a card in one workshop: plastics, presses, thicknesses, set-points, lots."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import pi

from flatstock.pressing.setting import plastics_of
from flatstock.starting.equipment import classes
from flatstock.workshop.frame_fits import THINNER_MOST
from flatstock.workshop.shop import Cylinder, Lot, Workshop

__all__ = ["CardChoices", "GaugeChoice", "PlasticChoice", "card_choices", "room_classes"]

THINNEST, THICKEST = 0.002, 0.03  #: where a shop has no frame yet [m]
WIDER = 15.0  #: K under and over the usual window of the platens that is still looked at


@dataclass(frozen=True, slots=True, kw_only=True)
class PlasticChoice:
    """A plastic that this shop can press."""

    id: str
    symbol: str  #: "PE-HD"
    name: str
    set_point: float  #: what counts where nothing is said [°C]
    lowest: float  #: of the set-points worth looking at [°C]
    highest: float  #: the hard limit, or somewhat over the usual window [°C]
    lots: tuple[str, ...]  #: released and not used up, the largest first
    kilograms: float  #: of them together


@dataclass(frozen=True, slots=True, kw_only=True)
class GaugeChoice:
    """The pressure gauge of a press whose bore is on file."""

    piston_area: float  #: of all pistons together [m2]
    most: float  #: at the rated force, or the highest it may show [Pa]


@dataclass(frozen=True, slots=True, kw_only=True)
class CardChoices:
    """Everything that can be chosen."""

    plastics: tuple[PlasticChoice, ...]  #: those with released lots first
    thicknesses: tuple[float, ...]  #: of the frames [m]
    thinnest: float  #: [m]
    thickest: float  #: [m]
    presses: tuple[str, ...]
    gauges: Mapping[str, GaugeChoice]  #: by hot press; none where its bore is not on file
    cooling: bool  #: whether there is a cooling press
    fans: bool  #: whether fans are fitted on it
    fans_on: bool  #: the shop's habit


def card_choices(shop: Workshop) -> CardChoices:
    """What this shop can be asked for."""
    frames = sorted({frame.thickness for frame in shop.frames.values()})
    press = shop.cooling_presses.get(shop.default_cooling_press or "")
    fans = press is not None and press.fan_film is not None
    return CardChoices(
        plastics=_plastics(shop),
        thicknesses=tuple(frames),
        thinnest=frames[0] if frames else THINNEST,
        thickest=frames[-1] + THINNER_MOST if frames else THICKEST,
        presses=tuple(shop.hot_presses),
        gauges={
            name: gauge
            for name, one in shop.hot_presses.items()
            if (gauge := _gauge(one.cylinder)) is not None
        },
        cooling=press is not None,
        fans=fans,
        fans_on=fans and press is not None and press.fans_on,
    )


def _gauge(cylinder: Cylinder | None) -> GaugeChoice | None:
    if cylinder is None or cylinder.piston_diameter is None:
        return None
    area = cylinder.pistons * pi / 4 * cylinder.piston_diameter**2
    most = cylinder.force_max / area
    return GaugeChoice(
        piston_area=area, most=most if cylinder.gauge_max is None else min(most, cylinder.gauge_max)
    )


def _plastics(shop: Workshop) -> tuple[PlasticChoice, ...]:
    found = []
    released: dict[str, list[Lot]] = {}
    for lot in sorted(shop.lots.values(), key=lambda lot: -lot.mass):
        if lot.status == "released" and lot.mass > 0:
            released.setdefault(lot.plastic, []).append(lot)
    for plastic in plastics_of(shop).values():
        process = plastic.process
        if plastic.never_pressed or plastic.missing or process is None or process.set_point is None:
            continue
        low, high = process.press_low, process.press_high
        limit = process.highest_set_point
        usual = process.set_point.value
        lots = released.get(plastic.id, [])
        most = (high.value if high else usual) + WIDER
        found.append(
            PlasticChoice(
                id=plastic.id,
                symbol=plastic.symbol,
                name=plastic.name,
                set_point=usual,
                lowest=(low.value if low else usual) - WIDER,
                highest=min(most, limit.value) if limit else most,
                lots=tuple(lot.id for lot in lots),
                kilograms=sum(lot.mass for lot in lots),
            )
        )
    return tuple(sorted(found, key=lambda one: (-min(one.kilograms, 1.0), one.id)))


def room_classes() -> tuple[str, ...]:
    """What a thing in a room may be, of which a typical size is known."""
    return classes()
