"""Answers for a terminal: eighty columns, plain Unicode, clear without colour."""

from flatstock.prints.text.card import card_text
from flatstock.prints.text.correct import correct_text
from flatstock.prints.text.frame import frame_text
from flatstock.prints.text.outlay import outlay_text
from flatstock.prints.text.read import read_text
from flatstock.prints.text.room import room_text
from flatstock.prints.text.stack import stack_text
from flatstock.prints.text.supply import supply_text
from flatstock.prints.text.wallchart import wallchart_text
from flatstock.prints.text.why import why_text

__all__ = [
    "card_text",
    "correct_text",
    "frame_text",
    "outlay_text",
    "read_text",
    "room_text",
    "stack_text",
    "supply_text",
    "wallchart_text",
    "why_text",
]
