"""The press card in a terminal."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from flatstock.pressing.pictures import ThicknessPicture
from flatstock.prints.numbers import (
    decimals_of,
    minutes_at_most,
    minutes_not_before,
    number,
    plain,
    with_band,
)
from flatstock.prints.text.closing import closing
from flatstock.prints.text.layout import clean, heading, table, title, wrapped
from flatstock.prints.words import kind_of, people_of, plastic_name

__all__ = ["card_text"]

Document = Mapping[str, Any]
_ORDINALS = ("first mould", "second in a row", "third in a row")


def card_text(document: Document, picture: ThicknessPicture | None) -> str:
    """A `flatstock.card/1` for people, with the temperature through the thickness if there is a picture."""
    kg = decimals_of(document.get("scale_step_kg"))
    lines = [
        *_head(document),
        *_big(document, kg),
        *_weigh(document, kg),
        *_steps(document),
        *_cooling(document),
        *_facts(document, kg),
    ]
    if picture is not None:
        from flatstock.prints.text.picture import thickness_lines

        lines += [*heading("Through the thickness"), *thickness_lines(picture)]
    return "\n".join([*lines, *closing(document)]) + "\n"


def _head(card: Document) -> list[str]:
    colour = f", {card['colour']}" if card.get("colour") else ""
    name = f"{plastic_name(card['plastic'])} {card['thickness_mm']:g} mm{colour}"
    cavity = f"{card['cavity_length_mm']:g} × {card['cavity_width_mm']:g} mm"
    where = f"press {card['press']}, frame {card['frame']}, cavity {cavity}"
    who = " · ".join(clean(str(card[key])) for key in ("order", "for") if card.get(key))
    return [*title(name, str(card["shop"])), *wrapped(where), *(wrapped(who) if who else [])]


def _big(card: Document, kg: int) -> list[str]:
    latest = minutes_at_most(card["dwell_latest_min"])
    middle = plain(number(card["dwell_latest_min"]).value, 0)
    rule = f" ({card['dwell_advised_rule']})" if card.get("dwell_advised_rule") else ""
    advised = plain(card["dwell_advised_min"])
    return [
        "",
        *_fact(
            "CHARGE",
            f"{with_band(card['charge_kg'], 'kg', kg)}; net {with_band(card['net_charge_kg'], 'kg', kg)}",
        ),
        *_fact(
            "SET-POINT",
            f"{plain(card['set_point_C'])} °C; platens dip by {with_band(card['platen_dip_C'], 'K', 0)}",
        ),
        *_fact(
            "DWELL", f"{advised}{' min' if advised != 'unknown' else ''} from laying the mould down{rule}"
        ),
        *_fact("", f"coldest point at {plain(card['melt_target_C'])} °C: {_said(card['dwell_min'], 'min')}"),
        *_fact(
            "LATEST",
            "the face bears more than 4 h" if latest is None else f"{latest} min ({middle} expected)",
        ),
    ]


def _fact(name: str, words: str) -> list[str]:
    return wrapped(words, first=f"{name:<11} ")


def _said(field: object, unit: str, decimals: int = 1) -> str:
    """A number with its band and the kind of evidence behind it."""
    kind = kind_of(field)
    return with_band(field, unit, decimals) + (f", {kind}" if kind else "")


def _weigh(card: Document, kg: int) -> list[str]:
    rows = [
        (
            str(row["lot"] or "any released lot"),
            f"{plain(row['mass_kg'], kg)} kg",
            f"± {plain(row['tolerance_kg'], kg)}",
        )
        for row in card["weigh"]
    ]
    if len(rows) > 1:
        rows.append(("together", f"{plain(number(card['charge_kg']).value, kg)} kg", ""))
    notes = f"Scale step {plain(card['scale_step_kg'] * 1000, 0)} g."
    if card.get("thickness_tolerance_mm") and card["weigh"]:
        most = max(row["tolerance_kg"] for row in card["weigh"])
        notes += f" ± {plain(most, kg)} kg is ± {plain(card['thickness_tolerance_mm'], 2)} mm of sheet."
    daylight = f" of {plain(card['daylight_mm'], 0)} mm daylight" if card.get("daylight_mm") else ""
    level = (
        f"Heap {with_band(card['heap_mm'], 'mm', 0)}{daylight}. Molten, the net charge stands at"
        f" {with_band(card['hot_level_mm'], 'mm', 2)}, {with_band(card['proud_mm'], 'mm', 2)} over the frame;"
        f" the whole charge at {with_band(card['hot_level_charge_mm'], 'mm')}."
    )
    return [*heading("Weigh"), *table(rows, "<><"), *wrapped(notes, first="  "), *wrapped(level, first="  ")]


def _steps(card: Document) -> list[str]:
    rows = [("min", "do", "on sheet", "gauge", "people")]
    for step in card["steps"]:
        at = number(step["at_min"])
        band = f" ({plain(at.low)} to {plain(at.high)} min)" if at.has_band else ""
        pressure, gauge = step["pressure_MPa"], step["gauge_bar"]
        rows.append((
            plain(at.value, unknown=""), f"{step['do']}{band}",
            "" if pressure is None else f"{plain(pressure, 2 if pressure else 0)} MPa",
            "" if gauge is None else f"{plain(gauge, 0)} bar", people_of(step["people"]),
        ))  # fmt: skip
    return [*heading("Steps"), *table(rows, "><>><")]


def _cooling(card: Document) -> list[str]:
    if "cooling_press" in card and card["cooling_press"] is None:
        words = f"No cooling press on file. Demould under {plain(card['demould_below_C'])} °C core: see the stack."
        return [*heading("Cooling"), *wrapped(words, first="  ")]
    rows = [_cooled(which, field) for which, field in zip(_ORDINALS, card["press_cool_min"], strict=True)]
    fans = {True: ", fans on", False: ", fans off", None: ""}[card.get("fans_on")]
    note = (
        f"From clamping{fans}, a mould every {plain(card['press_every_min'])} min, until the hottest point is"
        f" under {plain(card['open_below_C'])} °C. Demould under {plain(card['demould_below_C'])} °C,"
        " not before. Steel still burns at a touch."
    )
    return [*heading("Do not open the cooling press before"), *table(rows, "<><"), *wrapped(note, first="  ")]


def _cooled(which: str, field: object) -> tuple[str, str, str]:
    minutes = minutes_not_before(field)
    if minutes is None:
        return which, "—", "not cool enough before the next one arrives"
    return which, f"{minutes} min", f"expected {with_band(field, 'min')}"


def _facts(card: Document, kg: int) -> list[str]:
    cold = f"{with_band(card['cold_length_mm'], '', 0)} × {with_band(card['cold_width_mm'], 'mm', 0)}"
    mould = card["mould_mass_kg"]
    rows = [
        ("flash", _said(card["flash_kg"], "kg", kg)),
        ("sheet comes out", with_band(card["sheet_thickness_mm"], "mm", 2)),
        ("cold, before trimming", cold),
        ("energy", with_band(card["energy_kWh"], "kWh")),
        ("whole mould", f"{plain(mould)} kg" if mould is not None else "unknown"),
    ]
    return [*heading("Flash, sheet, energy"), *table(rows, "<<")]
