"""The wall chart: charge and dwell on this press by plastic, thickness and set-point, from the shop's numbers."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from math import floor

from flatstock.documents import Document, number, rounded
from flatstock.errors import Fault, Refused
from flatstock.evidence import Value, weakest
from flatstock.plastics.model import Plastic
from flatstock.plastics.safety import cautions_on
from flatstock.pressing.card_numbers import TENTH, Card
from flatstock.pressing.fitting import no_frame
from flatstock.pressing.heating import dwell_number
from flatstock.pressing.left_out import LeftOut, grouped
from flatstock.pressing.picking import pick
from flatstock.pressing.questions import CardQuestion
from flatstock.pressing.setting import plastics_of, set_out
from flatstock.workshop.shop import HotPress, Workshop, watered

__all__ = ["WallchartAnswer", "answer_wallchart"]

STEP = 10.0  #: K between the chart's set-points
LEAST_OVER_TARGET = 5.0  #: K that a set-point must lie over the core target to be worth a row


@dataclass(frozen=True, slots=True)
class WallchartAnswer:
    """The document."""

    document: Document


def answer_wallchart(shop: Workshop, made_at: datetime) -> WallchartAnswer:
    """A row for each plastic this shop presses, each frame's thickness and up to three set-points."""
    press = pick(None, shop.hot_presses, what="hot press", where="wallchart", default=shop.default_hot_press)
    thicknesses = sorted({round(frame.thickness, 6) for frame in shop.frames.values()})
    if not thicknesses:
        raise Refused(no_frame("wallchart"))
    rows: list[Document] = []
    left_out: list[LeftOut] = []
    cavity: Card | None = None
    for plastic in _pressed_here(shop):
        in_stock = _in_stock(shop, plastic)
        for set_point in _set_points(plastic, press):
            for thickness in thicknesses:
                try:
                    card = _card(shop, plastic, thickness, set_point)
                    rows.append(_row(card, in_stock=in_stock))
                    cavity = cavity or card
                except Refused as refusal:
                    left_out += [(plastic.id, thickness, set_point, fault.what) for fault in refusal.faults]
    if cavity is None:
        reasons = grouped(left_out) or ["no plastic that this workshop presses has all the data a card needs"]
        instead = "`flatstock card` for one of them says what would be right"
        raise Refused([Fault("wallchart", reason.rstrip("."), instead) for reason in reasons])
    frame, cooling = cavity.setting.mould.frame, cavity.setting.cooling
    also = ("water_cooled",) if cooling is not None and watered(cooling) else ()
    document: Document = {
        "format": "flatstock.wallchart/1",
        "shop": shop.name,
        "made_at": made_at.isoformat(),
        "press": press.id,
        "cavity_length_mm": rounded(frame.cavity_length * 1e3),
        "cavity_width_mm": rounded(frame.cavity_width * 1e3),
        "scale_step_kg": rounded(cavity.charge.step),
        "rows": rows,
        "warnings": [
            *grouped(left_out),
            "Weigh by the card of the lot in hand: its water and its melt flow are not in here.",
            "Each row is of one plastic: a charge of two needs its card, which goes by the one that asks most.",
        ],
        "cautions": cautions_on("wallchart", *also),
        "rests_on": dict(sorted(Counter(row["rests_on"] for row in rows).items())),
    }
    return WallchartAnswer(document=document)


def _pressed_here(shop: Workshop) -> list[Plastic]:
    """Plastics with a lot, an order or own values here, that a card can be made for; else all of the library."""
    known = plastics_of(shop)
    named = (
        [lot.plastic for lot in shop.lots.values()]
        + [order.plastic for order in shop.orders.values()]
        + list(shop.plastic_overrides)
    )
    mine = [known[name.lower()] for name in dict.fromkeys(n.lower() for n in named) if name.lower() in known]
    every = mine or list(known.values())
    return sorted(
        (
            p
            for p in every
            if p.never_pressed is None and not p.missing and p.process is not None and p.process.set_point
        ),
        key=lambda plastic: plastic.id,
    )


def _in_stock(shop: Workshop, plastic: Plastic) -> bool:
    """Whether the shop has flake of it that may be pressed, or may be once it is dried; yes where it has no lots."""
    lots = [lot for lot in shop.lots.values() if lot.plastic.lower() == plastic.id]
    return not shop.lots or any(lot.status == "released" and lot.mass > 0 for lot in lots)


def _set_points(plastic: Plastic, press: HotPress) -> Iterator[float]:
    """The set-point on file and one step either way, within every limit."""
    process = plastic.process
    if process is None or process.set_point is None or process.melt_target is None:
        return
    usual = process.set_point.value
    highest = min(
        process.highest_set_point.value if process.highest_set_point else usual,
        press.highest_platen if press.highest_platen is not None else 1e9,
    )
    for set_point in (usual - STEP, usual, usual + STEP):
        if process.melt_target.value + LEAST_OVER_TARGET <= set_point <= highest:
            yield set_point


def _card(shop: Workshop, plastic: Plastic, thickness: float, set_point: float) -> Card:
    question = CardQuestion(plastic=plastic.id, thickness=thickness, set_point=set_point)
    setting = set_out(shop, plastic=plastic.id, thickness=thickness, set_point=set_point, any_lot=False)
    return Card(question=question, setting=setting, quick=True)


def _row(card: Card, *, in_stock: bool) -> Document:
    """A line of the chart: no dwell is advised that the face is not sure to bear, or has borne here."""
    heating, charge = card.heating, card.charge
    inputs: list[Value] = [*heating.draws.inputs.values(), charge.density, charge.shrinkage]
    latest = heating.dwell_latest
    process = card.setting.process
    advised: float | None = card.advised[0]
    usual = process.set_point is not None and card.setting.set_point.value == process.set_point.value
    borne = usual and card.beyond_assumed  # practice speaks for the set-point that it was found at
    note = None
    if card.unsure:
        advised, note = None, "no dwell is sure to melt its core: ask for a card first"
    elif latest is not None and borne:
        note = f"by practice; check its face, assumed to bear {floor(latest.low / 60)} min"
    elif latest is not None and card.needed > latest.value:
        advised, note = None, "not at this set-point: its face is spent first"
    elif latest is not None and latest.low < max(card.needed, heating.dwell.high):
        advised, note = None, "no dwell is sure to serve core and face: ask for a card first"
    elif latest is not None and latest.low < card.advised[0]:
        note = f"{card.advised[0] / 60:.0f} min of practice is longer than the face is sure to bear"
        advised = floor(latest.low / TENTH + 1e-9) * TENTH
    return {
        "plastic": card.setting.plastic.id,
        "thickness_mm": rounded(card.setting.thickness * 1e3),
        "set_point_C": rounded(card.setting.set_point.value),
        "charge_kg": number(charge.charge),
        "net_charge_kg": number(charge.net),
        "dwell_min": dwell_number(heating),
        "dwell_advised_min": None if advised is None else rounded(advised / 60),
        "dwell_latest_min": number(latest, 1 / 60),
        "latest_by_practice": borne,
        "rests_on": weakest(*(value.kind for value in inputs)),
        "note": note,
        "usual": usual,
        "in_stock": in_stock,
    }
