"""The press card on one page."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from flatstock.pressing.pictures import ThicknessPicture
from flatstock.prints.card_words import CardWords, Cooled, Weighed
from flatstock.prints.drawing.card import card_svg
from flatstock.prints.drawing.thickness import describe_thickness
from flatstock.prints.numbers import number, plain
from flatstock.prints.pdf.typeset import typeset_to
from flatstock.prints.pdf.words import cautions, foot, made_at, short
from flatstock.prints.words import day, weak_mark
from flatstock.units import System

__all__ = ["card_pdf"]

Document = Mapping[str, Any]


def card_pdf(
    document: Document,
    picture: ThicknessPicture | None,
    path: Path,
    paper: str = "a4",
    system: System = "metric",
) -> list[str]:
    """Print a `flatstock.card/1` on one page of A4 or Letter; returns warnings about the print itself.

    The clock digits act on the safe end of a band: "not before" on the late end, "at the latest" on
    the early end, the middle beside it. `system`: the units that the shop reads.

    Raises
    ------
    ValueError
        `paper` is not known.
    OSError
        `path` cannot be written; whatever stood there is left as it was.
    """
    content = _content(CardWords(document, system), picture)
    return typeset_to(path, "card", content, paper=paper, made_at=made_at(document))


def _content(words: CardWords, picture: ThicknessPicture | None) -> dict[str, Any]:
    card, shown = words.card, words.shown
    return {
        "title": f"Press card: {words.sheet} on {card['press']}, {card['shop']}",
        "shop": card["shop"],
        "sheet": words.sheet,
        "where": _where(words),
        "big": [_charge(words), _set_point(words), _dwell(words)],
        "weigh_unit": words.weigh_unit[0],
        "weigh": [_weighed(row) for row in words.weigh],
        "weigh_notes": [
            words.tolerance_note,
            words.heap_note,
            words.level_note,
            *([start] if (start := words.of_frame.start) else []),
        ],
        "cooling": [_cooled(one) for one in words.cooled],
        "cooling_notes": _cooling_notes(words),
        "steps": [
            {
                "at": s.at.replace("-", "−"),
                "do": s.do,
                "pressure": s.pressure,
                "gauge": s.gauge,
                "people": s.people,
            }
            for s in words.steps
        ],
        "facts": _facts(words),
        "picture": _picture(words, picture),
        "warnings": [shown.prose(str(said)) for said in card["warnings"]],
        "cautions": cautions(card, shown),
        "foot": foot(card),
    }


def _where(words: CardWords) -> list[str]:
    card = words.card
    colour = f"{card['colour']}, " if card.get("colour") else ""
    metric = f"{card['thickness_mm']:g} mm, " if words.shown.us else ""
    made = made_at(card)
    order = " · ".join(short(str(card[key]), 48) for key in ("order", "for") if card.get(key))
    lines = [f"{metric}{colour}press {card['press']}, frame {card['frame']}, cavity {words.cavity}", order]
    return [line for line in [*lines, f"{short(card['shop'], 48)}{', ' + day(made) if made else ''}"] if line]


def _big(name: str, digits: str, unit: str, below: list[str], act: str = "") -> dict[str, Any]:
    """What is read from arm's length: large digits, small lines under them, one bold line to act on."""
    return {"name": name, "digits": digits, "unit": unit, "below": below, "act": act}


def _charge(words: CardWords) -> dict[str, Any]:
    card, shown = words.card, words.shown
    digits, unit, charge, _ = shown.mass_parts(card["charge_kg"])
    low, high = shown.mass_ends(card["charge_kg"])
    band = [f"between {low} and {high} {unit}"] if charge.has_band and low != high else []
    kilograms = words.kilograms(charge_kg) if (charge_kg := number(card["charge_kg"]).value) else ""
    scale = [f"= {kilograms} on the scale"] if kilograms else []
    return _big("CHARGE", digits, unit, [*scale, *band, f"net {shown.mass_band(card['net_charge_kg'])}"])


def _set_point(words: CardWords) -> dict[str, Any]:
    card, shown = words.card, words.shown
    dip = f"platens dip by {shown.band(card['platen_dip_C'], 'K', 0)}"
    return _big("SET-POINT", shown.digits(card["set_point_C"], "C"), shown.unit("C"), [dip])


def _dwell(words: CardWords) -> dict[str, Any]:
    card, advised = words.card, words.clock[0]
    act = words.latest if words.clock[1] is None else f"at the latest {words.latest}"
    reached = f"core at {words.degrees('melt_target_C')}: {words.shown.band(card['dwell_min'], 'min')}"
    digits = "—" if advised == "unknown" else advised
    return _big("DWELL, from laying down", digits, "min", [reached], act)


def _weighed(row: Weighed) -> dict[str, str]:
    also = f" = {row.also}" if row.also else ""
    return {"lot": short(row.lot, 26) + also, "mass": row.mass, "tolerance": row.tolerance}


def _cooled(one: Cooled) -> dict[str, str]:
    if one.minutes is None:
        middle = "not cool enough before the next arrives"
        return {"which": one.which, "minutes": "—", "unit": "", "middle": middle}
    middle = f"expected {one.expected.replace(' min', '')}" if "(" in one.expected else ""
    return {"which": one.which, "minutes": one.minutes, "unit": " min", "middle": middle}


def _cooling_notes(words: CardWords) -> list[str]:
    card, demould = words.card, words.degrees("demould_below_C")
    if words.no_press:
        return [f"No cooling press on file. Demould below {demould} core: see the stack."]
    press = f" in {card['cooling_press']}" if card.get("cooling_press") else ""
    every = plain(card["press_every_min"], 0)
    return [
        f"Counted from clamping{press}{words.fans}, a mould every {every} min;"
        f" hottest point below {words.degrees('open_below_C')}.",
        f"Demould below {demould}, not before. Steel still burns at a touch.",
    ]


def _facts(words: CardWords) -> list[dict[str, str]]:
    card, shown = words.card, words.shown
    mark = weak_mark(number(card["flash_kg"]).kind)
    cold = " × ".join(
        shown.digits(number(card[side]).value, "mm", 0) for side in ("cold_length_mm", "cold_width_mm")
    )
    facts = [
        (f"flash{', ' + mark if mark else ''}", shown.mass_band(card["flash_kg"])),
        ("sheet comes out", shown.band(card["sheet_thickness_mm"], "mm")),
        ("cold, before trimming", f"{cold} {shown.unit('mm')}"),
        *_trimmed(words),
        ("energy", shown.band(card["energy_kWh"], "kWh")),
        ("whole mould", shown.one(card["mould_mass_kg"], "kg", 0)),
    ]
    return [{"name": name, "value": value} for name, value in facts]


def _trimmed(words: CardWords) -> list[tuple[str, str]]:
    """Whether the size sold comes of it, in a word: the line of facts is narrow, and a warning says by how much."""
    trimmed = words.of_frame.trimmed
    if trimmed is None or words.card["gives_trimmed"] is None:
        return []
    return [(trimmed[0], trimmed[1].partition(":")[0])]


def _picture(words: CardWords, picture: ThicknessPicture | None) -> dict[str, Any] | None:
    if picture is None:
        return None
    shown = words.shown
    return {
        "title": "Through the thickness: hatched solid, dotted melting; below, core and face",
        "svgs": [card_svg(picture, height=height, shown=shown) for height in (400, 340, 290, 250)],
        "alt": describe_thickness(picture, shown),
    }
