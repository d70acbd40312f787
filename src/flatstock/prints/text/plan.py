"""A week's plan in a terminal: day by day what is loaded when, by whom, and what it leads to."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime
from itertools import groupby
from typing import Any

from flatstock.prints.given_up_words import given_up
from flatstock.prints.plan_words import GOAL_WORDS, failing
from flatstock.prints.shown import Shown
from flatstock.prints.text.closing import closing
from flatstock.prints.text.layout import heading, table, title, wrapped
from flatstock.prints.words import clock, day, plastic_name
from flatstock.times import lasting
from flatstock.units import System

__all__ = ["plan_text"]

Document = Mapping[str, Any]
SHORT = {
    "heat_up": "heat up", "soak": "soak", "raise": "raise", "lower": "lower", "clean": "wipe down", "off": "off",
}  # fmt: skip


def plan_text(document: Document, system: System = "metric") -> str:
    """A `flatstock.plan/1` for people; `system`: the units that the shop reads."""
    shown = Shown(system)
    sheets = {sheet["id"]: sheet for sheet in document["sheets"]}
    lines = title(f"The week to {day(_moment(document['end']))}", str(document["shop"]))
    lines += wrapped(_sum(document))
    for words in given_up(document):
        lines += wrapped(shown.prose(words), first="  ! ")
    lines += _not_in_time(document, shown)
    lines += _offcuts(document, shown)
    lines += _moved(document, shown)
    tasks = sorted(document["tasks"], key=lambda task: _moment(task["start"]))
    transfers = {task["sheet"]: task for task in tasks if task["step"] == "transfer"}
    for date, group in groupby(tasks, key=lambda task: _moment(task["start"]).date()):
        listed = list(group)
        lines += heading(day(_moment(listed[0]["start"])))
        lines += _heaters(document, date, shown)
        lines += _presses(listed, sheets, transfers, shown)
        lines += _others(listed)
    lines += heading("How good it is")
    rows = [("", "this plan", "at best")]
    for goal in document["proof"]["objective"]:
        rows.append(
            (GOAL_WORDS.get(goal["name"], goal["name"]), _whole(goal["value"]), _whole(goal["bound"]))
        )
    lines += table(rows, "<>>")
    proven = document["proof"]["status"] == "optimal"
    seconds = document["proof"]["seconds"]
    lines += [
        "",
        *wrapped(f"{'Proven: no plan is better' if proven else 'The best found'} in {seconds:g} s."),
    ]
    lines += _rehearsed(document, shown)
    return "\n".join([*lines, *closing(document, shown)]) + "\n"


def _rehearsed(document: Document, shown: Shown) -> list[str]:
    """How the plan fared in the heat model, and what each round found wrong on the way."""
    rehearsal = document["rehearsal"]
    if not rehearsal["rounds"]:
        return []
    bad = [one["sheet"] for one in rehearsal["sheets"] if one["verdict"] != "good"]
    rounds = "once" if rehearsal["rounds"] == 1 else f"{rehearsal['rounds']} times"
    lines = heading("Run through the heat model")
    lines += wrapped(
        f"{rounds.capitalize()}; {'every sheet is good' if not bad else 'not good: ' + ', '.join(bad)}."
    )
    for one in rehearsal.get("faults", ()):
        lines += wrapped(f"{one['sheet']} {shown.prose(one['text'])}", first=f"  round {one['round']}  ")
    return lines


def _whole(value: float | None) -> str:
    return "unknown" if value is None else f"{value:,.0f}".replace(",", " ")


def _moment(text: str) -> datetime:
    return datetime.fromisoformat(text)


def _sum(document: Document) -> str:
    count = len(document["sheets"])
    late = sum(sheet["late_min"] > 0 for sheet in document["sheets"])
    words = "none late" if not late else f"{late} late"
    if left := len(document["left_out"]):
        words += f", {left} order{'' if left == 1 else 's'} not planned in full"
    if bad := failing(document):
        words += f", {bad}"
    energy = document["energy_kWh"]
    heaters = "" if energy is None else f"; heaters {energy:.0f} kWh"
    return f"{count} sheet{'' if count == 1 else 's'}, {words}{heaters}."


def _moved(document: Document, shown: Shown) -> list[str]:
    """Of a plan that goes on from another: one line a sheet, its first step that moved."""
    since = document.get("since")
    if since is None:
        return []
    lines = heading(f"What moved, as of {day(_moment(since['now']))} {clock(_moment(since['now']))}")
    first: dict[str, Any] = {}
    for one in since["moved"]:
        before = first.get(one["sheet"])
        if before is None or (one["step"] == "load" and before["step"] in ("weigh", "prepare")):
            first[one["sheet"]] = one
    rows = [
        (
            one["sheet"],
            one["step"],
            f"{_moment(one['from']):%a} {clock(_moment(one['from']))}",
            "no longer" if one["to"] is None else f"{_moment(one['to']):%a} {clock(_moment(one['to']))}",
            shown.prose(one["because"]),
        )
        for one in first.values()
    ]
    elsewhere = [
        (
            one["sheet"],
            one["step"],
            f"{_moment(one['at']):%a} {clock(_moment(one['at']))}",
            _where(one["places_before"], one["people_before"]),
            _where(one["places"], one["people"]),
            shown.prose(one["because"]),
        )
        for one in since.get("changed", ())
    ]
    if not rows and not elsewhere:
        return [*lines, *wrapped("Nothing: the plan stands as it was.")]
    if rows:
        lines += table([("sheet", "step", "from", "to", "because"), *rows], "<<<<<")
    if elsewhere:
        lines += ["", *wrapped("At its time, elsewhere or by others:")]
        lines += table([("sheet", "step", "at", "was", "is", "because"), *elsewhere], "<<<<<<")
    return lines


def _where(places: Sequence[str], people: Sequence[str]) -> str:
    return f"{' '.join(places)}, {'+'.join(people)}" if places else "-"


def _not_in_time(document: Document, shown: Shown) -> list[str]:
    lines: list[str] = []
    for one in document["late"]:
        because = "; ".join(one["because"])
        words = f"{one['order']} is late by {lasting(one['minutes'])} over all its sheets."
        words += f" {because[:1].upper()}{because[1:]}"
        lines += wrapped(shown.prose(words.strip()), first="  ! ")
        for help_ in one["would_help"]:
            saves = help_["saves_min"]
            lines += wrapped(
                shown.prose(
                    f"{help_['what']}: {'helps' if saves is None else f'{lasting(saves)} less'}{_though(help_)}"
                ),
                first="    would help  ",
            )
    for one in document["left_out"]:
        lines += wrapped(f"{one['order']} is left out: {shown.prose(one['because'])}", first="  ! ")
        for help_ in one.get("would_help", ()):
            more = help_["sheets"]
            lines += wrapped(
                shown.prose(f"{help_['what']}: {more} sheet{'s' * (more != 1)} more{_though(help_)}"),
                first="    would help  ",
            )
    return lines


def _though(help_: Document) -> str:
    """What others lose by it, and that no search was spent on it."""
    costs = f", though {help_['costs']}" if help_.get("costs") else ""
    return costs + ("" if help_.get("searched", True) else " (by the rules alone)")


def _offcuts(document: Document, shown: Shown) -> list[str]:
    """Offcuts in store that could stand in for a sheet."""
    lines: list[str] = []
    for one in document.get("offcuts", ()):
        lines += wrapped(f"{one['order']}: {shown.prose(one['text'])}", first="  + ")
    return [*heading("Offcuts in store"), *lines] if lines else []


def _heaters(document: Document, date: object, shown: Shown) -> list[str]:
    rows = []
    for one in document["settings"]:
        start = _moment(one["start"])
        if start.date() == date and one["kind"] in SHORT:
            to = (
                ""
                if one["to_C"] is None
                else f" to {shown.one(one['to_C'], 'C')}"
                if one["kind"] not in ("soak", "clean")
                else ""
            )
            rows.append((clock(start), f"{one['place']} {SHORT[one['kind']]}{to}"))
    return table(rows, "><") if rows else []


def _presses(
    tasks: Sequence[Document],
    sheets: Mapping[str, Document],
    transfers: Mapping[str, Document],
    shown: Shown,
) -> list[str]:
    """Every mould that comes into a hot press that day: load, transfer, both pairs of hands."""
    rows = [("load", "sheet", "", shown.unit("mm"), "frame", "transfer", "people")]
    for task in tasks:
        if task["step"] != "load":
            continue
        sheet, transfer = sheets[task["sheet"]], transfers.get(task["sheet"])
        what = " ".join(filter(None, (plastic_name(sheet["plastic"]), sheet["colour"])))
        people = "+".join(task["people"])
        if transfer is not None and transfer["people"] != task["people"]:
            people += f", then {'+'.join(transfer['people'])}"
        rows.append((
            clock(_moment(task["start"])), task["sheet"], what,
            shown.size(sheet["thickness_mm"]).removesuffix(f" {shown.unit('mm')}"), sheet["frame"],
            "" if transfer is None else clock(_moment(transfer["start"]), beside=_moment(task["start"])), people,
        ))  # fmt: skip
    return table(rows, "<<<><<<") if len(rows) > 1 else []


def _others(tasks: Sequence[Document]) -> list[str]:
    lines: list[str] = []
    for step, words in (("demould", "Demould"), ("trim", "Saw")):
        done = [f"{clock(_moment(task['start']))} {task['sheet']}" for task in tasks if task["step"] == step]
        if done:
            lines += wrapped(f"{words}: {', '.join(done)}.", first="  ")
    return lines
