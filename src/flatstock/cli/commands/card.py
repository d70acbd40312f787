"""`flatstock card`: one sheet on one press."""

from __future__ import annotations

from dataclasses import replace
from typing import Annotated

from cyclopts import Parameter

from flatstock.cli import show
from flatstock.cli.options import Cautions, Fans, Folder, Json, Now, Pdf, PlasticName, Thickness
from flatstock.cli.quantities import quantity, shares, switch
from flatstock.units import parse_quantity

__all__ = ["card"]


def card(
    folder: Folder,
    /,
    *,
    plastic: PlasticName,
    thickness: Thickness,
    press: Annotated[str | None, Parameter(metavar="ID", help="Hot press; else the shop's first.")] = None,
    frame: Annotated[
        str | None, Parameter(metavar="ID", help="Frame; else one that fits the thickness.")
    ] = None,
    lot: Annotated[
        list[str] | None,
        Parameter(
            metavar="ID=SHARE", consume_multiple=True, help="Lots and shares of the charge: L-1=70% L-2=30%."
        ),
    ] = None,
    set_point: Annotated[
        str | None, Parameter(metavar="TEMPERATURE", help="Of the platens: 195C or 383F.")
    ] = None,
    full_pressure: Annotated[
        str | None, Parameter(metavar="DURATION", help="How long at full pressure: 10min.")
    ] = None,
    pressure: Annotated[
        str | None, Parameter(metavar="PRESSURE", help="Full pressure on the sheet: 0.25MPa.")
    ] = None,
    gauge: Annotated[
        str | None,
        Parameter(metavar="PRESSURE", help="In its place: what the gauge shows at full pressure: 150bar."),
    ] = None,
    viscosity: Annotated[str | None, Parameter(metavar="VISCOSITY", help="Of the melt: 10kPas.")] = None,
    footprint: Annotated[
        str | None,
        Parameter(metavar="SHARE", help="What the heap covers of the frame, if not laid level: 50%."),
    ] = None,
    fans: Fans = None,
    every: Annotated[
        str | None, Parameter(metavar="DURATION", help="From mould to mould in the cooling press: 45min.")
    ] = None,
    colour: Annotated[str | None, Parameter(metavar="WORD", help="Colour, to stand on the card.")] = None,
    why: Annotated[
        str | None, Parameter(metavar="FIELD", help="Where one number comes from: dwell_min.")
    ] = None,
    cautions: Cautions = False,
    json: Json = False,
    pdf: Pdf = None,
    now: Now = None,
) -> None:
    """What to weigh, how long to press, when to open: one sheet on one press."""
    from flatstock.pressing.questions import CardQuestion

    question = CardQuestion(
        plastic=plastic,
        thickness=parse_quantity(thickness, "length", where="--thickness"),
        press=press,
        frame=frame,
        lots=shares(lot or []),
        set_point=quantity(set_point, "temperature", "--set-point"),
        full_pressure_time=quantity(full_pressure, "duration", "--full-pressure"),
        pressure=quantity(pressure, "pressure", "--pressure"),
        gauge=quantity(gauge, "pressure", "--gauge"),
        viscosity=quantity(viscosity, "viscosity", "--viscosity"),
        footprint=quantity(footprint, "share", "--footprint"),
        fans=switch(fans),
        every=quantity(every, "duration", "--every"),
        colour=colour,
    )

    from flatstock.actions import cards
    from flatstock.cli.opening import opened

    shop, moment = opened(folder, now)
    question = replace(question, made_at=moment)
    answer = cards.make_card(shop, question)
    if json and why:
        from flatstock.prints.text.why import reasons_of

        show.document({**answer.document, "why": reasons_of(answer.document, why)})
    elif json:
        show.document(answer.document)
    else:
        from flatstock.prints.text import card_text, why_text

        if why:
            show.text(why_text(answer.document, why, shop.units_shown))
        else:
            show.text(card_text(answer.document, answer.picture, shop.units_shown, every_caution=cautions))
    if pdf is not None:
        from flatstock.prints.pdf import card_pdf

        show.paper(
            lambda path: card_pdf(answer.document, answer.picture, path, shop.paper, shop.units_shown), pdf
        )
