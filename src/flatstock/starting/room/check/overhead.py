"""What nobody has measured yet of the height over a press, or over a thing that something hangs low above."""

from __future__ import annotations

from collections.abc import Iterator

from flatstock.starting.room.plan import Caveat
from flatstock.starting.room.question import Item, Placement, Question
from flatstock.starting.room.rectangles import overlap
from flatstock.starting.room.words import metres

__all__ = ["overhead"]

PRESSES = ("hot_press", "cooling_press")
OPENS_MM = 500  # over a press: less is worth measuring; common practice, no source
DECIDES = "its maker and whoever lifts it in decide"


def overhead(question: Question, item: Item, at: Placement) -> Iterator[Caveat]:
    """Heights that are not on file where they may decide: machine open and raising eye under what is over it."""
    hangs = [low for low in question.room.low if overlap(item.footprint(at), low.box)]
    lowest = min(hangs, key=lambda low: low.height_mm, default=None)
    clear, where = question.room.height_mm, "the ceiling"
    if lowest is not None and (clear is None or lowest.height_mm < clear):
        clear, where = lowest.height_mm, lowest.id
    press = item.kind in PRESSES
    if item.height_mm is None and (lowest is not None or (press and clear is not None)):
        text = f"how high {item.id} is is not on file, and {metres(clear or 0)} are clear under {where}"
        yield Caveat("height", item.id, f"{text}: measure it as it stands working, open, and write height_mm")
    elif press and item.height_mm is not None and clear is None:
        text = f"how high the room is is not on file, so that nobody asked whether {item.id} stands and opens in it"
        yield Caveat("height", item.id, f"{text}: measure from floor to ceiling and write height_mm")
    elif press and item.height_mm is not None and clear is not None and not item.head_room_mm:
        if clear - item.height_mm >= OPENS_MM:
            return
        text = (
            f"{item.id} is {metres(item.height_mm)} high and {metres(clear)} are clear under {where}; what it needs"
            " over it when it opens, and its lifting eye, is not on file"
        )
        yield Caveat("head_room", item.id, f"{text}: measure both and write head_room_mm; {DECIDES}")
