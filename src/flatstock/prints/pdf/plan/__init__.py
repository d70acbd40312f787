"""A week's plan on paper: board, time chart, day sheets, weigh list, hand-over, emergency card."""

from flatstock.prints.pdf.plan.papers import emergency_pdf, paper_names, plan_pdf, plan_pdfs

__all__ = ["emergency_pdf", "paper_names", "plan_pdf", "plan_pdfs"]
