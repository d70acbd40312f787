"""Faults on record: found by id, listed, linked with the sheet that shall prove a remedy."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any, Literal

from flatstock.actions.fault_case import Case, case_of
from flatstock.actions.fault_evidence import Read, Seen
from flatstock.actions.fault_words import KINDS
from flatstock.actions.sheet_quality import quality_of
from flatstock.errors import Fault, Refused
from flatstock.quality.faults.guide import Cause, guide
from flatstock.quality.faults.places import cells_of
from flatstock.quality.thickness import ThicknessMap
from flatstock.records.sheets import Frozen
from flatstock.records.store import Store
from flatstock.running.event import Event
from flatstock.running.sheets import Planned, planned
from flatstock.running.standing import CORRECTING, standing
from flatstock.workshop.shop import Workshop

__all__ = ["Asked", "Waiting", "find_case", "next_sheets", "open_faults", "proofs_wanted", "weighed_undried"]

MOST = 3  #: sheets that are offered as the next


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What a case is worked out from."""

    store: Store
    recent: Sequence[Event]  #: of the last fortnight
    plan: Mapping[str, Any] | None
    shop: Workshop
    frozen: Callable[[str], Frozen | None] = lambda _: None  #: the recipe that a sheet was made by


@dataclass(frozen=True, slots=True, kw_only=True)
class Waiting:
    """A fault in a list."""

    id: str
    sheet: str
    words: str
    at: datetime
    state: str  #: open, remedy, closed
    next_sheet: str | None
    cause: str | None  #: of the remedy, or that it was closed with


def find_case(asked: Asked, fault: str) -> Case:
    """The case of a fault. Raises `Refused` where there is none."""
    told = _of_case(asked.store, fault)
    found = next((one for one in told if one.id == fault), None)
    if found is None or str(found.facts.get("fault")) not in guide().pictures:
        raise Refused(
            Fault("fault", "no such fault is on record, or it was taken back", "see the list of faults")
        )
    of_it = [one for one in told if one.facts.get("of") == fault]
    return case_of(found, of_it, _read(asked, found))


def open_faults(store: Store) -> list[Waiting]:
    """Every fault on record, newest first."""
    told = _told(store)
    of: dict[object, list[Event]] = {}
    for one in told:
        of.setdefault(one.facts.get("of"), []).append(one)
    found = [
        _waiting(one, of.get(one.id, []))
        for one in told
        if one.kind == "fault" and str(one.facts.get("fault")) in guide().pictures
    ]
    return sorted(found, key=lambda one: one.at, reverse=True)


def proofs_wanted(store: Store, sheet: str) -> list[Waiting]:
    """Faults whose remedy this sheet shall prove."""
    if not any(one.facts.get("next_sheet") == sheet for _, one in store.events(kinds=("remedy_picked",))):
        return []  # as of nearly every sheet: nothing else has to be read
    return [one for one in open_faults(store) if one.state == "remedy" and one.next_sheet == sheet]


def next_sheets(asked: Asked, case: Case, cause: Cause) -> list[str]:
    """Sheets of the plan that come next and prove a remedy of this cause, the nearest first."""
    if cause.follow == "none":
        return []
    mine, every = _planned(asked, case.sheet), planned(asked.plan)
    too_late = {one.sheet for one in asked.recent if one.kind in ("loaded", "scrapped")}
    # what is done about a lot shows soonest in a charge that is not weighed yet
    weighed = {one.sheet for one in asked.recent if one.kind == "weighed" and cause.follow == "lot"}
    lots = set(case.lots)

    def fits(one: Planned) -> bool:
        if one.id == case.sheet or one.id in too_late:
            return False
        if cause.follow == "lot":
            return bool(lots & set(one.lots))
        if cause.follow == "press":
            return _press(one) == _press(mine) and one.plastic == mine.plastic
        if cause.follow in ("skins", "frame"):
            name = "skins" if cause.follow == "skins" else "frame"
            return getattr(one, name) is not None and getattr(one, name) == getattr(mine, name)
        return one.plastic == mine.plastic and one.thickness_mm == mine.thickness_mm

    after = [one.id for one in every.values() if fits(one)]
    return sorted(after, key=lambda sheet: sheet in weighed)[:MOST]


def weighed_undried(asked: Asked, lots: Sequence[str]) -> list[str]:
    """Sheets that such flake is weighed for already and that are not in a press yet: their charges may be wet."""
    stand = standing(asked.recent)
    gone = {one.sheet for one in stand if one.kind in ("loaded", "scrapped")}
    wet = [
        one.sheet
        for one in stand
        if one.kind == "weighed" and one.facts.get("lot") in lots and one.facts.get("dried") is not True
    ]
    return [sheet for sheet in dict.fromkeys(wet) if sheet is not None and sheet not in gone]


def _of_case(store: Store, fault: str) -> list[Event]:
    """One fault and what names it, as it stands, oldest first; read by its sheet and the sheets that prove it."""
    found = next((one for _, one in store.events(kinds=("fault",)) if one.id == fault), None)
    if found is None:
        return []
    own = [one for _, one in store.events(sheet=found.sheet) if one.kind in KINDS]
    after = {
        one.facts["next_sheet"] for one in own if one.kind == "remedy_picked" and one.facts.get("next_sheet")
    }
    own += [e for sheet in after for _, e in store.events(sheet=str(sheet)) if e.kind == "remedy_proved"]
    mine = [one for one in own if one.id == fault or one.facts.get("of") == fault]
    corrected, seen = list(mine), {one.id for one in mine}
    while corrected:  # a correction may be corrected itself
        more = [
            one for event in corrected for _, one in store.events(correcting=event.id) if one.id not in seen
        ]
        mine += more
        seen |= {one.id for one in more}
        corrected = more
    return standing(mine)


