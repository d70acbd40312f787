"""What a skill is called where people read it: the one place that has the words."""

from __future__ import annotations

__all__ = ["trained"]

_TRAINED = {"hot_transfer": "trained for hot transfers", "saw": "trained for the saw"}


def trained(skill: str) -> str:
    """Who has a skill.

    >>> trained("hot_transfer")
    'trained for hot transfers'
    """
    return _TRAINED.get(skill, f"trained for {skill.replace('_', ' ')}")
