"""Which frame to have made."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from flatstock.actions.workshops import open_workshop
from flatstock.pressing.frame_size import FrameQuestion, answer_frame
from flatstock.workshop.shop import Workshop

__all__ = ["FrameQuestion", "frame_size"]


def frame_size(shop: Path | Workshop, question: FrameQuestion) -> Mapping[str, Any]:
    """The frame for a sheet to be sold, as a `flatstock.frame/1`."""
    return answer_frame(open_workshop(shop), question)
