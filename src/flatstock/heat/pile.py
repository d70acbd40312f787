"""A pile of layers between two outsides, and its march through time.

This is the only door to the compiled march: it lays the layers out as arrays, refuses what cannot be
computed, and returns new layers, a history and the energy account.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import lru_cache
from math import inf, isfinite
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from flatstock.errors import OutOfRange
from flatstock.heat import march as m
from flatstock.heat import rates as r
from flatstock.heat import steering
from flatstock.heat.blend import Blend
from flatstock.heat.bounds import check_columns, check_layout, check_shape
from flatstock.heat.energy import Energy, account
from flatstock.heat.laws import ROW, TABLE_NODES
from flatstock.heat.layers import Controller, Joint, Layer, Outside
from flatstock.heat.polymer import Polymer
from flatstock.heat.tables import TABLE_COLUMNS, fill_table

__all__ = ["Energy", "History", "Outcome", "Pile", "Until", "run"]

Array = NDArray[np.float64]
TOLERANCE = 0.02  # K, root mean square over the cells of one step's error


@lru_cache(maxsize=512)
def _table(polymer: Polymer | Blend) -> tuple[Array, Array]:
    row = polymer.row()
    table = np.empty((TABLE_NODES, TABLE_COLUMNS))
    fill_table(row, table)
    return row, table


@dataclass(frozen=True, slots=True, eq=False)
class Pile:
    """Layers from bottom to top; `joints` has one entry less. Room temperature in °C."""

    layers: tuple[Layer, ...]
    joints: tuple[Joint, ...]
    bottom: Outside
    top: Outside
    room: float
    edge_film: float = 0.0  #: through the perimeter [W/m2K]
    perimeter_per_area: float = 0.0  #: of the mould [1/m]
    rim_film: float = 0.0  #: on the part of a platen outside the mould [W/m2K]
    heaters: tuple[Controller | None, Controller | None] = (None, None)

    def __post_init__(self) -> None:
        if not -60 < self.room < 400:
            raise OutOfRange(f"The room's temperature is {self.room} °C; it must lie within -60 … 400 °C.")
        for name in ("edge_film", "perimeter_per_area", "rim_film"):
            if not 0 <= getattr(self, name) < inf:
                raise OutOfRange(f"{name} is {getattr(self, name)}; it must be finite and not negative.")

    @property
    def stored(self) -> float:
        """Heat above 23 °C [J/m2]."""
        return sum(layer.stored for layer in self.layers)

    def slice_of(self, index: int) -> slice:
        """Cells of one layer within the column."""
        first = sum(layer.cells for layer in self.layers[:index])
        return slice(first, first + self.layers[index].cells)


@dataclass(frozen=True, slots=True, kw_only=True)
class Until:
    """What ends a run early, watched on the `sheet`-th plastic layer from the bottom.

    coldest_above: its coldest point reaches `level` [°C]. hottest_below: its hottest point falls to it.
    face_spent: its hotter face has had `level` seconds at 200 °C, or stands above `limit` [°C].
    """

    kind: Literal["coldest_above", "hottest_below", "face_spent"]
    level: float
    limit: float = inf
    sheet: int = 0


@dataclass(frozen=True, slots=True, eq=False)
class History:
    """One row a step. k plastic layers, n cells.

    time [s] (m,); sensor, sensor_rate, face (m, 2: bottom, top) [°C, K/s]; dose [s at 200 °C] (m,);
    energy, power (m, 7) in the order heaters bottom and top, outer faces bottom and top, edge, rim, steam
    [J/m2, W/m2]; hottest, hottest_rate, coldest, coldest_rate, melted, height (m, k);
    profile (m, 3, n): temperature, melted fraction, height of each cell, if asked for.
    """

    time: Array
    sensor: Array
    sensor_rate: Array
    face: Array
    dose: Array
    energy: Array
    power: Array
    hottest: Array
    hottest_rate: Array
    coldest: Array
    coldest_rate: Array
    melted: Array
    height: Array
    profile: Array | None


@dataclass(frozen=True, slots=True, eq=False)
class Outcome:
    """A run's end: the pile as it is then, when, whether `Until` ended it, its history and energies."""

    pile: Pile
    time: float
    reached: bool
    history: History
    energy: Energy
    dose: float
    steps: int = field(default=0)


