"""Where a number of an answer comes from."""

from __future__ import annotations

from collections.abc import Mapping
from difflib import get_close_matches
from typing import Any

from flatstock.errors import Fault, WrongWords
from flatstock.prints.shown import Shown
from flatstock.prints.text.layout import heading, title, wrapped
from flatstock.prints.words import KIND_WORDS
from flatstock.units import System, split_name

__all__ = ["input_words", "now_words", "reasons_of", "why_text"]

Document = Mapping[str, Any]
NAME, VALUE = 28, 30  # columns
NUMBER = "1"  #: the unit of a document's input that has none, as its void share
WORTH_NAMING = 0.05  # share of a band from which an input is worth naming in a sentence


def why_text(document: Document, field: str, system: System = "metric") -> str:
    """The formula, inputs (kind, source, share of the band, largest first) and source of one field.

    `system`: the units that the shop reads. Raises `WrongWords` as `reasons_of` does.
    """
    shown = Shown(system, scale_step=document.get("scale_step_kg"))
    lines: list[str] = []
    for reason in reasons_of(document, field):
        lines += _one(document, reason, shown)
    return "\n".join(lines) + "\n"


def reasons_of(document: Document, field: str) -> list[Document]:
    """What the document explains of one field.

    Raises
    ------
    WrongWords
        The document explains no such field; the nearest one is named.
    """
    said = field.strip().lower()
    found = [
        reason
        for reason in document.get("why", ())
        if said in (name := str(reason["of"]).lower(), *name.split("."))
    ]
    if not found:
        known = sorted({str(reason["of"]) for reason in document.get("why", ())})
        near = get_close_matches(field, known, n=1, cutoff=0.4)
        instead = f"nearest: {near[0]}; " if near else ""
        listed = ", ".join(known) or "nothing"
        raise WrongWords(
            Fault("--why", f"{field!r} is not explained here", f"{instead}this answer explains {listed}")
        )
    return found


def _one(document: Document, reason: Document, shown: Shown) -> list[str]:
    field = str(reason["of"])
    lines = title(f"Why {field}", str(document.get("shop") or ""))
    now = now_words(document, field, shown)
    lines += wrapped(now, first="now       ") if now else []
    lines += wrapped(shown.prose(str(reason["formula"])), first="formula   ")
    lines += wrapped(shown.prose(str(reason["source"])), first="source    ")
    if reason.get("note"):
        lines += wrapped(shown.prose(str(reason["note"])), first="note      ")
    if not reason["inputs"]:
        return lines
    inputs = sorted(reason["inputs"], key=lambda one: -(one.get("band_share") or 0.0))
    lines += _most(inputs, shown)
    lines += heading("Inputs")
    for given in inputs:
        lines += _input(given, shown)
    return lines


def now_words(document: Document, field: str, shown: Shown) -> str:
    """The number itself, or the numbers of a list, each with its band."""
    outer, _, inner = field.partition(".")
    if outer not in document:
        return ""
    found = document[outer]
    if inner:
        found, field = [one[inner] for one in found if one.get(inner) is not None], inner
        if not found:
            return "none is known"
    return "; ".join(_said(one, field, shown) for one in (found if isinstance(found, list) else [found]))


def _said(found: object, field: str, shown: Shown) -> str:
    parts = split_name(field)
    if field.endswith("_L") and isinstance(found, int | float):  # litres, which no file has a column of
        return shown.one(found, "L", 0)
    if (
        parts is None
        or isinstance(found, (str, bool))
        or (isinstance(found, Mapping) and "value" not in found)
    ):
        if isinstance(found, Mapping) and "value" in found:
            return _a_month(found, field)
        if isinstance(found, Mapping):
            return ", ".join(
                f"{name.split('_')[0]} {value}" for name, value in found.items() if value is not None
            )
        return "none" if found is None else str(found)
    unit = "K" if field == "platen_dip_C" else parts[2]  # a difference, though its name ends like a reading
    none = "not within the time looked at" if field == "press_cool_min" else "unknown"
    return shown.mass_band(found) if unit == "kg" else shown.band(found, unit, 2 if unit == "mm" else 1, none)


def _a_month(found: Mapping[str, Any], field: str) -> str:
    """A sum a month, with its band: of no unit that `split_name` knows.

    >>> _a_month({"value": 1442.37, "low": 1009.66, "high": 1875.09, "kind": "assumed"}, "energy_kWh_month")
    '1442 kWh (1010 to 1875)'
    """
    unit = " kWh" if "_kWh" in field else ""
    low, high = found.get("low"), found.get("high")
    band = f" ({low:.0f} to {high:.0f})" if low is not None and high is not None else ""
    return f"{found['value']:.0f}{unit}{band}"


def _most(inputs: list[Document], shown: Shown) -> list[str]:
    """Which inputs the width of the band comes from, in a sentence."""
    main = [one for one in inputs if (one.get("band_share") or 0.0) >= WORTH_NAMING][:3]
    if not main:
        return []
    said = ", ".join(f"{shown.prose(str(one['name']))} ({one['band_share']:.0%})" for one in main)
    return wrapped(said, first="band from ")


def _input(given: Document, shown: Shown) -> list[str]:
    """One input on a line of its own, where it comes from under it."""
    share, kind = given.get("band_share"), str(given.get("kind") or "")
    name, value = shown.prose(str(given["name"])), input_words(given, shown)
    of_band = f"{share:.0%} of the band" if share and share >= 0.005 else ""
    head = f"  {name:<{NAME}}  {value:<{VALUE}}  {of_band}".rstrip()
    lines = (
        [head]
        if len(name) <= NAME and len(value) <= VALUE
        else wrapped(f"{name}  {value}  {of_band}", first="  ")
    )
    evidence = KIND_WORDS.get(kind, kind)
    where = shown.prose(str(given.get("source") or ""))
    note = f"; {shown.prose(str(given['note']))}" if given.get("note") else ""
    return lines + wrapped(f"{evidence}: {where}{note}" if evidence else where + note, first="    ")


def input_words(given: Document, shown: Shown) -> str:
    """An input of a reason with its band and unit."""
    value, unit = given.get("value"), str(given.get("unit") or "")
    unit = "" if unit == NUMBER else unit
    if isinstance(value, str) or value is None:
        return shown.prose(str(value or "unknown"))
    ends = [given.get("low"), given.get("high")]
    value, low, high = (None if one is None else shown.convert(one, unit) for one in (value, *ends))
    banded = low is not None and high is not None and low < high
    band = f" ({_figures(low, 4)} to {_figures(high, 4)})" if banded else ""
    figures = 4 if banded else 5  # no finer than its band
    return f"{_figures(value, figures)} {shown.unit(unit)}".rstrip() + band


def _figures(value: float | None, count: int) -> str:
    """So many figures, large numbers written out: 10000, not 1e+04."""
    if value is None:
        return "unknown"
    said = f"{value:.{count}g}"
    return f"{float(said):.0f}" if "e+" in said and abs(value) < 1e9 else said
