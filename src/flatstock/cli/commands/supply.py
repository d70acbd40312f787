"""`flatstock supply`: can the connection carry what hangs on it."""

from __future__ import annotations

from typing import Annotated

from cyclopts import Parameter

from flatstock.cli import show
from flatstock.cli.options import Folder, Json, Now, Pdf

__all__ = ["supply"]


def supply(
    folder: Folder,
    /,
    *,
    without: Annotated[
        list[str] | None,
        Parameter(metavar="LOAD", consume_multiple=True, help="Leave these loads out: SAW PUMP."),
    ] = None,
    json: Json = False,
    pdf: Pdf = None,
    now: Now = None,
) -> int:
    """Can the connection carry it: amperes on each phase, what would help, what to ask the electrician."""
    from flatstock.actions.supplies import look_at_supply
    from flatstock.cli.opening import starting_up

    beside, moment = starting_up(folder, now)
    answer = look_at_supply(folder, beside, without_loads=without or [], made_at=moment)
    if json:
        show.document(answer.document)
    else:
        from flatstock.prints.text import supply_text

        show.text(supply_text(answer.document, answer.system))
    if pdf is not None:
        from flatstock.prints.pdf import supply_pdf

        show.paper(lambda path: supply_pdf(answer.document, path, answer.paper), pdf)
    return 0 if answer.fits else 1
