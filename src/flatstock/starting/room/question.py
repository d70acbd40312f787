"""A room and what has to stand in it: the question, and where a thing and its zones lie once it is placed.

Lengths are whole millimetres, as in `flatstock.room/1`, whose field names the attributes keep. An item lies in
its own frame with the lower left corner at the origin, `length_mm` along x, its front towards -y; it is turned
counter-clockwise in quarters and then shifted, so that the lower left corner of its box is at the placement.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Literal, get_args

from flatstock.starting.room.rectangles import Rect

__all__ = [
    "SIDES",
    "TURNS",
    "Apart",
    "Column",
    "Door",
    "Flow",
    "InLine",
    "Item",
    "Low",
    "MoveIn",
    "Near",
    "Placement",
    "Question",
    "Room",
    "Rules",
    "Side",
    "SupplyPoint",
    "Trolley",
    "Zone",
    "ZoneKind",
    "facing",
    "split_zone",
]

Side = Literal["front", "right", "back", "left"]
SIDES: tuple[Side, ...] = get_args(
    Side
)  #: counter-clockwise, from the lower edge of an item that is not turned
TURNS = (0, 90, 180, 270)
ZoneKind = Literal["work", "service", "swing"]
_OUTWARD = ((0, -1), (1, 0), (0, 1), (-1, 0))  # of front, right, back, left


@dataclass(frozen=True, slots=True, kw_only=True)
class Placement:
    """Where an item stands: the lower left corner of its box as placed, and its turn counter-clockwise."""

    x_mm: int
    y_mm: int
    turned_deg: int = 0  #: 0, 90, 180 or 270


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """Anything fixed and solid."""

    id: str
    box: Rect


@dataclass(frozen=True, slots=True, kw_only=True)
class Low:
    """A beam or anything else that hangs from the ceiling."""

    id: str
    box: Rect
    height_mm: int  #: clear below it


@dataclass(frozen=True, slots=True, kw_only=True)
class Door:
    """A piece of a wall that opens."""

    id: str
    x1_mm: int
    y1_mm: int
    x2_mm: int
    y2_mm: int
    clear_width_mm: int
    clear_height_mm: int | None = None  #: None: not known
    exit: bool = False
    goods: bool = False
    opens: Literal["out", "in", "in_double", "slides"] = "out"


@dataclass(frozen=True, slots=True, kw_only=True)
class SupplyPoint:
    """Where power, extract, air or water comes in."""

    id: str
    kind: Literal["power", "extract", "air", "water"]
    x_mm: int
    y_mm: int


@dataclass(frozen=True, kw_only=True)
class Room:
    """The room as measured."""

    outline_mm: tuple[tuple[int, int], ...]  #: corners in turn, counter-clockwise, walls parallel to an axis
    #: the same corners in the turn in which somebody wrote them
    written_mm: tuple[tuple[int, int], ...] | None = None
    height_mm: int | None = None
    low: tuple[Low, ...] = ()
    floor_kN_m2: float | None = None  #: None: not known
    columns: tuple[Column, ...] = ()
    doors: tuple[Door, ...] = ()
    supply_points: tuple[SupplyPoint, ...] = ()

    @cached_property
    def bounds(self) -> Rect:
        """The smallest rectangle around it."""
        xs, ys = [x for x, _ in self.outline_mm], [y for _, y in self.outline_mm]
        return Rect(min(xs), min(ys), max(xs) - min(xs), max(ys) - min(ys))


@dataclass(frozen=True, slots=True, kw_only=True)
class Trolley:
    """The sheet trolley with its load."""

    length_mm: int
    width_mm: int
    clearance_mm: int = 0  #: on each side
    door_clearance_mm: int = 0  #: both sides together
    moves: Literal["any", "along"] = "any"


@dataclass(frozen=True, slots=True, kw_only=True)
class Rules:
    """Widths and lengths of ways; the defaults are those of `flatstock.room/1`."""

    escape_width_mm: int = 900
    escape_longest_mm: int | None = None
    access_width_mm: int = 600
    service_width_mm: int = 500
    narrow_longest_mm: int = 3000
    door_clear_mm: int = 900
    trolley: Trolley | None = None
    sources: Mapping[str, str] = field(default_factory=dict)  #: rule: where its number comes from


@dataclass(frozen=True, slots=True, kw_only=True)
class MoveIn:
    """How a machine comes into the room."""

    door: str
    how: Literal["upright", "tilted"] = "upright"
    skate_mm: int = 0
    clearance_mm: int = 50
    angle_max_deg: float | None = None  #: None: the maker has named no limit


@dataclass(frozen=True, slots=True, kw_only=True)
class Zone:
    """Floor beside an item that must stay free, along one of its own sides."""

    id: str
    kind: ZoneKind
    side: Side
    depth_mm: int  #: outward
    from_mm: int = 0  #: along +x on front and back, along +y on left and right, of the item not turned
    to_mm: int | None = None  #: None: to the end of the side
    exclusive: bool = False
    trolley: bool = False
    people: int = 1
    allow: tuple[str, ...] = ()  #: items and columns that may stand in it

    @property
    def standing(self) -> bool:
        """True where people stand in it, and so need a way out."""
        return self.kind != "swing"


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """One thing to place, in its own frame."""

    id: str
    kind: str  #: its class: "hot_press"
    length_mm: int  #: along its front
    width_mm: int
    height_mm: int | None = None
    head_room_mm: int = 0  #: over its height
    mass_kg: float | None = None
    combustible: bool = False
    hot_gap_mm: int = 0  #: to anything combustible
    optional: bool = False
    may_turn_deg: tuple[int, ...] = TURNS
    move_in: MoveIn | None = None
    zones: tuple[Zone, ...] = ()
    placed: Placement | None = None  #: where the question already says it stands
    #: there somebody only wants to try it: it is still outside, and stands by the rules of a plan
    tried: bool = False
    assumed: tuple[str, ...] = ()  #: fields that its class filled in, not the user

    @property
    def there(self) -> bool:
        """True where it stands in the room already, wherever that is."""
        return self.placed is not None and not self.tried

    def size(self, turned_deg: int) -> tuple[int, int]:
        """Length along x and width along y as placed [mm]."""
        return (self.length_mm, self.width_mm) if turned_deg % 180 == 0 else (self.width_mm, self.length_mm)

    def footprint(self, at: Placement) -> Rect:
        """Its box as placed."""
        return Rect(at.x_mm, at.y_mm, *self.size(at.turned_deg))

    def zone(self, name: str) -> Zone:
        """Its zone of that name. Raises KeyError."""
        for zone in self.zones:
            if zone.id == name:
                return zone
        raise KeyError(name)

    def zone_offset(self, zone: Zone, turned_deg: int) -> Rect:
        """The zone's rectangle relative to the lower left corner of the box as turned.

        >>> press = Item(id="P", kind="hot_press", length_mm=1700, width_mm=1300)
        >>> load = Zone(id="load", kind="work", side="front", depth_mm=1200)
        >>> press.zone_offset(load, 90)
        Rect(x_mm=1300, y_mm=0, length_mm=1200, width_mm=1700)
        """
        return _turned(self._own_zone(zone), self.length_mm, self.width_mm, turned_deg)

    def zone_as_placed(self, zone: Zone, at: Placement) -> Rect:
        """The zone's rectangle as placed."""
        own = self.zone_offset(zone, at.turned_deg)
        return Rect(at.x_mm + own.x_mm, at.y_mm + own.y_mm, own.length_mm, own.width_mm)

    def side_length(self, side: Side) -> int:
        """How long one of its sides is [mm]."""
        return self.length_mm if side in ("front", "back") else self.width_mm

    def _own_zone(self, zone: Zone) -> Rect:
        first = zone.from_mm
        along = (self.side_length(zone.side) if zone.to_mm is None else zone.to_mm) - first
        if zone.side == "front":
            return Rect(first, -zone.depth_mm, along, zone.depth_mm)
        if zone.side == "back":
            return Rect(first, self.width_mm, along, zone.depth_mm)
        x = -zone.depth_mm if zone.side == "left" else self.length_mm
        return Rect(x, first, zone.depth_mm, along)


