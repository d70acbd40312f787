"""The picture of a press card: through the thickness above, core and face below, one time axis."""

from __future__ import annotations

from flatstock.pressing.pictures import ThicknessPicture
from flatstock.prints.drawing.core import draw_core
from flatstock.prints.drawing.svg import Drawing
from flatstock.prints.drawing.thickness import describe_thickness, draw_thickness

__all__ = ["card_svg"]


def card_svg(picture: ThicknessPicture, width: float = 760, height: float = 330) -> str:
    """Both views of one charge as one SVG document."""
    drawing = Drawing(width, height, title=picture.title, description=describe_thickness(picture))
    upper = 52 + (height - 52 - 36) * 0.46
    draw_thickness(picture, drawing, top=52, bottom=upper, feet=False)
    draw_core(picture, drawing, top=upper + 26, bottom=height - 36, named=False)
    return drawing.svg()
