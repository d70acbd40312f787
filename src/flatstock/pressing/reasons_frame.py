"""Why the frame gives the size sold or not, and when the melt has filled it: formula, inputs, source, band."""

from __future__ import annotations

from flatstock.documents import Document, why
from flatstock.evidence import Value
from flatstock.pressing.card_numbers import Card
from flatstock.pressing.reason_inputs import (
    FLOW,
    HEAT,
    MILLI,
    PAGE,
    SHOP,
    Input,
    cavity_area,
    full_time,
    on_file,
    sure,
)
from flatstock.pressing.spreading import HALF
from flatstock.pressing.trimming import Side

__all__ = ["frame_reasons"]

LAW = "3 β η V² / (4 r F) · (1 - c⁴) / h⁴ from melting through on: squeeze flow of a rectangle with the cavity's sides"


def frame_reasons(card: Card) -> list[Document]:
    """One entry for each number about the size sold and about spreading."""
    return [*_trimming(card), *_spreading(card)]


def _trimming(card: Card) -> list[Document]:
    sides = card.trimming.sides
    found = [why("edge_trim_mm", "cut from each edge at least", [_trim(card)], SHOP)]
    for side in sides:
        found += _side(card, side)
    spares: list[Input] = [(f"spare {side.name}", spare, MILLI, "mm") for side, spare in card.trimming.spares]
    rule = (
        "yes: both sides are long enough at every shrinkage of its band; no: at none; perhaps: at some;"
        " not known: no size sold is on file"
    )
    return [*found, why("gives_trimmed", rule, spares, PAGE)]


def _trim(card: Card) -> Input:
    practice = card.setting.shop.practice
    return ("edge trim", on_file(practice, "trim", practice.trim, "m"), MILLI, "mm")


def _side(card: Card, side: Side) -> list[Document]:
    frame, practice = card.setting.mould.frame, card.setting.shop.practice
    name = f"cavity_{side.name}"
    cavity: Input = (f"cavity {side.name}", on_file(frame, name, side.cavity, "m"), MILLI, "mm")
    shrinkage: Input = ("linear shrinkage", side.shrinkage, 100.0, "%")
    trim = _trim(card)
    band = {} if side.shrinkage.is_sure else {shrinkage[0]: 1.0}
    found = [
        why(f"after_trim_{side.name}_mm", "cavity · (1 - shrinkage) - 2 · edge trim", [cavity, shrinkage, trim], FLOW,
            shares=band),
    ]  # fmt: skip
    if side.wanted is None:
        return found
    wanted: Input = (
        f"trimmed {side.name} sold",
        on_file(practice, f"trimmed_{side.name}", side.wanted, "m"),
        MILLI,
        "mm",
    )
    note = "shrinkage of the shop's own sheets takes the library's place: plastics.toml, shrinkage_percent"
    return [
        why(f"trimmed_{side.name}_mm", "the sheet as sold, its longer side along the cavity's longer", [wanted], SHOP),
        *found,
        why(f"cavity_needed_{side.name}_mm", "(trimmed + 2 · edge trim) / (1 - shrinkage)", [wanted, trim, shrinkage],
            FLOW, shares=band, note=note),
        why(f"spare_{side.name}_mm", "cavity · (1 - shrinkage) - 2 · edge trim - trimmed",
            [cavity, shrinkage, trim, wanted], FLOW, shares=band, note=note),
    ]  # fmt: skip


