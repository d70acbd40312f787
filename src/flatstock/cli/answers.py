"""What the words of an answer to one of `flatstock new`'s questions stand for, in SI."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from difflib import get_close_matches
from math import pi
from typing import Any
from unicodedata import category
from zoneinfo import available_timezones

from flatstock.errors import Fault, WrongWords
from flatstock.units import System, parse_quantity
from flatstock.workshop.start_questions import NONE_YET, Question

__all__ = ["answer_of"]

#: what people say for a choice
OTHER_WORDS = {
    "inches": "us", "inch": "us", "in": "us", "f": "us", "american": "us", "usa": "us", "mm": "metric",
    "millimetres": "metric", "millimeters": "metric", "c": "metric", "si": "metric",
    "steel": "mild_steel", "aluminum": "aluminium", "alu": "aluminium", "stainless": "stainless_steel",
    "lower": "bottom", "upper": "top", "below": "bottom", "above": "top", "two": "both", "one": "1", "single": "1",
    "three": "3",
}  # fmt: skip
UNKNOWN = ("unknown", "not known", "don't know", "dont know", "?", "no", "none")
TONNE = 9806.65  # [N]: what a mass of 1 t weighs, g_n of ISO 80000-3, from memory
SHORT_TON = 2000 * 4.4482216152605  # [N]
_SEPARATOR = re.compile(
    r"\s*(?:[;×*]|\bby\b|(?<=[\d\s\"″'′A-Za-z])[xX](?=[\s\d.½¼¾⅛⅜⅝⅞])|,(?=\s)|(?<=[A-Za-z\"″'′]),)\s*"
)
_TONS = re.compile(r"\s*([\d.,]+)\s*(t|tf|ton|tons|tonne|tonnes)\s*$", re.IGNORECASE)


def answer_of(question: Question, text: str, *, units: System, usual: str) -> dict[str, Any]:
    """The fields of `StartAnswers` that an answer fills.

    A bare number has the unit of the usual answer, or that of a number written after it ("700 x 700 mm").

    Raises
    ------
    WrongWords
        It doesn't answer the question.
    """
    said = text.strip()
    if question.kind in ("measure", "measures", "list"):
        return _measures(question, said, usual)
    if question.kind == "force":
        return dict(zip(question.fields, _force(said, units), strict=True))
    if question.kind == "cooling":
        word = _choice(question, said)
        return {"cooling_press": word != "no", "fans": word == "fans"}
    one: Mapping[str, Callable[[Question, str], str]] = {"text": _text, "zone": _zone, "choice": _choice}
    return {question.fields[0]: one[question.kind](question, said)}


def _wrong(what: str, instead: str) -> WrongWords:
    return WrongWords(Fault("", what, instead))


def _text(_: Question, said: str) -> str:
    if any(category(sign) in ("Cc", "Cs") for sign in said):
        raise _wrong("there are signs in it that can't be printed", "write letters, digits and spaces")
    return said


def _choice(question: Question, said: str) -> str:
    word = said.lower()
    word = OTHER_WORDS.get(word, word).replace(" ", "_")
    first = re.split(r"[_\W]", word)[0] if question.fields[0] == "phases" else word
    word = OTHER_WORDS.get(first, first)
    fitting = [choice for choice in question.choices if choice.startswith(word)]
    if word in question.choices:
        return word
    if not word or len(fitting) != 1:
        raise _wrong(f"{said!r} is none of the choices", f"write {' or '.join(question.choices)}")
    return fitting[0]


def _zone(_: Question, said: str) -> str:
    """An IANA name; a city alone is enough."""
    names = {name.lower(): name for name in available_timezones()} | {"utc": "UTC"}
    word = said.lower().replace(" ", "_")
    if word in names:
        return names[word]
    cities: dict[str, list[str]] = {}
    for low, name in names.items():
        if "/" in low and not low.startswith(("posix/", "right/", "etc/")):
            cities.setdefault(low.rpartition("/")[2], []).append(name)
    found = cities.get(word, [])
    if len(found) == 1:
        return found[0]
    near = found or [n for city in get_close_matches(word, cities, n=2, cutoff=0.7) for n in cities[city]]
    near = near or [names[n] for n in get_close_matches(word, names, n=2, cutoff=0.6)]
    raise _wrong(
        f"no time zone {said!r}",
        f"the nearest is {' or '.join(sorted(near))}" if near else "write one as in Europe/Lisbon",
    )


def _measures(question: Question, said: str, usual: str) -> dict[str, Any]:
    if question.kind == "list" and said.lower() in NONE_YET:
        return {question.fields[0]: ()}
    said = re.sub(r"\s+and\s+", ", ", said) if question.kind == "list" else said
    parts = [part for part in _SEPARATOR.split(said) if part]
    wanted = len(question.fields)
    if question.kind != "list" and len(parts) != wanted:
        counted = f"{len(parts)} measure{'s' * (len(parts) != 1)}"
        raise _wrong(f"{said!r} is {counted} where {wanted} should be", f"write them as in {usual}")
    numbers = [
        parse_quantity(part, question.dimension, where="") for part in _with_units(parts, _units_of(usual))
    ]
    if question.kind == "list":
        return {question.fields[0]: tuple(sorted(set(numbers)))}
    return dict(zip(question.fields, numbers, strict=True))


def _units_of(usual: str) -> list[str]:
    return [_unit(part) for part in _SEPARATOR.split(usual)]


def _with_units(parts: list[str], usual: list[str]) -> list[str]:
    """A bare number has the unit that the others have, all the same; where none has any, that of the usual answer."""
    written = {unit for part in parts if (unit := _unit(part))}
    alike = len(set(usual)) == 1  # not so in 30kg, 10g: there each has its own
    made = []
    for n, part in enumerate(parts):
        if _unit(part) or (alike and len(written) > 1):
            made.append(part)
        else:
            made.append(part + (written.copy().pop() if written and alike else usual[min(n, len(usual) - 1)]))
    return made


def _unit(part: str) -> str:
    return re.sub(r"^[-+\d.,/\s½¼¾⅛⅜⅝⅞]+", "", part)


def _force(said: str, units: System) -> tuple[float | None, float | None, float | None]:
    """Force [N], bore [m], highest gauge pressure [Pa], each None where it is not known."""
    if said.lower() in UNKNOWN:
        return None, None, None
    if tons := _TONS.match(said):
        short = units == "us" and tons[2].lower().startswith("ton") and not tons[2].lower().startswith("tonn")
        one = SHORT_TON if short else TONNE
        return parse_quantity(f"{tons[1]}N", "force", where="") * one, None, None
    parts = [p for p in re.split(r"\s*(?:,\s|;|@|\bat\b)\s*|(?<=[A-Za-z\"″'′])\s+(?=\d)", said) if p]
    if len(parts) == 1:
        bare = "lbf" if units == "us" else "kN"
        text = said + bare if re.fullmatch(r"[\d.,\s]+", said) else said
        return parse_quantity(text, "force", where=""), None, None
    if len(parts) == 2:
        bore = parse_quantity(parts[0], "length", where="")
        gauge = parse_quantity(parts[1], "pressure", where="")
        return pi / 4 * bore**2 * gauge, bore, gauge
    force, bore_and_gauge = ("60000lbf", "5.5in 2800psi") if units == "us" else ("300kN", "140mm 195bar")
    raise _wrong(
        f"{said!r} is no force", f"write {force}, or bore and gauge as in {bore_and_gauge}, or unknown"
    )
