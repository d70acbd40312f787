"""A week's plan drawn: slabs on a shelf for the board, moulds passing from place to place for a day."""

from flatstock.prints.drawing.plan.day import day_svg, describe_day
from flatstock.prints.drawing.plan.week import describe_week, week_svg

__all__ = ["day_svg", "describe_day", "describe_week", "week_svg"]
