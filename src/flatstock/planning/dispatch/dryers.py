"""Dryers while a rule fills them: charges of one kind go in together, nothing comes in between."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from flatstock.planning.dispatch.calendars import later
from flatstock.planning.problem.clock import joined
from flatstock.planning.problem.drying import KEEPS
from flatstock.planning.problem.week import Sheet, Site, Week

__all__ = ["Dryers"]


@dataclass(slots=True)
class _Load:
    """What is dried together: one kind, minutes, kg and charges."""

    kind: str
    start: int
    end: int
    mass: float = 0.0
    count: int = 0


class Dryers:
    """What is settled of every dryer."""

    def __init__(self, week: Week) -> None:
        self.week = week
        self.there = later(joined(span for one in week.people for span in one.present), week.now)
        self.batches = {site.id: list(_full(week, site)) for site in week.of_kind("dryer")}

    def dried(self, sheet: Sheet, weigh: int, load: int) -> tuple[int | None, str | None] | None:
        """When and where its charge is dried: with others of its kind where there is room, else as late as can be."""
        if sheet.dried is not None and load > max(sheet.dried[1], self.week.now) + KEEPS:
            return None
        if not sheet.to_dry:
            return None, None
        for place, minutes in sheet.to_dry.items():
            site, key = self.week.sites[place], sheet.kind.key
            for batch in self.batches[place]:
                heavy = site.mass_max is not None and batch.mass + sheet.kind.charge > site.mass_max
                in_time = batch.end <= weigh and load <= batch.end + KEEPS
                if batch.kind == key and in_time and not heavy and batch.count < site.capacity:
                    return batch.start, place
            for there in reversed(self.there):
                start = min(weigh, there.end) - minutes
                for batch in sorted(self.batches[place], key=lambda b: -b.start):
                    if batch.start < start + minutes and start < batch.end:
                        start = batch.start - minutes
                if start >= there.start and load <= start + minutes + KEEPS:
                    return start, place
        return None

    def take(self, sheet: Sheet, place: str, start: int) -> None:
        """Its charge is dried there from then on."""
        batches, kind = self.batches[place], sheet.kind
        batch = next((b for b in batches if b.start == start and b.kind == kind.key), None)
        if batch is None:
            batch = _Load(kind.key, start, start + kind.dry[place])
            batches.append(batch)
        batch.mass, batch.count = batch.mass + kind.charge, batch.count + 1


def _full(week: Week, site: Site) -> Iterator[_Load]:
    """When a dryer takes nothing: while it is out of order, or holds what was put in before now."""
    for gone in site.absent:
        yield _Load("", gone.start, gone.end)
    ends = [sheet.dried[1] for sheet in week.sheets if sheet.dried and sheet.dried[2] == site.id]
    if max(ends, default=week.now) > week.now:
        yield _Load("", week.now, max(ends))
