"""The picture of a press card: through the thickness above, core and face below, one time axis."""

from __future__ import annotations

from flatstock.pressing.pictures import ThicknessPicture
from flatstock.prints.drawing.core import draw_core
from flatstock.prints.drawing.in_units import thickness_in
from flatstock.prints.drawing.svg import Drawing
from flatstock.prints.drawing.thickness import describe_thickness, draw_thickness
from flatstock.prints.shown import METRIC, Shown

__all__ = ["card_svg"]

TOP = 38  # room for two rows of named moments


def card_svg(
    picture: ThicknessPicture, width: float = 760, height: float = 330, *, shown: Shown = METRIC
) -> str:
    """Both views of one charge as one SVG document, in the units that the shop reads."""
    said = describe_thickness(picture, shown)
    picture = thickness_in(picture, shown)
    drawing = Drawing(width, height, title=picture.title, description=said)
    upper = TOP + (height - TOP - 36) * 0.5
    draw_thickness(picture, drawing, shown, top=TOP, bottom=upper, feet=False, rows=2)
    draw_core(picture, drawing, shown, top=upper + 26, bottom=height - 36, named=False)
    return drawing.svg()
