"""Judges a plan of a room in plain geometry, rule by rule; it knows nothing of how plans are found."""

from flatstock.starting.room.check.judge import Judgement, judge

__all__ = ["Judgement", "judge"]
