"""`flatstock wallchart`: charge and dwell on one sheet of paper to hang up."""

from __future__ import annotations

from typing import Annotated

from cyclopts import Parameter

from flatstock.cli import show
from flatstock.cli.options import Cautions, Folder, Json, Now, Pdf

__all__ = ["wallchart"]


def wallchart(
    folder: Folder,
    /,
    *,
    every: Annotated[
        bool,
        Parameter(
            name="--all", negative="", help="Every plastic of the document, not only those with flake here."
        ),
    ] = False,
    cautions: Cautions = False,
    json: Json = False,
    pdf: Pdf = None,
    now: Now = None,
) -> None:
    """Charge and dwell for this press by plastic, thickness and set-point, to hang up."""
    from flatstock.actions.charts import make_wallchart
    from flatstock.cli.opening import opened

    shop, moment = opened(folder, now)
    answer = make_wallchart(shop, moment)
    if json:
        show.document(answer.document)
    else:
        from flatstock.prints.text import wallchart_text

        show.text(wallchart_text(answer.document, shop.units_shown, every_caution=cautions, every=every))
    if pdf is not None:
        from flatstock.prints.pdf import wallchart_pdf

        paper = {"a4": "a3", "letter": "tabloid"}[shop.paper]  # twice the sheet that a card goes on
        show.paper(
            lambda path: wallchart_pdf(answer.document, path, paper, shop.units_shown, every=every), pdf
        )
