"""A press with failed elements, at once: dwells that grow as the heat model said beforehand that they would."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from math import ceil, floor
from typing import TYPE_CHECKING

from flatstock.errors import Refused
from flatstock.evidence import Value
from flatstock.planning.problem.week import Dwell, Kind
from flatstock.pressing.questions import CardQuestion
from flatstock.workshop.shop import HotPress, Workshop
from flatstock.workshop.today import Outage

if TYPE_CHECKING:
    from flatstock.pressing.heating import Heating

__all__ = ["BOTH", "PressesSlowed", "scaled", "weaker", "worked_out"]

BOTH = "both"  #: of a press's sides, which lose the same share
SIDES = (BOTH, "bottom", "top")
#: shares of a press's power that are tried beforehand: what one to four of twelve elements have, and half of them
SHARES = (1 / 12, 1 / 6, 1 / 4, 1 / 3, 1 / 2)

#: by side that lost it: the share lost, how many times as long a melt-through takes, and the face bears it
Slowed = Mapping[str, Sequence[tuple[float, float, float]]]
PressesSlowed = Mapping[str, Slowed]


def weaker(press: HotPress, share: float, side: str) -> HotPress:
    """The press without so much of its power (0 to 1), which both sides lose alike, or the `bottom` or the `top`."""
    power = press.power_bottom.value + press.power_top.value
    shares = {"bottom": (1.0, 0.0), "top": (0.0, 1.0)}.get(
        side, (press.power_bottom.value / power, press.power_top.value / power)
    )
    bottom, top = (
        _times(value, 1.0 - power * share * part / value.value) if value.value > 0 else value
        for value, part in zip((press.power_bottom, press.power_top), shares, strict=True)
    )
    return replace(press, power_bottom=bottom, power_top=top)


def _times(value: Value, factor: float) -> Value:
    return value.mapped(lambda power: power * max(0.0, factor), unit=value.unit)


def worked_out(
    shop: Workshop, kinds: Mapping[tuple[object, ...], Kind]
) -> dict[tuple[object, ...], PressesSlowed]:
    """By recipe and press, what kinds of sheet take with `SHARES` of the press's power lost, up to the first with which
    they never melt through. Under a tenth of a second for each, with the heat model at hand; presses that differ in
    their numbers alone are worked out once.

    `shop`: with its lots as dry as they are pressed."""
    return {recipe: _on_each_press(shop, kind) for recipe, kind in kinds.items()}


def _on_each_press(shop: Workshop, kind: Kind) -> PressesSlowed:
    machines, found = shop.hot_presses, dict[str, Slowed]()
    for press in kind.dwell:
        alike = next((one for one in found if replace(machines[one], id=press) == machines[press]), None)
        found[press] = _slowed(shop, kind, press) if alike is None else found[alike]
    return found


def _slowed(shop: Workshop, kind: Kind, press: str) -> Slowed:
    try:
        whole = _heating(shop, kind, press)
    except Refused:
        return dict.fromkeys(SIDES, ())
    return {side: tuple(_on_one_side(shop, kind, press, side, whole)) for side in SIDES}


def _on_one_side(
    shop: Workshop, kind: Kind, press: str, side: str, whole: Heating
) -> Iterator[tuple[float, float, float]]:
    for share in SHARES:
        presses = dict(shop.hot_presses) | {press: weaker(shop.hot_presses[press], share, side)}
        try:
            less = _heating(replace(shop, hot_presses=presses), kind, press)
            slower, longer = _times_as_long(less, whole)
        except Refused:
            return
        yield share, slower, longer


def scaled(
    kind: Kind,
    outages: Sequence[Outage],
    known: PressesSlowed,
    *,
    now: Workshop,
    before: Workshop,
) -> Kind:
    """The kind of sheet with the dwells that presses with failed elements need `now`, both shops' lots being dried.

    Least and planned dwell grow as the middle of the time to melt-through does, the latest as the middle of the time
    that the face bears. A planned dwell that a whole card would shorten stays on the long side.

    Parameters
    ----------
    known
        By press, what was worked out beforehand. Between two shares the melt-through lies on the line through them,
        which is the longer side (it grows faster and faster), the face at the shorter of both. The heat model, which
        takes a second or two to come, is asked where that says nothing: more is lost, or in two ways.
    """
    dwells = dict(kind.dwell)
    for press in {one.place for one in outages if one.elements is not None} & kind.dwell.keys():
        failed = [one for one in outages if one.place == press and one.elements is not None]
        try:
            slower, longer = _between(failed, known.get(press, {})) or _times_as_long(
                _heating(now, kind, press), _heating(before, kind, press)
            )
        except Refused:
            del dwells[press]  # it never melts through there any more
            continue
        dwells[press] = _longer(dwells[press], slower, longer)
    return replace(kind, dwell=dwells) if dwells else kind


def _between(failed: Sequence[Outage], known: Slowed) -> tuple[float, float] | None:
    """How many times as long, by what was worked out beforehand; None where that doesn't say."""
    first, *more = failed
    if more or first.elements is None or first.of is None:
        return None
    lost, (share, slower, longer) = first.elements / first.of, (0.0, 1.0, 1.0)
    for up_to, then_slower, then_longer in known.get(first.side or BOTH, ()):
        if lost <= up_to + 1e-9:
            part = (lost - share) / (up_to - share)
            at_face = then_longer if part > 1 - 1e-6 else min(longer, then_longer)
            return slower + part * (then_slower - slower), at_face
        share, slower, longer = up_to, then_slower, then_longer
    return None


def _times_as_long(new: Heating, old: Heating) -> tuple[float, float]:
    """How many times as long a melt-through takes, and the face bears it, as two runs of the heat model say.

    Raises `Refused` where it never melts through.
    """
    slower = max(1.0, new.melt_history.time / old.melt_history.time)
    return slower, 1.0 if new.latest is None or old.latest is None else new.latest / old.latest


def _heating(shop: Workshop, kind: Kind, press: str) -> Heating:
    from flatstock.pressing.card import work_out  # see `Physics`

    total = sum(kind.lots.values())
    question = CardQuestion(
        plastic=kind.plastic,
        thickness=kind.thickness / 1e3,
        press=press,
        lots={lot: mass / total for lot, mass in kind.lots.items()},
        colour=kind.colour,
    )
    return work_out(shop, question).heating


def _longer(dwell: Dwell, slower: float, longer: float) -> Dwell:
    least, latest = ceil(dwell.least * slower), dwell.latest
    latest = None if latest is None else max(least, floor(latest * longer))
    planned = ceil(dwell.planned * slower)
    return replace(
        dwell,
        least=least,
        planned=planned if latest is None else max(least, min(planned, latest)),
        latest=latest,
    )
