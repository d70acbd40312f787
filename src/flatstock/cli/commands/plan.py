"""`flatstock plan`: a week by the clock, kept as plan.json in the workshop's folder."""

from __future__ import annotations

import time
from contextlib import suppress
from pathlib import Path
from typing import Annotated, Any

from cyclopts import Parameter

from flatstock.cli import show
from flatstock.cli.options import Folder, Json, Now
from flatstock.cli.written import papers_name
from flatstock.errors import Fault, Refused, WrongWords

__all__ = ["plan"]


def plan(
    folder: Folder,
    /,
    *,
    seconds: Annotated[
        float,
        Parameter(
            metavar="N",
            help="How long it may take, from the call to the plan; half of it is for planning however long the kinds"
            " of sheet take to work out. Papers come after it. Ctrl-C keeps the best so far.",
        ),
    ] = 60.0,
    weeks: Annotated[
        int | None,
        Parameter(
            metavar="N",
            help="How many weeks the plan may reach into, this one counted; else this one, and as many more as a first"
            " sheet takes.",
        ),
    ] = None,
    from_now: Annotated[
        str | None,
        Parameter(
            metavar="[TIME]",
            help="Plan the rest of the plan that is kept: done.csv says what has happened, changes.toml what has"
            " changed.",
        ),
    ] = None,
    json: Json = False,
    pdf: Annotated[
        Path | None,
        Parameter(metavar="DIR", validator=papers_name, help="Also print its papers into this folder."),
    ] = None,
    now: Now = None,
) -> int:
    """Who presses which sheet when, this week: places, people, moulds and amperes are all finite."""
    began = time.monotonic()
    if not 1 <= seconds <= 86_400:
        raise WrongWords(Fault("--seconds", f"{seconds:g} s is no time to plan in", "write 1 to 86400"))
    if weeks is not None and not 1 <= weeks <= 4:
        raise WrongWords(Fault("--weeks", f"{weeks} weeks can't be planned by the minute", "write 1 to 4"))

    from flatstock.actions.plans import keep_plan, plan_week
    from flatstock.cli.more_time import more_time
    from flatstock.cli.opening import opened
    from flatstock.prints.plan_words import GOAL_WORDS

    shop, moment = opened(folder, now if from_now in (None, "now") else from_now)
    last: dict[str, float] = {}

    def tell(name: str, value: float, bound: float) -> bool:
        if name in ("first", "trying"):
            return False
        if name not in last or value <= last[name] * 0.98 - 1e-9:
            last[name] = value
            known = f"{value:,.0f}; at best {max(0.0, bound):,.0f}".replace(",", " ")
            show.aside(f"… {GOAL_WORDS.get(name, name)}: {known}")
        return False

    def say(words: str) -> None:
        show.aside(f"… {words}")

    begun: list[str] = []
    if from_now is None:
        from flatstock.actions.happened import begun_sheets

        with suppress(Refused):  # what can't be read of before keeps nobody from planning anew
            begun = begun_sheets(shop, moment)
        if begun:
            show.aside(
                f"! Under way by the plan that is kept: {', '.join(begun)}. A plan made anew knows nothing of them;"
                " `flatstock plan FOLDER --from-now` goes on with them. The plan before stays as plan.json.before."
            )
        left = max(1.0, seconds - (time.monotonic() - began))
        with more_time():
            document = plan_week(shop, now=moment, seconds=left, weeks=weeks, tell=tell, say=say)
    else:
        from flatstock.actions.replans import plan_from_now

        def first(document: dict[str, Any]) -> None:
            moved = len({one["sheet"] for one in document["since"]["moved"]})
            late = sum(sheet["late_min"] > 0 for sheet in document["sheets"])
            orders = ", ".join(sorted({one["order"] for one in document["left_out"]}))
            out = f"; sheets of {orders} are left out" if orders else ""
            keep_plan(shop, document)
            show.aside(
                f"… a first answer is kept: {moved} sheets move, {late} are late{out}. Not yet run through the heat"
                " model; Ctrl-C leaves it at that, or at whatever better one is found by then."
            )

        left = max(1.0, seconds - (time.monotonic() - began))  # people wait for it: all of it counts
        with more_time():
            document = plan_from_now(shop, now=moment, seconds=left, tell=tell, say=say, first=first)
    kept = keep_plan(shop, document, aside=bool(begun))
    if json:
        show.document(document)
    else:
        from flatstock.prints.text.plan import plan_text

        show.text(plan_text(document, shop.units_shown))
        if document["late"] or any("would_help" in one for one in document["left_out"]):
            show.aside("More time to look for better, or for what would help: --seconds N.")
    show.aside(f"Kept: {kept}")
    if pdf is not None:
        from flatstock.prints.pdf.plan import plan_pdfs

        show.papers(
            lambda folder: plan_pdfs(
                document, folder, paper=shop.paper, system=shop.units_shown, clock_face=shop.clock_face
            ),
            pdf,
        )
    return 1 if document["left_out"] else 0
