"""Which of a shop's frames do not give the sheet that it sells, in the plastics that it presses."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from flatstock.evidence import Value
from flatstock.plastics.library import library
from flatstock.plastics.model import Plastic
from flatstock.plastics.overrides import with_overrides
from flatstock.pressing.trimming import SLACK, Trimming, short_words
from flatstock.workshop.shop import Frame, Workshop

__all__ = ["ShortFrames", "pressed_here", "short_frames"]


@dataclass(frozen=True, slots=True)
class ShortFrames:
    """Frames of one cavity that leave too little, by the middle of a shrinkage's band."""

    frames: tuple[Frame, ...]
    plastics: tuple[Plastic, ...]  #: in which they do, the one that shrinks most first
    words: str


def pressed_here(shop: Workshop) -> list[Plastic]:
    """What the shop has an order, a released lot or a practice dwell of, as far as it is pressed at all."""
    known = with_overrides(library(), shop.plastic_overrides)  # light: `read` knows no heat model
    named = [
        *(order.plastic for order in shop.orders.values()),
        *(lot.plastic for lot in shop.lots.values() if lot.status == "released"),
        *(plastic for plastic, _ in shop.practice.dwell),
    ]
    found = (known.get(name.lower()) for name in dict.fromkeys(named))
    return [one for one in found if one is not None and one.never_pressed is None]


def short_frames(shop: Workshop) -> list[ShortFrames]:
    """Frames that do not give the size sold where a plastic of this shop shrinks as it usually does."""
    sizes: dict[tuple[float, float], list[Frame]] = {}
    for frame in shop.frames.values():
        sizes.setdefault((frame.cavity_length, frame.cavity_width), []).append(frame)
    plastics = sorted(pressed_here(shop), key=lambda one: -one.shrinkage.value)
    found = []
    for frames in sizes.values():
        tried = [(one, _in(shop, frames[0], one.shrinkage)) for one in plastics]
        short = [(one, trimming) for one, trimming in tried if _is_short(trimming)]
        if short:
            words = _words(frames, short)
            found.append(ShortFrames(tuple(frames), tuple(one for one, _ in short), words))
    return found


def _in(shop: Workshop, frame: Frame, shrinkage: Value) -> Trimming:
    return Trimming(frame=frame, practice=shop.practice, shrinkage=shrinkage)


def _is_short(trimming: Trimming) -> bool:
    return any(spare.value < -SLACK for _, spare in trimming.spares)


def _words(frames: Iterable[Frame], short: list[tuple[Plastic, Trimming]]) -> str:
    worst, trimming = short[0]
    names = ", ".join(frame.id for frame in frames)
    others = ", ".join(one.id.upper() for one, _ in short[1:])
    too = f" So it is with {others}." if others else ""
    return (
        f"{names} will hardly give {trimming.sold}. {worst.id.upper()}: {short_words(trimming)}; or sell a smaller"
        f" sheet, or cut less off.{too}"
    )
