"""The card of a sheet, with its controls: thickness, set-point, first or later mould, fans, heap and pressure."""

from __future__ import annotations

from collections.abc import Mapping
from math import floor
from typing import Annotated, Any
from urllib.parse import urlencode

from fastapi import APIRouter, Depends, Query, Request
from fastapi.responses import HTMLResponse, Response

from flatstock.actions.cards import CardQuestion
from flatstock.actions.choices import CardChoices, PlasticChoice, card_choices
from flatstock.errors import OutOfRange, UserError
from flatstock.prints.card_words import CardWords
from flatstock.prints.drawing import card_svg
from flatstock.prints.numbers import number
from flatstock.prints.pdf import card_pdf
from flatstock.prints.text.closing import PRESSING, belonging
from flatstock.prints.words import rests_on
from flatstock.units import from_si
from flatstock.web.answers import Answers
from flatstock.web.asked import CardAsked, Dial, dial
from flatstock.web.page import place_of, show, wants_part
from flatstock.web.papers import paper_of
from flatstock.web.reasons import reasons_of
from flatstock.workshop.shop import Workshop

__all__ = ["router"]

router = APIRouter()
USUAL = 0.25e6  #: Pa on the sheet where no card says what is usual: common practice, no source
Word = Annotated[str, Query(max_length=80)]


def _asked(
    request: Request,
    plastic: Word = "",
    thickness: Word = "",
    set_point: Word = "",
    mould: Word = "1",
    fans: Word = "",
    press: Word = "",
    lot: Word = "",
    order: Word = "",
    footprint: Word = "",
    gauge: Word = "",
    pressure: Word = "",
    full: Word = "",
    every: Word = "",
) -> tuple[CardChoices, CardAsked]:
    """What there is to choose from, and what was chosen."""
    shop = place_of(request).shop()
    choices = card_choices(shop)
    return choices, CardAsked.of(
        shop,
        choices,
        plastic,
        thickness,
        set_point,
        mould,
        fans,
        press,
        lot,
        order,
        footprint,
        gauge,
        pressure,
        full,
        every,
    )


Asked = Annotated[tuple[CardChoices, CardAsked], Depends(_asked)]


@router.get("/card", response_class=HTMLResponse)
def card(request: Request, chosen: Asked) -> Response:
    """The whole page, or the answer alone."""
    shop, (choices, asked) = place_of(request).shop(), chosen
    given: dict[str, Any] = {"asked": asked, "choices": choices, "framed": bool(shop.frames)}
    try:
        given |= _answer(request, shop, asked)
        status = 200
    except (UserError, OutOfRange) as error:
        given |= {"faults": getattr(error, "faults", ()), "outside": str(error)}
        status = 422
    if wants_part(request):
        address = f"/card?{urlencode(asked.words())}"
        return show(request, "card_answer.html", status=status, headers={"HX-Replace-Url": address}, **given)
    known = given.get("card")
    return show(
        request,
        "card.html",
        status=status,
        dials=_dials(shop, choices, asked),
        pressing=_pressing_dials(shop, choices, asked, known),
        every=_every_dial(asked, known) if choices.cooling else None,
        **given,
    )


@router.get("/card.pdf")
def card_paper(request: Request, chosen: Asked) -> Response:
    """The same card on paper, which has the first three moulds in a row."""
    shop, (_, asked) = place_of(request).shop(), chosen
    answers: Answers = request.app.state.answers
    answer = answers.card(shop, asked.question(shop), place_of(request).now())
    return paper_of(
        request,
        lambda path: card_pdf(answer.document, answer.picture, path, shop.paper, shop.units_shown),
        f"card-{asked.plastic.id}.pdf",
    )


def _answer(request: Request, shop: Workshop, asked: CardAsked) -> dict[str, Any]:
    question: CardQuestion = asked.question(shop)
    answers: Answers = request.app.state.answers
    answer = answers.card(shop, question, place_of(request).now())
    words = CardWords(answer.document, shop.units_shown)
    return {
        "card": answer.document,
        "words": words,
        "drawing": card_svg(answer.picture, shown=words.shown),
        "reasons": reasons_of(answer.document, words.shown),
        "cautions": belonging(answer.document["cautions"], PRESSING),
        "rests_on": rests_on(answer.document),
        "paper": f"/card.pdf?{urlencode(asked.words())}",
    }


