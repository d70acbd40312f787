"""Getting a machine through a door: upright, or tilted in the direction in which it travels.

Rigid box, height H, depth D in the direction of travel. Tilted by t its top is at H cos t + D sin t: it rises
before it falls, is back at H only at t = 2 atan(D / H), and standing it up again needs a ceiling of the diagonal
sqrt(H2 + D2). Closed forms of plane geometry; the maker's leave to tilt, oil drained, the centre of gravity and
riggers are nobody's formula.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import acos, atan2, cos, degrees, hypot, inf, radians, sin

from flatstock.starting.room.question import Door, Item, Room
from flatstock.starting.room.words import metres

__all__ = ["Passage", "diagonal", "passage", "tilt_back", "tilt_to_pass", "top_when_tilted"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Passage:
    """Whether a machine comes in by its door, and how."""

    passes: bool
    text: str  #: one sentence with its metres
    angle_deg: float | None = None  #: the tilt that it takes
    ceiling_mm: float | None = None  #: what standing it up again takes


def top_when_tilted(height: float, depth: float, angle_deg: float) -> float:
    """Height of the top of a box tilted by 0 to 90°, in the unit of `height`.

    >>> round(top_when_tilted(2.10, 1.30, 10), 3)
    2.294
    """
    return height * cos(radians(angle_deg)) + depth * sin(radians(angle_deg))


def tilt_back(height: float, depth: float) -> float:
    """The tilt beyond which the top is lower than upright [°].

    >>> round(tilt_back(2.10, 0.90), 2)
    46.4
    """
    return 2 * degrees(atan2(depth, height))


def tilt_to_pass(height: float, depth: float, clear: float) -> float | None:
    """The least tilt at which the top is no higher than `clear` [°]; None: not even lying.

    >>> round(tilt_to_pass(2.10, 1.30, 2.00), 2), round(tilt_to_pass(2.10, 0.90, 2.00), 2)
    (67.69, 52.11)
    """
    if height <= clear:
        return 0.0
    if depth > clear:
        return None
    return degrees(atan2(depth, height) + acos(clear / hypot(height, depth)))


def diagonal(height: float, depth: float) -> float:
    """The ceiling that standing a tilted box up takes, in the unit of `height`.

    >>> round(diagonal(2.10, 1.30), 3)
    2.47
    """
    return hypot(height, depth)


def passage(item: Item, room: Room) -> Passage | None:
    """How `item` comes in by the door its `move_in` names; None where nothing is asked or the door is unknown.

    Where it is tilted either side may go first: of the ways that pass, the one that leans least.
    """
    way = item.move_in
    door = next((d for d in room.doors if way is not None and d.id == way.door), None)
    if way is None or door is None:
        return None
    if way.how == "upright":
        return _upright(item, door)
    tried = [_tilted(item, door, room, across=across) for across in sorted((item.length_mm, item.width_mm))]
    return min(tried, key=lambda one: (not one.passes, inf if one.angle_deg is None else one.angle_deg))


def _upright(item: Item, door: Door) -> Passage:
    way = item.move_in
    assert way is not None
    needs = min(item.length_mm, item.width_mm) + way.clearance_mm
    wide, high = needs <= door.clear_width_mm, True
    text = f"{item.id} upright through {door.id} needs {metres(needs)} of {metres(door.clear_width_mm)} width"
    if item.height_mm is not None and door.clear_height_mm is not None:
        tall = item.height_mm + way.skate_mm
        high = tall <= door.clear_height_mm
        text += f" and {metres(tall)} of {metres(door.clear_height_mm)} height"
    return Passage(
        passes=wide and high, text=text + (": it passes" if wide and high else ": it does not pass")
    )


def _tilted(item: Item, door: Door, room: Room, *, across: int) -> Passage:
    """Tilted about the edge that lies across the direction of travel; `across` is the side between the jambs."""
    way = item.move_in
    assert way is not None
    along = item.length_mm + item.width_mm - across
    start = f"{item.id} tilted through {door.id}, {metres(along)} in the direction of travel,"
    if across + way.clearance_mm > door.clear_width_mm:
        needs = f"needs {metres(across + way.clearance_mm)} of {metres(door.clear_width_mm)} width"
        return Passage(passes=False, text=f"{start} {needs}: it does not pass")
    if item.height_mm is None or door.clear_height_mm is None:
        return Passage(passes=True, text=f"{start} passes in width; its height or the door's is not known")
    clear = door.clear_height_mm - way.skate_mm
    angle = tilt_to_pass(item.height_mm, along, clear)
    if angle is None:
        text = f"{start} is still {metres(along)} high when it lies, over {metres(clear)}: it does not pass"
        return Passage(passes=False, text=text)
    if not angle:
        tall = metres(item.height_mm)
        text = f"{item.id} need not be tilted through {door.id}: {tall} go under {metres(clear)} upright"
        return Passage(passes=True, text=text, angle_deg=0.0, ceiling_mm=float(item.height_mm))
    ceiling, back = diagonal(item.height_mm, along), tilt_back(item.height_mm, along)
    text = (
        f"{start} must lean {angle:.1f}° to go under {metres(clear)} (it rises to {metres(ceiling)} first and is under"
        f" its own height only beyond {back:.1f}°)"
    )
    if way.angle_max_deg is not None and angle > way.angle_max_deg:
        text = f"{text}, over the maker's {way.angle_max_deg:g}°: it does not pass"
        return Passage(passes=False, text=text, angle_deg=angle, ceiling_mm=ceiling)
    if room.height_mm is not None and ceiling > room.height_mm:
        text = f"{text}, and can't be stood up under {metres(room.height_mm)}: that takes {metres(ceiling)}"
        return Passage(passes=False, text=text, angle_deg=angle, ceiling_mm=ceiling)
    text = f"{text}; standing it up takes {metres(ceiling)} of height"
    return Passage(passes=True, text=text, angle_deg=angle, ceiling_mm=ceiling)
