"""`flatstock demo`: the whole job once, on the demo workshop."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

from cyclopts import Parameter

from flatstock.cli import show
from flatstock.cli.options import Now

__all__ = ["demo"]


def demo(
    *,
    to: Annotated[Path, Parameter(metavar="DIR", help="Where its files and papers go.")] = Path(
        "flatstock-demo"
    ),
    now: Now = None,
) -> None:
    """The whole job on the demo workshop: a card for each order, the wall chart, last night's stack."""
    from flatstock.actions.demo import run_demo
    from flatstock.cli.demo_story import tell
    from flatstock.cli.opening import check_now

    check_now(now)
    show.text(tell(run_demo(to, say=lambda what: show.aside(f"  {what}"))))
