"""One day's papers in the order they are wanted: weigh list, a sheet a person, a sheet a place, hand-over."""

from __future__ import annotations

from datetime import date
from typing import Any

from flatstock.prints.given_up_words import given_up_in, taken_out_by
from flatstock.prints.pdf.parts import Part, big, figure, lines, rows, sheet
from flatstock.prints.pdf.plan.handover import hand_over
from flatstock.prints.pdf.words import made_at, short
from flatstock.prints.plan_view import STANDS, Setting, View, Work
from flatstock.prints.plan_words import SETTING_WORDS, STEP_WORDS, others, to_do, weight
from flatstock.prints.words import clock, day

__all__ = ["day_papers"]

Row = tuple[str, ...]
BOX = "□"
MOST_ROWS = 44  #: of a weigh list on one sheet: at arm's length beside the scale; our own figure


def day_papers(view: View, one: date) -> dict[str, Any]:
    """The words of pages/report.typ for one day."""
    name = view.name_of(one)
    made = made_at(view.document)
    foot = f"Made {day(made)}, {clock(made)}. " if made else ""
    foot += "Late hurries nobody: a mould stays closed until two people are there."
    where = (short(view.shop, 48), name)
    sheets = weigh_lists(view, one, where, foot)
    sheets += [
        person_sheet(view, one, person, where, foot)
        for person in view.people()
        if _works_of(view, one, person)
    ]
    sheets += [
        place_sheet(view, one, place, where, foot) for place in view.places() if _lines_of(view, one, place)
    ]
    sheets.append(hand_over(view, one, where, foot))
    return {"title": f"{view.shop}, {name}", "shop": view.shop, "sheets": sheets}


def weigh_lists(view: View, one: date, where: tuple[str, ...], foot: str) -> list[Part]:
    """What to weigh in the morning, lot by lot, with room for what the scale showed; a long list on several sheets."""
    taken: dict[str, float] = {}
    charges: list[list[Row]] = []
    for work in [w for w in view.works_on(one) if w.step == "weigh" and w.sheet in view.by_sheet]:
        mould = view.by_sheet[work.sheet]
        whole = weight(view, mould.sheet["charge_kg"])
        people = ", ".join(work.people)
        cells: list[Row] = [
            (BOX, clock(work.start), str(mould.number), mould.id, mould.name, whole, "", people)
        ]
        for lot in mould.sheet["lots"]:
            taken[lot["lot"]] = taken.get(lot["lot"], 0.0) + float(lot["mass_kg"])
            cells.append(("", "", "", "", f"of {lot['lot']}", weight(view, lot["mass_kg"]), "________", ""))
        charges.append(cells)
    if not charges:
        return []
    unit = view.shown.unit("kg")
    head = ("", "at", "mould", "sheet", "", unit, "weighed", "who")
    figures = big(
        figure("CHARGES TO WEIGH", str(len(charges))),
        figure("WEIGHT IN ALL", weight(view, sum(taken.values())), unit=unit),
    )
    drawn = ("lot", "", f"today, {unit}", f"left after today, {unit}")
    pages, made = _pages(charges), []
    for n, page in enumerate(pages, 1):
        heavy = [sum(map(len, page[:at])) for at in range(len(page))]
        parts = [
            figures,
            rows(
                "One after the other", head, "llrlwrrl", [row for cells in page for row in cells], bold=heavy
            ),
        ]
        if n == len(pages):
            parts.append(rows("From each lot", drawn, "lwrr", _lots(view, one, taken)))
        name = "Weigh list" if len(pages) == 1 else f"Weigh list, {n} of {len(pages)}"
        made.append(sheet(name, where, parts, foot=foot))
    return made


def _pages(charges: list[list[Row]]) -> list[list[list[Row]]]:
    """As many charges on a sheet as are read at the scale, none parted."""
    pages: list[list[list[Row]]] = [[]]
    for cells in charges:
        if sum(map(len, pages[-1])) + len(cells) > MOST_ROWS:
            pages.append([])
        pages[-1].append(cells)
    return pages


def _lots(view: View, one: date, taken: dict[str, float]) -> list[Row]:
    known = {lot["id"]: lot for lot in view.document["lots"]}
    found: list[Row] = []
    for lot in sorted(taken):
        weighed = [m for m in view.moulds if (work := m.work("weigh")) and view.day_of(work.start) <= one]
        drawn = sum(float(p["mass_kg"]) for m in weighed for p in m.sheet["lots"] if p["lot"] == lot)
        words = (
            " ".join(filter(None, (known[lot]["plastic"].upper(), known[lot]["colour"])))
            if lot in known
            else ""
        )
        left = weight(view, float(known[lot]["mass_kg"]) - drawn) if lot in known else ""
        found.append((lot, words, weight(view, taken[lot]), left))
    return found


