"""Look at a stack of moulds."""

from __future__ import annotations

from pathlib import Path

from flatstock.actions.workshops import open_workshop
from flatstock.pressing.questions import MouldWords, StackQuestion
from flatstock.pressing.stack import StackAnswer, answer_stack
from flatstock.workshop.shop import Workshop

__all__ = ["MouldWords", "StackAnswer", "StackQuestion", "look_at_stack"]


def look_at_stack(shop: Path | Workshop, question: StackQuestion) -> StackAnswer:
    """How hot each mould is at the moment asked for, when it may be opened, and what would be better."""
    return answer_stack(open_workshop(shop), question)
