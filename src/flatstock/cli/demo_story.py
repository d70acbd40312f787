"""What the demo tells: its cards in short, the stack, room, supply and purchases, and where everything was written."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from flatstock.actions.demo import DemoAnswer, Paper
from flatstock.cli.called import called, quoted
from flatstock.prints.numbers import (
    decimals_of,
    dwell_and_latest,
    minutes_not_before,
    with_band,
)
from flatstock.prints.outlay_words import headline
from flatstock.prints.supply_words import amps, verdict_words
from flatstock.prints.text.layout import wrapped
from flatstock.prints.text.plan import plan_text
from flatstock.prints.words import clock, day, instant_ends

__all__ = ["tell"]


def tell(answer: DemoAnswer) -> str:
    """The demo's answers in eighty columns."""
    folder = quoted(answer.folder)
    lines = [_head(answer), ""]
    for paper in answer.cards:
        lines += [*_card(paper), ""]
    lines += [*_stack(answer.stack.document), ""]
    lines += [
        *_room(answer.room.document),
        *_supply(answer.supply.document),
        *_outlay(answer.outlay.document),
        "",
    ]
    lines += [plan_text(answer.plan.document).rstrip(), ""]
    lines += ["Written:"]
    lines += [f"  {paper.pdf}" for paper in _papers(answer)]
    lines += [f"  {answer.room_svg}"]
    lines += [
        "  and beside each the same answer as .json, for other programs",
        "",
        "Next:",
        f"  {called()} card {folder} --plastic HDPE --thickness 12mm",
        f"  {called()} card {folder} --plastic HDPE --thickness 12mm --why dwell_min",
        f"  {called()} new my-workshop",
    ]
    return "\n".join(lines) + "\n"


def _papers(answer: DemoAnswer) -> tuple[Paper, ...]:
    return (
        *answer.cards,
        answer.wallchart,
        answer.stack,
        answer.room,
        answer.supply,
        answer.outlay,
        answer.plan,
    )


def _room(room: Mapping[str, Any]) -> list[str]:
    walk, bound = room["walk_m_per_day"], room["proof"]["bound_m_per_day"]
    if walk is None:
        said = room["why"] or f"no places were found in {room['proof']['seconds']:.0f} s"
        return wrapped(f"The machines in its room: {said}", first="")
    proven = f", and no plan walks less than {bound:.1f} m" if bound else ""
    return wrapped(f"The machines in its room: a plan with {walk:.1f} m walked a day{proven}.", first="")


def _supply(supply: Mapping[str, Any]) -> list[str]:
    said = f"Everything on at once: {amps(supply['worst']['arithmetic_A'])} A on its phases. {verdict_words(supply)}"
    lines = wrapped(said, first="")
    way = next((one for one in supply["remedies"] if one["verdict"] == "fits"), None)
    return lines + (wrapped(f"What would help first: {way['what']}.", first="  ") if way else [])


def _outlay(outlay: Mapping[str, Any]) -> list[str]:
    return wrapped(f"Setting the shop up, bought in its best order: {headline(outlay)}", first="")


def _head(answer: DemoAnswer) -> str:
    made = "copied to" if answer.copied else "as it stands in"
    return f"The demo workshop, {made} {answer.folder}: one card for each order of its book."


def _card(paper: Paper) -> list[str]:
    card = paper.document
    colour = f" {card['colour']}" if card.get("colour") else ""
    what = f"{card['plastic'].upper()}{colour} {card['thickness_mm']:g} mm"
    cooling = ", ".join(minutes_not_before(value) or "not in time" for value in card["press_cool_min"])
    advised, latest = dwell_and_latest(card)
    limit = f", at the latest {latest}" if latest else ""
    return [
        f"{card.get('order', '')}  {what}, {card['frame']} in {card['press']} at {card['set_point_C']:g} °C",
        f"  weigh  {', '.join(_part(row, decimals_of(card['scale_step_kg'])) for row in card['weigh'])}",
        f"  dwell  {advised} min{limit}; melted through at {with_band(card['dwell_min'])}",
        f"  cool   {cooling} min under pressure (first, second, third mould in a row)",
    ]


def _part(row: Mapping[str, Any], decimals: int) -> str:
    return f"{row['lot'] or 'any released lot'} {row['mass_kg']:.{decimals}f} kg"


def _stack(stack: Mapping[str, Any]) -> list[str]:
    again = sum(bool(mould["remelts"]) for mould in stack["moulds"])
    at = datetime.fromisoformat(stack["at"])
    lines = [
        f"The {len(stack['moulds'])} moulds of the day on one stack: {again} melt again while it is built.",
        f"  {day(at)}, {clock(at)}: the hottest core is at {with_band(stack['hottest_C'], '°C', 0)};",
        f"  all may be opened {_from(stack['ready_at'], at)}.",
        "  Instead:",
    ]
    for way in stack["instead"]:
        said = f"{way['what']}: {with_band(way['hottest_C'], '°C', 0)}, open {_from(way['ready_at'], at)}"
        lines += wrapped(said, first="    ", rest="      ")
    return lines


def _from(ready: object, at: datetime) -> str:
    """The late end of an instant: what a person can count on."""
    late = instant_ends(ready)[2]
    return "later than was looked at" if late is None else f"from {clock(late, beside=at)}"