@dataclass(frozen=True, slots=True, kw_only=True)
class Near:
    """Two things not too far apart: `gap` between boxes in a straight line, `walk` between zone centres."""

    a: str
    b: str
    how: Literal["gap", "walk"]
    longest_mm: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Apart:
    """Two boxes not too near, in a straight line."""

    a: str
    b: str
    shortest_mm: int


@dataclass(frozen=True, slots=True, kw_only=True)
class InLine:
    """Two items whose sides face each other over a gap, centre lines together, a table between."""

    a: str
    b: str
    side_a: Side
    side_b: Side
    gap_min_mm: int
    gap_max_mm: int
    offset_max_mm: int
    via: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Flow:
    """Walks a day between two zones."""

    start: str  #: ITEM.zone, `from` in files
    to: str
    trips_per_day: float
    by: Literal["person", "trolley"] = "person"
    mass_kg: float | None = None


@dataclass(frozen=True, kw_only=True)
class Question:
    """The whole question; what is placed already stands in `Item.placed`."""

    shop: str
    room: Room
    rules: Rules
    items: tuple[Item, ...]
    grid_mm: int = 100
    near: tuple[Near, ...] = ()
    apart: tuple[Apart, ...] = ()
    in_line: tuple[InLine, ...] = ()
    flows: tuple[Flow, ...] = ()

    @cached_property
    def by_id(self) -> Mapping[str, Item]:
        """Items by their id."""
        return {item.id: item for item in self.items}

    def zone_of(self, name: str) -> tuple[Item, Zone]:
        """The item and zone that "ITEM.zone" names. Raises KeyError."""
        item, zone = split_zone(name)
        return self.by_id[item], self.by_id[item].zone(zone)


def split_zone(name: str) -> tuple[str, str]:
    """Item and zone of "ITEM.zone"; the zone is "" where an item alone is named.

    >>> split_zone("HOT.load"), split_zone("HOT")
    (('HOT', 'load'), ('HOT', ''))
    """
    item, dot, zone = name.rpartition(".")
    return (item, zone) if dot else (name, "")


def facing(side: Side, turned_deg: int) -> tuple[int, int]:
    """The direction outward from a side of an item as turned.

    >>> facing("front", 0), facing("front", 90)
    ((0, -1), (1, 0))
    """
    return _OUTWARD[(SIDES.index(side) + turned_deg // 90) % 4]


def _turned(own: Rect, length_mm: int, width_mm: int, turned_deg: int) -> Rect:
    """A rectangle of an item's own frame after the item's box has been turned and put back to the origin."""
    if turned_deg == 0:
        return own
    if turned_deg == 90:
        return Rect(width_mm - own.top_mm, own.x_mm, own.width_mm, own.length_mm)
    if turned_deg == 180:
        return Rect(length_mm - own.right_mm, width_mm - own.top_mm, own.length_mm, own.width_mm)
    return Rect(own.y_mm, length_mm - own.right_mm, own.width_mm, own.length_mm)
