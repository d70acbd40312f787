"""What has happened as the rows that a plan from now on is made from: the steps with hands, by their plan names."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from types import MappingProxyType

from flatstock.running.event import Event
from flatstock.running.standing import standing
from flatstock.workshop.shop import PracticeValues

__all__ = ["DoneRow", "done_rows"]

#: kind of event to the plan's step, and whether the event stands at the step's end
_STEPS: Mapping[str, tuple[str, bool]] = MappingProxyType(
    {
        "weighed": ("weigh", True),
        "prepared": ("prepare", True),
        "loaded": ("load", True),
        "transferred": ("transfer", False),
        "moved": ("move", False),
        "demoulded": ("demould", True),
        "trimmed": ("trim", True),
    }
)


@dataclass(frozen=True, slots=True, kw_only=True)
class DoneRow:
    """One line of done.csv; `end` None: it goes on."""

    sheet: str
    step: str
    start: datetime
    end: datetime | None
    place: tuple[str, ...]
    people: tuple[str, ...]

    def cells(self) -> dict[str, str]:
        """As done.csv has it."""
        return {
            "sheet": self.sheet,
            "step": self.step,
            "start": self.start.isoformat(),
            "end": "" if self.end is None else self.end.isoformat(),
            "place": " ".join(self.place),
            "people": " ".join(self.people),
        }


def done_rows(events: Iterable[Event], practice: PracticeValues, *, now: datetime) -> list[DoneRow]:
    """A line a step that has begun, sheet by sheet in order; the last of a sheet that was scrapped is `given_up`.

    A tap stands at one end of its step (the press is closed: load has ended; the press is opened: transfer
    begins); the other end is as far off as the shop reckons for the step, never before the step before it nor
    after now. Of a step told twice the last telling counts. Lots weighed one after another are one step.
    """
    seconds = {
        "weigh": practice.weigh_time,
        "prepare": practice.prepare_time,
        "load": practice.load_time,
        "transfer": practice.transfer_time,
        "move": practice.move_time,
        "demould": practice.demould_time,
        "trim": practice.trim_time,
    }
    by_sheet: dict[str, list[Event]] = {}
    stand = [event for event in standing(events) if event.at <= now]
    for event in stand:
        if event.sheet is not None:
            by_sheet.setdefault(event.sheet, []).append(event)
    found = []
    for sheet, told in sorted(by_sheet.items()):
        found += _rows(sheet, _prepared_still(told), seconds, now)
        if (scrapped := next((event for event in told if event.kind == "scrapped"), None)) is not None:
            found.append(_given_up(scrapped, told, stand))
    return found


def _prepared_still(told: list[Event]) -> list[Event]:
    """Without the preparing of a mould that was emptied again."""
    emptied = [event.at for event in told if event.kind == "set_aside"]
    last = max(emptied, default=None)
    return [one for one in told if not (one.kind == "prepared" and last is not None and one.at <= last)]


def _given_up(scrapped: Event, told: list[Event], stand: list[Event]) -> DoneRow:
    """It has left every place, but for a hot press whose heaters were switched off with it inside: it stays there
    until they are on again or another mould is laid in. One that cools on stays where it is."""
    load = next((event for event in told if event.kind == "loaded"), None)
    if any(event.kind == "transferred" for event in told):
        return _cooling_on(scrapped, told, stand)
    press = None if load is None else load.where
    start: datetime = scrapped.at
    end: datetime | None = scrapped.at
    later = [event for event in stand if press and load and event.where == press and event.at >= load.at]
    off = next((event for event in later if event.kind == "heating_off"), None)
    if off is not None:
        again = [
            event.at
            for event in later
            if event.at > off.at
            and (event.kind == "heating_on" or (event.kind == "loaded" and event.sheet != scrapped.sheet))
        ]
        start, end = min(off.at, scrapped.at), max(again[0], scrapped.at) if again else None
    return DoneRow(
        sheet=scrapped.sheet or "", step="given_up", start=start, end=end,
        place=(press,) if press else (), people=scrapped.who,
    )  # fmt: skip


def _cooling_on(scrapped: Event, told: list[Event], stand: list[Event]) -> DoneRow:
    """Until it is taken out; another mould in its cooling press says that it was, before that one came."""
    last = [event for event in told if event.kind in ("transferred", "moved") and event.where][-1]
    out = [event.at for event in told if event.kind == "demoulded"]
    if last.kind == "transferred":
        out += [
            event.at
            for event in stand
            if event.kind == "transferred" and event.where == last.where and event.sheet != scrapped.sheet
            and event.at > scrapped.at
        ]  # fmt: skip
    end = max(min(out), scrapped.at) if out else None
    return DoneRow(
        sheet=scrapped.sheet or "", step="given_up", start=scrapped.at, end=end,
        place=(last.where,) if last.where and end is None else (), people=scrapped.who,
    )  # fmt: skip


def _rows(sheet: str, told: list[Event], seconds: Mapping[str, float], now: datetime) -> list[DoneRow]:
    last = {_STEPS[event.kind][0]: event for event in told if event.kind in _STEPS}
    rows: list[DoneRow] = []
    place: str | None = None
    for step, event in sorted(last.items(), key=lambda one: (one[1].at, one[1].noted_at, one[1].id)):
        span, at_end = timedelta(seconds=seconds[step]), _STEPS[event.kind][1]
        before = [row.end or row.start for row in rows]
        if at_end:
            start = max([event.at - span, *before]) if not before or max(before) <= event.at else event.at
            end: datetime | None = event.at
        else:
            start, end = event.at, event.at + span if event.at + span <= now else None
        touched = tuple(
            dict.fromkeys(p for p in (place if step in ("transfer", "move") else None, event.where) if p)
        )
        if step == "prepare":  # the mould that was taken, which need not be the one that was planned
            mould = (event.facts.get("frame"), event.facts.get("skins"))
            touched += tuple(name for name in mould if isinstance(name, str))
        rows.append(DoneRow(sheet=sheet, step=step, start=start, end=end, place=touched, people=event.who))
        place = event.where or place
    return rows
