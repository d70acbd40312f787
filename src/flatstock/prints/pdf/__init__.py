"""Answers on paper: a page or two each, tagged, the same bytes from the same document."""

from flatstock.prints.pdf.card import card_pdf
from flatstock.prints.pdf.outlay import outlay_pdf
from flatstock.prints.pdf.stack import stack_pdf
from flatstock.prints.pdf.supply import supply_pdf
from flatstock.prints.pdf.wallchart import wallchart_pdf

__all__ = ["card_pdf", "outlay_pdf", "stack_pdf", "supply_pdf", "wallchart_pdf"]
