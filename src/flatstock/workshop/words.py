"""What is not a measured number in a file: words, choices, counts, dates, weekdays, shares."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable
from datetime import date, datetime, time, timedelta
from difflib import get_close_matches
from math import isfinite

from flatstock.errors import WrongWords
from flatstock.times import DAYS
from flatstock.units import parse_number, parse_quantity
from flatstock.workshop.fields import Field
from flatstock.workshop.spots import Entry, Notes

__all__ = ["HOW_TO_ID", "is_id", "read_word"]

HOW_TO_ID = "write letters, digits and - _ . without spaces"

_SPREADSHEET_ZERO = date(1899, 12, 30)  # day 0 of most spreadsheets, which show a date's number as plain text
_SHARES_TO = 2e-3  # shares written with two figures may miss 1 by this much
_ALONE = re.compile(r"^[^\s;,=]+$")
_PART = re.compile(r"^(?P<name>[^\s;,=]+)\s*[=\s]\s*(?P<amount>.+)$")


class _NotSoError(Exception):
    """Carries what is wrong and what would be right."""


def read_word(entry: Entry, field: Field, *, file: str, path: str, notes: Notes) -> object:
    """The value of a field that is no measured number, or None with a fault."""
    try:
        return _READERS[field.kind](entry.value, field)
    except _NotSoError as error:
        what, instead = error.args
        notes.fault(file, entry.line, path, what, instead)
        return None


def _text(value: object, field: Field) -> str:
    if not isinstance(value, str):
        raise _NotSoError(f"{_shown(value)} is not text", 'put it in quotation marks, as in "HP1"')
    if any(unicodedata.category(sign) == "Cc" and sign not in "\t\n\r" for sign in value):
        raise _NotSoError("there are signs in it that can't be printed", "write letters, digits and spaces")
    if field.kind == "text" and field.choices and value not in field.choices:
        raise _NotSoError(f"{value!r} is none of the choices", f"write {' or '.join(field.choices)}")
    return value


def _id(value: object, field: Field) -> str:
    text = _text(value, field)
    if not is_id(text):
        raise _NotSoError(f"{text!r} can't be an ID", HOW_TO_ID)
    return text


def is_id(text: str) -> bool:
    """Whether an ID may be written so."""
    return bool(text) and not re.search(r"[\s;,=|]", text)


def _choice(value: object, field: Field) -> str:
    text = _text(value, field).strip().lower().replace(" ", "_").replace("-", "_")
    if text in field.choices:
        return text
    near = get_close_matches(text, field.choices, n=1)
    instead = f"the nearest is {near[0]}" if near else f"one of {', '.join(field.choices)}"
    raise _NotSoError(f"{value!r} is none of the choices", instead)


def _flag(value: object, _: Field) -> bool:
    words = {"true": True, "yes": True, "false": False, "no": False}
    if isinstance(value, str) and value.strip().lower() in words:
        return words[value.strip().lower()]
    if not isinstance(value, bool):
        raise _NotSoError(f"{_shown(value)} is neither true nor false", "write true or false")
    return value


def _count(value: object, field: Field) -> int:
    number: object = value
    if isinstance(value, str):
        try:
            number = parse_number(value)
        except WrongWords as error:
            raise _NotSoError(error.faults[0].what, "write a whole number") from None
    if isinstance(number, bool) or not isinstance(number, int | float) or not float(number).is_integer():
        raise _NotSoError(f"{_shown(value)} is not a whole number", "write a whole number")
    if (field.low is not None and number < field.low) or (field.high is not None and number > field.high):
        raise _NotSoError(f"{number:g} can't be", f"it must be {field.low:.12g} to {field.high:.12g}")
    return int(number)


def _date(value: object, field: Field) -> date:
    if isinstance(value, datetime):
        raise _NotSoError(f"{_shown(value)} has a time of day", "write the date alone, as in 2026-03-02")
    if isinstance(value, date):
        return value
    try:
        return date.fromisoformat(_text(value, field).strip())
    except ValueError:
        raise _NotSoError(f"{_shown(value)} is not a date", _as_date(value, "2026-03-02")) from None


def _moment(value: object, field: Field) -> datetime:
    if isinstance(value, datetime):
        return value
    if isinstance(value, date):
        return datetime.combine(value, time(23, 59))  # due "on Friday" means by the end of Friday
    try:
        text = _text(value, field).strip()
        if re.fullmatch(r"\d{4}-\d{2}-\d{2}", text):
            return datetime.combine(date.fromisoformat(text), time(23, 59))
        return datetime.fromisoformat(text)
    except ValueError:
        raise _NotSoError(
            f"{_shown(value)} is no date with a time", _as_date(value, "2026-03-06T12:00")
        ) from None


def _as_date(value: object, example: str) -> str:
    """How a date that is written in another way would be written; none is guessed where two may be meant."""
    text = str(value).strip()
    dotted = re.match(r"(\d{1,2})\.\s?(\d{1,2})\.\s?(\d{4})\b", text)
    slashed = re.match(r"(\d{4})[/.-](\d{1,2})[/.-](\d{1,2})\b", text)
    parts = (dotted[3], dotted[2], dotted[1]) if dotted else slashed.groups() if slashed else None
    try:
        if parts is not None:
            day = date(*(int(part) for part in parts))
        elif re.fullmatch(r"[34]\d{4}(\.\d+)?", text):
            day = _SPREADSHEET_ZERO + timedelta(days=int(text[:5]))
        else:
            return f"write year-month-day, as in {example}"
    except ValueError:
        return f"there is no such day; write year-month-day, as in {example}"
    return f"write {day.isoformat()}{'T12:00' * ('T' in example)}"


def _clock(value: object, field: Field) -> time:
    if isinstance(value, time):
        return value
    try:
        text = _text(value, field).strip()
        return time.fromisoformat(text if len(text.split(":")[0]) == 2 else f"0{text}")
    except ValueError:
        raise _NotSoError(
            f"{_shown(value)} is no time of day", 'write hours and minutes, as in "07:15"'
        ) from None


def _days(value: object, _: Field) -> tuple[int, ...]:
    words = [str(w) for w in _list(value)]
    found: set[int] = set()
    for word in words:
        first, dash, last = word.strip().lower().partition("-")
        ends = [
            d
            for w in (first, last if dash else first)
            for d, name in enumerate(DAYS)
            if w.strip()[:3] == name.lower()
        ]
        if len(ends) != 2:
            raise _NotSoError(f"{word!r} is no weekday", 'write "mon-fri", or "mon thu"')
        over = 7 if ends[0] > ends[1] else 0  # "sun-thu" of a night shift goes on over the Sunday
        found.update(day % 7 for day in range(ends[0], ends[1] + over + 1))
    return tuple(sorted(found))


def _texts(value: object, field: Field) -> tuple[str, ...]:
    words = _list(value)
    if not all(isinstance(w, str) for w in words):
        raise _NotSoError(f"{_shown(value)} is not a list of words", 'write ["one", "two"]')
    texts = tuple(str(w) for w in words)
    for text in texts:
        if field.choices and text not in field.choices:
            near = get_close_matches(text, field.choices, n=1)
            instead = f"the nearest is {near[0]}" if near else f"one of {', '.join(field.choices)}"
            raise _NotSoError(f"{text!r} is none of the choices", instead)
    return texts


def _counts(value: object, field: Field) -> tuple[int, ...]:
    listed = value if isinstance(value, list) else [value]
    return tuple(_count(e.value if isinstance(e, Entry) else e, field) for e in listed)


def _money(value: object, field: Field) -> float:
    """A number without a unit, as money is written here."""
    number: object = value
    if isinstance(value, str):
        try:
            number = parse_number(value)
        except WrongWords as error:
            raise _NotSoError(error.faults[0].what, f"write a number, as in {field.example}") from None
    if isinstance(number, bool) or not isinstance(number, int | float) or not isfinite(number):
        raise _NotSoError(f"{_shown(value)} is not a number", f"write {field.name} = {field.example}")
    if field.low is not None and field.high is not None and not field.low <= number <= field.high:
        raise _NotSoError(f"{number:g} can't be", f"it must be {field.low:.12g} to {field.high:.12g}")
    return float(number)


def _moneys(value: object, field: Field) -> tuple[float, ...]:
    listed = value if isinstance(value, list) else [value]
    return tuple(_money(e.value if isinstance(e, Entry) else e, field) for e in listed)


def _by_name(value: object, field: Field) -> dict[str, float]:
    if not isinstance(value, dict):
        raise _NotSoError(f"{_shown(value)} is not a table of names", f"write {field.name} = {field.example}")
    return {name: _money(entry.value, field) for name, entry in value.items()}


def _shares(value: object, field: Field) -> dict[str, float]:
    """Shares by name. Masses are turned into shares; shares that must make a whole are checked to do so."""
    if isinstance(value, dict):
        pairs = [(name, entry.value) for name, entry in value.items()]
    else:
        parts = [part.strip() for part in _text(value, field).split(";") if part.strip()]
        if field.whole and len(parts) == 1 and _ALONE.match(parts[0]):
            return {parts[0]: 1.0}
        pairs = [_pair(part, field) for part in parts]
    names = [name for name, _ in pairs]
    if twice := sorted({n for n in names if names.count(n) > 1}):
        raise _NotSoError(f"{twice[0]} stands there twice", "name each once")
    amounts = [(name, *_amount(amount)) for name, amount in pairs]
    total = sum(number for _, number, _ in amounts)
    if any(is_mass for _, _, is_mass in amounts):
        if not all(is_mass for _, _, is_mass in amounts) or not field.whole or total <= 0:
            what = "masses and shares are mixed" if field.whole else "a mass stands where a share should"
            raise _NotSoError(what, "write 2.1 % for each" + ", or kg for each" * field.whole)
        return {name: number / total for name, number, _ in amounts}
    if field.whole and amounts and abs(total - 1) > _SHARES_TO:
        raise _NotSoError(f"the shares come to {total:.4g}, not 1", "correct them, or write masses in kg")
    if not field.whole and total > 1 + 1e-9:
        raise _NotSoError(f"the shares come to {total:.4g}, more than the whole", "correct them")
    return {name: number / total if field.whole else number for name, number, _ in amounts}


def _pair(part: str, field: Field) -> tuple[str, object]:
    match = _PART.match(part)
    if match is None:
        raise _NotSoError(
            f"{part!r} has no amount", f"write a name and how much of it, as in {field.example}"
        )
    return match["name"], match["amount"]


def _amount(value: object) -> tuple[float, bool]:
    """The number, and whether it is a mass [kg]; else a share."""
    if isinstance(value, bool) or not isinstance(value, int | float | str):
        raise _NotSoError(f"{_shown(value)} is no share", "write 0.9, 90 % or 15.80 kg")
    try:
        if isinstance(value, str) and value.rstrip()[-1:].isalpha() and not value.rstrip().endswith("ppm"):
            return parse_quantity(value, "mass", where=""), True
        number = parse_quantity(value, "share", where="") if isinstance(value, str) else float(value)
    except WrongWords as error:
        raise _NotSoError(error.faults[0].what, "write 0.9, 90 % or 15.80 kg") from None
    if not 0 <= number <= 1:
        raise _NotSoError(f"{value} is no share", "write 0.9, 90 % or 15.80 kg")
    return number, False


def _any(value: object, _: Field) -> object:
    return value


def _list(value: object) -> list[object]:
    if isinstance(value, list):
        return [e.value if isinstance(e, Entry) else e for e in value]
    if isinstance(value, str):
        return [w for w in re.split(r"[\s;,]+", value) if w]
    raise _NotSoError(f"{_shown(value)} is not a list of words", 'write ["one", "two"]')


def _shown(value: object) -> str:
    if isinstance(value, dict):
        return "a table"
    if isinstance(value, list):
        return "a list"
    return (
        repr(value)
        if isinstance(value, str)
        else str(value).lower()
        if isinstance(value, bool)
        else str(value)
    )


_READERS: dict[str, Callable[[object, Field], object]] = {
    "text": _text, "id": _id, "choice": _choice, "flag": _flag, "count": _count, "date": _date,
    "moment": _moment, "clock": _clock, "days": _days, "texts": _texts, "shares": _shares, "any": _any,
    "counts": _counts, "amount": _money, "amounts": _moneys, "amounts_by_name": _by_name,
}  # fmt: skip
