"""Why a clock of the run board says what it says: when its count began, what it waits for, and whose answer that is."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime, timedelta, tzinfo
from typing import Any

from flatstock.errors import OutOfRange, UserError
from flatstock.pressing.card import document_of, work_out
from flatstock.pressing.questions import CardQuestion
from flatstock.prints.words import clock
from flatstock.running.sheets import Planned
from flatstock.running.view import MouldHere, PlaceHere
from flatstock.running.words import clock_up
from flatstock.workshop.shop import Workshop

__all__ = ["clock_reasons"]

Document = dict[str, Any]
PAGE = "docs/run-board.md"
#: numbers of the sheet's card that a clock rests on, by what comes next
RESTS = {
    "transferred": ("dwell_min", "dwell_latest_min", "dwell_advised_min", "melt_target_C", "platen_dip_C"),
    "moved": ("press_cool_min", "open_below_C"),
    "demoulded": ("press_cool_min", "demould_below_C"),
}
UNTIL = {
    "transferred": "the core's coldest point has reached its melt target, at the late end of that band",
    "moved": "the core's hottest point is below what the press may be opened at, at the late end of that band",
    "demoulded": "the core's hottest point is below what the sheet may be taken out at, at the late end of that band",
}


def clock_reasons(
    shop: Workshop, place: PlaceHere, mould: MouldHere, sheet: Planned | None, zone: tzinfo
) -> Document:
    """A document with the clock's numbers and a `why` of each, those of the sheet's card among them.

    Where the card can't be worked out (a lot that is held since, a plastic that is no longer on file), the clock's own
    reasons stand alone.
    """
    step = mould.next.kind
    card = _card(shop, place, sheet) if sheet is not None else {}
    wanted = RESTS.get(step, ())
    document: Document = {name: card[name] for name in wanted if card.get(name) is not None}
    stays = _stays_on(mould, sheet)
    own = [_planned(mould, sheet, zone) if stays and sheet else _counts(mould, zone, step)]
    document["counts_to"] = _said(mould.counts_to, zone, up=True)
    if mould.latest is not None:
        document["latest"] = _said(mould.latest, zone)
        own.append(_latest(mould, zone))
    if mould.core is not None:
        document["core_now_C"] = mould.core
        own.append(_core(mould, stays=stays))
    document["why"] = own + [one for one in card.get("why", ()) if one["of"] in wanted]
    return document


def _card(shop: Workshop, place: PlaceHere, sheet: Planned) -> Mapping[str, Any]:
    if not sheet.plastic or not sheet.thickness_mm:
        return {}
    whole = sum(sheet.lots.values())
    question = CardQuestion(
        plastic=sheet.plastic,
        thickness=sheet.thickness_mm / 1000,
        press=place.id if place.kind == "hot_press" else None,
        set_point=sheet.set_point,
        lots={lot: mass / whole for lot, mass in sheet.lots.items()} if whole else {},
    )
    try:
        return document_of(work_out(shop, question, pressed=True))
    except (UserError, OutOfRange, ArithmeticError):
        return {}


def _counts(mould: MouldHere, zone: tzinfo, step: str) -> Document:
    began = {"transferred": "press closed"}.get(step, "laid where it stands")
    inputs = [
        _moment(began, mould.since, zone, "measured", "tapped on the board"),
        {
            "name": "counts until",
            "value": UNTIL.get(step, "the step that is planned next"),
            "kind": "computed",
            "source": mould.basis,
        },
    ]
    if mould.middle is not None:
        inputs.append(
            _moment("expected, the middle of the band", mould.middle, zone, "computed", mould.basis)
        )
    note = "; ".join(mould.notes)
    return {
        "of": "counts_to",
        "title": "What the large clock counts to",
        "formula": f"{began} + time until {UNTIL.get(step, 'its next step')}; shown upwards to the whole minute",
        "source": PAGE,
        "note": note,
        "inputs": inputs,
    }


def _stays_on(mould: MouldHere, sheet: Planned | None) -> bool:
    """Whether it stays in the hot press for its planned dwell although it has melted through before that is over."""
    if mould.next.kind != "transferred" or sheet is None or sheet.dwell_planned is None:
        return False
    return mould.counts_to == mould.since + timedelta(seconds=sheet.dwell_planned)


def _planned(mould: MouldHere, sheet: Planned, zone: tzinfo) -> Document:
    dwell = (sheet.dwell_planned or 0.0) / 60
    inputs = [_moment("press closed", mould.since, zone, "measured", "tapped on the board")]
    inputs.append({"name": "planned dwell, min", "value": dwell, "kind": "computed", "source": "the plan"})
    if mould.middle is not None:
        inputs.append(
            _moment("melted through, the middle of the band", mould.middle, zone, "computed", mould.basis)
        )
    return {
        "of": "counts_to",
        "title": "What the large clock counts to",
        "formula": "press closed + the planned dwell, which is the card's advised dwell, breathing and full pressure"
        " at its end; shown upwards to the whole minute",
        "source": PAGE,
        "note": "; ".join(mould.notes),
        "inputs": inputs,
    }


def _latest(mould: MouldHere, zone: tzinfo) -> Document:
    assert mould.latest is not None
    return {
        "of": "latest",
        "title": "Out by",
        "formula": "press closed, the earliest told + the early end of what the face bears at the set-point",
        "source": PAGE,
        "note": "late is never a reason for one person alone to hurry: leave it closed",
        "inputs": [
            _moment("press closed", mould.since, zone, "measured", "tapped on the board"),
            _moment("out by", mould.latest, zone, "computed", mould.basis),
        ],
    }


def _core(mould: MouldHere, *, stays: bool) -> Document:
    return {
        "of": "core_now_C",
        "title": "The core now",
        "formula": "the heat model's curve at the unsafe end of its band, read at this minute",
        "source": PAGE,
        "note": "it passes its target before the clock runs out: until then it stays for its planned dwell"
        if stays
        else "it passes its limit at the minute that the clock counts to, and never earlier",
        "inputs": [{"name": "curve", "value": mould.what, "kind": "computed", "source": mould.basis}],
    }


def _moment(name: str, at: datetime, zone: tzinfo, kind: str, source: str) -> Document:
    return {"name": name, "value": clock(at.astimezone(zone)), "kind": kind, "source": source}


def _said(at: datetime | None, zone: tzinfo, *, up: bool = False) -> str:
    if at is None:
        return "not known"
    return clock_up(at, zone) if up else clock(at.astimezone(zone))
