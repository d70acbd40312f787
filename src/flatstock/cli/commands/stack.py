"""`flatstock stack`: moulds on each other, and when they may be opened."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

from cyclopts import Parameter

from flatstock.cli import show
from flatstock.cli.options import Cautions, Fans, Folder, Json, Now, Pdf
from flatstock.cli.quantities import quantity, switch
from flatstock.errors import Fault, WrongWords

__all__ = ["stack"]


def stack(
    folder: Folder,
    /,
    *,
    at: Annotated[
        str, Parameter(metavar="TIME", help="The moment asked for: 08:00, or with the day 2026-03-03T08:00.")
    ],
    mould: Annotated[
        list[str] | None,
        Parameter(
            metavar="MOULD",
            consume_multiple=True,
            help="PLASTIC,THICKNESS,ARRIVES[,CORE], lowest first: HDPE,18mm,09:00.",
        ),
    ] = None,
    moulds: Annotated[Path | None, Parameter(metavar="FILE", help="The same as a CSV file.")] = None,
    place: Annotated[
        str | None, Parameter(metavar="ID", help="Where they stand; else the shop's stack place.")
    ] = None,
    room: Annotated[
        str | None,
        Parameter(metavar="TEMPERATURE", allow_leading_hyphen=True, help="How warm the room is: 18C."),
    ] = None,
    fans: Fans = None,
    cautions: Cautions = False,
    json: Json = False,
    pdf: Pdf = None,
    now: Now = None,
) -> None:
    """How hot a stack of moulds is at a moment, and when each may be opened."""
    from flatstock.pressing.questions import StackQuestion

    if mould and moulds is not None:
        raise WrongWords(
            Fault("", "the moulds are said twice, by --mould and by --moulds", "leave one of the two out")
        )
    if not mould and moulds is None:
        raise WrongWords(
            Fault(
                "",
                "which moulds are on the stack is missing",
                "add --mould HDPE,18mm,09:00 for each, lowest first, or --moulds FILE.csv",
            )
        )
    warmth = quantity(room, "temperature", "--room")

    from flatstock.actions.stacks import look_at_stack
    from flatstock.actions.workshops import zone_of
    from flatstock.cli.moulds import moulds_of_file, moulds_of_words
    from flatstock.cli.opening import opened
    from flatstock.times import moment

    shop, current = opened(folder, now)
    zone = zone_of(shop)
    if moulds is not None:
        words = moulds_of_file(moulds, zone=zone, now=current)
    else:
        words = moulds_of_words(mould or [], zone=zone, now=current)
    last = max((one.arrives for one in words), default=current)
    question = StackQuestion(
        moulds=words,
        at=moment(at, zone=zone, after=max(last, current), where="--at"),
        place=place,
        room=warmth,
        fans=switch(fans),
        made_at=current,
    )
    answer = look_at_stack(shop, question)
    if json:
        show.document(answer.document)
    else:
        from flatstock.prints.text import stack_text

        show.text(stack_text(answer.document, answer.picture, shop.units_shown, every_caution=cautions))
    if pdf is not None:
        from flatstock.prints.pdf import stack_pdf

        show.paper(
            lambda path: stack_pdf(answer.document, answer.picture, path, shop.paper, shop.units_shown), pdf
        )
