"""`flatstock new`: a workshop of one's own, or a copy of the demo's."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, Annotated

from cyclopts import Parameter

from flatstock.cli import show
from flatstock.cli.called import called, quoted
from flatstock.cli.options import Folder, Json, Now

if TYPE_CHECKING:
    from flatstock.workshop.start import StartAnswers

__all__ = ["new"]


def new(
    folder: Folder,
    /,
    *,
    demo: Annotated[bool, Parameter(help="A copy of the demo workshop.")] = False,
    defaults: Annotated[bool, Parameter(help="Ask nothing; take the usual answers.")] = False,
    json: Json = False,
    now: Now = None,
) -> None:
    """Start a workshop: a dozen or so plain questions, or a copy of the demo's."""
    from flatstock.actions.workshops import copy_demo, faults_of_room, must_be_free, start_workshop
    from flatstock.cli.opening import check_now

    check_now(now)
    if demo:
        written = copy_demo(folder)
    else:
        must_be_free(folder)
        written = start_workshop(folder, _answers(ask=not defaults and not json))
    notes = [fault.sentence() for fault in faults_of_room(folder)]
    if json:
        show.document(
            {
                "format": "flatstock.new/1",
                "files": [str(path) for path in written],
                "cautions": [],
                "warnings": notes,
            }
        )
        return
    show.text("Written:\n" + "".join(f"  {path}\n" for path in written))
    for note in notes:  # a press that is too large for the door is there all the same
        show.text(f"To be settled: {note}")
    show.text(
        "Every line of them is explained beside it; what nobody has measured is marked assumed. Next: change what is\n"
        f"different in your shop, then\n  {called()} read {quoted(folder)}"
    )


def _answers(*, ask: bool) -> StartAnswers:
    from flatstock.actions.workshops import faults_of_answers
    from flatstock.cli.asking import anybody_there, ask_all
    from flatstock.workshop.start import usual_answers

    if ask and anybody_there(sys.stdin):
        return ask_all(faults_of_answers)
    if ask:
        show.aside("Nobody answers: the usual answers are taken, and marked assumed.")
    return usual_answers()
