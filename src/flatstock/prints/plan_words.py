"""What the steps of a plan are called on paper, and what each asks of whoever does it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from datetime import datetime, timedelta
from typing import Any

from flatstock.prints.plan_view import STANDS, Mould, View, Work
from flatstock.prints.words import clock

__all__ = [
    "GOAL_WORDS",
    "SETTING_WORDS",
    "STEP_WORDS",
    "earliest_opening",
    "failing",
    "latest_transfer",
    "others",
    "proof_words",
    "to_do",
    "weight",
]

#: what a plan seeks, by the name that its proof gives it
GOAL_WORDS: Mapping[str, str] = {
    "over_latest_min": "minutes in a hot press past the latest dwell",
    "late_sheets": "sheets late, or left out and due",
    "late_min": "minutes late, over all sheets",
    "sheets_after_closing": "sheets not done by closing",
    "moved_min": "minutes that steps move from the plan before",
    "ready_min": "minutes until the last is ready",
    "overtime_min": "minutes outside people's hours",
    "heaters_Wh": "Wh for heating up and holding",
    "changeover_min": "minutes of changing set-point and colour",
}
STEP_WORDS: Mapping[str, str] = {
    "dry": "dry",
    "weigh": "weigh",
    "prepare": "prepare",
    "load": "load",
    "dwell": "dwell",
    "transfer": "transfer",
    "press_cool": "press-cool",
    "move": "move",
    "stack": "stack",
    "rack": "rack",
    "demould": "demould",
    "trim": "saw the edges",
    "condition": "rest flat",
}
SETTING_WORDS: Mapping[str, str] = {
    "heat_up": "heaters on",
    "soak": "soak",
    "raise": "up",
    "lower": "down",
    "clean": "wipe down",
    "hold": "hold",
    "off": "heaters off at the isolator",
}


def weight(view: View, mass: float) -> str:
    """A mass [kg] in the shop's unit as a scale shows it, to ten grams or a hundredth of a pound."""
    return f"{view.shown.convert(mass, 'kg'):.2f}"


def latest_transfer(mould: Mould) -> datetime | None:
    """When the mould has to leave the hot press at the latest; None where nothing is known."""
    dwell, latest = mould.work("dwell"), mould.sheet["dwell_latest_min"]
    return None if dwell is None or latest is None else dwell.start + timedelta(minutes=float(latest))


def earliest_opening(mould: Mould) -> datetime | None:
    """Before when the cooling press is not opened."""
    cool = mould.work("press_cool")
    return None if cool is None else cool.start + timedelta(minutes=float(mould.sheet["press_cool_min"]))


def others(work: Work, person: str) -> str:
    """With whom."""
    return " + ".join(one for one in work.people if one != person)


def to_do(view: View, work: Work) -> str:
    """What a step asks, in a line: kilograms, frame, set-point, the moment to act by."""
    mould = view.by_sheet.get(work.sheet)
    if mould is None:
        return ""
    sheet = mould.sheet
    places = {kind: place for place in work.places for kind in [view.kind.get(place, "")]}
    match work.step:
        case "dry":
            charge = f"{weight(view, sheet['charge_kg'])} {view.shown.unit('kg')}"
            return f"{charge} in {', '.join(work.places)} until {clock(work.end)}"
        case "weigh":
            lots = " + ".join(f"{lot['lot']} {weight(view, lot['mass_kg'])}" for lot in sheet["lots"])
            unit = view.shown.unit("kg")
            several = len(sheet["lots"]) > 1
            return f"{weight(view, sheet['charge_kg'])} {unit}: {lots}" if several else f"{lots} {unit}"
        case "prepare":
            return f"frame {sheet['frame']}, skins {sheet['skins']}"
        case "load":
            return (
                f"{places.get('hot_press', '')} at {view.shown.one(sheet['set_point_C'], 'C')}{_out(mould)}"
            )
        case "transfer":
            opens = earliest_opening(mould)
            till = f", closed until {clock(opens)}" if opens else ""
            return f"{places.get('hot_press', '')} to {places.get('cooling_press', '')}{till}"
        case "move":
            return _way(view, mould, work)
        case "demould":
            return f"on {', '.join(work.places)}"
        case "trim":
            ready = datetime.fromisoformat(sheet["ready"])
            rest = f"; not to size before {clock(ready, beside=work.end)}" if ready > work.end else ""
            return f"on {', '.join(work.places)}{rest}"
    return ", ".join(work.places)


def _out(mould: Mould) -> str:
    transfer, latest = mould.work("transfer"), latest_transfer(mould)
    out = f"; out at {clock(transfer.start)}" if transfer else ""
    return out + (f", latest {clock(latest)}" if latest else "")


def _way(view: View, mould: Mould, work: Work) -> str:
    """From the place left to the place entered."""
    at = mould.works.index(work)
    stands = [place for place in work.places if view.kind.get(place) in STANDS]
    before = [p for p in mould.works[at - 1].places if p in stands] if at else []
    after = [place for place in stands if place not in before]
    aids = [place for place in work.places if view.kind.get(place) == "lift"]
    return f"{', '.join(before)} to {', '.join(after)}" + (f" with {', '.join(aids)}" if aids else "")


def proof_words(view: View) -> str:
    """How far the plan is proven."""
    proof = view.document["proof"]
    words = {
        "optimal": "Proven: no plan is better.",
        "feasible": "The best found; a better one is not ruled out.",
        "impossible": "Not everything that is ordered can be done.",
    }
    return words[proof["status"]]


def failing(document: Mapping[str, Any]) -> str:
    """How many sheets of a plan the heat model lets fail, and in which way; empty: none, or it was not asked."""
    verdicts = Counter(one["verdict"] for one in document["rehearsal"]["sheets"] if one["verdict"] != "good")
    ways = [f"{many} {verdict.replace('_', ' ')}" for verdict, many in verdicts.most_common()]
    return f"by the heat model {' and '.join(ways)}" if ways else ""
