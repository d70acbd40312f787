"""The answer for a pile of hot moulds: how hot at the asked moment, when each may be opened, what else to do."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from functools import cached_property

from flatstock.documents import Document, dated, number, rounded, why
from flatstock.evidence import Value
from flatstock.plastics.safety import cautions_on
from flatstock.pressing.asked import check_stack_question
from flatstock.pressing.pictures import StackPicture
from flatstock.pressing.pile_up import Coming, Place, arrange, check_room, place_of
from flatstock.pressing.questions import StackQuestion
from flatstock.pressing.reasons import input_words, kinds_counted
from flatstock.pressing.rig import NEW_FAN
from flatstock.pressing.stack_pictures import stack_picture
from flatstock.pressing.stack_ways import stand_apart, ways_out
from flatstock.pressing.stacking import Stacking
from flatstock.workshop.shop import Rack, Workshop, watered

__all__ = ["StackAnswer", "answer_stack"]


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
            place=self._place_with_fans,
            room=self.room,
            fans=self.fans,
            coming=self.coming,
            asked=(self.question.at - self.start).total_seconds(),
        )

    @property
    def fans(self) -> bool:
        return bool(self.question.fans) and not isinstance(self.place, Rack)

    @property
    def fans_lacking(self) -> bool:
        """Fans are asked for that are not on file: they count as usual ones, and a warning says so."""
        return bool(self.question.fans) and getattr(self.place, "fan_film", None) is None

    @property
    def _place_with_fans(self) -> Place:
        if isinstance(self.place, Rack) or not self.fans_lacking:
            return self.place
        return replace(self.place, fan_film=NEW_FAN)

    @cached_property
    def parts(self) -> tuple[Stacking, ...]:
        """The stack; on a rack each mould by itself."""
        return stand_apart(self.place, self.stacking) if isinstance(self.place, Rack) else (self.stacking,)

    @cached_property
    def each(self) -> list[tuple[Stacking, int]]:
        """Every mould: the stack that it is in, and which of its moulds it is."""
        return [(part, i) for part in self.parts for i in range(len(part.coming))]

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
    check_stack_question(question)
    place = place_of(shop, question.place)
    coming = tuple(arrange(shop, question))
    check_room(shop, place, coming)
    pile = _Pile(shop=shop, question=question, place=place, coming=coming)
    document = _document(pile)
    picture = stack_picture(pile.parts, start=pile.start)
    return StackAnswer(document=document, picture=picture)


def _document(pile: _Pile) -> Document:
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
            "remelts": len(stacking.coming) > 1 and stacking.remelts(i),
            "open_after": pile.instant(stacking.open_after(i)),
            "open_below_C": rounded(one.limit),
        }
        for one, (stacking, i) in zip(pile.coming, pile.each, strict=True)
    ]
    worst, slowest = _worst(pile.parts), _slowest(pile.parts)
    document: Document = {
        "format": "flatstock.stack/1",
        "shop": pile.shop.name,
        **dated(pile.question.made_at),
        "place": pile.place.id,
        "fans_on": pile.fans,
        "room_C": rounded(pile.room),
        "at": pile.question.at.isoformat(),
        "moulds": moulds,
        "hottest_C": number(worst.hottest),
        "ready_at": pile.instant(slowest.ready),
        "instead": [_way(pile, what, other) for what, other in ways_out(pile.shop, pile.stacking)],
        "energy_error": max(part.run.energy.closure for part in pile.parts),
        "warnings": _warnings(pile),
        "cautions": cautions_on("stack", *(("water_cooled",) if watered(pile.place) else ())),
        "why": [_reason(worst)],
    }
    document["rests_on"] = kinds_counted(document["why"])
    return document


def _way(pile: _Pile, what: str, others: Iterable[Stacking]) -> Document:
    """One alternative; several stacks side by side count as the worst of them, whose band is computed."""
    each = list(others)
    return {
        "what": what,
        "hottest_C": number(_worst(each).hottest),
        "ready_at": pile.instant(_slowest(each).ready),
        "remelts": any(one.any_remelts for one in each),
    }


def _worst(each: Iterable[Stacking]) -> Stacking:
    """The one that is hottest at the asked moment."""
    return max(each, key=lambda one: one.typical_hottest)


def _slowest(each: Iterable[Stacking]) -> Stacking:
    """The one whose last mould may be opened last."""
    return max(each, key=lambda one: one.typical_ready)


def _warnings(pile: _Pile) -> list[str]:
    found = list[str]()
    hot, asked = _worst(pile.parts).hottest, pile.question.at
    cores = [stacking.run.hottest_at(i, stacking.asked) for stacking, i in pile.each]
    worst = cores.index(max(cores))
    limit = pile.coming[worst].limit
    if hot.high > limit:
        ready = _slowest(pile.parts).ready
        late = (
            "not within the time looked at" if ready is None else f"not before {_day_clock(pile, ready.high)}"
        )
        found.append(
            f"Not ready at {asked:%H:%M}: mould {pile.coming[worst].name} still has a core of about {hot.value:.0f} °C"
            f" ({hot.low:.0f} to {hot.high:.0f}), limit {limit:g} °C. All of them: {late}."
        )
    each = list(zip(pile.coming, pile.each, strict=True))
    melts = [one.name for one, (stacking, i) in each if len(stacking.coming) > 1 and stacking.remelts(i)]
    if melts:
        found.append(
            f"Mould{_s(melts)} {', '.join(melts)} {_is(melts)} heated back into the melting range by the moulds laid"
            " on top: expect warp, sink or sheets that stick."
        )
    warm = [
        one.name
        for one, (stacking, i) in each
        if one.name not in melts and stacking.run.reheat(i) > 1.0 and _reheated_to(stacking, i) > one.release
    ]
    if warm:
        found.append(
            f"Mould{_s(warm)} {', '.join(warm)} {_is(warm)} heated above the release limit again, without pressure:"
            " the sheet may warp."
        )
    found += _assumed_cores(pile)
    if pile.fans_lacking:
        found.append(
            f"No fans are on file for {pile.place.id}: "
            + (
                "the moulds on it cool in still air."
                if isinstance(pile.place, Rack)
                else "the answer is for usual fans fitted to both outer faces, assumed."
            )
        )
    areas = {round(one.mould_set.area, 4) for one in pile.coming}
    if len(areas) > 1 and len(pile.parts) == 1:
        found.append(
            "The moulds differ in cavity area; the stack is computed as if all had that of the lowest."
        )
    found.append(
        "One-dimensional: the middle of the stack is as computed, its edges are cooler, which warps sheets."
    )
    return found


def _assumed_cores(pile: _Pile) -> list[str]:
    """Moulds whose core nobody said, each thickness of a plastic once."""
    kinds: dict[str, list[str]] = {}
    for one in pile.coming:
        if not one.core_said:
            sheet = f"{one.plastic.upper()} {one.setting.thickness * 1e3:g} mm at {one.core:.0f} °C"
            kinds.setdefault(sheet, []).append(one.name)
    if not kinds:
        return []
    listed = "; ".join(f"{', '.join(names)}: {sheet}" for sheet, names in kinds.items())
    return [
        "Nobody said how hot these cores arrive: each is taken to come straight from the hot press at its card's"
        f" advised dwell, hottest point {listed}. Measure one and say how hot its core is."
    ]


def _s(names: list[str]) -> str:
    return "" if len(names) == 1 else "s"


def _is(names: list[str]) -> str:
    return "is" if len(names) == 1 else "are"


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
    inputs = []
    for name, value in stacking.draws.inputs.items():
        said, factor, unit = input_words(name)
        inputs.append((said, value, factor, unit or value.unit))
    return why(
        "hottest_C",
        "one-dimensional heat balance of the whole pile, mould after mould, with re-melting and freezing",
        inputs,
        "docs/heat.md",
    )
