"""Answers on paper and as drawings: one-page PDFs, SVG, and compact drawings in text."""
