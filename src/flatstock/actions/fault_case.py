"""One bad sheet as its page shows it: what was found, causes in order, the test to do now, remedy and proof."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from flatstock.actions.fault_evidence import Read, evidence
from flatstock.actions.fault_numbers import numbers, water_words
from flatstock.pressing.setting import plastics_of
from flatstock.quality.faults.guide import OTHER, Cause, Fault, Picture, Question, guide
from flatstock.quality.faults.places import cells_of, place_finds, place_words
from flatstock.quality.faults.ranking import Found, Proof, Ranked, rank, settled
from flatstock.quality.faults.splitting import Split, splits
from flatstock.running.event import Event

__all__ = ["Case", "Closed", "Picked", "Told", "case_of"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """An answer that somebody gave."""

    event: str
    question: Question
    answer: str  #: yes, no, not_tried
    number: float | None
    at: datetime
    who: tuple[str, ...]

    @property
    def words(self) -> str:
        """What it says."""
        return "not tried" if self.answer == "not_tried" else self.question.words(self.answer)  # type: ignore[arg-type]


@dataclass(frozen=True, slots=True, kw_only=True)
class Picked:
    """A remedy that is being tried."""

    event: str
    cause: Cause
    next_sheet: str | None
    at: datetime
    who: tuple[str, ...]
    clean: bool | None  #: what the next sheet was like; None: not told yet


@dataclass(frozen=True, slots=True, kw_only=True)
class Closed:
    """A fault whose cause is taken as found."""

    event: str
    cause: Cause | None  #: None: noted by mistake
    evidence: str
    dried_lots: tuple[str, ...]
    at: datetime
    who: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """Everything of one fault."""

    id: str
    sheet: str
    picture: Picture
    fault: Fault
    cells: tuple[int, ...]
    place: str
    photo: str | None
    at: datetime
    who: tuple[str, ...]
    ranked: tuple[Ranked, ...]
    causes: Mapping[str, Cause]
    told: tuple[Told, ...]  #: the last answer to each question
    read: tuple[Found, ...]  #: from the records
    looks: tuple[Split, ...]  #: what can be seen with the sheet in hand, best first
    tests: tuple[Split, ...]  #: what has to be tried, best first
    settled: bool
    numbers: Mapping[str, str]  #: by cause
    water: str
    first: tuple[tuple[tuple[str, ...], str], ...]  #: what is done before anything else, and who decides
    picked: tuple[Picked, ...]  #: oldest first
    closed: Closed | None
    lots: tuple[str, ...]

    @property
    def last_entry(self) -> tuple[datetime, str]:
        """When the newest entry of it was noted, and which event it is."""
        entries = [(self.at, self.id), *((one.at, one.event) for one in self.told)]
        entries += [(one.at, one.event) for one in self.picked]
        if self.closed is not None:
            entries.append((self.closed.at, self.closed.event))
        # what closed it was noted with the answer that did, at the same instant
        return max(reversed(entries), key=lambda one: one[0])

    @property
    def open_remedy(self) -> Picked | None:
        """The remedy that waits for its proof."""
        return next((one for one in reversed(self.picked) if one.clean is None), None)


def case_of(found: Event, events: Sequence[Event], read: Read) -> Case:
    """Make the case of a `fault` event; `events` are those that name it in `of`, as they stand, oldest first."""
    known = guide()
    picture = known.pictures[str(found.facts["fault"])]
    fault = known.faults[picture.fault]
    cells = cells_of(str(found.facts.get("spot") or ""))
    plastic = plastics_of(read.shop).get(read.sheet.plastic or "")
    told = _told(fault, events)
    picked = _picked(events)
    proofs = [Proof(cause=one.cause.id, clean=one.clean) for one in picked if one.clean is not None]
    from_records = evidence(fault, read)
    seen = [
        *from_records,
        *place_finds(cells),
        *(
            Found(question=q, answer=a, where=f"the picture: {picture.words}")
            for q, a in picture.shows.items()
        ),
        *(
            Found(question=one.question.id, answer=one.answer, where=_where(one))  # type: ignore[arg-type]
            for one in told
            if one.answer != "not_tried"
        ),
    ]
    ranked = rank(fault, seen, proofs)
    passed = [one.question.id for one in told if one.answer == "not_tried"]
    open_ = splits(fault, seen, proofs, passed=passed)
    moisture = next(
        (one.number for one in told if one.question.id == "mass_loss" and one.number is not None), None
    )
    return Case(
        id=found.id,
        sheet=found.sheet or "",
        picture=picture,
        fault=fault,
        cells=cells,
        place=place_words(cells),
        photo=str(found.facts["photo"]) if found.facts.get("photo") else None,
        at=found.at,
        who=found.who,
        ranked=ranked,
        causes={one.cause: known.causes[one.cause] for one in ranked},
        told=told,
        read=tuple(one for one in from_records if one.question not in {t.question.id for t in told}),
        looks=tuple(one for one in open_ if one.question.look),
        tests=tuple(one for one in open_ if not one.question.look),
        settled=settled(ranked) and ranked[0].cause != OTHER,
        numbers={one.cause: numbers(one.cause, read, plastic) for one in ranked},
        water=water_words(read, None if moisture is None else moisture / 100, plastic)
        if "moisture" in fault.odds
        else "",
        first=_first(fault, ranked, known.causes),
        picked=picked,
        closed=_closed(events),
        lots=tuple(read.lots),
    )


def _told(fault: Fault, events: Sequence[Event]) -> tuple[Told, ...]:
    asked = {one.id: one for one in fault.questions}
    last: dict[str, Told] = {}
    for one in events:
        name, number = str(one.facts.get("question")), one.facts.get("number")
        if one.kind == "fault_tested" and name in asked:
            last.pop(name, None)
            last[name] = Told(
                event=one.id,
                question=asked[name],
                answer=str(one.facts.get("answer")),
                number=float(number) if isinstance(number, int | float) else None,
                at=one.at,
                who=one.who,
            )
    return tuple(last.values())


def _where(one: Told) -> str:
    number = (
        ""
        if one.number is None or one.question.number is None
        else f": {one.number:g} {one.question.number.unit}"
    )
    return f"{'seen' if one.question.look else 'tried'} by {' + '.join(one.who)}{number}"


def _picked(events: Sequence[Event]) -> tuple[Picked, ...]:
    causes = guide().causes
    found: list[Picked] = []
    proved = [one for one in events if one.kind == "remedy_proved"]
    picks = [one for one in events if one.kind == "remedy_picked" and one.facts.get("cause") in causes]
    for n, one in enumerate(picks):
        until = picks[n + 1].at if n + 1 < len(picks) else None
        clean = [
            bool(proof.facts.get("clean"))
            for proof in proved
            if proof.facts.get("cause") == one.facts["cause"]
            and proof.at >= one.at
            and (until is None or proof.at < until)
        ]
        after = one.facts.get("next_sheet")
        found.append(
            Picked(
                event=one.id,
                cause=causes[str(one.facts["cause"])],
                next_sheet=str(after) if after else None,
                at=one.at,
                who=one.who,
                clean=clean[-1] if clean else None,
            )
        )
    return tuple(found)


def _closed(events: Sequence[Event]) -> Closed | None:
    last = next((one for one in reversed(events) if one.kind == "fault_closed"), None)
    if last is None or any(one.kind == "fault_tested" and one.at > last.at for one in events):
        return None  # something was found since: it is open again
    return Closed(
        event=last.id,
        cause=guide().causes.get(str(last.facts.get("cause"))),
        evidence=str(last.facts.get("evidence") or ""),
        dried_lots=tuple(str(last.facts.get("dried_lots") or "").split()),
        at=last.at,
        who=last.who,
    )


def _first(
    fault: Fault, ranked: Sequence[Ranked], causes: Mapping[str, Cause]
) -> tuple[tuple[tuple[str, ...], str], ...]:
    """What is said before anything else: of every cause that may gas the room and is likely enough."""
    return tuple(
        (causes[one.cause].first, causes[one.cause].defer_to)
        for one in ranked
        if causes[one.cause].first
        and (one.share >= causes[one.cause].first_from or (fault.danger and one.cause == "pvc"))
    )
