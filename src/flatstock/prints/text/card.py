"""The press card in a terminal."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from flatstock.pressing.pictures import ThicknessPicture
from flatstock.prints.card_words import CardWords
from flatstock.prints.numbers import plain
from flatstock.prints.text.closing import PRESSING, closing
from flatstock.prints.text.layout import clean, heading, table, title, wrapped
from flatstock.prints.words import kind_of
from flatstock.units import System

__all__ = ["card_text"]

Document = Mapping[str, Any]


def card_text(
    document: Document,
    picture: ThicknessPicture | None,
    system: System = "metric",
    *,
    every_caution: bool = False,
) -> str:
    """A `flatstock.card/1` for people, with the temperature through the thickness if there is a picture.

    `system`: the units that the shop reads. `every_caution`: all, else those that every pressing meets.
    """
    words = CardWords(document, system)
    lines = [
        *_head(words),
        *_big(words),
        *_weigh(words),
        *_steps(words),
        *_cooling(words),
        *_facts(words),
    ]
    if picture is not None:
        from flatstock.prints.text.picture import thickness_lines

        lines += [*heading("Through the thickness"), *thickness_lines(picture, words.shown)]
    last = closing(document, words.shown, cautions=None if every_caution else PRESSING)
    return "\n".join([*lines, *last]) + "\n"


def _head(words: CardWords) -> list[str]:
    card = words.card
    colour = f", {card['colour']}" if card.get("colour") else ""
    both = f" ({card['thickness_mm']:g} mm)" if words.shown.us else ""
    where = f"press {card['press']}, frame {card['frame']}, cavity {words.cavity}"
    who = " · ".join(clean(str(card[key])) for key in ("order", "for") if card.get(key))
    return [
        *title(f"{words.sheet}{both}{colour}", str(card["shop"])),
        *wrapped(where),
        *(wrapped(who) if who else []),
    ]


def _big(words: CardWords) -> list[str]:
    card, shown = words.card, words.shown
    rule = f" ({card['dwell_advised_rule']})" if card.get("dwell_advised_rule") else ""
    advised, _ = words.clock
    minutes = " min" if advised != "unknown" else ""
    dip = shown.band(card["platen_dip_C"], "K", 0)
    net = shown.mass_band(card["net_charge_kg"])
    return [
        "",
        *_fact("CHARGE", f"{shown.mass_band(card['charge_kg'])}; net {net}"),
        *_fact("SET-POINT", f"{words.degrees('set_point_C')}; platens dip by {dip}"),
        *_fact("DWELL", f"{advised}{minutes} from laying the mould down{rule}"),
        *_fact("", f"coldest point at {words.degrees('melt_target_C')}: {_said(words, 'dwell_min', 'min')}"),
        *_fact("LATEST", words.latest),
    ]


def _fact(name: str, words: str) -> list[str]:
    return wrapped(words, first=f"{name:<11} ")


def _said(words: CardWords, name: str, unit: str) -> str:
    """A number with its band and the kind of evidence behind it."""
    field, kind = words.card[name], kind_of(words.card[name])
    said = words.shown.mass_band(field) if unit == "kg" else words.shown.band(field, unit)
    return said + (f", {kind}" if kind else "")


def _weigh(words: CardWords) -> list[str]:
    unit = words.weigh_unit[0]
    rows = [
        (row.lot, f"{row.mass} {unit}{' = ' + row.also if row.also else ''}", row.tolerance)
        for row in words.weigh
    ]
    return [
        *heading("Weigh"),
        *table(rows, "<><"),
        *wrapped(words.tolerance_note, first="  "),
        *wrapped(f"{words.heap_note} {words.level_note}", first="  "),
    ]


def _steps(words: CardWords) -> list[str]:
    rows = [("min", "do", "on sheet", "gauge", "people")]
    rows += [(step.at, step.do, step.pressure, step.gauge, step.people) for step in words.steps]
    spread = words.of_frame.spreading
    return [
        *heading("Steps"),
        *table(rows, "><>><"),
        *(wrapped(" ".join(spread), first="  ") if spread else []),
    ]


def _cooling(words: CardWords) -> list[str]:
    if words.no_press:
        said = (
            f"No cooling press on file. Demould under {words.degrees('demould_below_C')} core: see the stack."
        )
        return [*heading("Cooling"), *wrapped(said, first="  ")]
    rows = [
        (one.which, "—", one.expected)
        if one.minutes is None
        else (one.which, f"{one.minutes} min", f"expected {one.expected}")
        for one in words.cooled
    ]
    every = plain(words.card["press_every_min"], 0)
    note = (
        f"From clamping{words.fans}, a mould every {every} min, until the hottest point is under"
        f" {words.degrees('open_below_C')}. Demould under {words.degrees('demould_below_C')}, not before."
        " Steel still burns at a touch."
    )
    return [*heading("Do not open the cooling press before"), *table(rows, "<><"), *wrapped(note, first="  ")]


def _facts(words: CardWords) -> list[str]:
    card, shown = words.card, words.shown
    long = shown.band(card["cold_length_mm"], "mm", 0, bare=True)
    rows = [
        ("flash", _said(words, "flash_kg", "kg")),
        ("sheet comes out", shown.band(card["sheet_thickness_mm"], "mm")),
        ("cold, before trimming", f"{long} × {shown.band(card['cold_width_mm'], 'mm', 0)}"),
        *([trimmed] if (trimmed := words.of_frame.trimmed) else []),
        ("energy", shown.band(card["energy_kWh"], "kWh")),
        ("whole mould", shown.one(card["mould_mass_kg"], "kg", 0)),
    ]
    return [*heading("Flash, sheet, energy"), *table(rows, "<<")]