def _works_of(view: View, one: date, person: str) -> list[Work]:
    return [work for work in view.works_on(one) if person in work.people]


def person_sheet(view: View, one: date, person: str, where: tuple[str, ...], foot: str) -> Part:
    """What one person does, when, with whom."""
    works = _works_of(view, one, person)
    there = view.presence(person, one)
    cells: list[Row] = []
    hot: list[int] = []
    for work in works:
        mould = view.by_sheet.get(work.sheet)
        if work.step in ("load", "transfer"):
            hot.append(len(cells))
        number = str(mould.number) if mould else ""
        cells.append(
            (BOX, clock(work.start), clock(work.end), STEP_WORDS[work.step], number, work.sheet, to_do(view, work),
             others(work, person))
        )  # fmt: skip
    spans = ", ".join(f"{clock(start)} to {clock(end)}" for start, end in there)
    pairs = sum(work.step in ("load", "transfer") for work in works)
    parts = [
        big(
            figure("THERE", spans or "not said", wide=True),
            figure("FIRST AT", clock(works[0].start)),
            figure("AT THE HOT PRESS", str(pairs), below="times, two people each"),
        ),
        rows(
            "One after the other",
            ("", "from", "to", "", "mould", "sheet", "", "with"),
            "llllrlwl",
            cells,
            bold=hot,
        ),
    ]
    if told := list(taken_out_by(view, person, one)):
        parts.insert(1, lines("Taken out cold", told))
    return sheet(person, where, parts, foot=foot)


def _lines_of(view: View, one: date, place: str) -> list[Work | Setting]:
    lines: list[Work | Setting] = [w for w in view.works_on(one) if place in w.places]
    lines += [s for s in view.settings_on(one, place) if s.kind != "hold"]
    return sorted(lines, key=lambda line: (line.start, line.end))


def place_sheet(view: View, one: date, place: str, where: tuple[str, ...], foot: str) -> Part:
    """What happens in one place, and what stands in it in the morning."""
    listed = _lines_of(view, one, place)
    told = list(given_up_in(view, place, one))
    parts: list[Part] = [lines("Given up: a mould is inside", told)] if told else []
    if view.kind[place] in STANDS:
        morning = view.standing(place, listed[0].start)
        morning = [stay for stay in morning if view.day_of(stay.start) < one]
        if morning:
            there: list[Row] = [
                (str(n), str(s.number), s.sheet, view.by_sheet[s.sheet].name,
                 f"since {clock(s.start, beside=listed[0].start)}")
                for n, s in enumerate(morning, 1)
            ]  # fmt: skip
            standing = ("level, from below", "mould", "sheet", "", "")
            parts.append(rows("Standing there in the morning", standing, "rrlwl", there))
    cells: list[Row] = [
        _setting_line(view, line) if isinstance(line, Setting) else _work_line(view, line) for line in listed
    ]
    heavy = [
        n for n, line in enumerate(listed) if isinstance(line, Setting) or line.step in ("load", "transfer")
    ]
    head = ("", "from", "to", "", "mould", "sheet", "", "who")
    parts.append(rows("One after the other", head, "llllrlwl", cells, bold=heavy))
    return sheet(place, (*where, view.kind[place].replace("_", " ")), parts, foot=foot)


def _setting_line(view: View, line: Setting) -> Row:
    to = view.shown.one(line.to_C, "C") if line.to_C is not None and line.kind not in ("off", "clean") else ""
    until = "" if line.end == line.start else clock(line.end)
    return (BOX, clock(line.start), until, SETTING_WORDS[line.kind], "", "", to, "")


def _work_line(view: View, line: Work) -> Row:
    mould = view.by_sheet.get(line.sheet)
    number = str(mould.number) if mould else ""
    told = (
        (mould.name if mould else "") if line.step in ("dwell", "press_cool", *STANDS) else to_do(view, line)
    )
    until = clock(line.end, beside=line.start)
    return (
        BOX if line.people else "",
        clock(line.start),
        until,
        STEP_WORDS[line.step],
        number,
        line.sheet,
        told,
        " + ".join(line.people),
    )
