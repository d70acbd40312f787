"""One person's day: there or not, and a letter for each thing done."""

from __future__ import annotations

from flatstock.prints.drawing.plan.hours import Hours
from flatstock.prints.drawing.svg import THIN
from flatstock.prints.plan_view import View

__all__ = ["LETTERS", "PERSON", "draw_person"]

PERSON = 32.0
LETTERS = {
    "weigh": "W",
    "prepare": "P",
    "load": "L",
    "transfer": "T",
    "move": "M",
    "demould": "D",
    "trim": "S",
}


def draw_person(hours: Hours, view: View, person: str, top: float) -> None:
    """Absence hatched, work black, the step's letter over it and the mould's number under it where there is room."""
    foot, d = top + PERSON - 9, hours.drawing
    away = float(hours.first)
    spans = [(hours.x(a), hours.x(b)) for a, b in view.presence(person, hours.day)]
    left = hours.x(away)
    for start, end in [*spans, (hours.right, hours.right)]:
        if start > left + 0.5:
            d.box(left, foot - 9, start - left, 9, "service", THIN)
        left = max(left, end)
    d.line((hours.left, foot), (hours.right, foot), THIN)
    letter_end = number_end = -1.0
    for work in view.works_on(hours.day):
        if person not in work.people:
            continue
        start, end = hours.x(work.start), hours.x(work.end)
        middle = (start + end) / 2
        d.box(start, foot - 9, max(1.5, end - start - 0.6), 9, "#111111")
        if middle - 3.4 >= letter_end:
            d.words((middle, foot - 11), LETTERS.get(work.step, "?"), size=9, anchor="middle", bold=True)
            letter_end = middle + 3.4
        number = f"{view.by_sheet[work.sheet].number}" if work.sheet in view.by_sheet else ""
        wide = 2.6 * len(number)
        if middle - wide >= number_end:
            d.words((middle, foot + 8), number, size=8, anchor="middle")
            number_end = middle + wide + 1
