"""A workshop's presses, frames and skins as the heat model's layers and surroundings.

Everything is per m2 of cavity. Platens larger than the mould, the frame's heat capacity and hangers
count as docs/heat.md says.
"""

from __future__ import annotations

from dataclasses import dataclass

from flatstock.evidence import Value
from flatstock.heat import layers as h
from flatstock.heat.press import ColdPress, HotPress, Mould
from flatstock.heat.stack import StackPlace
from flatstock.workshop.shop import CoolingPress, Film, Frame, Plate, Rack, Skin, Stack, watered
from flatstock.workshop.shop import HotPress as ShopHotPress
from flatstock.workshop.shop import Metal as ShopMetal

__all__ = [
    "NEW_FAN",
    "MouldSet",
    "back_film",
    "cold_press",
    "hot_press",
    "metal_of",
    "outside",
    "rack_faces",
    "rim_and_edge_loss",
    "stack_place",
]

#: film of fans that would have to be fitted first; docs/heat.md, "Cooling", assumed
NEW_FAN = Value(25.0, 15.0, 30.0, "assumed", "fans as in docs/heat.md", "W/m2K")
PLATEN_CELLS = 8
PLATE_CELLS = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class MouldSet:
    """A frame with its two skins."""

    frame: Frame
    skin: Skin

    @property
    def area(self) -> float:
        """Cavity [m2]."""
        return self.frame.cavity_area

    @property
    def perimeter_per_area(self) -> float:
        """[1/m]"""
        return self.frame.perimeter / self.frame.cavity_area

    @property
    def film_length(self) -> float:
        """Area over perimeter, the length in the free-convection law [m]."""
        return self.frame.cavity_area / self.frame.perimeter

    @property
    def mass(self) -> float:
        """Frame and both skins, empty [kg]."""
        return self.frame.mass + 2 * self.skin.mass

    def skin_layer(self, temperature: float) -> h.Layer:
        """One skin with half the frame's heat capacity on it."""
        frame = self.frame.mass * self.frame.metal.specific_heat.value / self.area
        return h.metal(
            metal_of(self.skin.metal),
            thickness=self.skin.thickness,
            temperature=temperature,
            extra_capacity=0.5 * frame,
        )

    def around(self, plastic: h.Layer, temperature: float) -> Mould:
        """The mould with its contents, skins at one temperature."""
        skin = self.skin_layer(temperature)
        return Mould(skin, plastic, skin)


def metal_of(metal: ShopMetal) -> h.Metal:
    """Plain numbers of a metal."""
    return h.Metal(
        density=metal.density.value,
        specific_heat=metal.specific_heat.value,
        conductivity=metal.conductivity.value,
    )


def plate_layer(
    plate: Plate, mould: MouldSet, temperature: float, *, cells: int, extra_mass: float = 0.0
) -> h.Layer:
    """A platen or plate; `extra_mass` [kg] of the same metal hangs on it."""
    return h.metal(
        metal_of(plate.metal),
        thickness=plate.thickness,
        temperature=temperature,
        cells=cells,
        area_ratio=plate.area / mould.area,
        extra_capacity=extra_mass * plate.metal.specific_heat.value / mould.area,
    )


def back_film(press: ShopHotPress, mould: MouldSet) -> Value:
    """Film behind the platens [W/m2K]; from the empty press's total loss where the shop has measured it.

    U = (loss - rim - edge) / platen area, with the rim and edge films of this mould; 0 where they lose more than that,
    which the card says.
    """
    if press.loss is None:
        return press.back_film
    areas, least = press.bottom.area + press.top.area, rim_and_edge_loss(press, mould)
    return press.loss.mapped(lambda loss: max(0.0, (loss - least) / areas), unit="W/m2K", kind="computed")


def rim_and_edge_loss(press: ShopHotPress, mould: MouldSet) -> float:
    """What rims and edges of both platens lose by their films [W/K], and so the least that the model's press loses."""
    areas = press.bottom.area + press.top.area
    rim = press.rim_film.value * (areas - 2 * mould.area)
    edge = press.edge_film.value * mould.frame.perimeter * (press.bottom.thickness + press.top.thickness)
    return rim + edge


def hot_press(
    press: ShopHotPress, mould: MouldSet, *, room: float, set_point: float, platen_cells: int = PLATEN_CELLS
) -> HotPress:
    """The hot press with both platens soaked at `set_point` [°C]; a side without heaters starts at `room` [°C]."""
    extra = max(0.0, (press.heated_mass or 0.0) - press.bottom.mass - press.top.mass)
    film = back_film(press, mould).value

    def heater(power: float, plate: Plate) -> h.Controller | None:
        if power <= 0:
            return None
        return h.Controller(
            kind=press.control,
            set_point=set_point,
            power=power / plate.area,
            gain=press.gain.value,
            band=press.band,
        )

    def platen(power: float, plate: Plate) -> h.Layer:
        start = set_point if power > 0 else room
        return plate_layer(plate, mould, start, cells=platen_cells, extra_mass=extra / 2)

    back = h.Outside(kind="film", film=film, temperature=room)
    loose, wet = press.sheet_contact_loose.value, press.sheet_contact_wet.value
    closed = press.contact_closed.value
    return HotPress(
        lower=platen(press.power_bottom.value, press.bottom),
        upper=platen(press.power_top.value, press.top),
        heaters=(heater(press.power_bottom.value, press.bottom), heater(press.power_top.value, press.top)),
        backs=(back, back),
        platen_skin=(
            h.Joint(press.contact_open_bottom.value, closed),
            h.Joint(press.contact_open_top.value, closed),
        ),
        skin_charge=h.Joint(press.sheet_contact_open.value, loose, wet, wet),
        room=room,
        edge_film=press.edge_film.value,
        rim_film=press.rim_film.value,
        perimeter_per_area=mould.perimeter_per_area,
        close_after=press.close_after,
    )