def _dials(shop: Workshop, choices: CardChoices, asked: CardAsked) -> list[Dial]:
    """Thickness and set-point, in the shop's units."""
    plastic: PlasticChoice = asked.plastic
    us = shop.units_shown == "us"
    length, heat = ("in", "F") if us else ("mm", "C")
    return [
        dial(
            "thickness",
            "Thickness of the cold sheet",
            from_si(asked.thickness, "length", length),
            low=from_si(choices.thinnest, "length", length),
            high=from_si(choices.thickest, "length", length),
            steps=(0.01,) if us else (0.25,),
            unit=length,
            quick=[from_si(one, "length", length) for one in choices.thicknesses],
        ),
        dial(
            "set_point",
            "Set-point of the platens",
            from_si(asked.set_point, "temperature", heat),
            low=from_si(plastic.lowest, "temperature", heat),
            high=from_si(plastic.highest, "temperature", heat),
            steps=(1.0, 10.0) if us else (1.0, 5.0),
            unit="°F" if us else "°C",
            quick=[from_si(plastic.set_point, "temperature", heat)],
        ),
    ]


def _pressing_dials(
    shop: Workshop, choices: CardChoices, asked: CardAsked, card: Mapping[str, Any] | None
) -> list[Dial]:
    """How the heap lies and how hard it is pressed; the slider of one that is left empty stands where that is."""
    covers = None if card is None else number(card["heap_covers_percent"]).value
    force = None if card is None else number(card["full_force_kN"]).value
    return [
        dial(
            "footprint",
            "What the heap covers of the frame",
            None if asked.footprint is None else 100 * asked.footprint,
            low=10,
            high=100,
            steps=(5, 25),
            unit="%",
            quick=(50,),
            at=100 if covers is None else round(covers),
            empty="laid level",
        ),
        _pressure_dial(shop, choices, asked, None if force is None else force * 1e3, card),
        dial(
            "full",
            "Time at full pressure",
            None if asked.full is None else from_si(asked.full, "duration", "min"),
            low=0,
            high=15,
            steps=(0.5, 2),
            unit="min",
            at=None if card is None or card["full_pressure_min"] is None else card["full_pressure_min"],
            empty="advised",
        ),
    ]


def _every_dial(asked: CardAsked, card: Mapping[str, Any] | None) -> Dial:
    """How the moulds follow each other."""
    return dial(
        "every",
        "From mould to mould in the cooling press",
        None if asked.every is None else from_si(asked.every, "duration", "min"),
        low=5,
        high=120,
        steps=(1, 5),
        unit="min",
        quick=(45, 60),
        at=None if card is None else round(card["press_every_min"]),
        empty="usual",
    )


def _pressure_dial(
    shop: Workshop,
    choices: CardChoices,
    asked: CardAsked,
    force: float | None,
    card: Mapping[str, Any] | None,
) -> Dial:
    """Full pressure as the gauge shows it; as it is on the sheet, where the bore of the press is not on file."""
    us, usual = shop.units_shown == "us", "usual"
    gauge = choices.gauges.get(asked.press or shop.default_hot_press or "")
    if gauge is None:
        unit = "psi" if us else "MPa"
        area = None if card is None else card["cavity_length_mm"] * card["cavity_width_mm"] * 1e-6
        on_sheet = USUAL if force is None or area is None else force / area
        return dial(
            "pressure",
            "Full pressure on the sheet",
            None if asked.pressure is None else from_si(asked.pressure, "pressure", unit),
            low=0.0,
            high=from_si(4 * USUAL, "pressure", unit),
            steps=(1, 10) if us else (0.01, 0.05),
            unit=unit,
            at=round(from_si(on_sheet, "pressure", unit), 0 if us else 2),
            empty=usual,
        )
    unit = "psi" if us else "bar"
    reading = gauge.most / 2 if force is None else force / gauge.piston_area
    return dial(
        "gauge",
        "Gauge at full pressure",
        None if asked.gauge is None else from_si(asked.gauge, "pressure", unit),
        low=0,
        high=floor(from_si(gauge.most, "pressure", unit) + 1e-6),
        steps=(20, 200) if us else (1, 10),
        unit=unit,
        at=round(from_si(reading, "pressure", unit)),
        empty=usual,
    )
