"""The press card on one page."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from flatstock.pressing.pictures import ThicknessPicture
from flatstock.prints.drawing.card import card_svg
from flatstock.prints.drawing.thickness import describe_thickness
from flatstock.prints.numbers import (
    decimals_of,
    minutes_at_most,
    minutes_not_before,
    number,
    plain,
    with_band,
)
from flatstock.prints.pdf.typeset import typeset_to
from flatstock.prints.pdf.words import cautions, foot, made_at, short
from flatstock.prints.words import day, people_of, plastic_name, weak_mark

__all__ = ["card_pdf"]

Document = Mapping[str, Any]
_ORDINALS = ("first mould", "second in a row", "third in a row")


def card_pdf(
    document: Document, picture: ThicknessPicture | None, path: Path, paper: str = "a4"
) -> list[str]:
    """Print a `flatstock.card/1` on one page of A4 or Letter; returns warnings about the print itself.

    The clock digits act on the safe end of a band: "not before" on the late end, "at the latest" on
    the early end, the middle beside it.

    Raises
    ------
    ValueError
        `paper` is not known.
    OSError
        `path` cannot be written; whatever stood there is left as it was.
    """
    return typeset_to(path, "card", _content(document, picture), paper=paper, made_at=made_at(document))


def _content(card: Document, picture: ThicknessPicture | None) -> dict[str, Any]:
    kg = decimals_of(card.get("scale_step_kg"))
    name = f"{plastic_name(card['plastic'])} {card['thickness_mm']:g} mm"
    return {
        "title": f"Press card: {name} on {card['press']}, {card['shop']}",
        "shop": card["shop"],
        "sheet": name,
        "where": _where(card),
        "big": [_charge(card, kg), _set_point(card), _dwell(card)],
        "weigh": _weigh_list(card, kg),
        "weigh_notes": _weigh_notes(card, kg),
        "cooling": []
        if _no_press(card)
        else [_cooled(which, field) for which, field in zip(_ORDINALS, card["press_cool_min"], strict=True)],
        "cooling_notes": _cooling_notes(card),
        "steps": [_step(step) for step in card["steps"]],
        "facts": _facts(card, kg),
        "picture": _picture(picture),
        "warnings": [str(words) for words in card["warnings"]],
        "cautions": cautions(card),
        "foot": foot(card),
    }


def _where(card: Document) -> list[str]:
    colour = f"{card['colour']}, " if card.get("colour") else ""
    size = f"{card['cavity_length_mm']:g} × {card['cavity_width_mm']:g} mm"
    made = made_at(card)
    order = " · ".join(short(str(card[key]), 48) for key in ("order", "for") if card.get(key))
    lines = [f"{colour}press {card['press']}, frame {card['frame']}, cavity {size}", order]
    return [line for line in [*lines, f"{short(card['shop'], 48)}{', ' + day(made) if made else ''}"] if line]


def _big(name: str, digits: str, unit: str, below: list[str], act: str = "") -> dict[str, Any]:
    """What is read from arm's length: large digits, small lines under them, one bold line to act on."""
    return {"name": name, "digits": digits, "unit": unit, "below": below, "act": act}


def _charge(card: Document, kg: int) -> dict[str, Any]:
    charge = number(card["charge_kg"])
    band = [f"between {plain(charge.low, kg)} and {plain(charge.high, kg)} kg"] if charge.has_band else []
    net = f"net {with_band(card['net_charge_kg'], 'kg', kg)}"
    return _big("CHARGE", plain(charge.value, kg, "—"), "kg", [*band, net])


def _set_point(card: Document) -> dict[str, Any]:
    dip = f"platens dip by {with_band(card['platen_dip_C'], 'K', 0)}"
    return _big("SET-POINT", plain(card["set_point_C"]), "°C", [dip])


def _dwell(card: Document) -> dict[str, Any]:
    latest = minutes_at_most(card["dwell_latest_min"])
    middle = plain(number(card["dwell_latest_min"]).value, 0)
    act = (
        "the face bears more than 4 h"
        if latest is None
        else f"at the latest {latest} min ({middle} expected)"
    )
    reached = f"core at {plain(card['melt_target_C'])} °C: {with_band(card['dwell_min'], 'min')}"
    return _big(
        "DWELL, from laying down", plain(card["dwell_advised_min"], unknown="—"), "min", [reached], act
    )


