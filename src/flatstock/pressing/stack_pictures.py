"""A stack and its temperatures over time, as the drawings take it."""

from __future__ import annotations

from datetime import datetime

import numpy as np
from numpy.typing import NDArray

from flatstock.heat.readings import at
from flatstock.pressing.pictures import Profile, StackMould, StackPicture
from flatstock.pressing.stacking import Stacking

__all__ = ["stack_picture"]

Array = NDArray[np.float64]
INSTANTS = 241


def stack_picture(stacking: Stacking, *, start: datetime) -> StackPicture:
    """From the first arrival until all may be opened, at least until the asked moment."""
    ready = stacking.ready
    end = max(stacking.asked, stacking.end if ready is None else ready.high) * 1.05
    times = np.linspace(0.0, min(end, stacking.end), INSTANTS)
    run = stacking.run
    hottest = np.full((INSTANTS, len(stacking.coming)), np.nan)
    moulds = []
    foot = 0.0
    for i, one in enumerate(stacking.coming):
        here = times >= one.time
        hottest[here, i] = at(times[here], run.time[i], run.hottest[i], run.hottest_rate[i])
        opens = stacking.open_after(i)
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
        title=f"Stack in {stacking.place.id}",
        start=start,
        moulds=tuple(moulds),
        times=times,
        hottest=hottest,
        profiles=(_profile(stacking),),
        limit=min(one.limit for one in stacking.coming),
        asked=stacking.asked,
    )


def _profile(stacking: Stacking) -> Profile:
    """Up the stack at the asked moment: skins and sheets of every mould, plates left out."""
    start, outcome = max((s for s in stacking.run.stages if s[0] <= stacking.asked), key=lambda s: s[0])
    history, pile = outcome.history, outcome.pile
    assert history.profile is not None  # `Stacking.run` asks for profiles
    row = np.array(
        [np.interp(stacking.asked - start, history.time, column) for column in history.profile[:, 0, :].T]
    )
    heights: list[float] = []
    temperatures: list[float] = []
    foot = 0.0
    for index, layer in enumerate(pile.layers):
        if layer.area_ratio != 1.0 or (layer.polymer is None and layer.cells > 1):
            continue  # a plate
        cells = pile.slice_of(index)
        each = history.profile[-1, 2, cells] if layer.polymer is not None else layer.height
        edges = foot + np.cumsum(each)
        heights += list(edges - 0.5 * each)
        temperatures += list(row[cells])
        foot = float(edges[-1])
    return Profile(time=stacking.asked, heights=np.array(heights), temperature=np.array(temperatures))