def _spreading(card: Card) -> list[Document]:
    spread, s = card.spreading, card.setting
    heap: list[Input] = [("angle of repose", spread.repose, 1.0, "deg")]
    if spread.asked is not None:
        heap = [("covered share", spread.covers, 100.0, "%")]
    covers = why(
        "heap_covers_percent",
        "as asked for, else laid level: mean height of the heap / height of its top, edges at the angle of repose",
        [*heap, ("loose bulk density", s.bulk_density, 1.0, "kg/m3"),
         ("frame", on_file(s.mould.frame, "thickness", s.mould.frame.thickness, "m"), MILLI, "mm"),
         ("cavity area", cavity_area(s.mould.frame), 1.0, "m2")],
        FLOW, shares={} if spread.covers.is_sure else {"angle of repose": 1.0},
        note="a heap that needs a collar is held by it, and covers all",
    )  # fmt: skip
    force = why("full_force_kN", "full pressure · cavity area",
                [("full pressure", spread.full, 1e-6, "MPa"), ("cavity area", cavity_area(s.mould.frame), 1.0, "m2")],
                FLOW, shares={} if spread.full.is_sure else {"full pressure": 1.0})  # fmt: skip
    contact, full = spread.at_contact, spread.at_full
    if spread.viscosity is None or spread.viscosity_at_goal is None or contact is None or full is None:
        note = f"not predicted: {card.flash.unknown}"
        names = ("spread_contact_s", "spread_full_s", "spread_half_contact_s", "spread_half_full_s")
        return [covers, force, *(why(name, LAW, [], FLOW, note=note) for name in names)]
    viscosity = why(
        "spread_viscosity_kPas",
        "1 / (12 ∫ (y - y0)² / η(T(y)) dy) over the thickness, T as the charge is when it has melted through",
        [("melt viscosity at the set-point", spread.viscosity_at_goal, 1e-3, "kPa s"),
         ("coldest point", sure(card.heating.target, "°C", HEAT, "computed"), 1.0, "°C"),
         ("set-point", s.set_point, 1.0, "°C")],
        FLOW, shares={} if spread.viscosity.is_sure else {"melt viscosity at the set-point": 1.0},
        note="as if hardly sheared, which is the stiffest it can be: a melt that thins spreads sooner",
    )  # fmt: skip
    half = Value.sure(HALF, kind="assumed", source=PAGE)
    pressures = (("contact", "contact pressure", spread.contact), ("full", "full pressure", spread.full))
    found = [covers, viscosity, force]
    for heaped, share in (("", spread.covers), ("half_", half)):
        for name, words, pressure in pressures:
            shares = spread.shares(pressure, share)
            found.append(
                why(
                    f"spread_{heaped}{name}_s",
                    LAW,
                    [
                        ("viscosity, through the thickness", spread.viscosity, 1e-3, "kPa s"),
                        (words, pressure, 1e-6, "MPa"),
                        ("covered share", share, 100.0, "%"),
                        ("outline", spread.outline, 1.0, ""),
                        ("hot level of the charge", sure(spread.level, "m", FLOW, "computed"), MILLI, "mm"),
                        ("cavity area", cavity_area(s.mould.frame), 1.0, "m2"),
                    ],
                    FLOW,
                    shares={words if one == "pressure" else one: part for one, part in shares.items()},
                    note="melt through and through; lumps and cold corners are left out. outline: 1 for a heap that"
                    " keeps the cavity's sides, up to that of a round one",
                )
            )
    at_full: Input = ("spreading at full pressure", full, 1.0, "s")
    at_contact: Input = ("spreading at contact pressure", contact, 1.0, "s")
    time: Input = ("full-pressure time", full_time(card), 1 / 60, "min")
    dwell: Input = ("melt-through", card.heating.dwell, 1 / 60, "min")
    return [
        *found,
        why("full_pressure_from_min", "melt-through + spreading at contact pressure; early ends and late ends together",
            [dwell, at_contact], PAGE),
        why("spread_force_kN", "full force · spreading at full pressure / full-pressure time", [
            ("full force", spread.force(spread.full), 1e-3, "kN"), at_full, time], FLOW,
            note="the force that alone brings the melt to the frame within the full-pressure time"),
        why("spread_by", "contact: spread before full pressure goes on; full: by its end; short: not sure to be, by the"
            " late ends", [dwell, at_contact, at_full, time,
            ("contact pressure ends", sure(card.contact_until, "s", PAGE, "computed"), 1 / 60, "min")], PAGE),
    ]  # fmt: skip
