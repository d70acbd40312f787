"""A stack and its temperatures over time, as the drawings take it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

import numpy as np
from numpy.typing import NDArray

from flatstock.heat.readings import at
from flatstock.pressing.pictures import Profile, StackMould, StackPicture
from flatstock.pressing.stacking import Stacking

__all__ = ["stack_picture"]

Array = NDArray[np.float64]
INSTANTS = 241


def stack_picture(parts: Sequence[Stacking], *, start: datetime) -> StackPicture:
    """From the first arrival until all may be opened, at least until the asked moment.

    `parts`: the stack, or on a rack each mould by itself, drawn above each other.
    """
    ends = [part.end if part.ready is None else part.ready.high for part in parts]
    first, last = parts[0], min(part.end for part in parts)
    times = np.linspace(0.0, min(max(first.asked, *ends) * 1.05, last), INSTANTS)
    coming = [(part, i, one) for part in parts for i, one in enumerate(part.coming)]
    hottest = np.full((INSTANTS, len(coming)), np.nan)
    moulds = []
    foot = 0.0
    for column, (part, i, one) in enumerate(coming):
        here, run = times >= one.time, part.run
        hottest[here, column] = at(times[here], run.time[i], run.hottest[i], run.hottest_rate[i])
        opens = part.open_after(i)
        moulds.append(
            StackMould(
                label=one.name,
                plastic=one.plastic,
                thickness=one.setting.thickness,
                arrives=one.time,
                bottom=foot,
                top=foot + one.height,
                opens=None if opens is None else opens.high,
            )
        )
        foot += one.height
    return StackPicture(
        title=f"{'Stack in' if len(parts) == 1 else 'On rack'} {first.place.id}",
        start=start,
        moulds=tuple(moulds),
        times=times,
        hottest=hottest,
        profiles=(_profile(parts),),
        limit=min(one.limit for _, _, one in coming),
        asked=first.asked,
    )


def _profile(parts: Sequence[Stacking]) -> Profile:
    """Up the stack at the asked moment: skins and sheets of every mould, plates left out."""
    heights: list[float] = []
    temperatures: list[float] = []
    foot = 0.0
    for part in parts:
        foot = _up(part, foot, heights, temperatures)
    return Profile(time=parts[0].asked, heights=np.array(heights), temperature=np.array(temperatures))


def _up(stacking: Stacking, foot: float, heights: list[float], temperatures: list[float]) -> float:
    """Add the layers of one stack that stands on `foot` [m]; its top."""
    start, outcome = max((s for s in stacking.run.stages if s[0] <= stacking.asked), key=lambda s: s[0])
    history, pile = outcome.history, outcome.pile
    assert history.profile is not None  # `Stacking.run` asks for profiles
    row = np.array(
        [np.interp(stacking.asked - start, history.time, column) for column in history.profile[:, 0, :].T]
    )
    for index, layer in enumerate(pile.layers):
        if layer.area_ratio != 1.0 or (layer.polymer is None and layer.cells > 1):
            continue  # a plate
        cells = pile.slice_of(index)
        each = history.profile[-1, 2, cells] if layer.polymer is not None else layer.height
        edges = foot + np.cumsum(each)
        heights += list(edges - 0.5 * each)
        temperatures += list(row[cells])
        foot = float(edges[-1])
    return foot
