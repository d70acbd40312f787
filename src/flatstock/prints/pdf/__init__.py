"""Answers on paper: one page each, tagged, the same bytes from the same document."""

from flatstock.prints.pdf.card import card_pdf
from flatstock.prints.pdf.stack import stack_pdf
from flatstock.prints.pdf.wallchart import wallchart_pdf

__all__ = ["card_pdf", "stack_pdf", "wallchart_pdf"]