@dataclass(frozen=True, slots=True, eq=False)
class Arrays:
    """A pile as the compiled march takes it; see `march.march` for shapes.

    Raises `IndexError` where they don't belong together.
    """

    y: Array
    temperature: Array
    kind: NDArray[np.int64]
    memory: Array
    cells: Array
    joints: Array
    polymers: Array
    tables: Array
    ends: Array
    heaters: Array
    sheets: NDArray[np.int64]

    def __post_init__(self) -> None:
        plastics = len(self.polymers)
        check_layout(self.kind, self.memory, self.cells, self.sheets, plastics=plastics)
        check_shape("y", self.y, len(self.kind))
        check_shape("temperature", self.temperature, len(self.kind))
        check_shape("tables", self.tables, plastics, TABLE_NODES, TABLE_COLUMNS)
        check_columns(
            self.kind, self.memory, joints=self.joints[None], polymers=self.polymers[None], ends=self.ends[None],
            heaters=self.heaters[None],
        )  # fmt: skip


def lay_out(pile: Pile) -> Arrays:
    """The pile as arrays. Raises `OutOfRange` for what can't be computed."""
    layers = pile.layers
    if len(pile.joints) != len(layers) - 1:
        raise OutOfRange(f"{len(layers)} layers need {len(layers) - 1} joints, not {len(pile.joints)}.")
    n = sum(layer.cells for layer in layers)
    if n < 2:
        raise OutOfRange("A pile needs two cells or more.")
    known: list[Polymer | Blend] = []
    kind = np.full(n, -1, dtype=np.int64)
    cells = np.zeros((5, n))
    joints = np.zeros((5, max(n - 1, 1)))
    sheets: list[tuple[int, int]] = []
    first = 0
    for index, layer in enumerate(layers):
        last = first + layer.cells
        if layer.polymer is not None:
            if layer.polymer not in known:
                known.append(layer.polymer)
            kind[first:last] = known.index(layer.polymer)
            sheets.append((first, last))
        cells[r.CAP, first:last] = layer.capacity
        cells[r.HALF, first:last] = layer.half
        cells[r.HEIGHT, first:last] = layer.height
        if index > 0:
            joints[:, first - 1] = _joint(pile.joints[index - 1], layer)
        first = last
    cells[r.EDGE] = pile.edge_film * pile.perimeter_per_area
    for index, inner in _rims(pile, n):
        cells[r.RIM, inner] = pile.rim_film * (layers[index].area_ratio - 1.0)
    tables = [_table(polymer) for polymer in known]
    return Arrays(
        y=np.concatenate([x.temperature if x.polymer is None else x.enthalpy for x in layers]),
        temperature=np.concatenate([x.temperature for x in layers]),
        kind=kind,
        memory=_side_by_side([x.memory for x in layers]),
        cells=cells,
        joints=joints,
        polymers=_side_by_side([row[None] for row, _ in tables]),
        tables=_stacked([table for _, table in tables]),
        ends=np.array([_end(pile.bottom, layers[0]), _end(pile.top, layers[-1])]),
        heaters=np.array(
            [
                _heater(pile.heaters[0], layers[0], 0),
                _heater(pile.heaters[1], layers[-1], n - layers[-1].cells),
            ]
        ),
        sheets=np.array(sheets, dtype=np.int64).reshape(-1, 2),
    )


def _side_by_side(parts: list[Array]) -> Array:
    """Rows one below the other, shorter ones filled up with zeros."""
    if len({part.shape[1] for part in parts}) == 1:
        return np.concatenate(parts)
    found = np.zeros((sum(len(part) for part in parts), max((part.shape[1] for part in parts), default=ROW)))
    first = 0
    for part in parts:
        found[first : first + len(part), : part.shape[1]] = part
        first += len(part)
    return found


