"""Judging a plan from its document alone, in plain Python: nothing here knows the solver or the problem."""

from flatstock.planning.check.finding import Finding
from flatstock.planning.check.judging import judge
from flatstock.planning.check.rules import RULES

__all__ = ["RULES", "Finding", "judge"]
