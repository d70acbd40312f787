"""The end of a day: what stands where and until when, what comes first tomorrow, and the closing check."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime

from flatstock.plastics.safety import rules
from flatstock.prints.given_up_words import given_up_on
from flatstock.prints.pdf.parts import Part, big, figure, lines, numbered, rows, sheet
from flatstock.prints.pdf.words import cautions
from flatstock.prints.plan_view import STANDS, Stay, View
from flatstock.prints.plan_words import STEP_WORDS, earliest_opening, to_do
from flatstock.prints.words import clock

__all__ = ["hand_over"]

_NOTES = (
    "Not done today, or done otherwise than planned:",
    "Damage to a skin, a frame or a platen:",
    "Guard, stop, extract, oil, alarm: anything unusual:",
)
_SIGNED = "by ______________________    taken over by ______________________    at ________"
FIRST = 6  #: tasks of the next day that are told


def hand_over(view: View, one: date, where: tuple[str, ...], foot: str) -> Part:
    """The last sheet of a day."""
    closing = view.closing(one)
    standing = [
        (place, stay)
        for place in view.places("hot_press", *STANDS)
        for stay in (*_left_in(view, place, closing), *view.standing(place, closing, lost=True))
    ]
    parts: list[Part] = [
        big(
            figure("LAST ONE OUT", clock(closing)),
            figure(
                "MOULDS STANDING",
                str(len(standing)),
                below="mark what is hot for the night" if standing else "",
            ),
            figure("HEATERS OFF", _off(view, one), below="at the isolator"),
        ),
    ]
    if told := list(given_up_on(view, one)):
        parts.append(lines("Given up or set aside", told))
    if standing:
        head = ("place", "level, from below", "mould", "sheet", "", "since", "stays closed until")
        cells = [_stands(view, place, stay, closing) for place, stay in standing]
        parts.append(rows("What stands where over night", head, "lrrlwll", cells))
    resting = [
        m
        for m in view.moulds
        if (d := m.work("demould")) and d.end <= closing < datetime.fromisoformat(m.sheet["ready"])
    ]
    if resting:
        cells = [
            (str(m.number), m.id, m.name, clock(datetime.fromisoformat(m.sheet["ready"]), beside=closing))
            for m in resting
        ]
        parts.append(
            rows("Flat and at rest: not to be sized before", ("mould", "sheet", "", ""), "rlwl", cells)
        )
    parts += _tomorrow(view, one)
    check = rules().closing_check
    parts += [
        numbered("Say it, write it", _NOTES, room=True),
        rows("Closing check", ("", "", "done by"), "lwr", [("□", words, "______________") for words in check.lines]),
        lines("Handed over", [f"Decides: {check.defer_to}.", _SIGNED]),
    ]  # fmt: skip
    return sheet(
        "Hand-over and closing check", where, parts, cautions=cautions(view.document, view.shown), foot=foot
    )


def _off(view: View, one: date) -> str:
    offs = [setting.start for setting in view.settings_on(one) if setting.kind == "off"]
    return clock(max(offs)) if offs else "—"


def _left_in(view: View, press: str, closing: datetime) -> Iterator[Stay]:
    """Moulds that stay in a hot press without heat, since their charge is given up."""
    for name, mould in view.lost.items():
        since, out = datetime.fromisoformat(mould.sheet["since"]), mould.sheet["out"]
        until = datetime.fromisoformat(out["start"]) if out else datetime.max.replace(tzinfo=since.tzinfo)
        if mould.sheet["press"] == press and since <= closing < until:
            yield Stay(number=0, sheet=name, start=since, end=until, level=0)


def _stands(view: View, place: str, stay: Stay, closing: datetime) -> tuple[str, ...]:
    level, since = str(stay.level + 1), clock(stay.start, beside=closing)
    if (lost := view.lost.get(stay.sheet)) is not None:
        cold = lost.sheet["cold_from"]
        until = clock(datetime.fromisoformat(cold), beside=closing) if cold else "nobody knows"
        return place, level, "", stay.sheet, f"{lost.name}, given up", since, until
    mould = view.by_sheet[stay.sheet]
    opens = earliest_opening(mould) if view.kind[place] == "cooling_press" else None
    until = clock(max(filter(None, (opens, stay.end))), beside=closing)
    return place, level, str(stay.number), stay.sheet, mould.name, since, until


def _tomorrow(view: View, one: date) -> list[Part]:
    later = [day for day in view.dates if day > one]
    if not later:
        return []
    midnight = datetime.combine(one, datetime.min.time())
    works = [work for work in view.works_on(later[0]) if work.people][:FIRST]
    cells = [
        (clock(work.start, beside=midnight), STEP_WORDS[work.step],
         str(view.by_sheet[work.sheet].number) if work.sheet in view.by_sheet else "", work.sheet, to_do(view, work),
         " + ".join(work.people))
        for work in works
    ]  # fmt: skip
    heat = [s for s in view.settings_on(later[0]) if s.kind == "heat_up"]
    told = (
        [rows("First thing next", ("at", "", "mould", "sheet", "", "who"), "llrlwl", cells)] if cells else []
    )
    if heat:
        at = clock(heat[0].start, beside=midnight)
        words = f"{heat[0].place} on at {at}, not before somebody trained is there."
        told.append(lines("Heaters", [words]))
    return told