def _stacked(tables: list[Array]) -> Array:
    """(p, nodes, columns); a single one, which nobody writes to, is not copied."""
    if len(tables) == 1:
        return tables[0][None]
    return np.array(tables).reshape(len(tables), TABLE_NODES, TABLE_COLUMNS)


def _rims(pile: Pile, n: int) -> list[tuple[int, int]]:
    """Outermost metal layers and the cell of each that faces the mould, where the rim outside it loses heat."""
    layers = pile.layers
    if len(layers) == 1:  # a platen alone: its front is the insulated face
        return [(0, n - 1 if pile.top.kind == "insulated" else 0)]
    ends = [(0, layers[0].cells - 1), (len(layers) - 1, n - layers[-1].cells)]
    return [(index, inner) for index, inner in ends if layers[index].polymer is None]


def _joint(joint: Joint, above: Layer) -> tuple[float, ...]:
    if not all(0 < g < inf for g in (joint.open, joint.closed)):
        raise OutOfRange(
            f"A contact conductance of {joint.open} or {joint.closed} W/m2K is not positive and finite."
        )
    kind = r.CONTACT
    if joint.closed_wet is not None:
        kind = r.PLASTIC_ABOVE if above.polymer is not None else r.PLASTIC_BELOW
    wet = joint.closed_wet or joint.closed
    return kind, joint.open, joint.open_wet or wet, joint.closed, wet


def _end(end: Outside, layer: Layer) -> tuple[float, ...]:
    kind = {"insulated": r.INSULATED, "film": r.FIXED_FILM, "still_air": r.STILL_AIR}[end.kind]
    if end.kind == "film" and end.film == 0:
        kind = r.INSULATED
    return kind, end.film, end.temperature, end.natural, end.power, end.emissivity, layer.area_ratio


def _heater(controller: Controller | None, layer: Layer, first: int) -> tuple[float, ...]:
    # the sensor sits at mid-depth: between the two middle cells, or in the middle one
    middle = first + (layer.cells - 1) // 2
    share = 0.5 if layer.cells % 2 == 0 else 0.0
    if layer.cells == 1 and first > 0:  # the compiled sensor reads two cells: this one and the one below
        middle, share = first - 1, 1.0
    if controller is None:
        return r.NO_HEATER, 0.0, 0.0, 0.0, 0.0, 0.0, middle, share
    if layer.polymer is not None:
        raise OutOfRange("Heaters need a metal layer at the end of the pile.")
    mode = r.PROPORTIONAL if controller.kind == "proportional" else r.ON_OFF
    a = layer.area_ratio
    on = -1.0 if controller.on is None else float(controller.on)
    return (
        mode,
        controller.set_point,
        a * controller.gain,
        a * controller.power,
        controller.band,
        on,
        middle,
        share,
    )


