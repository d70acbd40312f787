"""How high the charge stands: as loose flake against the daylight, as melt against the frame."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from flatstock.flow.ranges import not_negative, positive

__all__ = ["Filling", "HeapAdvice", "heap_advice", "heap_height", "hot_level", "proud_height"]

#: Loose flake that lies on a frame without a collar, above the frame [m]. Assumed: common practice,
#: no source; a shop that has tried more or less gives its own.
FREE_HEAP = 0.040
#: Free height kept between the upper skin and the upper platen while a mould slides in [m]. Assumed.
CLEARANCE = 0.020


def hot_level(*, mass: float, melt_density: float, cavity_area: float) -> float:
    """Height of the molten charge in its cavity [m]; `mass` [kg], `melt_density` [kg/m3], area [m2].

    The melt fills the cavity without voids; the level is that of a parallel gap.

    >>> round(1e3 * hot_level(mass=11.45, melt_density=760.0, cavity_area=1.05), 2)
    14.35
    """
    not_negative(mass=mass)
    positive(melt_density=melt_density, cavity_area=cavity_area)
    return mass / (melt_density * cavity_area)


def proud_height(*, level: float, frame: float) -> float:
    """How far the melt stands above the frame [m]; negative where it does not fill the frame.

    >>> round(1e3 * proud_height(level=0.01435, frame=0.012), 2)
    2.35
    """
    positive(frame=frame)
    not_negative(level=level)
    return level - frame


def heap_height(*, mass: float, bulk_density: float, cavity_area: float) -> float:
    """Mean height of the loose charge, spread level over the cavity [m].

    `mass` [kg], loose `bulk_density` [kg/m3] (weigh a bucket of the own flake), `cavity_area` [m2].

    >>> round(1e3 * heap_height(mass=11.74, bulk_density=330.0, cavity_area=1.05))
    34
    """
    not_negative(mass=mass)
    positive(bulk_density=bulk_density, cavity_area=cavity_area)
    return mass / (bulk_density * cavity_area)


class Filling(Enum):
    """What to do with a heap."""

    FITS = "fits"
    TWO_STEPS = "fill in two steps with a collar"
    TOO_HIGH = "does not fit"


@dataclass(frozen=True, slots=True, kw_only=True)
class HeapAdvice:
    """The advice, with the heights it rests on."""

    filling: Filling
    tallest: float  #: highest heap while filling as advised, from the lower skin [m]
    above_frame: float  #: of that, what stands above the frame: the collar needed, 0 if none [m]
    opening: float  #: opening between the platens that filling as advised needs [m]


def heap_advice(
    *,
    heap: float,
    settled: float,
    frame: float,
    skins: float,
    daylight: float,
    collar: float | None = None,
    free_heap: float = FREE_HEAP,
    clearance: float = CLEARANCE,
) -> HeapAdvice:
    """Whether a loose heap can be loaded at once, in two steps, or not at all.

    In two steps half of the charge is loaded, closed on at contact pressure until it has sunk to the
    melt, and the other half heaped on it; the second heap is the taller one: (heap + settled) / 2.

    Parameters
    ----------
    heap : float
        Height of the whole loose charge [m]: `heap_height`.
    settled : float
        Height of the whole charge once molten [m]: `hot_level`.
    frame, skins : float
        Height of the frame and of both skins together [m].
    daylight : float
        Open distance between the platens [m].
    collar : float or None
        Height of the shop's collar above the frame [m]; None: one can be made as high as needed.
    free_heap : float
        Loose flake that lies above the frame without a collar [m]; assumed 40 mm.
    clearance : float
        Free height kept for sliding the mould in [m]; assumed 20 mm.

    Source
    ------
    Common practice, no source; the limits are arguments so that a shop can put its own.

    >>> heap_advice(heap=0.091, settled=0.0138, frame=0.012, skins=0.004, daylight=0.180).filling.value
    'fill in two steps with a collar'
    """
    not_negative(heap=heap, settled=settled, skins=skins, free_heap=free_heap, clearance=clearance)
    positive(frame=frame, daylight=daylight)
    at_once = max(heap, frame)
    if heap <= frame + free_heap and at_once + skins + clearance <= daylight:
        return HeapAdvice(
            filling=Filling.FITS, tallest=heap, above_frame=0.0, opening=at_once + skins + clearance
        )
    second = (max(heap, settled) + settled) / 2
    above = max(second - frame, 0.0)
    opening = max(second, frame) + skins + clearance
    held = collar is None or above <= max(collar, free_heap)
    filling = Filling.TWO_STEPS if held and opening <= daylight else Filling.TOO_HIGH
    return HeapAdvice(filling=filling, tallest=second, above_frame=above, opening=opening)