def _told(store: Store) -> list[Event]:
    """Everything noted about faults, as it stands, oldest first."""
    return [
        one for one in standing(e for _, e in store.events(kinds=(*KINDS, *CORRECTING))) if one.kind in KINDS
    ]


def _waiting(found: Event, of_it: Sequence[Event]) -> Waiting:
    """`of_it`: what names the fault in `of`, oldest first."""
    last = next((one for one in reversed(of_it) if one.kind in ("fault_closed", "remedy_picked")), None)
    proved = any(one.kind == "remedy_proved" and last is not None and one.at >= last.at for one in of_it)
    state = "open"
    if last is not None and last.kind == "fault_closed":
        state = (
            "closed" if not any(one.kind == "fault_tested" and one.at > last.at for one in of_it) else "open"
        )
    elif last is not None and not proved:
        state = "remedy"
    cause = guide().causes.get(str(last.facts.get("cause"))) if last is not None and state != "open" else None
    after = last.facts.get("next_sheet") if last is not None and state == "remedy" else None
    return Waiting(
        id=found.id,
        sheet=found.sheet or "",
        words=guide().pictures[str(found.facts["fault"])].words,
        at=found.at,
        state=state,
        next_sheet=str(after) if after else None,
        cause=cause.name if cause else None,
    )


def _read(asked: Asked, found: Event) -> Read:
    sheet = _planned(asked, found.sheet or "")
    stand = standing(asked.recent)
    own = [one for one in stand if one.sheet == sheet.id]
    press = _loaded_in(own) or _press(sheet)
    kind = guide().pictures[str(found.facts["fault"])].fault
    before = [
        _seen(asked, one, stand)
        for one in stand
        if one.kind == "fault"
        and one.at < found.at
        and (picture := guide().pictures.get(str(one.facts.get("fault")))) is not None
        and picture.fault == kind
    ]
    maps = _maps(asked, stand, press, found.sheet)
    return Read(
        sheet=sheet,
        events=own,
        lots=_lots(own, sheet),
        shop=asked.shop,
        press=press,
        skins=_put_on(own, sheet, "skins"),
        frame=_put_on(own, sheet, "frame"),
        cells=frozenset(cells_of(str(found.facts.get("spot") or ""))),
        map=maps[-1] if any(one.kind == "measured" for one in own) and maps else None,
        maps=maps,
        before=before,
    )


def _planned(asked: Asked, sheet: str) -> Planned:
    """As the recipe that was frozen onto it says, else as it is planned now."""
    now, made = planned(asked.plan).get(sheet), asked.frozen(sheet)
    if made is None:
        return now or Planned(id=sheet)
    (then,) = planned({"sheets": [{**made.body, "id": sheet}]}).values()
    return then if now is None else replace(then, tasks=now.tasks)


def _press(sheet: Planned) -> str | None:
    """The hot press that a sheet is planned in."""
    dwell = sheet.tasks.get("dwell") or sheet.tasks.get("load")
    return dwell.places[-1] if dwell is not None and dwell.places else None


def _loaded_in(events: Iterable[Event]) -> str | None:
    return next((one.where for one in reversed(list(events)) if one.kind == "loaded"), None)


def _put_on(events: Iterable[Event], sheet: Planned, name: Literal["skins", "frame"]) -> str | None:
    """Frame or skins as they were prepared, else as planned."""
    told = [one.facts.get(name) for one in events if one.kind == "prepared" and one.facts.get(name)]
    planned_: str | None = getattr(sheet, name)
    return str(told[-1]) if told else planned_


def _lots(events: Iterable[Event], sheet: Planned) -> dict[str, float]:
    masses: dict[str, float] = {}
    for one in events:
        lot, mass = one.facts.get("lot"), one.facts.get("mass_kg")
        if one.kind == "weighed" and isinstance(lot, str) and isinstance(mass, int | float):
            masses[lot] = float(mass)
    return masses or dict(sheet.lots)


def _seen(asked: Asked, found: Event, stand: Sequence[Event]) -> Seen:
    sheet = _planned(asked, found.sheet or "")
    own = [one for one in stand if one.sheet == sheet.id]
    return Seen(
        sheet=sheet.id,
        press=_loaded_in(own) or _press(sheet),
        skins=_put_on(own, sheet, "skins"),
        frame=_put_on(own, sheet, "frame"),
        lots=frozenset(_lots(own, sheet)),
        cells=frozenset(cells_of(str(found.facts.get("spot") or ""))),
    )


def _maps(asked: Asked, stand: Sequence[Event], press: str | None, sheet: str | None) -> list[ThicknessMap]:
    """Maps of the sheets of a press up to this one, as they were measured last, in the press's directions."""
    in_press = {one.sheet: one.where for one in stand if one.kind == "loaded"}
    last: dict[str, Event] = {}
    for one in stand:
        if one.kind == "measured" and one.sheet is not None and in_press.get(one.sheet) == press:
            last.pop(one.sheet, None)
            last[one.sheet] = one
            if one.sheet == sheet:
                break
    found = (quality_of(one.facts, nominal_mm=None, shop=asked.shop, press=press) for one in last.values())
    return [one.map for one in found if one is not None and one.directions]
