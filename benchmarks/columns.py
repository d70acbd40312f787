"""The two columns that are raced: a hot press with HDPE flake, and a stack of eight HDPE moulds.

Numbers of docs/heat.md: aluminium platens 25 mm, steel skins 2 mm, 190 °C, 10 kW/m2, proportional control.
"""

from __future__ import annotations

from collections.abc import Sequence

from flatstock.heat.layers import ALUMINIUM, MILD_STEEL, Controller, Joint, Outside, charge, metal, sheet
from flatstock.heat.pile import Pile
from flatstock.heat.polymer import Polymer
from flatstock.heat.press import Mould
from flatstock.heat.stack import Arrival, StackPlace

__all__ = ["ARRIVALS", "HDPE", "TARGET", "hot_column", "moulds_of", "place"]

HDPE = Polymer(
    density=955.0, solid_volume_slope=4.0207e-7, melt_volume_180=1.3063e-3, melt_volume_slope=1.0337e-6,
    solid_cp_23=1751.0, solid_cp_slope=4.1921, melt_cp_180=2701.6, melt_cp_slope=3.1440, latent=202.17e3,
    latent_at=132.0, melting_onset=122.0, melting_end=138.0, freezing_end=113.5, freezing_onset=125.5,
    solid_k_23=0.46, solid_k_slope=-14.286e-4, melt_k_180=0.26,
)  # fmt: skip
TARGET = 165.0  #: °C of the coldest point at melt-through
ARRIVALS = tuple(2400.0 * i for i in range(8))  #: a mould every 40 minutes [s]


def hot_column(thickness: float, cells: int, platen_cells: int = 4) -> Pile:
    """Platen, skin, cold flake, skin, platen."""
    platen = metal(ALUMINIUM, thickness=0.025, temperature=190.0, cells=platen_cells)
    skin = metal(MILD_STEEL, thickness=0.002, temperature=20.0)
    flake = charge(HDPE, mass=955.0 * thickness, temperature=20.0, cells=cells)
    back = Outside(kind="film", film=4.0, temperature=20.0)
    wets = Joint(100.0, 300.0, 3000.0, 3000.0)
    heater = Controller(kind="proportional", set_point=190.0, power=1e4)
    return Pile(
        (platen, skin, flake, skin, platen), (Joint(100.0, 1000.0), wets, wets, Joint(15.0, 1000.0)), back, back,
        room=20.0, edge_film=10.0, perimeter_per_area=4.0, heaters=(heater, heater),
    )  # fmt: skip


def place() -> StackPlace:
    """Steel plates 20 mm below and above, still air."""
    plate = metal(MILD_STEEL, thickness=0.020, temperature=20.0, cells=4)
    faces = (
        Outside.still_air(side="bottom", room=20.0, emissivity=0.8, length=0.25),
        Outside.still_air(side="top", room=20.0, emissivity=0.8, length=0.25),
    )
    return StackPlace(
        plates=(plate, plate), outer=faces, plate_skin=Joint.fixed(500.0), skin_skin=Joint.fixed(300.0),
        skin_sheet=Joint.fixed(500.0), room=20.0, edge_film=8.0, perimeter_per_area=4.0,
    )  # fmt: skip


def moulds_of(cells: int, arrivals: Sequence[float] = ARRIVALS) -> list[Arrival]:
    """12 mm sheets, molten at 180 °C, one after the other."""
    skin = metal(MILD_STEEL, thickness=0.002, temperature=180.0)
    melt = sheet(HDPE, mass=955.0 * 0.012, temperature=180.0, cells=cells, melted=1.0)
    return [Arrival(Mould(skin, melt, skin), when) for when in arrivals]
