"""`flatstock promise`: the earliest honest date for a new order."""

from __future__ import annotations

from typing import Annotated

from cyclopts import Parameter

from flatstock.cli import show
from flatstock.cli.options import Folder, Json, Now, PlasticName, Thickness
from flatstock.errors import Fault, WrongWords
from flatstock.units import parse_quantity

__all__ = ["promise"]


def promise(
    folder: Folder,
    /,
    *,
    plastic: PlasticName,
    thickness: Thickness,
    count: Annotated[int, Parameter(metavar="N", help="How many sheets.")],
    colour: Annotated[str | None, Parameter(metavar="NAME", help="In the shop's words.")] = None,
    lot: Annotated[
        list[str] | None,
        Parameter(
            metavar="ID[=SHARE]",
            consume_multiple=True,
            help="What it is pressed from; else left to the plan.",
        ),
    ] = None,
    seconds: Annotated[
        float, Parameter(metavar="N", help="How long to look in each stretch of weeks, and for reasons.")
    ] = 20.0,
    json: Json = False,
    now: Now = None,
) -> int:
    """When a new order can be ready without moving what is promised, and what it waits for."""
    if not 1 <= seconds <= 86_400:
        raise WrongWords(Fault("--seconds", f"{seconds:g} s is no time to plan in", "write 1 to 86400"))
    from flatstock.actions.promises import Wanted
    from flatstock.actions.promises import promise as promised
    from flatstock.cli.opening import opened
    from flatstock.cli.quantities import shares

    wanted = Wanted(
        plastic=plastic,
        thickness=parse_quantity(thickness, "length", where="--thickness"),
        count=count,
        colour=colour,
        lots=shares(lot or []),
    )
    shop, moment = opened(folder, now)

    def say(words: str) -> None:
        show.aside(f"… {words}")

    document = promised(shop, wanted, now=moment, seconds=seconds, say=say)
    if json:
        show.document(document)
    else:
        from flatstock.prints.text.promise import promise_text

        show.text(promise_text(document, shop.units_shown))
        if document["earliest"] is None or document["warnings"]:
            show.aside("More time to look: --seconds N.")
    return 0 if document["earliest"] is not None else 1