def outside(
    film: Film, side: str, *, room: float, emissivity: float, length: float, fan: Value | None = None
) -> h.Outside:
    """What an outer face sees: a fan if there is one running, a film on file, water, or still air.

    `room` [°C]; `emissivity` 0 to 1 and `length`, area by perimeter [m], count in still air alone.
    """
    where = room if film.temperature is None else film.temperature
    if fan is not None:
        return h.Outside(kind="film", film=fan.value, temperature=room)
    if film.kind == "still_air" or film.film is None:
        return h.Outside.still_air(
            side="top" if side == "top" else "bottom", room=where, emissivity=emissivity, length=length
        )
    return h.Outside(kind="film", film=film.film.value, temperature=where)


def _outer_faces(
    place: CoolingPress | Stack | Rack, mould: MouldSet, *, room: float, fan: Value | None
) -> tuple[h.Outside, h.Outside]:
    """Both outer faces of a place; fans don't blow where water runs."""
    fan = None if watered(place) else fan
    emissivity, length = place.emissivity.value, mould.film_length
    return (
        outside(place.film_bottom, "bottom", room=room, emissivity=emissivity, length=length, fan=fan),
        outside(place.film_top, "top", room=room, emissivity=emissivity, length=length, fan=fan),
    )


def cold_press(
    press: CoolingPress,
    mould: MouldSet,
    *,
    room: float,
    fans: bool,
    plate_cells: int = PLATE_CELLS,
    plates: float | None = None,
) -> ColdPress:
    """The cooling press with its plates at a temperature [°C]; None: the room's."""
    start = room if plates is None else plates
    low, high = _outer_faces(press, mould, room=room, fan=press.fan_film if fans else None)
    return ColdPress(
        lower=plate_layer(press.bottom, mould, start, cells=plate_cells),
        upper=plate_layer(press.top, mould, start, cells=plate_cells),
        outer=(low, high),
        plate_skin=h.Joint.fixed(press.contact.value),
        skin_sheet=h.Joint.fixed(press.sheet_contact.value),
        room=room,
        edge_film=press.edge_film.value,
        rim_film=press.rim_film.value,
        perimeter_per_area=mould.perimeter_per_area,
    )


def stack_place(
    stack: Stack | CoolingPress | Rack, mould: MouldSet, *, room: float, fans: bool
) -> StackPlace:
    """Where moulds pile up at `room` [°C]: rollers, a plate, the plates of an unheated press, or (one mould) a rack."""
    if isinstance(stack, Rack):
        return StackPlace(
            outer=rack_faces(stack, mould, room=room),
            plate_skin=h.Joint.fixed(SKIN_TO_SKIN),
            skin_skin=h.Joint.fixed(SKIN_TO_SKIN),
            skin_sheet=h.Joint.fixed(SKIN_TO_SHEET),
            room=room,
            edge_film=stack.edge_film.value,
            perimeter_per_area=mould.perimeter_per_area,
        )
    low: Plate | None
    high: Plate | None
    if isinstance(stack, CoolingPress):
        low, high = stack.bottom, stack.top
        rim, between = stack.rim_film.value, SKIN_TO_SKIN
    else:
        low, high = stack.plates
        rim, between = 0.0, stack.contact.value
    return StackPlace(
        plates=(
            None if low is None else plate_layer(low, mould, room, cells=PLATE_CELLS),
            None if high is None else plate_layer(high, mould, room, cells=PLATE_CELLS),
        ),
        outer=_outer_faces(stack, mould, room=room, fan=stack.fan_film if fans else None),
        plate_skin=h.Joint.fixed(stack.contact.value),
        skin_skin=h.Joint.fixed(between),
        skin_sheet=h.Joint.fixed(stack.sheet_contact.value),
        room=room,
        edge_film=stack.edge_film.value,
        rim_film=rim,
        perimeter_per_area=mould.perimeter_per_area,
    )


#: skins of two moulds on each other in a press [W/m2K]; docs/heat.md, "Contacts", assumed, ×/÷ 3
SKIN_TO_SKIN = 300.0
#: skin and sheet in air, nothing pressing on them [W/m2K]; as above
SKIN_TO_SHEET = 500.0


def rack_faces(
    place: Rack | None, mould: MouldSet, *, room: float, emissivity: float = 0.8
) -> tuple[h.Outside, h.Outside]:
    """Both faces in the `room`'s air [°C], in a rack or on the way between presses; `emissivity` 0 to 1."""
    if place is None:
        return (
            h.Outside.still_air(side="bottom", room=room, emissivity=emissivity, length=mould.film_length),
            h.Outside.still_air(side="top", room=room, emissivity=emissivity, length=mould.film_length),
        )
    return _outer_faces(place, mould, room=room, fan=None)
