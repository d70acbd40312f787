"""A week's plan as its prints look at it: moulds numbered in the order they are loaded, and each day's work."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from functools import cached_property
from typing import Any

from flatstock.prints.clock_face import ClockFace
from flatstock.prints.shown import METRIC, Shown
from flatstock.prints.words import day as in_words
from flatstock.prints.words import plastic_name
from flatstock.prints.working_day import first_hour
from flatstock.units import System

__all__ = ["STANDS", "Mould", "Setting", "Stay", "View", "Work", "hours_of"]

Document = Mapping[str, Any]
#: kinds of place in the order in which a sheet passes them
KINDS = ("dryer", "scale", "bench", "hot_press", "cooling_press", "stack", "rack", "lift", "saw")
#: where a mould may stand overnight
STANDS = ("cooling_press", "stack", "rack")


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """One task with its instants, in the shop's own time."""

    sheet: str
    step: str
    start: datetime
    end: datetime
    places: tuple[str, ...]
    people: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """What a hot press is set to."""

    place: str
    kind: str
    start: datetime
    end: datetime
    to_C: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Stay:
    """A mould in a place, from its arrival to its leaving; `level` counts from the bottom, 0 first."""

    number: int
    sheet: str
    start: datetime
    end: datetime
    level: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Mould:
    """One sheet on its way; `number` counts the loads of the week."""

    number: int
    sheet: Document
    works: tuple[Work, ...]
    shown: Shown = METRIC

    @property
    def id(self) -> str:
        """The sheet's id."""
        return str(self.sheet["id"])

    @property
    def stuff(self) -> str:
        """Plastic and colour: "HDPE blue"."""
        return " ".join(filter(None, (plastic_name(self.sheet["plastic"]), self.sheet["colour"])))

    @property
    def name(self) -> str:
        """Plastic, colour and thickness: "HDPE blue 18 mm"."""
        return f"{self.stuff} {self.shown.size(self.sheet['thickness_mm'])}"

    def work(self, step: str) -> Work | None:
        """Its first such step."""
        return next((one for one in self.works if one.step == step), None)


