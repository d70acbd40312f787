"""A week's plan on paper: board, time chart, day sheets, weigh list, hand-over, emergency card."""

from flatstock.prints.pdf.plan.papers import plan_pdfs

__all__ = ["plan_pdfs"]
