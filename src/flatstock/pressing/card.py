"""The press card: everything that has to be known to make one sheet on one press, as a document and a picture."""

from __future__ import annotations

from dataclasses import dataclass, replace

from flatstock.documents import Document, number, rounded
from flatstock.errors import Refused
from flatstock.plastics.safety import cautions_on
from flatstock.pressing.card_numbers import MINUTE, Card, work_out
from flatstock.pressing.heating import dwell_number
from flatstock.pressing.notes import WORTH_SAYING, card_warnings
from flatstock.pressing.pictures import ThicknessPicture
from flatstock.pressing.questions import CardQuestion
from flatstock.pressing.reasons import card_reasons, kinds_counted
from flatstock.pressing.window import no_window
from flatstock.workshop.shop import Workshop, watered

__all__ = ["Card", "CardAnswer", "answer_card", "answer_of", "document_of", "work_out"]

MILLI = 1e3
KWH = 3.6e6  #: J


@dataclass(frozen=True, slots=True)
class CardAnswer:
    """The document and the picture that goes with it."""

    document: Document
    picture: ThicknessPicture


def answer_card(shop: Workshop, question: CardQuestion) -> CardAnswer:
    """The card for one sheet. Raises `Refused` with every reason where it must not or cannot be made.

    Where only an assumed allowance of the face stands against the dwell, the card is given and says so first.
    """
    return answer_of(work_out(shop, question))


def answer_of(card: Card) -> CardAnswer:
    """The answer of a card whose choices are made. Raises `Refused` where no dwell is long and short enough, or none
    is sure to melt the core."""
    if card.unsure:
        raise Refused(card.unsure)
    spent = no_window(card)
    if spent and not (card.setting.process.face_assumed and card.question.full_pressure_time is None):
        raise Refused(spent)
    document = document_of(card)
    first = [replace(fault, where="").sentence() for fault in spent]
    document["warnings"][:0] = [f"By what faces are assumed to bear, {words}" for words in first]
    return CardAnswer(document=document, picture=card.picture())


def document_of(card: Card) -> Document:
    """A card as `flatstock.card/1`."""
    s, charge, frame = card.setting, card.charge, card.setting.mould.frame
    level = charge.level(charge.net.value)
    advised, rule = card.advised
    latest = card.heating.dwell_latest
    document: Document = {
        "format": "flatstock.card/1",
        "shop": s.shop.name,
        "made_at": card.question.made_at.isoformat() if card.question.made_at else None,
        "order": card.question.order,
        "plastic": s.plastic.id,
        "colour": card.question.colour or _colour(card),
        "thickness_mm": rounded(s.thickness * MILLI),
        "press": s.press.id,
        "frame": frame.id,
        "skins": s.mould.skin.id,
        "cavity_length_mm": rounded(frame.cavity_length * MILLI),
        "cavity_width_mm": rounded(frame.cavity_width * MILLI),
        "net_charge_kg": number(charge.net),
        "charge_kg": number(charge.charge),
        "scale_step_kg": rounded(charge.step),
        "weigh": [
            {"lot": lot, "mass_kg": rounded(mass), "tolerance_kg": rounded(charge.tolerance)}
            for lot, mass in charge.weigh_list
        ],
        "thickness_tolerance_mm": rounded(charge.thickness_effect * MILLI),
        "heap_mm": number(charge.heap, MILLI),
        "daylight_mm": rounded(s.press.daylight * MILLI),
        "hot_level_mm": number(level, MILLI),
        "hot_level_charge_mm": number(charge.level(charge.plastic_mass), MILLI),
        "proud_mm": number(level.mapped(lambda z: z - frame.thickness, unit="m"), MILLI),
        "cold_length_mm": number(charge.cold(frame.cavity_length), MILLI),
        "cold_width_mm": number(charge.cold(frame.cavity_width), MILLI),
        **_trimmed(card),
        "set_point_C": rounded(s.set_point.value),
        "melt_target_C": rounded(card.heating.target),
        "dwell_min": dwell_number(card.heating),
        "dwell_advised_min": rounded(advised / MINUTE),
        "dwell_advised_rule": rule,
        "dwell_latest_min": number(latest, 1 / MINUTE),
        "latest_by_practice": card.beyond_assumed,
        "platen_dip_C": number(card.heating.dip),
        "full_pressure_min": None if card.flash.time is None else rounded(card.flash.time / MINUTE),
        "steps": card.steps,
        **_spread(card),
        "flash_kg": number(card.flash.mass),
        "sheet_thickness_mm": number(card.flash.thickness, MILLI),
        "cooling_press": s.cooling.id if s.cooling else None,
        "fans_on": card.fans if s.cooling else None,
        "press_cool_min": [number(value, 1 / MINUTE) for value in card.cool_times],
        "press_every_min": rounded(card.every / MINUTE),
        "open_below_C": rounded(s.process.open_below.value) if s.process.open_below else None,
        "demould_below_C": rounded(s.process.demould_below.value) if s.process.demould_below else None,
        "energy_kWh": number(card.heating.energy(advised), 1 / KWH),
        "mould_mass_kg": rounded(charge.mould_mass),
        "warnings": card_warnings(card),
        "cautions": cautions_on("card", *_also(card)),
        "why": card_reasons(card),
    }
    document["rests_on"] = kinds_counted(document["why"])
    return document


def _trimmed(card: Card) -> Document:
    """What the frame leaves after trimming, and the cavity that the size sold asks for."""
    trimming = card.trimming
    found: Document = {"edge_trim_mm": rounded(card.setting.shop.practice.trim * MILLI)}
    for side in trimming.sides:
        found |= {
            f"trimmed_{side.name}_mm": None if side.wanted is None else rounded(side.wanted * MILLI),
            f"after_trim_{side.name}_mm": number(side.after_trim, MILLI),
            f"cavity_needed_{side.name}_mm": number(side.needed, MILLI),
            f"spare_{side.name}_mm": number(side.spare, MILLI),
        }
    return {**found, "gives_trimmed": trimming.verdict}


def _spread(card: Card) -> Document:
    """How long the melt takes to the frame, and from when on full pressure may be put on."""
    spread, full_time = card.spreading, card.full_time
    return {
        "heap_covers_percent": number(spread.covers, 100.0),
        "spread_viscosity_kPas": number(spread.viscosity, 1e-3),
        "spread_contact_s": number(spread.at_contact),
        "spread_full_s": number(spread.at_full),
        "spread_half_contact_s": number(spread.heaped(spread.contact)),
        "spread_half_full_s": number(spread.heaped(spread.full)),
        "full_pressure_from_min": number(spread.full_from, 1 / MINUTE),
        "full_force_kN": number(spread.force(spread.full), 1e-3),
        "spread_force_kN": number(spread.force_within(full_time), 1e-3),
        "spread_by": spread.verdict(contact_until=card.contact_until, full_time=full_time),
    }


def _also(card: Card) -> tuple[str, ...]:
    """Topics of caution that its charge and its cooling press bring with them."""
    s = card.setting
    wet = ("wet",) if s.moisture >= WORTH_SAYING else ()
    cooled = ("water_cooled",) if s.cooling is not None and watered(s.cooling) else ()
    return (*wet, *cooled)


def _colour(card: Card) -> str | None:
    colours = {lot.colour for lot, _ in card.setting.stock if lot.colour}
    return colours.pop() if len(colours) == 1 else None
