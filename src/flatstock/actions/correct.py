"""Correct the next charge from a measured sheet."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from flatstock.actions.workshops import open_workshop
from flatstock.pressing.correct import answer_correct
from flatstock.pressing.questions import CorrectQuestion
from flatstock.workshop.shop import Workshop

__all__ = ["CorrectQuestion", "correct_charge"]


def correct_charge(shop: Path | Workshop, question: CorrectQuestion) -> Mapping[str, Any]:
    """The next charge, as a `flatstock.correct/1`."""
    return answer_correct(open_workshop(shop), question)
