"""What could be done instead of this stack: fans, two stacks, cooling under pressure first, a rack, fewer moulds."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise

from flatstock.heat.pile import Until
from flatstock.heat.press import Mould
from flatstock.pressing.pile_up import Coming, Place
from flatstock.pressing.rig import NEW_FAN, cold_press
from flatstock.pressing.stacking import Stacking
from flatstock.workshop.shop import CoolingPress, Rack, Workshop

__all__ = ["stand_apart", "ways_out"]


def ways_out(shop: Workshop, stacking: Stacking) -> Iterator[tuple[str, tuple[Stacking, ...]]]:
    """Each alternative in words and as stacks, those that change least first."""
    place = stacking.place
    if not stacking.fans and not isinstance(place, Rack):
        if place.fan_film is not None:
            yield "the fans on", (replace(stacking, fans=True),)
        else:
            yield "fans fitted", (replace(stacking, fans=True, place=replace(place, fan_film=NEW_FAN)),)
    if len(stacking.coming) > 1 and not isinstance(place, Rack):
        cut = _even_cut(stacking)
        halves = tuple(
            replace(stacking, coming=part) for part in (stacking.coming[:cut], stacking.coming[cut:])
        )
        yield f"two stacks, {cut} and {len(stacking.coming) - cut}", halves
    press = shop.cooling_presses.get(shop.default_cooling_press or "") or next(
        iter(shop.cooling_presses.values()), None
    )
    if press is not None and _one_after_the_other(stacking):
        fans = press.fan_film is not None
        pressed = _pressed_first(press, stacking, fans=fans)
        if not isinstance(place, Rack):
            yield (
                f"press-cooled{' with fans' if fans else ''} first, then stacked",
                (replace(stacking, coming=pressed, place=_stack_of(shop, stacking)),),
            )
        if shop.racks:
            rack = next(iter(shop.racks.values()))
            apart = stand_apart(rack, replace(stacking, coming=pressed))
            if _most_at_once(apart) <= rack.moulds_max:
                yield f"press-cooled first, then on rack {rack.id}", apart
    elif shop.racks and not isinstance(place, Rack):
        rack = next(iter(shop.racks.values()))
        apart = stand_apart(rack, stacking)
        if _most_at_once(apart) <= rack.moulds_max:
            yield f"apart on rack {rack.id}", apart
    fewer = None if isinstance(place, Rack) else _fewer(stacking)
    if fewer is not None:
        count = len(fewer.coming)
        yield f"only the first {count} mould{'' if count == 1 else 's'}", (fewer,)


def _one_after_the_other(stacking: Stacking) -> bool:
    """Whether there are several moulds and each has the cooling press to itself for a while."""
    times = [one.time for one in stacking.coming]
    return len(times) > 1 and all(late > early for early, late in pairwise(times))


def _most_at_once(apart: Sequence[Stacking]) -> int:
    """How many places of a rack are taken when most are, each until its mould may be opened."""
    stays = [(one.coming[0].time, one.typical_ready) for one in apart]
    return max(sum(start <= now < end for start, end in stays) for now, _ in stays)


def _even_cut(stacking: Stacking) -> int:
    """Where two stacks of the same order hold most nearly the same mass of plastic."""
    masses = [float(one.mould.plastic.capacity.sum()) for one in stacking.coming]
    whole = sum(masses)
    return min(range(1, len(masses)), key=lambda k: abs(2 * sum(masses[:k]) - whole))


def _stack_of(shop: Workshop, stacking: Stacking) -> Place:
    """Where moulds go after the cooling press: the stack asked about, or the shop's if that was the press."""
    if isinstance(stacking.place, CoolingPress) and shop.stacks:
        return shop.stacks.get(shop.default_stack or "") or next(iter(shop.stacks.values()))
    return stacking.place


def _pressed_first(press: CoolingPress, stacking: Stacking, *, fans: bool) -> tuple[Coming, ...]:
    """Each mould goes through the cooling press until it may be released, or the next mould comes."""
    column = cold_press(press, stacking.coming[0].mould_set, room=stacking.room, fans=fans)
    found: list[Coming] = []
    for index, one in enumerate(stacking.coming):
        more = index + 1 < len(stacking.coming)
        gap = stacking.coming[index + 1].time - one.time if more else 4 * 3600.0
        column, mould, outcome = column.hold(
            one.mould, duration=gap, until=Until(kind="hottest_below", level=one.release), tolerance=0.05
        )
        found.append(one.later(outcome.time, Mould(mould.lower, mould.plastic, mould.upper)))
        column = column.stand_empty(gap - outcome.time, tolerance=0.05)
    return tuple(found)


def stand_apart(rack: Rack, stacking: Stacking) -> tuple[Stacking, ...]:
    """Every mould by itself, air on both faces."""
    return tuple(replace(stacking, place=rack, fans=False, coming=(one,)) for one in stacking.coming)


def _fewer(stacking: Stacking) -> Stacking | None:
    """The most of the first moulds that are all ready at the asked moment; None: all, or none, are."""
    for count in range(len(stacking.coming), 0, -1):
        part = replace(stacking, coming=stacking.coming[:count])
        late = [part.run.hottest_at(i, stacking.asked) - one.limit for i, one in enumerate(part.coming)]
        if max(late) <= 0:
            return None if count == len(stacking.coming) else part
    return None
