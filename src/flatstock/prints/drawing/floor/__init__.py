"""A room from above, to scale: the same maker for the screen and for paper."""

from flatstock.prints.drawing.floor.cutouts import cutout_svgs
from flatstock.prints.drawing.floor.sheet import describe_room, room_svg
from flatstock.prints.drawing.floor.supply_sheet import room_supply_svg
from flatstock.prints.drawing.floor.view import SCALES, View, scale_for

__all__ = ["SCALES", "View", "cutout_svgs", "describe_room", "room_supply_svg", "room_svg", "scale_for"]
