"""What the drawings of an answer are made from: temperatures over time and place, as arrays.

The engine fills these in while it answers; `prints` draws them. Times are in seconds from the start
of the picture, lengths in metres, temperatures in °C.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

import numpy as np
from numpy.typing import NDArray

__all__ = ["Array", "Moment", "Profile", "StackMould", "StackPicture", "ThicknessPicture"]

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Moment:
    """A named instant: "closed", "melted through", "transfer (advised)", "open"."""

    label: str
    time: float  #: [s]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ThicknessPicture:
    """The temperature through one charge while it is heated (and, if wanted, cooled) in a press."""

    title: str  #: what is pressed, in a few words: "HDPE 12 mm between platens at 195 °C"
    times: Array  #: (n,), rising [s]
    heights: Array  #: (m,), rising, from the bottom skin [m]
    temperature: Array  #: (n, m) [°C]
    melting_onset: float  #: colder than this: solid [°C]
    melting_end: float  #: hotter than this: molten [°C]
    target: float  #: what the coldest point is to reach [°C]
    set_point: float  #: of the platens [°C]
    moments: tuple[Moment, ...]
    bottom: Array  #: (n,) sensor of the bottom platen [°C]
    top: Array  #: (n,) sensor of the top platen [°C]
    core: Array  #: (n,) coldest point of the charge [°C]
    face: Array  #: (n,) hottest face of the charge [°C]
    gap: Array  #: (n,) between the skins [m]


@dataclass(frozen=True, slots=True, kw_only=True)
class StackMould:
    """One mould of a stack."""

    label: str  #: its ID or number
    plastic: str
    thickness: float  #: of the sheet [m]
    arrives: float  #: [s]
    bottom: float  #: lower face of its lower skin over the foot of the stack [m]
    top: float  #: upper face of its upper skin [m]
    opens: float | None  #: late end of "may be opened" [s]; None: not within the picture


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Profile:
    """The temperature up the stack at one instant."""

    time: float  #: [s]
    heights: Array  #: (m,), rising, from the foot of the stack [m]
    temperature: Array  #: (m,) [°C]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class StackPicture:
    """How a stack of moulds cools."""

    title: str
    start: datetime  #: the instant of time 0
    moulds: tuple[StackMould, ...]  #: from the bottom up, k of them
    times: Array  #: (n,), rising [s]
    hottest: Array  #: (n, k) hottest point of each mould's sheet, NaN before it arrives [°C]
    profiles: tuple[Profile, ...]
    limit: float  #: a sheet may be opened when its hottest point is below this [°C]
    asked: float  #: the moment asked about [s]
