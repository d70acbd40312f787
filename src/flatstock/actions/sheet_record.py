"""What is on record of one sheet: planned, done, measured, by whom; and its label."""

from __future__ import annotations

from collections.abc import Container, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from hashlib import sha256
from typing import Any

from flatstock.actions.event_words import kind_words, told_words
from flatstock.actions.warming import platens_of
from flatstock.actions.workshops import zone_of
from flatstock.errors import Fault, Refused
from flatstock.plastics.model import Plastic
from flatstock.plastics.safety import cautions_for
from flatstock.pressing.setting import plastics_of
from flatstock.records.sheets import Frozen
from flatstock.running.danger import heats
from flatstock.running.deviations import HEAT_KINDS, SLACK, Deviation, deviations
from flatstock.running.event import Event
from flatstock.running.heating import ready_to_load
from flatstock.running.sheets import Planned, planned
from flatstock.running.standing import standing
from flatstock.workshop.shop import Workshop

__all__ = ["Happened", "SheetRecord", "record_of", "state_words", "weighed_lots"]

TOPICS = ("claims",)
NEVER = datetime.max.replace(tzinfo=UTC)


@dataclass(frozen=True, slots=True, kw_only=True)
class Happened:
    """One line of a sheet's way."""

    at: datetime  #: by the shop's clock
    what: str
    where: str
    who: tuple[str, ...]
    facts: str
    event: str
    corrected: bool
    kind: str = ""  #: of the event
    told: Mapping[str, Any] = field(default_factory=dict)  #: its facts as they stand


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetRecord:
    """Everything of one sheet."""

    sheet: str
    shop: str
    order: str | None
    plastic: str
    marking: str  #: ">PE-HD<", the form of ISO 11469 with the symbol of ISO 1043
    colour: str | None
    thickness_mm: float | None
    length_mm: float | None  #: as sold
    width_mm: float | None
    lots: tuple[tuple[str, float], ...]  #: as weighed; as planned where nothing is weighed yet [kg]
    weighed: bool
    frame: str | None
    skins: str | None
    set_point_C: float | None
    pressed: datetime | None  #: when it was laid in the hot press
    dwell_min: float | None  #: from then to the transfer
    dwell_planned_min: float | None
    demoulded: datetime | None
    not_sized_before: datetime | None  #: None also where the shop lets it rest no longer than to demould it
    measures: Mapping[str, float]  #: of the last measurement
    grade: str | None
    state: str
    way: tuple[Happened, ...]
    mark: str  #: eight letters that change when a lot or a mass does
    cautions: tuple[Mapping[str, str], ...]
    deviations: tuple[Deviation, ...] = ()  #: where its making left the recipe
    #: the recipe that was in force, with its version; None: none was frozen onto it
    recipe: str | None = None

    @property
    def measured(self) -> Mapping[str, Any] | None:
        """The facts of its last measurement; None: not measured."""
        told = [one.told for one in self.way if one.kind == "measured"]
        return told[-1] if told else None

    def label_text(self, address: str = "") -> str:
        """What a label's QR holds: enough to be useful without a server."""
        size = (
            ""
            if self.length_mm is None or self.width_mm is None
            else f", {self.length_mm:g} x {self.width_mm:g} mm"
        )
        thick = "" if self.thickness_mm is None else f" {self.thickness_mm:g} mm"
        lines = [
            self.sheet,
            f"{self.marking}{thick}{' ' + self.colour if self.colour else ''}{size}",
            f"{'pressed ' + self.pressed.date().isoformat() if self.pressed else 'not pressed yet'}, {self.shop}",
            "lots " + ", ".join(f"{lot} {mass:g} kg" for lot, mass in self.lots),
            f"#{self.mark}",
        ]
        return "\n".join([*lines, *([f"{address}/record/{self.sheet}"] if address else [])])


