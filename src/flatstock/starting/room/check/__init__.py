"""Judges a plan of a room in plain geometry, rule by rule; it knows nothing of how plans are found."""

from flatstock.starting.room.check.as_asked import sameness
from flatstock.starting.room.check.as_told import truth
from flatstock.starting.room.check.deciding import caveats
from flatstock.starting.room.check.judging import Judgement, judge

__all__ = ["Judgement", "caveats", "judge", "sameness", "truth"]
