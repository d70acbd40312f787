"""`flatstock correct`: what a measured sheet says about the next charge."""

from __future__ import annotations

from dataclasses import replace
from typing import Annotated

from cyclopts import Parameter

from flatstock.cli import show
from flatstock.cli.options import Folder, Json, Now, PlasticName, Thickness
from flatstock.cli.quantities import quantity
from flatstock.units import parse_quantity

__all__ = ["correct"]


def correct(
    folder: Folder,
    /,
    *,
    plastic: PlasticName,
    thickness: Thickness,
    charge: Annotated[str, Parameter(metavar="MASS", help="As it was weighed in: 11.74kg.")],
    measured: Annotated[str, Parameter(metavar="LENGTH", help="Thickness of the cold sheet: 11.82mm.")],
    flash: Annotated[str | None, Parameter(metavar="MASS", help="Flash, weighed: 0.3kg.")] = None,
    press: Annotated[str | None, Parameter(metavar="ID", help="Hot press; else the shop's first.")] = None,
    frame: Annotated[
        str | None, Parameter(metavar="ID", help="Frame; else one that fits the thickness.")
    ] = None,
    json: Json = False,
    now: Now = None,
) -> None:
    """What a measured sheet says about the next charge."""
    from flatstock.pressing.questions import CorrectQuestion

    question = CorrectQuestion(
        plastic=plastic,
        thickness=parse_quantity(thickness, "length", where="--thickness"),
        charge=parse_quantity(charge, "mass", where="--charge"),
        measured=parse_quantity(measured, "length", where="--measured"),
        flash=quantity(flash, "mass", "--flash"),
        press=press,
        frame=frame,
    )

    from flatstock.actions.correct import correct_charge
    from flatstock.cli.opening import opened

    shop, current = opened(folder, now)
    answer = correct_charge(shop, replace(question, made_at=current))
    if json:
        show.document(answer)
    else:
        from flatstock.prints.text import correct_text

        show.text(correct_text(answer, shop.units_shown))