def run(
    pile: Pile,
    *,
    duration: float,
    until: Until | None = None,
    close_after: float = 0.0,
    pressed: bool = True,
    activation: float = 0.0,
    dose: float = 0.0,
    tolerance: float = TOLERANCE,
    first_step: float = 0.0,
    profiles: bool = False,
) -> Outcome:
    """March a pile for `duration` seconds, or until something happens.

    `close_after`: when the press closes and all conductances change [s]. `pressed`: melt consolidates.
    `activation` [J/mol] of the face clock and the `dose` it starts from. `tolerance` [K]: one step's error.

    Raises `OutOfRange` where the input cannot be computed; nothing is computed in that case.
    """
    if not (isfinite(duration) and duration >= 0):
        raise OutOfRange(f"duration is {duration} s; it must be finite and not negative.")
    if not 1e-7 <= tolerance <= 5:
        raise OutOfRange(f"tolerance is {tolerance} K; take 1e-7 … 5 K.")
    a = lay_out(pile)
    state = np.zeros(steering.RUN)
    state[steering.END], state[steering.CLOSE], state[steering.STEP], state[steering.TOLERANCE] = (
        duration,
        close_after,
        first_step,
        tolerance,
    )
    state[steering.ROOM], state[steering.PRESSED], state[steering.DOSE], state[steering.ACTIVATION] = (
        pile.room,
        pressed,
        dose,
        activation,
    )
    state[steering.AUDIT] = 1.0
    if until is not None:
        kinds = {
            "coldest_above": steering.COLDEST_ABOVE,
            "hottest_below": steering.HOTTEST_BELOW,
            "face_spent": steering.FACE_SPENT,
        }
        state[steering.STOP], state[steering.LEVEL], state[steering.SHEET] = (
            kinds[until.kind],
            until.level,
            until.sheet,
        )
        state[steering.SECOND_LEVEL] = min(until.limit, 1e6)
        if not 0 <= until.sheet < len(a.sheets):
            raise OutOfRange(f"There is no plastic layer number {until.sheet} in this pile.")
    total = np.zeros(r.FLOWS)
    rows = 400
    parts: list[tuple[Array, Array, Array]] = []
    while True:
        record = np.zeros((rows, m.RECORD))
        seen = np.zeros((rows, len(a.sheets), m.SHEET_RECORD))
        profile = np.zeros((rows if profiles else 0, 3, len(a.y)))
        ended, used = m.march(
            a.y, a.temperature, a.kind, a.memory, a.cells, a.joints, a.polymers, a.tables, a.ends, a.heaters,
            a.sheets, state, total, record, seen, profile,
        )  # fmt: skip
        parts.append((record[:used], seen[:used], profile[:used]))
        if ended != steering.BUFFER_FULL:
            break
        rows = 2000
    if ended == steering.LOST:
        raise OutOfRange(
            f"The march lost its way at {state[steering.TIME]:.3f} s: a property or conductance is not sound."
        )
    after = _carried(pile, a)
    record, seen, profile = (np.concatenate([part[i] for part in parts]) for i in range(3))
    return Outcome(
        pile=after,
        time=float(state[steering.TIME]),
        reached=ended == steering.STOPPED,
        history=_history(record, seen, profile if profiles else None),
        energy=account(pile.stored, after.stored, total),
        dose=float(state[steering.DOSE]),
        steps=int(state[steering.STEPS]),
    )


def _carried(pile: Pile, a: Arrays) -> Pile:
    layers = []
    first = 0
    for layer in pile.layers:
        last = first + layer.cells
        enthalpy = a.y[first:last].copy() if layer.polymer is not None else layer.enthalpy
        layers.append(
            replace(
                layer,
                temperature=a.temperature[first:last].copy(),
                enthalpy=enthalpy,
                memory=a.memory[first:last, : layer.memory.shape[1]].copy(),
            )
        )
        first = last
    heaters = tuple(
        c.switched(bool(a.heaters[side, r.ON] > 0)) if c is not None and c.kind == "on_off" else c
        for side, c in enumerate(pile.heaters)
    )
    return replace(pile, layers=tuple(layers), heaters=(heaters[0], heaters[1]))


def _history(record: Array, seen: Array, profile: Array | None) -> History:
    return History(
        time=record[:, m.R_TIME],
        sensor=record[:, m.R_SENSOR : m.R_SENSOR + 2],
        sensor_rate=record[:, m.R_SENSOR_RATE : m.R_SENSOR_RATE + 2],
        face=record[:, m.R_FACE : m.R_FACE + 2],
        dose=record[:, m.R_DOSE],
        energy=record[:, m.R_ENERGY : m.R_POWER],
        power=record[:, m.R_POWER :],
        hottest=seen[:, :, m.S_HOT],
        hottest_rate=seen[:, :, m.S_HOT_RATE],
        coldest=seen[:, :, m.S_COLD],
        coldest_rate=seen[:, :, m.S_COLD_RATE],
        melted=seen[:, :, m.S_MELTED],
        height=seen[:, :, m.S_HEIGHT],
        profile=profile,
    )
