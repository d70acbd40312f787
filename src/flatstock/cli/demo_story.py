"""What the demo tells: its cards in short, the stack, room, supply and purchases, and where everything was written."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from flatstock.actions.demo import DemoAnswer, Paper
from flatstock.prints.numbers import decimals_of
from flatstock.prints.outlay_words import headline
from flatstock.prints.supply_words import amps, verdict_words
from flatstock.prints.text.layout import wrapped
from flatstock.prints.text.plan import plan_text

__all__ = ["tell"]


def tell(answer: DemoAnswer) -> str:
    """The demo's answers in eighty columns."""
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
        f"  flatstock card {answer.folder} --plastic HDPE --thickness 12mm",
        f"  flatstock card {answer.folder} --plastic HDPE --thickness 12mm --why dwell_min",
        "  flatstock new my-workshop",
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
    cooling = ", ".join(_minutes(value) for value in card["press_cool_min"])
    latest = card["dwell_latest_min"]
    limit = f", at the latest {latest['low']:.0f}" if latest else ""
    return [
        f"{card.get('order', '')}  {what}, {card['frame']} in {card['press']} at {card['set_point_C']:g} °C",
        f"  weigh  {', '.join(_part(row, decimals_of(card['scale_step_kg'])) for row in card['weigh'])}",
        f"  dwell  {card['dwell_advised_min']:.0f} min{limit}; melted through at {_band(card['dwell_min'])}",
        f"  cool   {cooling} min under pressure (first, second, third mould in a row)",
    ]


def _part(row: Mapping[str, Any], decimals: int) -> str:
    return f"{row['lot'] or 'any released lot'} {row['mass_kg']:.{decimals}f} kg"


def _minutes(value: Mapping[str, Any] | None) -> str:
    return "not in time" if value is None else f"{value['high']:.0f}"


def _band(value: Mapping[str, Any]) -> str:
    return f"{value['value']:.0f} ({value['low']:.0f} to {value['high']:.0f})"


def _stack(stack: Mapping[str, Any]) -> list[str]:
    again = sum(bool(mould["remelts"]) for mould in stack["moulds"])
    lines = [
        f"The {len(stack['moulds'])} moulds of the day on one stack: {again} melt again while it is built.",
        f"  {_clock(stack['at'])} the hottest core is at {_band(stack['hottest_C'])} °C;",
        f"  all may be opened {_from(stack['ready_at'])}.",
        "  Instead:",
    ]
    for way in stack["instead"]:
        said = f"{way['what']}: {_band(way['hottest_C'])} °C, open {_from(way['ready_at'])}"
        lines += wrapped(said, first="    ", rest="      ")
    return lines


def _from(ready: Mapping[str, Any] | str | None) -> str:
    """The late end of an instant: what a person can count on."""
    late = ready["high"] if isinstance(ready, Mapping) else ready
    return "later than was looked at" if late is None else f"from {_clock(late)}"


def _clock(instant: str) -> str:
    return instant[:16].replace("T", " ")
