"""The answer for a pile of hot moulds: how hot at the asked moment, when each may be opened, what else to do."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import cached_property

from flatstock.evidence import Value
from flatstock.plastics.safety import cautions_for
from flatstock.pressing.documents import Document, number, rounded, why
from flatstock.pressing.pictures import StackPicture
from flatstock.pressing.pile_up import Coming, Place, arrange, check_room, place_of
from flatstock.pressing.questions import StackQuestion
from flatstock.pressing.reasons import PLASTIC_WORDS, kinds_counted
from flatstock.pressing.stack_pictures import stack_picture
from flatstock.pressing.stack_ways import ways_out
from flatstock.pressing.stacking import Stacking
from flatstock.workshop.shop import Workshop

__all__ = ["StackAnswer", "answer_stack"]

TOPICS = ("hot", "opening", "stack", "lifting", "press")
COOL_TO_LET_GO = "re-heats above its release limit"


@dataclass(frozen=True, slots=True)
class StackAnswer:
    """The document and the picture that goes with it."""

    document: Document
    picture: StackPicture


@dataclass(frozen=True, eq=False, kw_only=True)
class _Pile:
    shop: Workshop
    question: StackQuestion
    place: Place
    coming: tuple[Coming, ...]

    @cached_property
    def start(self) -> datetime:
        return min(words.arrives for words in self.question.moulds)

    @cached_property
    def room(self) -> float:
        return self.shop.room.value if self.question.room is None else self.question.room

    @cached_property
    def stacking(self) -> Stacking:
        return Stacking(
            place=self.place,
            room=self.room,
            fans=bool(self.question.fans),
            coming=self.coming,
            asked=(self.question.at - self.start).total_seconds(),
        )

    def clock(self, seconds: float) -> str:
        """An instant, to the second."""
        return (self.start + timedelta(seconds=round(seconds))).isoformat()

    def instant(self, value: Value | None) -> Document | None:
        if value is None:
            return None
        return {
            "value": self.clock(value.value),
            "low": self.clock(value.low),
            "high": self.clock(value.high),
            "kind": value.kind,
            "source": value.source,
        }


def answer_stack(shop: Workshop, question: StackQuestion) -> StackAnswer:
    """How a stack cools. Raises `Refused` for moulds that must not be pressed or a stack its place can't take."""
    place = place_of(shop, question.place)
    coming = tuple(arrange(shop, question))
    check_room(place, coming)
    pile = _Pile(shop=shop, question=question, place=place, coming=coming)
    document = _document(pile)
    picture = stack_picture(pile.stacking, start=pile.start)
    return StackAnswer(document=document, picture=picture)


def _document(pile: _Pile) -> Document:
    stacking = pile.stacking
    moulds = [
        {
            "mould": one.name,
            "plastic": one.plastic,
            "thickness_mm": rounded(one.setting.thickness * 1e3),
            "arrives": pile.clock(one.time),
            "core_in_C": rounded(one.core),
            "core_at_C": number(stacking.hottest_at(i)),
            "peak_C": number(stacking.peak(i)),
            "reheat_K": rounded(stacking.run.reheat(i)),
            "remelts": stacking.remelts(i),
            "open_after": pile.instant(stacking.open_after(i)),
            "open_below_C": rounded(one.limit),
        }
        for i, one in enumerate(pile.coming)
    ]
    document: Document = {
        "format": "flatstock.stack/1",
        "shop": pile.shop.name,
        "place": pile.place.id,
        "fans_on": stacking.fans,
        "room_C": rounded(pile.room),
        "at": pile.question.at.isoformat(),
        "moulds": moulds,
        "hottest_C": number(stacking.hottest),
        "ready_at": pile.instant(stacking.ready),
        "instead": [_way(pile, what, other) for what, other in ways_out(pile.shop, stacking)],
        "energy_error": stacking.run.energy.closure,
        "warnings": _warnings(pile),
        "cautions": cautions_for(*TOPICS),
        "why": [_reason(stacking)],
    }
    document["rests_on"] = kinds_counted(document["why"])
    return document


def _way(pile: _Pile, what: str, others: Iterable[Stacking]) -> Document:
    """One alternative; several stacks side by side count as the worst of them, whose band is computed."""
    each = list(others)
    worst = max(each, key=lambda one: one.typical_hottest)
    slowest = max(each, key=lambda one: one.typical_ready)
    return {
        "what": what,
        "hottest_C": number(worst.hottest),
        "ready_at": pile.instant(slowest.ready),
        "remelts": any(one.any_remelts for one in each),
    }


def _warnings(pile: _Pile) -> list[str]:
    stacking, found = pile.stacking, list[str]()
    hot, asked = stacking.hottest, pile.question.at
    worst = max(range(len(pile.coming)), key=lambda i: stacking.run.hottest_at(i, stacking.asked))
    limit = pile.coming[worst].limit
    if hot.high > limit:
        ready = stacking.ready
        late = (
            "not within the time looked at" if ready is None else f"not before {_day_clock(pile, ready.high)}"
        )
        found.append(
            f"Not ready at {asked:%H:%M}: mould {pile.coming[worst].name} still has a core of about {hot.value:.0f} °C"
            f" ({hot.low:.0f} to {hot.high:.0f}), limit {limit:g} °C. All of them: {late}."
        )
    melts = [one.name for i, one in enumerate(pile.coming) if stacking.remelts(i)]
    if melts:
        found.append(
            f"Mould {', '.join(melts)} is heated back into its melting range by the moulds laid on it: expect warp,"
            " sink or sheets that stick."
        )
    warm = [
        one.name
        for i, one in enumerate(pile.coming)
        if one.name not in melts and stacking.run.reheat(i) > 1.0 and _reheated_to(stacking, i) > one.release
    ]
    if warm:
        found.append(f"Mould {', '.join(warm)} {COOL_TO_LET_GO} without pressure on it: it may warp.")
    areas = {round(one.mould_set.area, 4) for one in pile.coming}
    if len(areas) > 1:
        found.append(
            "The moulds differ in cavity area; the stack is computed as if all had that of the lowest."
        )
    found.append(
        "One-dimensional: the middle of the stack is as computed, its edges are cooler, which warps sheets."
    )
    return found


def _reheated_to(stacking: Stacking, mould: int) -> float:
    """Hottest point after the coldest moment before the largest rise [°C]."""
    hottest = stacking.run.hottest[mould]
    lowest, best, reached = hottest[0], 0.0, hottest[0]
    for value in hottest:
        lowest = min(lowest, value)
        if value - lowest > best:
            best, reached = value - lowest, value
    return float(reached)


def _day_clock(pile: _Pile, seconds: float) -> str:
    at = pile.start + timedelta(seconds=seconds)
    return f"{at:%H:%M}" if at.date() == pile.question.at.date() else f"{at:%a %H:%M}"


def _reason(stacking: Stacking) -> Document:
    words: Callable[[str], tuple[str, float, str]] = _input_words
    inputs = []
    for name, value in stacking.draws.inputs.items():
        said, factor, unit = words(name)
        inputs.append((said, value, factor, unit or value.unit))
    return why(
        "hottest_C",
        "one-dimensional heat balance of the whole pile, mould after mould, with re-melting and freezing",
        inputs,
        "docs/heat.md",
    )


def _input_words(name: str) -> tuple[str, float, str]:
    plastic, _, field = name.partition(": ")
    if field:
        said, factor, unit = PLASTIC_WORDS.get(field, (field, 1.0, ""))
        return f"{plastic.upper()}: {said}", factor, unit
    return name, 1.0, ""
