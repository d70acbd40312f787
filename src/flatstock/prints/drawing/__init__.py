"""Drawings of an answer as SVG, made once and used by paper and screen alike."""

from flatstock.prints.drawing.card import card_svg
from flatstock.prints.drawing.chart import charge_dwell_svg
from flatstock.prints.drawing.core import core_svg
from flatstock.prints.drawing.stack import stack_svg
from flatstock.prints.drawing.thickness import thickness_svg

__all__ = ["card_svg", "charge_dwell_svg", "core_svg", "stack_svg", "thickness_svg"]
