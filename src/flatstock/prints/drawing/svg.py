"""Writing SVG: lines, areas and words on a quiet ground, with a text alternative.

Everything can be told apart without colour: lines by width and dashes, areas by hatching.
Coordinates are in units of the drawing, x to the right, y down.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Literal
from xml.sax.saxutils import escape as _escape

__all__ = ["ACCENT", "FONT", "GRID", "INK", "QUIET", "RULE", "THIN", "Drawing", "Pen", "Point"]

Point = tuple[float, float]
FONT = "Inter, Arial, sans-serif"
BLACK, GREY, HEAT = "#111111", "#6b6b6b", "#a83a00"


@dataclass(frozen=True, slots=True)
class Pen:
    """How a line is drawn."""

    colour: str = BLACK
    width: float = 1.5
    dashes: str = ""  #: "6 3": six drawn, three left out

    def dashed(self, dashes: str) -> Pen:
        """The same pen with another dash pattern."""
        return replace(self, dashes=dashes)


INK = Pen(width=1.6)  # curves and boundaries
RULE = Pen(width=2.6)  # heavy rules: axes, floor, platens
THIN = Pen(width=0.9)
GRID = Pen(colour="#d5d5d5", width=0.8)
QUIET = Pen(colour=GREY, width=1.0)
ACCENT = Pen(colour=HEAT, width=1.8)  # heat, and nothing else

_PATTERNS = f"""<defs>
<pattern id="solid" width="7" height="7" patternUnits="userSpaceOnUse">
<rect width="7" height="7" fill="#ffffff"/>
<path d="M-1 8L8 -1M-1 1L1 -1M6 8L8 6" stroke="{GREY}" stroke-width="1" fill="none"/></pattern>
<pattern id="melting" width="6" height="6" patternUnits="userSpaceOnUse">
<rect width="6" height="6" fill="#ffffff"/><circle cx="1.5" cy="1.5" r="0.9" fill="{HEAT}"/>
<circle cx="4.5" cy="4.5" r="0.9" fill="{HEAT}"/></pattern>
<pattern id="work" width="9" height="9" patternUnits="userSpaceOnUse">
<path d="M-1 10L10 -1M-1 1L1 -1M8 10L10 8" stroke="{GREY}" stroke-width="0.5" fill="none"/></pattern>
<pattern id="service" width="8" height="8" patternUnits="userSpaceOnUse">
<circle cx="2" cy="2" r="0.7" fill="{GREY}"/><circle cx="6" cy="6" r="0.7" fill="{GREY}"/></pattern>
<pattern id="swing" width="10" height="10" patternUnits="userSpaceOnUse">
<path d="M0 5H10M5 0V10" stroke="{GREY}" stroke-width="0.4" fill="none"/></pattern>
</defs>"""
_HATCHES = ("solid", "melting", "work", "service", "swing")


class Drawing:
    """One drawing; ask for `svg` when everything is on it."""

    def __init__(self, width: float, height: float, *, title: str, description: str) -> None:
        self.width, self.height = width, height
        self.title, self.description = title, description
        self._parts: list[str] = []

    def line(self, start: Point, end: Point, pen: Pen = INK) -> None:
        """A straight line."""
        self.curve([start, end], pen)

    def curve(self, points: Iterable[Point], pen: Pen = INK, *, closed: bool = False) -> None:
        """A line through points."""
        self._parts.append(f'<path d="{_path(points, closed)}" fill="none" {_stroke(pen)}/>')

    def area(self, points: Iterable[Point], fill: str, pen: Pen | None = None) -> None:
        """A closed area; `fill` is a colour or a hatching: "solid", "melting", "work", "service", "swing"."""
        self.areas([points], fill, pen)

    def areas(self, outlines: Iterable[Iterable[Point]], fill: str, pen: Pen | None = None) -> None:
        """Several closed areas painted as one, so that no seam shows between neighbours."""
        paint = f"url(#{fill})" if fill in _HATCHES else fill
        stroke = _stroke(pen) if pen else 'stroke="none"'
        path = "".join(_path(points, True) for points in outlines)
        if path:
            self._parts.append(f'<path d="{path}" fill="{paint}" {stroke}/>')

    def box(self, x: float, y: float, width: float, height: float, fill: str, pen: Pen | None = None) -> None:
        """An upright rectangle from its upper left corner."""
        self.area([(x, y), (x + width, y), (x + width, y + height), (x, y + height)], fill, pen)

    def words(
        self,
        at: Point,
        text: str,
        *,
        size: float = 13,
        anchor: Literal["start", "middle", "end"] = "start",
        bold: bool = False,
        colour: str = BLACK,
        ground: bool = False,
    ) -> None:
        """A line of words standing on `at`; `ground` puts white behind them."""
        x, y = at
        if ground:
            wide = text_width(text, size, bold) + 4
            left = x - 2 - {"start": 0.0, "middle": (wide - 4) / 2, "end": wide - 4}[anchor]
            self.box(left, y - size * 0.84, wide, size * 1.08, "#ffffff")
        weight = ' font-weight="600"' if bold else ""
        self._parts.append(
            f'<text x="{_n(x)}" y="{_n(y)}" font-size="{_n(size)}" text-anchor="{anchor}"'
            f' fill="{colour}"{weight}>{escape(text)}</text>'
        )

    def svg(self) -> str:
        """The whole drawing as an SVG document."""
        size = f"{_n(self.width)} {_n(self.height)}"
        head = (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {size}" width="{_n(self.width)}"'
            f' height="{_n(self.height)}" role="img" font-family="{FONT}">'
            f"<title>{escape(self.title)}</title><desc>{escape(self.description)}</desc>"
        )
        return "\n".join([head, _PATTERNS, *self._parts, "</svg>"])


def text_width(text: str, size: float, bold: bool = False) -> float:
    """About how wide words come out; 0.6 of the size a letter, digits being wider than most."""
    return len(text) * size * (0.65 if bold else 0.6)


def escape(text: str) -> str:
    """Words as XML can hold them: control characters, which it cannot, become question marks."""
    return _escape("".join(letter if letter >= " " else "?" for letter in text))


def _n(value: float) -> str:
    return f"{value:.2f}".rstrip("0").rstrip(".")


def _path(points: Iterable[Point], closed: bool) -> str:
    return "M" + "L".join(f"{_n(x)} {_n(y)}" for x, y in points) + ("Z" if closed else "")


def _stroke(pen: Pen) -> str:
    dashes = f' stroke-dasharray="{pen.dashes}"' if pen.dashes else ""
    return f'stroke="{pen.colour}" stroke-width="{_n(pen.width)}" stroke-linejoin="round"{dashes}'