def _weigh_list(card: Document, kg: int) -> list[dict[str, str]]:
    rows = [_weighed(row, kg) for row in card["weigh"]]
    if len(rows) > 1:
        rows.append(
            {"lot": "together", "mass": plain(number(card["charge_kg"]).value, kg, "—"), "tolerance": ""}
        )
    return rows


def _weighed(row: Document, kg: int) -> dict[str, str]:
    return {
        "lot": short(str(row["lot"] or "any released lot"), 26),
        "mass": plain(row["mass_kg"], kg),
        "tolerance": f"± {plain(row['tolerance_kg'], kg)}",
    }


def _weigh_notes(card: Document, kg: int) -> list[str]:
    step = f"Scale step {plain(card['scale_step_kg'] * 1000, 0)} g."
    means = card.get("thickness_tolerance_mm")
    if means and card["weigh"]:
        largest = max(row["tolerance_kg"] for row in card["weigh"])
        step += f" ± {plain(largest, kg)} kg is ± {plain(means, 2)} mm of sheet."
    daylight = f" of {plain(card['daylight_mm'], 0)} mm daylight" if card.get("daylight_mm") else ""
    heap = f"Heap {with_band(card['heap_mm'], 'mm', 0)}{daylight}."
    level = (
        f"Molten {with_band(card['hot_level_mm'], 'mm', 2)}, {with_band(card['proud_mm'], 'mm', 2)} over the"
        f" frame; with the allowance {with_band(card['hot_level_charge_mm'], 'mm')}."
    )
    return [step, heap, level]


def _cooled(which: str, field: object) -> dict[str, str]:
    minutes = minutes_not_before(field)
    if minutes is None:
        return {
            "which": which,
            "minutes": "—",
            "unit": "",
            "middle": "not cool enough before the next arrives",
        }
    middle = f"expected {with_band(field)}" if number(field).has_band else ""
    return {"which": which, "minutes": str(minutes), "unit": " min", "middle": middle}


def _no_press(card: Document) -> bool:
    """Whether the document says that the shop has no cooling press."""
    return "cooling_press" in card and card["cooling_press"] is None


def _cooling_notes(card: Document) -> list[str]:
    if _no_press(card):
        words = f"No cooling press on file. Demould below {plain(card['demould_below_C'])} °C core: see the stack."
        return [words]
    fans = {True: ", fans on", False: ", fans off", None: ""}[card.get("fans_on")]
    press = f" in {card['cooling_press']}" if card.get("cooling_press") else ""
    return [
        f"Counted from clamping{press}{fans}, a mould every {plain(card['press_every_min'])} min;"
        f" hottest point below {plain(card['open_below_C'])} °C.",
        f"Demould below {plain(card['demould_below_C'])} °C, not before. Steel still burns at a touch.",
    ]


def _step(step: Document) -> dict[str, str]:
    at = number(step["at_min"])
    gauge, pressure = step["gauge_bar"], step["pressure_MPa"]
    return {
        "at": plain(at.value, unknown="").replace("-", "−"),
        "do": str(step["do"]) + (f" ({plain(at.low)} to {plain(at.high)} min)" if at.has_band else ""),
        "pressure": "" if pressure is None else f"{plain(pressure, 2 if pressure else 0)} MPa",
        "gauge": "" if gauge is None else f"{plain(gauge, 0)} bar",
        "people": people_of(step["people"]),
    }


def _facts(card: Document, kg: int) -> list[dict[str, str]]:
    mark = weak_mark(number(card["flash_kg"]).kind)
    mould = card["mould_mass_kg"]
    cold = " × ".join(plain(number(card[side]).value, 0) for side in ("cold_length_mm", "cold_width_mm"))
    facts = [
        (f"flash{', ' + mark if mark else ''}", with_band(card["flash_kg"], "kg", kg)),
        ("sheet comes out", with_band(card["sheet_thickness_mm"], "mm", 2)),
        ("cold, before trimming", f"{cold} mm"),
        ("energy", with_band(card["energy_kWh"], "kWh")),
        ("whole mould", plain(mould) + (" kg" if mould is not None else "")),
    ]
    return [{"name": name, "value": value} for name, value in facts]


def _picture(picture: ThicknessPicture | None) -> dict[str, Any] | None:
    if picture is None:
        return None
    return {
        "title": "Through the thickness: hatched solid, dotted melting; below, core and face",
        "svgs": [card_svg(picture, height=height) for height in (400, 340, 290, 250)],
        "alt": describe_thickness(picture),
    }
