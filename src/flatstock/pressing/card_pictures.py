"""The temperature through the thickness of a charge, as the drawings take it."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from flatstock.heat.pile import History, Pile
from flatstock.heat.readings import at
from flatstock.pressing.heating import Heating
from flatstock.pressing.pictures import Moment, ThicknessPicture

__all__ = ["thickness_picture"]

Array = NDArray[np.float64]
INSTANTS, HEIGHTS = 161, 49


def thickness_picture(heating: Heating, *, advised: float) -> ThicknessPicture:
    """From loading to the `advised` transfer [s]; heights are the melt's, a loose heap is drawn to that scale."""
    _, _, beyond = heating.until(advised)
    melt = heating.melt_history
    pieces: list[tuple[float, History, Pile]] = [(0.0, melt.history, melt.pile)]
    if beyond is not None:
        pieces.append((melt.time, beyond.history, beyond.pile))
    times = np.linspace(0.0, max(advised, melt.time), INSTANTS)
    height = float(melt.history.height[-1, 0])
    where = (np.arange(HEIGHTS) + 0.5) / HEIGHTS
    field = np.empty((INSTANTS, HEIGHTS))
    series = {name: np.empty(INSTANTS) for name in ("bottom", "top", "core", "face", "gap")}
    for index, (start, history, pile) in enumerate(pieces):
        last = index == len(pieces) - 1
        mine = (times >= start) & (True if last else times < pieces[index + 1][0])
        local = times[mine] - start
        field[mine] = _through(history, pile.slice_of(2), local, where)
        series["bottom"][mine] = at(local, history.time, history.sensor[:, 0], history.sensor_rate[:, 0])
        series["top"][mine] = at(local, history.time, history.sensor[:, 1], history.sensor_rate[:, 1])
        series["core"][mine] = at(local, history.time, history.coldest[:, 0], history.coldest_rate[:, 0])
        series["face"][mine] = np.interp(local, history.time, np.max(history.face, axis=1))
        series["gap"][mine] = np.interp(local, history.time, history.height[:, 0])
    thermal = heating.thermal
    return ThicknessPicture(
        title=f"{heating.plastic.id.upper()} between platens at {heating.set_point:g} °C",
        times=times,
        heights=where * height,
        temperature=field,
        melting_onset=thermal.melting_onset.value,
        melting_end=thermal.melting_end.value,
        target=heating.target,
        set_point=heating.set_point,
        moments=(
            Moment("closed", heating.shop_press.close_after),
            Moment("melted through", melt.time),
            Moment("transfer (advised)", advised),
        ),
        **series,
    )


def _through(history: History, cells: slice, times: Array, where: Array) -> Array:
    """Temperatures at `times` and at shares `where` of the mass, straight lines between recorded steps and cells."""
    if history.profile is None:
        raise ValueError("The run was made without profiles.")
    profile = history.profile[:, 0, cells]
    n = profile.shape[1]
    rows = _between(profile.T, where * n - 0.5).T
    steps = np.interp(times, history.time, np.arange(len(history.time), dtype=float))
    return _between(rows, steps)


def _between(rows: Array, places: Array) -> Array:
    """Rows (m, k) at fractional `places`, straight between them and held beyond the first and the last."""
    inside = np.clip(places, 0.0, len(rows) - 1.0)
    low = np.minimum(inside.astype(int), max(len(rows) - 2, 0))
    high = np.minimum(low + 1, len(rows) - 1)
    share = (inside - low)[:, None]
    found: Array = (1.0 - share) * rows[low] + share * rows[high]
    return found
