"""`flatstock outlay`: what to buy in which month, and whether it pays."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

from cyclopts import Parameter

from flatstock.cli import show
from flatstock.cli.options import Folder, Json, Now, Pdf
from flatstock.cli.written import no_other_table, table_name
from flatstock.errors import Fault, WrongWords

__all__ = ["outlay"]


def outlay(
    folder: Folder,
    /,
    *,
    runs: Annotated[
        int | None, Parameter(metavar="N", help="Futures to draw for the risk; else 10 000.")
    ] = None,
    seed: Annotated[int | None, Parameter(metavar="N", help="Of those draws; else always the same.")] = None,
    beside: Annotated[
        list[Path] | None,
        Parameter(
            metavar="FOLDER",
            consume_multiple=True,
            help="Other rooms, connections or shops to stand beside it.",
        ),
    ] = None,
    csv: Annotated[
        Path | None,
        Parameter(
            metavar="FILE",
            validator=table_name,
            help="Also write the months as a table, into this file.",
        ),
    ] = None,
    measured: Annotated[
        bool,
        Parameter(
            negative="",
            help="Plan weeks with and without what can be bought, and count those; kept beside the files.",
        ),
    ] = False,
    seconds: Annotated[
        float | None,
        Parameter(metavar="N", help="For each of those weeks; else 60. Ctrl-C keeps what is done."),
    ] = None,
    json: Json = False,
    pdf: Pdf = None,
    now: Now = None,
) -> int:
    """What to buy in which month, what limits the sheets then, and whether it will pay."""
    if seconds is not None and not measured:
        raise WrongWords(Fault("--seconds", "it says how long each week is planned", "add --measured"))
    if seconds is not None and not 5 <= seconds <= 3600:
        raise WrongWords(Fault("--seconds", f"{seconds:g} s is no time to plan a week in", "write 5 to 3600"))
    if runs is not None and not 1 <= runs <= 1_000_000:
        raise WrongWords(Fault("--runs", f"{runs} runs can't be drawn", "write 1 to 1000000"))
    if seed is not None and seed < 0:
        raise WrongWords(Fault("--seed", f"{seed} is no seed", "write 0 or a larger whole number"))

    from flatstock.actions.outlays import COLUMNS, RUNS, SEED, Measuring, months_csv, plan_outlay
    from flatstock.cli.opening import starting_up

    if csv is not None:
        no_other_table(csv, ",".join(COLUMNS))

    start, moment = starting_up(folder, now)
    answer = plan_outlay(
        folder,
        start,
        runs=RUNS if runs is None else runs,
        seed=SEED if seed is None else seed,
        made_at=moment,
        measuring=Measuring(now=moment, seconds=seconds or 60.0, say=show.aside) if measured else None,
    )
    if beside:
        from flatstock.actions.side_by_side import side_by_side

        answer.document["side_by_side"] = side_by_side([folder, *beside])
    if json:
        show.document(answer.document)
    else:
        from flatstock.prints.text import outlay_text

        show.text(outlay_text(answer.document))
    if csv is not None:
        show.table(months_csv(answer.document), csv)
    if pdf is not None:
        from flatstock.prints.pdf import outlay_pdf

        show.paper(
            lambda path: outlay_pdf(answer.document, path, answer.paper, premises=answer.premises), pdf
        )
    return 0 if answer.document["refused"] is None else 1
