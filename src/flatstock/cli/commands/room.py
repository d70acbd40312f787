"""`flatstock room`: where the machines stand, and a judge of plans drawn by hand."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Annotated, Literal

from cyclopts import Parameter

from flatstock.cli import show
from flatstock.cli.options import Folder, Json, Now
from flatstock.cli.written import drawing_name, paper_name

__all__ = ["room"]


def room(
    folder: Folder,
    /,
    *,
    fix: Annotated[
        list[str] | None,
        Parameter(
            metavar="ITEM=X,Y,TURN",
            consume_multiple=True,
            help="Try an item there: millimetres or with a unit, turned 0, 90, 180 or 270.",
        ),
    ] = None,
    without: Annotated[
        list[str] | None, Parameter(metavar="ITEM", consume_multiple=True, help="Leave an item out.")
    ] = None,
    seconds: Annotated[
        float,
        Parameter(metavar="N", help="How long to look for a better plan; Ctrl-C keeps the best so far."),
    ] = 30.0,
    first: Annotated[bool, Parameter(negative="", help="Stop at the first plan that passes.")] = False,
    check: Annotated[
        Path | None, Parameter(metavar="FILE", help="Judge the plan in this document instead of making one.")
    ] = None,
    json: Json = False,
    pdf: Annotated[
        Path | None,
        Parameter(
            metavar="FILE",
            validator=paper_name,
            help="Also print it to scale, with machines to cut out, into this file.",
        ),
    ] = None,
    paper: Annotated[
        Literal["a3", "a4", "letter", "tabloid"] | None,
        Parameter(help="Of the print; else as the shop has it."),
    ] = None,
    svg: Annotated[
        Path | None,
        Parameter(metavar="FILE", validator=drawing_name, help="Also draw it into this file."),
    ] = None,
    now: Now = None,
) -> int:
    """Where the machines of room.toml stand, so that people can work, walk and get out."""
    from flatstock.actions.room_kept import keep_better
    from flatstock.actions.room_others import keep_others
    from flatstock.actions.room_supply import with_supply
    from flatstock.actions.rooms import check_room, place_room
    from flatstock.cli.opening import starting_up
    from flatstock.cli.placing import placements
    from flatstock.errors import Fault, WrongWords

    if check is not None and (fix or without or first):
        what = "leave --fix, --without and --first out"
        raise WrongWords(Fault("--check", "a drawn plan is judged as it is", what))
    if not 1 <= seconds <= 86_400:
        raise WrongWords(Fault("--seconds", f"{seconds:g} s is no time to search in", "write 1 to 86400"))
    where = placements(fix or [])
    beside, current = starting_up(folder, now)
    if check is not None:
        outcome = check_room(folder, check, beside, made_at=current)
    else:
        outcome = place_room(
            folder, beside, fix=where, without=tuple(without or ()), seconds=seconds, first=first,
            tell=_progress(), named=_named(folder), made_at=current,
        )  # fmt: skip
        outcome = keep_others(folder, outcome, beside, made_at=current, say=show.aside)
        if outcome.plan is not None and not where and not without:
            keep_better(folder, outcome, beside, made_at=current)
    outcome = with_supply(outcome, folder, beside)
    if json:
        show.document(outcome.document)
    else:
        from flatstock.prints.text import room_text

        show.text(room_text(outcome.document, outcome.system))
    if pdf is not None:
        from flatstock.prints.pdf.room import room_pdf

        size = paper or outcome.paper
        show.paper(lambda path: room_pdf(outcome.document, path, size, outcome.system), pdf)
    if svg is not None:
        from flatstock.prints.drawing.floor import room_supply_svg, room_svg

        show.picture(room_svg(outcome.document, scale=25, system=outcome.system), svg)
        if "supply" in outcome.document:
            second = room_supply_svg(outcome.document, scale=25, system=outcome.system)
            show.picture(second, svg.with_stem(f"{svg.stem}-supply"))
    return 0 if outcome.plan is not None else 1


def _named(folder: Path) -> Callable[[str], None]:
    """Says why there is no plan before what would help is tried."""
    from flatstock.actions.workshops import units_of
    from flatstock.prints.room_lengths import in_units

    return lambda why: show.aside(f"… can't be, proven: {in_units(why, units_of(folder))}")


def _progress() -> Callable[[float, float], None]:
    """Says every walk that is noticeably shorter than the last one said, and every bound that is higher."""
    said = {"walk": float("inf"), "bound": 0.0}

    def tell(walk: float, bound: float) -> None:
        if walk <= said["walk"] * 0.95 or bound > said["bound"] * 1.05 + 0.05:
            said["walk"], said["bound"] = walk, bound
            known = f", no plan walks under {bound:.1f} m" if bound > 0 else ""
            show.aside(f"… {walk:.1f} m walked a day{known}")

    return tell
