"""Do the main job once on the demo workshop: cards, wall chart, a stack, room, supply, purchases, the week's plan."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import datetime, time, timedelta
from pathlib import Path
from typing import Any

from flatstock.actions.cards import card_of_order, make_card
from flatstock.actions.charts import make_wallchart
from flatstock.actions.file_names import file_names
from flatstock.actions.outlays import plan_outlay
from flatstock.actions.plans import keep_plan, plan_week
from flatstock.actions.room_kept import keep_room
from flatstock.actions.room_others import keep_others
from flatstock.actions.room_supply import with_supply
from flatstock.actions.rooms import RoomOutcome, place_room
from flatstock.actions.stacks import look_at_stack
from flatstock.actions.supplies import look_at_supply
from flatstock.actions.workshops import Beside, copy_demo, open_workshop, zone_of
from flatstock.pressing.questions import MouldWords, StackQuestion
from flatstock.prints.drawing.floor import room_svg
from flatstock.prints.pdf import card_pdf, outlay_pdf, stack_pdf, supply_pdf, wallchart_pdf
from flatstock.prints.pdf.plan import plan_pdfs
from flatstock.prints.pdf.room import room_pdf
from flatstock.workshop.folder import not_written
from flatstock.workshop.shop import Workshop

__all__ = ["DemoAnswer", "Paper", "overnight_moulds", "run_demo"]

#: bottom to top: plastic, thickness [mm], time of arrival, core as it leaves the hot press [°C]; all invented
OVERNIGHT = (
    ("hdpe", 18, time(9, 0), 189),
    ("hdpe", 18, time(9, 48), 189),
    ("hdpe", 18, time(10, 36), 189),
    ("hdpe", 12, time(11, 10), 189),
    ("hdpe", 12, time(11, 44), 189),
    ("hdpe", 12, time(12, 18), 189),
    ("pp", 6, time(12, 36), 205),
    ("pp", 6, time(12, 54), 205),
)
ASKED = time(8, 0)  # next morning
SCREEN_SCALE = 25  # of the drawing for a screen
PLACING = 10.0  #: s that better places for the machines of its room are looked for
LOOKS = 3  #: times that a slow or busy machine looks for them until everything stands, each twice as long
PLANNING = 40.0  #: s that the demo's week is planned for


@dataclass(frozen=True, slots=True)
class Paper:
    """One answer, and where it was written."""

    document: Mapping[str, Any]
    pdf: Path


@dataclass(frozen=True, slots=True)
class DemoAnswer:
    """Everything that the demo made."""

    folder: Path
    copied: bool  #: False where an earlier copy of the workshop was used as it stood
    cards: tuple[Paper, ...]  #: one for each order
    wallchart: Paper
    stack: Paper
    room: Paper
    room_svg: Path  #: the drawing for a screen
    supply: Paper
    outlay: Paper
    plan: Paper


def run_demo(folder: Path, *, say: Callable[[str], None] = lambda _: None) -> DemoAnswer:
    """Copy the demo workshop into `folder`, unless a workshop stands there, and do the job.

    `say` hears how far it is.

    Raises
    ------
    Refused
        A file can't be written: on Windows also one that a reader of PDFs has open.
    """
    try:
        return _run(folder, say)
    except OSError as error:
        raise not_written(Path(error.filename2 or error.filename or folder), error) from None


def _run(folder: Path, say: Callable[[str], None]) -> DemoAnswer:
    copied = not (folder / "shop.toml").exists()
    if copied:
        copy_demo(folder)
    shop = open_workshop(folder)
    zone = zone_of(shop)
    day = datetime.combine(shop.today or datetime.now(zone).date(), time(7, 0), zone)
    papers = folder / "papers"
    papers.mkdir(exist_ok=True)
    names = file_names(shop.orders)
    cards = tuple(_card(shop, order, day, papers / f"card-{name}.pdf", say) for order, name in names.items())
    say("wall chart")
    chart = make_wallchart(shop, day)
    wall = papers / "wallchart.pdf"
    wallchart_pdf(chart.document, wall, {"a4": "a3", "letter": "tabloid"}[shop.paper], shop.units_shown)
    say("overnight stack")
    morning = datetime.combine(day.date() + timedelta(days=1), ASKED, zone)
    pile = look_at_stack(shop, StackQuestion(moulds=overnight_moulds(day), at=morning, made_at=day))
    stack = papers / "stack.pdf"
    stack_pdf(pile.document, pile.picture, stack, shop.paper, shop.units_shown)
    room, drawing = _room(shop, day, papers, say)
    return DemoAnswer(
        folder=folder,
        copied=copied,
        cards=cards,
        wallchart=_kept(chart.document, wall),
        stack=_kept(pile.document, stack),
        room=room,
        room_svg=drawing,
        supply=_supply(shop, day, papers, say),
        outlay=_outlay(shop, day, papers, say),
        plan=_plan(shop, day, papers, say),
    )


def overnight_moulds(day: datetime) -> tuple[MouldWords, ...]:
    """The eight moulds of one day, stacked as they come off the press."""
    return tuple(
        MouldWords(
            plastic=plastic,
            thickness=mm / 1000,
            arrives=datetime.combine(day.date(), at, day.tzinfo),
            core=float(core),
        )
        for plastic, mm, at, core in OVERNIGHT
    )


def _card(shop: Workshop, order: str, day: datetime, pdf: Path, say: Callable[[str], None]) -> Paper:
    say(f"card for {order}")
    answer = make_card(shop, replace(card_of_order(shop.orders[order]), made_at=day))
    card_pdf(answer.document, answer.picture, pdf, shop.paper, shop.units_shown)
    return _kept(answer.document, pdf)


def _room(shop: Workshop, day: datetime, papers: Path, say: Callable[[str], None]) -> tuple[Paper, Path]:
    """Where the machines stand, drawn to scale for paper and for a screen."""
    beside = (shop, list[str]())
    placed = _placed(shop.folder, beside, day, say)
    placed = keep_others(shop.folder, placed, beside, made_at=day)
    keep_room(shop.folder, placed)
    answer = with_supply(placed, shop.folder, beside)
    pdf, svg = papers / "room.pdf", papers / "room.svg"
    room_pdf(answer.document, pdf, shop.paper, shop.units_shown)
    svg.write_text(room_svg(answer.document, scale=SCREEN_SCALE, system=shop.units_shown) + "\n", "utf-8")
    return _kept(answer.document, pdf), svg


def _placed(folder: Path, beside: Beside, day: datetime, say: Callable[[str], None]) -> RoomOutcome:
    """A plan in which everything stands, or what the last look found."""
    seconds = PLACING
    for look in range(1, LOOKS + 1):
        say(f"room, {seconds:.0f} s")
        placed = place_room(folder, beside, seconds=seconds, made_at=day)
        if look == LOOKS or placed.document["proof"]["status"] == "impossible":
            break
        if placed.plan is not None and not placed.plan.left_out:
            break
        seconds *= 2
    return placed


def _supply(shop: Workshop, day: datetime, papers: Path, say: Callable[[str], None]) -> Paper:
    """Two sheets on the connection; that it is over its rating is an answer."""
    say("supply")
    answer = look_at_supply(shop.folder, (shop, []), made_at=day)
    pdf = papers / "supply.pdf"
    supply_pdf(answer.document, pdf, shop.paper)
    return _kept(answer.document, pdf)


def _outlay(shop: Workshop, day: datetime, papers: Path, say: Callable[[str], None]) -> Paper:
    """The dossier for a lender."""
    say("purchases")
    answer = plan_outlay(shop.folder, (shop, []), made_at=day)
    pdf = papers / "outlay.pdf"
    outlay_pdf(answer.document, pdf, shop.paper, premises=answer.premises)
    return _kept(answer.document, pdf)


def _plan(shop: Workshop, day: datetime, papers: Path, say: Callable[[str], None]) -> Paper:
    """The week by the clock, with its papers in a folder of their own."""
    say(f"the week's plan, {PLANNING:.0f} s")
    document = plan_week(shop, now=day, seconds=PLANNING)
    keep_plan(shop, document)
    week = papers / "week"
    week.mkdir(exist_ok=True)
    plan_pdfs(document, week, paper=shop.paper, system=shop.units_shown, clock_face=shop.clock_face)
    return Paper(document=document, pdf=week)


def _kept(document: Mapping[str, Any], pdf: Path) -> Paper:
    """The document beside its PDF, for other programs."""
    text = json.dumps(document, ensure_ascii=False, indent=2, allow_nan=False)
    pdf.with_suffix(".json").write_text(text + "\n", encoding="utf-8")
    return Paper(document=document, pdf=pdf)
