"""What a skill is called where people read it: the one place that has the words."""

from __future__ import annotations

__all__ = ["skill_words", "trained"]

_TRAINED = {"hot_transfer": "trained for hot transfers", "saw": "trained for the saw"}


def skill_words(skill: str) -> str:
    """What a skill is for, as a form offers it.

    >>> skill_words("hot_transfer")
    'hot transfers'
    """
    return trained(skill).removeprefix("trained for ")


def trained(skill: str) -> str:
    """Who has a skill.

    >>> trained("hot_transfer")
    'trained for hot transfers'
    """
    return _TRAINED.get(skill, f"trained for {skill.replace('_', ' ')}")
