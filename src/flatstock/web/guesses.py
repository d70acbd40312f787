"""A number of a file that nobody has answered yet: shown as a number, kept as assumed until it is confirmed or
another is written."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Collection, Mapping

from flatstock.units import split_name, written

__all__ = ["as_it_was", "bare", "in_words", "on_a_page", "said_of"]

_GUESS = re.compile(r'\{ value = ([^{},\[\]"]+), kind = "assumed" \}')

_PAGES = {
    "room": "the page of the room",
    "supply": "the page of the supply",
    "outlay": "the page of the purchases",
}
_SIGNS = re.compile(r'[{}\[\]"]')


def bare(text: str) -> str:
    """The number alone.

    >>> bare('{ value = 15, kind = "assumed" }'), bare("[0, 0]")
    ('15', '[0, 0]')
    """
    found = _GUESS.fullmatch(text)
    return text if found is None else found[1].strip()


def in_words(text: str) -> str:
    """As a list says it: without the signs that a file needs.

    >>> in_words('{ value = 15, kind = "assumed" }'), in_words('[{ days = "mon-fri", until = "16:00" }]')
    ('15 (assumed)', 'days mon-fri, until 16:00')
    >>> in_words("hot_transfer, saw"), in_words("[0, 0]")
    ('hot transfer, saw', '0, 0')
    """
    found = _GUESS.fullmatch(text)
    if found is not None:
        return f"{found[1].strip()} (assumed)"
    return (
        re.sub(r"\s+", " ", _SIGNS.sub("", text).replace(" = ", " ").replace("_", " "))
        .replace(" ,", ",")
        .strip()
    )


def said_of(name: str, text: str) -> str:
    """A field of a file with what it says, as a list of a page has it.

    >>> said_of("platen_length_mm", "1350"), said_of("skills", "hot_transfer, saw")
    ('platen length 1350 mm', 'skills hot transfer, saw')
    >>> said_of("flash_allowance_percent", '{ value = 2.5, low = 1.5, high = 4.0, kind = "assumed" }')
    'flash allowance 2.5 % (1.5 to 4.0; assumed)'
    >>> said_of("trips_per_day", "8")
    'trips 8 a day'
    >>> said_of("room_C", "18"), said_of("density_kg_m3", "950")
    ('room 18 °C', 'density 950 kg/m³')
    """
    parts = split_name(name)
    stem, unit = (name, "") if parts is None else (parts[0], written(parts[2]).replace("per/", "a "))
    return " ".join(one for one in (stem.replace("_", " "), _amount(text, unit)) if one)


def _amount(text: str, unit: str) -> str:
    try:
        value = tomllib.loads(f"x = {text}")["x"] if text.startswith("{") else None
    except tomllib.TOMLDecodeError:
        value = None
    if not isinstance(value, Mapping):
        return f"{in_words(text)} {unit}".strip()
    if "value" not in value:
        return ", ".join(said_of(key, _text(one)) for key, one in value.items())
    band = f"{value['low']} to {value['high']}" if {"low", "high"} <= set(value) else ""
    more = "; ".join(one for one in (band, "assumed" if value.get("kind") == "assumed" else "") if one)
    return f"{value['value']} {unit}".strip() + (f" ({more})" if more else "")


def _text(value: object) -> str:
    """A value of a table within a table, as its file would have it."""
    if isinstance(value, Mapping):
        return "{ " + ", ".join(f"{key} = {_text(one)}" for key, one in value.items()) + " }"
    return f'"{value}"' if isinstance(value, str) else str(value)


def on_a_page(text: str) -> str:
    """What a file is about, or a note, without the names that commands and files have.

    >>> on_a_page("Placed by `flatstock room`; `length_mm` lies along it.")
    'Placed by the page of the room; length lies along it.'
    >>> on_a_page("plastics.toml, shrinkage_percent")
    'plastics.toml, shrinkage'
    """
    text = re.sub(r",? see docs/\w+\.md", "", text)  # that the app has pages of its own for
    text = re.sub(r"`flatstock (\w+)[^`]*`", lambda found: _PAGES.get(found[1], "the app"), text)
    return re.sub(r"`(\w+)`|\b([a-z]+(?:_\w+)+)", lambda found: _stem(found[1] or found[2]), text)


def _stem(name: str) -> str:
    parts = split_name(name)
    return (name if parts is None else parts[0]).replace("_", " ")


def as_it_was(
    said: Mapping[str, str], before: Mapping[str, str], confirmed: Collection[str] = ()
) -> dict[str, str]:
    """What a form says, with assumed numbers that nobody has changed or confirmed as the file has them.

    >>> as_it_was({"soak_min": "15"}, {"soak_min": '{ value = 15, kind = "assumed" }'})
    {'soak_min': '{ value = 15, kind = "assumed" }'}
    >>> as_it_was({"soak_min": "20"}, {"soak_min": '{ value = 15, kind = "assumed" }'})
    {'soak_min': '20'}
    >>> as_it_was({"soak_min": "15"}, {"soak_min": '{ value = 15, kind = "assumed" }'}, ["soak_min"])
    {'soak_min': '15'}
    """
    return {
        name: before[name]
        if name in before and name not in confirmed and text.strip() == bare(before[name])
        else text
        for name, text in said.items()
    }