class View:
    """A `flatstock.plan/1`, ready to be asked by day, place and person."""

    def __init__(self, document: Document, system: System = "metric", clock_face: ClockFace = "24h") -> None:
        """`system`: the units that the shop reads; `clock_face`: how it says the time of day."""
        self.document, self.shown, self.clock_face = document, Shown(system), clock_face
        self.shop = str(document["shop"])
        self.kind = {str(one["id"]): str(one["kind"]) for one in document["resources"]}
        self.capacity = {str(one["id"]): int(one["capacity"]) for one in document["resources"]}
        self.works = sorted((_work(one) for one in document["tasks"]), key=lambda one: (one.start, one.end))
        self.settings = sorted(
            (_setting(one) for one in document["settings"]), key=lambda one: (one.start, one.end)
        )

    @cached_property
    def moulds(self) -> list[Mould]:
        """Every sheet, in the order of loading; those that are loaded nowhere come last."""
        by_sheet: dict[str, list[Work]] = {}
        for one in self.works:
            by_sheet.setdefault(one.sheet, []).append(one)

        def loaded(sheet: Document) -> tuple[bool, float, str]:
            load = next((one for one in by_sheet.get(str(sheet["id"]), ()) if one.step == "load"), None)
            return load is None, load.start.timestamp() if load else 0.0, str(sheet["id"])

        ordered = sorted(self.document["sheets"], key=loaded)
        return [
            Mould(number=n, sheet=sheet, works=tuple(by_sheet.get(str(sheet["id"]), ())), shown=self.shown)
            for n, sheet in enumerate(ordered, 1)
        ]

    @cached_property
    def by_sheet(self) -> dict[str, Mould]:
        """Moulds by the sheet's id."""
        return {mould.id: mould for mould in self.moulds}

    @cached_property
    def lost(self) -> dict[str, Mould]:
        """Moulds whose charge is given up, by its sheet, with where they were and will be; they have no number."""
        return {
            str(one["sheet"]): Mould(
                number=0,
                sheet={**one, "id": one["sheet"]},
                works=tuple(_work(task) for task in (*one["tasks"], *one.get("ahead", ()))),
                shown=self.shown,
            )
            for one in self.document.get("given_up", ())
        }

    @cached_property
    def first_hour(self) -> int:
        """When a working day begins; a night shift's goes on past midnight."""
        spans = [span for person in self.people() for span in self._present(person)]
        return first_hour([*spans, *((one.start, one.end) for one in self.works if one.people)])

    def day_of(self, moment: datetime) -> date:
        """The working day that a moment lies in, by the date on which it begins."""
        return (moment - timedelta(hours=self.first_hour)).date()

    def name_of(self, one: date) -> str:
        """A working day in words: "Mon 2 March 2026", of a night "Sun 1 to Mon 2 March 2026"."""
        begins = datetime.combine(one, time(12))
        if not self.first_hour:
            return in_words(begins)
        ends = in_words(begins + timedelta(days=1))
        weekday, number, *_ = in_words(begins).split()
        return f"{weekday} {number} to {ends}"

    @cached_property
    def dates(self) -> list[date]:
        """Working days on which hands or heaters have something to do."""
        days = {self.day_of(one.start) for one in self.works if one.people or one.step == "dwell"}
        return sorted(days | {self.day_of(one.start) for one in self.settings})

    def places(self, *kinds: str) -> list[str]:
        """Places of these kinds (all, where none is named), in the order of the work."""
        wanted = kinds or KINDS
        found = [place for place, kind in self.kind.items() if kind in wanted and kind in KINDS]
        return sorted(found, key=lambda place: (KINDS.index(self.kind[place]), place))

    def people(self) -> list[str]:
        """Everybody."""
        return sorted(name for name, kind in self.kind.items() if kind == "person")

    def works_on(self, day: date) -> list[Work]:
        """What starts on a working day."""
        return [one for one in self.works if self.day_of(one.start) == day]

    def settings_on(self, day: date, press: str | None = None) -> list[Setting]:
        """Settings that start on a working day."""
        return [one for one in self.settings if self.day_of(one.start) == day and press in (None, one.place)]

    def presence(self, person: str, day: date) -> list[tuple[datetime, datetime]]:
        """When somebody is there on a working day."""
        return sorted(span for span in self._present(person) if self.day_of(span[0]) == day)

    def _present(self, person: str) -> list[tuple[datetime, datetime]]:
        (found,) = (one for one in self.document["resources"] if one["id"] == person)
        return [(_instant(p["start"]), _instant(p["end"])) for p in found.get("present", ())]

    def hours(self, days: Sequence[date]) -> tuple[int, int]:
        """First and last full hour, counted from midnight, that hold the work and the heating of these days."""
        low, high = 48, 0
        for day in days:
            spans = [(one.start, one.end) for one in self.works_on(day) if one.people or one.step == "dwell"]
            spans += [(one.start, one.end) for one in self.settings_on(day)]
            for start, end in spans:
                low = min(low, int(hours_of(start, day)))
                high = max(high, -int(-hours_of(end, day) // 1))
        return (low, max(high, low + 1)) if low < 48 else (7, 16)

    def closing(self, day: date) -> datetime:
        """When the last person leaves, or the last work with hands ends."""
        ends = [end for person in self.people() for _, end in self.presence(person, day)]
        ends += [one.end for one in self.works_on(day) if one.people]
        ends += [one.end for one in self.settings_on(day)]
        return max(ends)

    def stays(self, place: str, *, lost: bool = False) -> list[Stay]:
        """Every mould's stay in a cooling press, a stack or a rack, with its level there; with `lost` those too whose
        charge is given up."""
        steps = {"cooling_press": "press_cool", "stack": "stack", "rack": "rack"}
        step = steps.get(self.kind[place], "")
        moulds = self.by_sheet | self.lost  # one that is given up lies under others like any
        works = [*self.works, *(work for one in self.lost.values() for work in one.works)]
        spans = sorted(
            (one for one in works if one.step == step and place in one.places and one.sheet in moulds),
            key=lambda one: (one.start, one.end),
        )
        found: list[Stay] = []
        for one in spans:
            taken = {stay.level for stay in found if stay.end > one.start}
            level = next(n for n in range(len(taken) + 1) if n not in taken)
            number = moulds[one.sheet].number
            found.append(Stay(number=number, sheet=one.sheet, start=one.start, end=one.end, level=level))
        return [stay for stay in found if lost or stay.sheet in self.by_sheet]

    def standing(self, place: str, moment: datetime, *, lost: bool = False) -> list[Stay]:
        """What stands there at a moment, the lowest first; with `lost` those too whose charge is given up."""
        stays = self.stays(place, lost=lost)
        return sorted((s for s in stays if s.start <= moment < s.end), key=lambda s: s.level)

    def amps(self, day: date) -> list[tuple[float, float, tuple[float, float, float]]]:
        """Amperes of a working day: hours from midnight from and to, and each phase."""
        found, first = [], float(self.first_hour)
        for one in self.document["power"]:
            start, end = _instant(one["start"]), _instant(one["end"])
            low, high = max(first, hours_of(start, day)), min(first + 24.0, hours_of(end, day))
            if high > low:
                found.append((low, high, (float(one["L1_A"]), float(one["L2_A"]), float(one["L3_A"]))))
        return found


def hours_of(moment: datetime, day: date) -> float:
    """Hours from the midnight that begins `day`, by the clock on the wall."""
    days = (moment.date() - day) // timedelta(days=1)
    return 24 * days + moment.hour + moment.minute / 60 + moment.second / 3600


def _instant(text: str) -> datetime:
    return datetime.fromisoformat(text)


def _work(one: Document) -> Work:
    return Work(
        sheet=str(one["sheet"]), step=str(one["step"]), start=_instant(one["start"]), end=_instant(one["end"]),
        places=tuple(one["places"]), people=tuple(one["people"]),
    )  # fmt: skip


def _setting(one: Document) -> Setting:
    return Setting(
        place=str(one["place"]), kind=str(one["kind"]), start=_instant(one["start"]), end=_instant(one["end"]),
        to_C=one["to_C"],
    )  # fmt: skip
