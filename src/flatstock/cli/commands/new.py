"""`flatstock new`: a workshop of one's own, or a copy of the demo's."""

from __future__ import annotations

import sys
from typing import Annotated

from cyclopts import Parameter

from flatstock.cli import show
from flatstock.cli.options import Folder, Json, Now

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
    """Start a workshop: a dozen plain questions, or a copy of the demo's."""
    from flatstock.actions.workshops import copy_demo, start_workshop
    from flatstock.cli.opening import check_now

    check_now(now)
    if demo:
        written = copy_demo(folder)
    else:
        from flatstock.cli.asking import ask_all
        from flatstock.workshop.start import StartAnswers

        ask = not defaults and not json and sys.stdin is not None and sys.stdin.isatty()
        written = start_workshop(folder, ask_all() if ask else StartAnswers())
    if json:
        show.document(
            {
                "format": "flatstock.new/1",
                "files": [str(path) for path in written],
                "cautions": [],
                "warnings": [],
            }
        )
        return
    show.text("Written:\n" + "".join(f"  {path}\n" for path in written))
    show.text(
        f"Every line of them is explained beside it. Next: change what is different in your shop, then\n"
        f"  flatstock read {folder}"
    )
