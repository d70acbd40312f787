"""Columns that several tests share: the plastics of docs/heat.md, its two hot presses, its stack of sheets."""

from collections.abc import Iterable

from flatstock.heat.layers import (
    ALUMINIUM,
    MILD_STEEL,
    Controller,
    Joint,
    Layer,
    Metal,
    Outside,
    charge,
    metal,
    sheet,
)
from flatstock.heat.pile import Pile
from flatstock.heat.polymer import Bed, Polymer
from flatstock.heat.press import Mould
from flatstock.heat.stack import StackPlace

HDPE = Polymer(
    density=955, solid_volume_slope=4.0207e-7, melt_volume_180=1.3063e-3, melt_volume_slope=1.0337e-6,
    solid_cp_23=1751.0, solid_cp_slope=4.1921, melt_cp_180=2701.6, melt_cp_slope=3.1440, latent=202.17e3, latent_at=132,
    melting_onset=122, melting_end=138, freezing_end=113.5, freezing_onset=125.5,
    solid_k_23=0.46, solid_k_slope=-14.286e-4, melt_k_180=0.26,
)  # fmt: skip
PP = Polymer(
    density=905, solid_volume_slope=4.4957e-7, melt_volume_180=1.3150e-3, melt_volume_slope=0.7604e-6,
    solid_cp_23=1864.9, solid_cp_slope=4.2802, melt_cp_180=2671.5, melt_cp_slope=3.6426, latent=103.5e3, latent_at=163,
    melting_onset=148, melting_end=170, freezing_end=117, freezing_onset=129,
    solid_k_23=0.22, solid_k_slope=-2.5974e-4, melt_k_180=0.18,
)  # fmt: skip
PS = Polymer(
    density=1047, solid_volume_slope=2.0057e-7, melt_volume_180=1.0192e-3, melt_volume_slope=0.5714e-6,
    solid_cp_23=1218.6, solid_cp_slope=3.6763, melt_cp_180=2010.0, melt_cp_slope=2.5, latent=0, latent_at=100,
    melting_onset=100, melting_end=140, freezing_end=100, freezing_onset=140,
    solid_k_23=0.155, solid_k_slope=1.2987e-4, melt_k_180=0.165,
)  # fmt: skip

HELD = 1e9  #: a film so high [W/m2K] that the face has the outside's temperature
PERFECT = Joint.fixed(1e9)
INSULATED = Outside()


def plain(*, k: float, c: float, density: float, melts_at: float = 600.0, width: float = 20.0, latent: float = 0.0,
          melt_k: float | None = None, melt_c: float | None = None) -> Polymer:  # fmt: skip
    """A material of constant properties that melts within `width` about `melts_at`; the bed is the solid itself."""
    low, high = melts_at - width / 2, melts_at + width / 2
    return Polymer(
        density=density, solid_volume_slope=0, melt_volume_180=1 / density, melt_volume_slope=0, solid_cp_23=c,
        solid_cp_slope=0, melt_cp_180=melt_c or c, melt_cp_slope=0, latent=latent, latent_at=melts_at,
        melting_onset=low, melting_end=high, freezing_end=low, freezing_onset=high,
        solid_k_23=k, solid_k_slope=0, melt_k_180=melt_k or k, bed=Bed(void=0, conductivity=k),
    )  # fmt: skip


def film(value: float, temperature: float = 20.0) -> Outside:
    return Outside(kind="film", film=value, temperature=temperature)


def still_air(room: float = 20.0) -> tuple[Outside, Outside]:
    """Below and above a 1 × 1 m plate of emissivity 0.8."""
    return (
        Outside.still_air(side="bottom", room=room, emissivity=0.8, length=0.25),
        Outside.still_air(side="top", room=room, emissivity=0.8, length=0.25),
    )


def steel(thickness: float, temperature: float, cells: int = 1) -> Layer:
    return metal(MILD_STEEL, thickness=thickness, temperature=temperature, cells=cells)


def column(layers: Iterable[Layer], *, bottom: Outside, top: Outside, joint: Joint = PERFECT) -> Pile:
    """Layers that touch, without edge losses."""
    layers = tuple(layers)
    return Pile(layers, (joint,) * (len(layers) - 1), bottom, top, room=20.0)


def hot_column(
    polymer: Polymer = HDPE, *, thickness: float = 0.012, set_points: tuple[float | None, float | None] = (190, 190),
    loaded_at: tuple[float, float] = (190, 190), skin: float = 0.002, kind: str = "proportional", power: float = 1e4,
    cells: int = 48, platen_cells: int = 4, area_ratio: float = 1.0, rim_film: float = 0.0, moisture: float = 0.0,
    room: float = 20.0, bottom: Outside | None = None, top: Outside | None = None,
) -> Pile:  # fmt: skip
    """The hot press of docs/heat.md with a cold charge; a set-point of None is a platen without heaters."""
    platens = [
        metal(ALUMINIUM, thickness=0.025, temperature=t, cells=platen_cells, area_ratio=area_ratio)
        for t in loaded_at
    ]
    flake = charge(
        polymer, mass=polymer.density * thickness, temperature=room, cells=cells, moisture=moisture
    )
    cold = steel(skin, room)
    heaters = [None if s is None else Controller(kind=kind, set_point=s, power=power) for s in set_points]
    charge_joint = Joint(100, 300, 3000, 3000)
    return Pile(
        (platens[0], cold, flake, cold, platens[1]),
        (Joint(100, 1000), charge_joint, charge_joint, Joint(15, 1000)),
        bottom or film(4, room), top or film(4, room), room=room, edge_film=10, perimeter_per_area=4, rim_film=rim_film,
        heaters=(heaters[0], heaters[1]),
    )  # fmt: skip


def hot_mould(
    polymer: Polymer = HDPE, *, thickness: float = 0.012, temperature: float = 180.0, cells: int = 40
) -> Mould:
    """A mould as it leaves the hot press: everything at one temperature, the sheet molten."""
    skin = steel(0.002, temperature)
    melt = sheet(polymer, mass=polymer.density * thickness, temperature=temperature, cells=cells, melted=1.0)
    return Mould(skin, melt, skin)


def stack_place(plate_cells: int = 4) -> StackPlace:
    """The stack of docs/heat.md: cold 20 mm steel plates below and above, still air."""
    plate = steel(0.020, 20, plate_cells)
    return StackPlace(
        plates=(plate, plate), outer=still_air(), plate_skin=Joint.fixed(500), skin_skin=Joint.fixed(300),
        skin_sheet=Joint.fixed(500), room=20, edge_film=8, perimeter_per_area=4,
    )  # fmt: skip


__all__ = [
    "HDPE", "HELD", "INSULATED", "PERFECT", "PP", "PS", "Metal", "column", "film", "hot_column", "hot_mould", "plain",
    "stack_place", "steel", "still_air",
]  # fmt: skip
