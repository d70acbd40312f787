"""What can be put right about something told: its numbers in the units of the shop, and what is chosen from a list."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from flatstock.actions.event_words import fact_words
from flatstock.prints.shown import Shown
from flatstock.running.event import Event
from flatstock.running.kinds import kinds
from flatstock.running.sheets import planned
from flatstock.units import from_si, parse_number, split_name, to_si
from flatstock.workshop.shop import Workshop

__all__ = ["Choice", "Number", "choices_of", "facts_said", "numbers_of"]

#: unit of the documents: what it measures, and what a shop reads that has US units
US = {"kg": ("mass", "lb"), "mm": ("length", "in"), "C": ("temperature", "F")}
DECIMALS = 4  #: of a number that is noted
WANTED = "target_"  #: what was wanted is no reading that anybody could have misread
LISTS: Mapping[str, tuple[str, ...]] = {
    "grade": ("A", "B", "C"),
    "face_up": ("top", "bottom"),
    "front_edge": ("front", "back", "left", "right"),
}


@dataclass(frozen=True, slots=True)
class Number:
    """A number as it stands."""

    name: str  #: of the fact
    words: str  #: with its unit
    value: float  #: in that unit


@dataclass(frozen=True, slots=True)
class Choice:
    """Something chosen from a list, as it stands."""

    name: str  #: of the field in the form
    words: str
    options: tuple[str, ...]
    value: str


def numbers_of(told: Event, shown: Shown) -> list[Number]:
    """Every number that somebody read off, in the units of the shop."""
    found = []
    for name, value in told.facts.items():
        if not _is_number(value) or name.startswith(WANTED):
            continue
        stem, unit = _parts(name)
        words = fact_words(stem)
        reads = round(shown.convert(float(value or 0), unit), DECIMALS)
        found.append(Number(name, f"{words}, {shown.unit(unit)}" if unit else words, reads))
    return found


def choices_of(told: Event, shop: Workshop, plan: Mapping[str, Any] | None) -> list[Choice]:
    """Place, lot, sheet and what else is chosen rather than read off."""
    found = []
    places = kinds()[told.kind].places
    spots = [
        name
        for kind, names in (
            ("hot_press", shop.hot_presses),
            ("cooling_press", shop.cooling_presses),
            ("stack", shop.stacks),
            ("rack", shop.racks),
        )
        if places and kind in places
        for name in names
    ]
    if len(spots) > 1:
        found.append(Choice("place", "Where", tuple(spots), told.where or ""))
    lot = told.facts.get("lot")
    if told.kind == "weighed" and isinstance(lot, str):
        lots = (one.id for one in shop.lots.values() if one.status == "released" or one.id == lot)
        found.append(Choice("fact-lot", "From which lot", tuple(lots), lot))
    if told.kind in ("weighed", "measured") and told.sheet is not None:
        sheets = sorted({*planned(plan), told.sheet})
        found.append(Choice("sheet", "For which sheet", tuple(sheets), told.sheet))
    for name, options in LISTS.items():
        if isinstance(value := told.facts.get(name), str):
            found.append(Choice(f"fact-{name}", fact_words(name).capitalize(), options, value))
    return found


def facts_said(
    first: Event, now: Event, said: Mapping[str, str], *, us: bool, lots: Collection[str]
) -> dict[str, str | float]:
    """What is other than it was told first: as it stood by earlier corrections, or as the form says now.

    Raises `WrongWords` at what is no number.
    """
    facts: dict[str, str | float] = {}
    for name, told in now.facts.items():
        value: object = told
        text = said.get(f"fact-{name}", "").strip()
        if text and _is_number(told):
            value = _read(name, text, float(told or 0), us)
        elif text in LISTS.get(name, lots if name == "lot" and now.kind == "weighed" else ()):
            value = text
        if value != first.facts.get(name) and isinstance(value, str | int | float):
            facts[name] = value
    return facts


def _read(name: str, text: str, before: float, us: bool) -> float:
    """A number in the unit of the documents; one that nobody has touched is left exactly as it was."""
    stem, unit = _parts(name)
    number = parse_number(text, where=fact_words(stem))
    if not us or unit not in US:
        return before if number == round(before, DECIMALS) else number
    dimension, inch = US[unit]
    if number == round(from_si(to_si(before, dimension, unit), dimension, inch), DECIMALS):
        return before
    return round(from_si(to_si(number, dimension, inch), dimension, unit), DECIMALS)


def _parts(name: str) -> Sequence[str]:
    """A fact's name without its unit, and the unit; empty where it has none.

    >>> _parts("mass_kg"), _parts("number")
    (('mass', 'kg'), ('number', ''))
    """
    parts = split_name(name)
    return (name, "") if parts is None else (parts[0], parts[2])


def _is_number(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)