def record_of(
    sheet: str,
    events: Iterable[Event],
    plan: Mapping[str, Any] | None,
    shop: Workshop,
    frozen: Frozen | None = None,
    *,
    now: datetime | None = None,
) -> SheetRecord:
    """The record of a sheet; `events` as `Board.of_sheet` gives them.

    `frozen`: the recipe that it was weighed or loaded by, see `Board.frozen`; it goes before the plan and the shop's
    settings, which may have changed since.

    Raises
    ------
    Refused
        No plan and no event knows it.
    """
    events = list(events)
    put_right = {one.corrects for one in events}  # some of it was told of another sheet at first
    every = [one for one in events if one.sheet == sheet or one.corrects is not None or one.id in put_right]
    heat = [one for one in standing(events) if one.sheet is None and one.kind in HEAT_KINDS]
    found = [one for one in standing(every) if one.sheet == sheet]
    known = planned(plan).get(sheet) if frozen is None else _as_frozen(sheet, frozen.body)
    if known is None and not found:
        raise Refused(
            Fault("sheet", f"nothing is on record of {sheet!r}", "see the week for the sheets there are")
        )
    known = known or Planned(id=sheet)
    zone = zone_of(shop)
    corrected = {one.corrects for one in every if one.kind == "corrected"}
    last = {one.kind: one for one in found}
    lots, weighed = _lots(found, known)
    order = shop.orders.get(known.order or "")
    plastic = plastics_of(shop).get(known.plastic or "")
    rest = order.condition if order is not None and order.condition is not None else shop.practice.condition
    out = last.get("demoulded") or None
    loaded, transferred = last.get("loaded"), last.get("transferred")
    dwell = (transferred.at - loaded.at).total_seconds() / 60 if loaded and transferred else None
    measured = last.get("measured")
    facts = dict(measured.facts) if measured else {}
    body = _told_now(shop, plastic, rest) | ({} if frozen is None else dict(frozen.body))
    rest = 3600.0 * body["condition_h"]
    told = loaded.facts.get("set_point_C") if loaded else None
    return SheetRecord(
        sheet=sheet,
        shop=body["shop"],
        order=known.order,
        plastic=known.plastic or "",
        marking=body["marking"],
        colour=known.colour,
        thickness_mm=known.thickness_mm,
        length_mm=body["sold_length_mm"],
        width_mm=body["sold_width_mm"],
        lots=lots,
        weighed=weighed,
        frame=known.frame,
        skins=known.skins,
        set_point_C=float(told) if isinstance(told, int | float) else known.set_point,
        pressed=loaded.at.astimezone(zone) if loaded else None,
        dwell_min=dwell,
        dwell_planned_min=None if known.dwell is None else known.dwell / 60,
        demoulded=out.at.astimezone(zone) if out else None,
        not_sized_before=(out.at + timedelta(seconds=rest)).astimezone(zone) if out and rest > 0 else None,
        measures={name: float(one) for name, one in facts.items() if isinstance(one, int | float)},
        grade=str(facts["grade"]) if facts.get("grade") else None,
        state=state_words(last),
        way=tuple(_line(one, corrected, zone) for one in found),
        mark=sha256(repr((sheet, lots)).encode()).hexdigest()[:8],
        cautions=tuple(cautions_for(*TOPICS)),
        deviations=deviations(
            found,
            heat,
            known,
            zone,
            now or max((e.at for e in events), default=NEVER),
            cold=loaded is not None and _laid_in_cold(loaded, heat, shop),
        ),
        recipe=None if frozen is None else f"{frozen.name}, version {frozen.version}",
    )


def _laid_in_cold(loaded: Event, heat: Sequence[Event], shop: Workshop) -> bool:
    """Whether its press was not ready, reckoned from when it was switched on; not where nobody told that."""
    where = loaded.where
    if where is None or where not in shop.hot_presses:
        return False
    before = heats([one for one in heat if one.at <= loaded.at], (where,), now=loaded.at)[where]
    platens = platens_of(shop, before, (), at=loaded.at)
    return platens is not None and platens.on and not ready_to_load(platens, loaded.at + SLACK)


def _as_frozen(sheet: str, body: Mapping[str, Any]) -> Planned:
    """What was planned of a sheet when it was weighed or loaded."""
    (known,) = planned({"sheets": [{**body, "id": sheet}]}).values()
    return known


def _told_now(shop: Workshop, plastic: Plastic | None, rest: float) -> dict[str, Any]:
    """What the shop's settings say now, of a sheet that has no recipe frozen onto it."""
    return {
        "shop": shop.name,
        "marking": f">{plastic.symbol}<" if plastic is not None else "",
        "sold_length_mm": _mm(shop.practice.trimmed_length),
        "sold_width_mm": _mm(shop.practice.trimmed_width),
        "condition_h": rest / 3600,
    }


def _lots(found: list[Event], known: Planned) -> tuple[tuple[tuple[str, float], ...], bool]:
    """Lots with their masses: as weighed, else as planned."""
    masses = _weighed(found)
    return tuple(sorted((masses or dict(known.lots)).items())), bool(masses)


def weighed_lots(sheet: str, events: Iterable[Event]) -> dict[str, float]:
    """What stands as weighed for a sheet, by lot [kg]; `events`: its own and what corrects them."""
    return _weighed(one for one in standing(events) if one.sheet == sheet)


def _weighed(found: Iterable[Event]) -> dict[str, float]:
    masses: dict[str, float] = {}
    for one in found:
        lot, mass = one.facts.get("lot"), one.facts.get("mass_kg")
        if one.kind == "weighed" and isinstance(lot, str) and isinstance(mass, int | float):
            masses[lot] = float(mass)  # weighed again: the last counts
    return masses


def state_words(kinds: Container[str]) -> str:
    """How far a sheet has come, of which so much was told."""
    for kind in ("scrapped", "trimmed", "demoulded", "moved", "transferred", "loaded", "prepared", "weighed"):
        if kind in kinds:
            return kind_words(kind)
    return "planned"


def _line(event: Event, corrected: set[str | None], zone: Any) -> Happened:
    return Happened(
        at=event.at.astimezone(zone),
        what=kind_words(event.kind),
        where=event.where or "",
        who=event.who,
        facts=told_words(event),
        event=event.id,
        corrected=event.id in corrected,
        kind=event.kind,
        told=event.facts,
    )


def _mm(metres: float | None) -> float | None:
    return None if metres is None else round(metres * 1000, 3)
