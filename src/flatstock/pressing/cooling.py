"""The cooling press: how long the first, second and third mould in a row must stay."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from flatstock.evidence import Value
from flatstock.heat import layers as h
from flatstock.heat import rates as r
from flatstock.heat.batch import Varied, cold_rows
from flatstock.heat.pile import Until, lay_out
from flatstock.heat.press import ColdPress, Mould, carry_through_air
from flatstock.pressing.bands import SAMPLES, Draws, band_of, contributions, draw, relative
from flatstock.pressing.polymers import BAND_FIELDS, Material, inputs, polymer_of, rows
from flatstock.pressing.rig import MouldSet, cold_press, rack_faces
from flatstock.workshop.shop import CoolingPress, Rack, Stack, watered

__all__ = ["MOULDS", "Cooling", "air_carry", "drawn_ends", "on_grid", "outer_inputs", "without_flash"]

Array = NDArray[np.float64]
MOULDS = 3
FINE_CELLS, FINE_TOLERANCE = 40, 0.02
COARSE_CELLS, COARSE_TOLERANCE = 8, 0.5
PLATES = 4
MODEL = "heat model, docs/heat.md"


def without_flash(mould: Mould, *, mass: float, thermal: Material) -> Mould:
    """The mould after flash has left it: the same temperatures, `mass` [kg/m2] of plastic, consolidated."""
    hot = mould.plastic
    polymer = polymer_of(thermal)
    melted = hot.memory[:, 0]
    spread = h.sheet(polymer, mass=mass, temperature=hot.temperature, cells=hot.cells, melted=1.0)
    enthalpy, memory = spread.enthalpy, spread.memory
    if float(np.min(melted)) < 1.0:  # a raw core keeps what is not melted
        own = h.sheet(polymer, mass=mass, temperature=hot.temperature, cells=hot.cells)
        enthalpy = np.where(melted >= 1.0, spread.enthalpy, own.enthalpy)
        memory = np.where((melted >= 1.0)[:, None], spread.memory, own.memory)
    layer = h.Layer(
        capacity=spread.capacity,
        half=spread.half,
        height=spread.height,
        temperature=hot.temperature.copy(),
        enthalpy=enthalpy,
        memory=memory,
        polymer=polymer,
    )
    return Mould(mould.lower, layer, mould.upper)


def on_grid(layer: h.Layer, *, thermal: Material, mass: float, cells: int) -> h.Layer:
    """A sheet on another grid: `mass` [kg/m2], temperatures read off at the new cell centres."""
    old = (np.arange(layer.cells) + 0.5) / layer.cells
    new = (np.arange(cells) + 0.5) / cells
    return h.sheet(
        polymer_of(thermal),
        mass=mass,
        temperature=np.interp(new, old, layer.temperature),
        cells=cells,
        melted=1.0 if float(np.min(layer.memory[:, 0])) >= 1.0 else None,
    )


def air_carry(
    mould: Mould, mould_set: MouldSet, *, duration: float, contact: float, room: float, edge: float
) -> Mould:
    """A mould after its way from press to press through the room's air.

    Parameters
    ----------
    duration
        In the air [s]; 0 or less: it is as it was.
    contact, edge
        Conductance of skin and sheet; film of every layer's edge [W/m2K].
    room
        Temperature of the air [°C].
    """
    if duration <= 0:
        return mould
    after, _ = carry_through_air(
        mould,
        duration=duration,
        skin_sheet=h.Joint.fixed(contact),
        faces=rack_faces(None, mould_set, room=room),
        room=room,
        edge_film=edge,
        perimeter_per_area=mould_set.perimeter_per_area,
    )
    return after


def outer_inputs(place: CoolingPress | Stack | Rack, fans: bool) -> dict[str, Value]:
    """Inputs of the outer faces that have bands, as they are at the time."""
    if fans and not isinstance(place, Rack) and place.fan_film is not None and not watered(place):
        return {"fan film": place.fan_film}
    found: dict[str, Value] = {}
    for name, film in (("bottom film", place.film_bottom), ("top film", place.film_top)):
        if film.film is not None:
            found[name] = film.film
    if len(found) < 2:
        found["emissivity"] = place.emissivity
    return found


def drawn_ends(ends: Array, drawn: dict[str, Array], count: int) -> Array:
    """Outer faces of `count` columns with the drawn films or emissivities."""
    many = np.repeat(ends[None], count, axis=0)
    for side, name in ((0, "bottom film"), (1, "top film")):
        if "fan film" in drawn:
            many[:, side, r.FILM] = drawn["fan film"]
        elif name in drawn:
            many[:, side, r.FILM] = drawn[name]
        elif "emissivity" in drawn:
            many[:, side, r.RADIATION] = drawn["emissivity"]
    return many


@dataclass(frozen=True, eq=False, kw_only=True)
class Cooling:
    """Moulds of one kind following each other through one cooling press; plates at room at first."""

    thermal: Material
    shop_press: CoolingPress
    mould: MouldSet
    room: float
    fans: bool
    arriving: Mould  #: as it is clamped
    open_below: float  #: [°C]
    every: float  #: [s]

    @property
    def press(self) -> ColdPress:
        """The press before the first mould."""
        return cold_press(self.shop_press, self.mould, room=self.room, fans=self.fans, plate_cells=PLATES)

    def _on_grid(self, cells: int) -> Mould:
        """The arriving mould with fewer cells through the sheet."""
        hot = self.arriving.plastic
        layer = on_grid(hot, thermal=self.thermal, mass=float(np.sum(hot.capacity)), cells=cells)
        return Mould(self.arriving.lower, layer, self.arriving.upper)

    @cached_property
    def draws(self) -> Draws:
        """The inputs that have bands."""
        press = self.shop_press
        own = {
            "plate contact": press.contact,
            "sheet contact": press.sheet_contact,
            "edge film": press.edge_film,
        }
        plastics = inputs(self.thermal, BAND_FIELDS)
        first = dict(list(plastics.items())[: len(BAND_FIELDS)])
        return draw(first | own | outer_inputs(press, self.fans) | plastics)

    def _march(self, mould: Mould, drawn: dict[str, Array], count: int) -> Array:
        layout = lay_out(self.press.around(mould))
        n = mould.plastic.cells
        joints = np.repeat(layout.joints[None], count, axis=0)
        for place in (PLATES - 1, PLATES + n + 1):
            joints[:, r.OPEN, place] = joints[:, r.CLOSED, place] = drawn["plate contact"]
        for place in (PLATES, PLATES + n):
            joints[:, r.OPEN, place] = joints[:, r.CLOSED, place] = drawn["sheet contact"]
        return cold_rows(
            layout,
            Varied(
                polymers=rows(self.thermal, drawn, count),
                joints=joints,
                ends=drawn_ends(layout.ends, drawn, count),
                heaters=np.repeat(layout.heaters[None], count, axis=0),
                edge=relative(drawn["edge film"], self.shop_press.edge_film),
            ),
            moulds=MOULDS,
            level=self.open_below,
            every=self.every,
            room=self.room,
            plate_cells=PLATES,
            tolerance=COARSE_TOLERANCE,
        )

    @cached_property
    def _fine(self) -> Array:
        """Each mould in turn with the typical inputs, on the fine grid; nan: not there before the next arrives."""
        press, mould = self.press, self._on_grid(FINE_CELLS)
        times = np.full(MOULDS, np.nan)
        for index in range(MOULDS):
            press, _, outcome = press.hold(
                mould, duration=self.every, until=self._cold, tolerance=FINE_TOLERANCE
            )
            times[index] = outcome.time if outcome.reached else np.nan
            if index + 1 < MOULDS:
                press = press.stand_empty(self.every - outcome.time, tolerance=FINE_TOLERANCE)
        return times

    @property
    def _cold(self) -> Until:
        return Until(kind="hottest_below", level=self.open_below)

    @cached_property
    def _coarse(self) -> tuple[Array, Array]:
        mould = self._on_grid(COARSE_CELLS)
        drawn = {name: np.append(self.draws[name], value.value) for name, value in self.draws.inputs.items()}
        found = self._march(mould, drawn, SAMPLES + 1)
        return found[:SAMPLES], found[SAMPLES]

    @cached_property
    def times(self) -> tuple[Value | None, ...]:
        """From clamping until the hottest point is at `open_below`, mould by mould [s].

        None: not there before the next mould arrives. A column of the band that is not there in time
        counts as that long, so that "not before" errs on the late side.
        """
        many, one = self._coarse
        answers: list[Value | None] = []
        for index, fine in enumerate(self._fine):
            if not np.isfinite(fine):
                answers.append(None)
                continue
            samples = np.where(np.isfinite(many[:, index]), many[:, index], self.every)
            centre = float(one[index]) if np.isfinite(one[index]) else None
            answers.append(band_of(float(fine), samples, unit="s", source=MODEL, centre=centre))
        return tuple(answers)

    @cached_property
    def shares(self) -> dict[str, float]:
        """Which inputs the first mould's band comes from, largest first."""
        return contributions(self.draws, self._coarse[0][:, 0])

    @cached_property
    def hottest_when_leaving(self) -> tuple[float, ...]:
        """Hottest point of each mould when it leaves: open, or pushed out by the next one [°C]."""
        press, found = self.press, []
        for _ in range(MOULDS):
            press, _, outcome = press.hold(
                self.arriving, duration=self.every, until=self._cold, tolerance=FINE_TOLERANCE
            )
            press = press.stand_empty(self.every - outcome.time, tolerance=FINE_TOLERANCE)
            found.append(float(outcome.history.hottest[-1, 0]))
        return tuple(found)
