"""What was noted on the floor, in words: what happened, and what was told of it."""

from __future__ import annotations

from flatstock.actions.fault_words import KINDS as FAULTS
from flatstock.actions.fault_words import fault_words
from flatstock.prints.shown import Shown
from flatstock.running.event import Event
from flatstock.units import split_name

__all__ = ["fact_words", "kind_words", "told_words"]

WORDS = {
    "weighed": "weighed",
    "prepared": "prepared",
    "set_aside": "charge set aside",
    "loaded": "loaded",
    "breathed": "breathed",
    "transferred": "transferred",
    "moved": "moved",
    "demoulded": "demoulded",
    "trimmed": "edges sawn",
    "measured": "measured",
    "photographed": "photographed",
    "scrapped": "given up",
    "fault": "came out bad",
    "fault_tested": "looked at or tried",
    "remedy_picked": "remedy picked",
    "remedy_proved": "proof of a remedy",
    "fault_closed": "fault closed",
    "note": "noted",
    "heating_on": "heaters on",
    "heating_off": "heaters off",
    "extract_on": "extract on",
    "extract_off": "extract off",
    "platen_read": "platens read",
    "power_cut": "supply failed",
    "power_back": "supply is back",
    "smoke": "smoke or fume",
    "accident": "somebody hurt",
    "cleared": "danger over",
    "arrived": "is here",
    "left": "has left",
    "blocked": "lot blocked",
    "released": "lot released",
    "quarantined": "lot held",
    "emptied": "lot used up",
    "counted": "lot on the scale",
    "tested": "lot tested",
    "checked": "checks gone through",
    "handed_over": "handed over",
    "undone": "taken back",
    "corrected": "corrected",
}
#: facts that name another event, which nobody reads
NAMES = ("danger", "answers", "silence")


#: facts that are no word for people by their own name
FACTS = {
    "target": "wanted",
    "bow": "gap under a straightedge",
    "bow_over": "straightedge's length",
    "face_up": "face that is up",
    "front_edge": "edge nearest",
} | {f"t{n}": f"point {n}" for n in range(1, 10)}


def fact_words(stem: str) -> str:
    """What a fact is called, without its unit.

    >>> fact_words("t1"), fact_words("bow_over"), fact_words("set_point")
    ('point 1', "straightedge's length", 'set point')
    """
    return FACTS.get(stem, stem.replace("_", " "))


def kind_words(kind: str) -> str:
    """What happened."""
    return WORDS.get(kind, kind.replace("_", " "))


def told_words(event: Event) -> str:
    """The facts of an event, in metric units as they were noted; a photograph is shown, not named."""
    if event.kind in FAULTS:
        return fault_words(event)
    if event.kind == "checked":
        return _checked(event)
    told = {} if event.kind == "photographed" else event.facts
    return ", ".join(
        _fact(name, value) for name, value in told.items() if value is not None and name not in NAMES
    )


def _checked(event: Event) -> str:
    """Which list, and what was not right; a skill as people say it."""
    which = {"start": "start checks", "closing": "closing checks"}.get(str(event.facts.get("list")), "checks")
    wrong = str(event.facts.get("wrong") or "").replace("hot_transfer", "for hot transfers")
    return f"{which}, not right or not looked at: {wrong}" if wrong else f"{which}, every line seen"


def _fact(name: str, value: object) -> str:
    """A fact in words; a mass to the gram, which a target is worked out finer than.

    >>> _fact("mass_kg", 11.74), _fact("lot", "L-2301"), _fact("target_kg", 5.67293)
    ('mass 11.74 kg', 'lot L-2301', 'wanted 5.673 kg')
    >>> _fact("t1_mm", 11.62), _fact("face_up", "top")
    ('point 1: 11.62 mm', 'face that is up: top')
    """
    parts = split_name(name)
    if parts is None or not isinstance(value, int | float):
        return f"{fact_words(name)}{':' if name in FACTS else ''} {value}"
    number = round(value, 3) if parts[2] == "kg" else value
    mark = ":" if parts[0][-1].isdecimal() else ""
    return f"{fact_words(parts[0])}{mark} {number:g} {Shown().unit(parts[2])}"
