"""`flatstock frame`: which frame to have made for the sheet that is to be sold."""

from __future__ import annotations

from typing import Annotated

from cyclopts import Parameter

from flatstock.cli import show
from flatstock.cli.options import Folder, Json, Now
from flatstock.cli.quantities import quantity

__all__ = ["frame"]


def frame(
    folder: Folder,
    /,
    *,
    length: Annotated[
        str | None, Parameter(metavar="LENGTH", help="Of the trimmed sheet: 1200mm; else as it is sold.")
    ] = None,
    width: Annotated[str | None, Parameter(metavar="LENGTH", help="Of the trimmed sheet: 800mm.")] = None,
    trim: Annotated[
        str | None, Parameter(metavar="LENGTH", help="Cut from each edge: 10mm; else as the shop does it.")
    ] = None,
    land: Annotated[
        str | None, Parameter(metavar="LENGTH", help="Width of its rim: 40mm; else the first frame's.")
    ] = None,
    plastic: Annotated[
        list[str] | None,
        Parameter(metavar="NAME", consume_multiple=True, help="For which plastics; else those pressed here."),
    ] = None,
    press: Annotated[str | None, Parameter(metavar="ID", help="Hot press; else the shop's first.")] = None,
    json: Json = False,
    now: Now = None,
) -> None:
    """Which frame to have made for the trimmed sheet that is to be sold."""
    from flatstock.actions.frame_sizes import FrameQuestion, frame_size
    from flatstock.cli.opening import opened

    shop, current = opened(folder, now)
    question = FrameQuestion(
        length=quantity(length, "length", "--length"),
        width=quantity(width, "length", "--width"),
        trim=quantity(trim, "length", "--trim"),
        land=quantity(land, "length", "--land"),
        plastics=plastic or (),
        press=press,
        made_at=current,
    )
    answer = frame_size(shop, question)
    if json:
        show.document(answer)
    else:
        from flatstock.prints.text import frame_text

        show.text(frame_text(answer, shop.units_shown))
