"""`flatstock demo`: the whole job once, on the demo workshop."""

from __future__ import annotations

import sys
from collections.abc import Mapping
from pathlib import Path
from typing import Annotated, Any

from cyclopts import Parameter

from flatstock.cli import show
from flatstock.cli.called import called, quoted

__all__ = ["demo"]


def demo(
    *,
    to: Annotated[Path, Parameter(metavar="DIR", help="Where its files and papers go.")] = Path(
        "flatstock-demo"
    ),
    no_app: Annotated[bool, Parameter(help="End after the papers; open no app.")] = False,
    now: Annotated[
        str | None,
        Parameter(metavar="TIME", help="A time as every command takes it; the demo keeps to its own Monday."),
    ] = None,
) -> None:
    """The whole job on the demo workshop, and then its app: a Monday under way, in the browser."""
    from flatstock.actions.compiling import compile_first
    from flatstock.cli.opening import check_now

    check_now(now)
    compile_first(show.aside)
    from flatstock.actions.demo import run_demo
    from flatstock.cli.demo_story import tell

    answer = run_demo(to, say=lambda what: show.aside(f"  {what}"))
    show.text(tell(answer))
    if not no_app:
        _open(to, answer.plan.document)


def _open(folder: Path, plan: Mapping[str, Any]) -> None:
    """The app on the demo's Monday; where nobody sits at the terminal only how to open it."""
    from flatstock.actions.practice import begin_day
    from flatstock.cli.opening import tell_of_records
    from flatstock.web.clockwork import anchored
    from flatstock.web.workplace import Workplace

    place = Workplace(folder.absolute())
    tell_of_records(place)  # first: what the Monday weighed is taken from the lots' book
    moment = begin_day(folder, plan)
    if moment is not None:
        anchored(folder, moment, afresh=True)
    if not (sys.stdin is not None and sys.stdin.isatty() and sys.stdout.isatty()):
        place.close()
        show.text(f"The app, with this Monday under way:\n  {called()} open {quoted(folder)}")
        return
    from flatstock.web.serving import serve

    serve(place, say=show.text)
