"""What a run board shows: for every press, cooling place and stack what is in it, how long, and what to do next."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Literal

from flatstock.errors import Fault
from flatstock.running.danger import Danger, Heat
from flatstock.running.event import Event
from flatstock.running.extract import Extract
from flatstock.running.silence import Silence
from flatstock.running.stays import Question

__all__ = ["Apart", "Call", "Floor", "MouldHere", "Next", "PlaceHere", "State", "ToDo", "Undoable"]

#: free: nothing in it; wait: leave it alone; call: in three minutes or less; act: now; late: act, with a
#: consequence; danger: stop
State = Literal["free", "wait", "call", "act", "late", "danger"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Next:
    """What comes next, who it takes, and whether it may be tapped now."""

    kind: str  #: of the event
    words: str
    people: int
    skill: str | None
    to: tuple[str, ...]  #: places that could take it, the planned one first
    due: datetime | None
    why_not: tuple[Fault, ...]  #: empty: it may be tapped, by the people it takes
    who: tuple[str, ...]  #: who may and is here
    facts: Mapping[str, str | float] = field(default_factory=dict)  #: known before it is done: which lot
    dry: bool = False  #: whether that lot is dried before it is weighed
    caution: Fault | None = None  #: may be done all the same, by who says why
    cold: bool = False  #: that is because the platens are not ready

    @property
    def permitted(self) -> bool:
        """Whether the step may be done now, given the people for it."""
        return not self.why_not

    @property
    def missing(self) -> int:
        """How many people it lacks of those who are here."""
        return max(0, self.people - len(self.who))


@dataclass(frozen=True, slots=True, kw_only=True)
class MouldHere:
    """One mould where it stands."""

    sheet: str
    what: str
    order: str | None
    since: datetime
    elapsed: timedelta
    level: int  #: in a stack, from 0 at the bottom
    state: State
    counts_to: datetime | None  #: what the large clock counts to
    left: timedelta | None  #: until then; negative: overdue
    middle: datetime | None  #: of the band whose late end `counts_to` is
    latest: datetime | None
    core: float | None  #: [°C]
    limit: float | None  #: [°C]
    sentence: str
    consequence: str | None  #: of what is late
    next: Next
    other: Next | None  #: what may be done in its place
    basis: str
    awaited: bool  #: a better answer is being worked out
    notes: tuple[str, ...]
    question: bool  #: something about it is asked


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceHere:
    """One place and what is in it."""

    id: str
    kind: str
    capacity: int
    moulds: tuple[MouldHere, ...]  #: from bottom to top
    state: State
    heat: Heat | None
    set_point: float | None  #: told, else planned [°C]
    read_age: timedelta | None  #: of the last measured platen temperature
    stale: bool  #: that is too old to go by
    ready: datetime | None = None  #: platens that heat up: when the first mould may go in
    heating: str = ""  #: the same in words; empty: no mould is waited with
    calm: bool = False  #: its fans stopped with the supply, and nobody has said that they run again
    load: ToDo | None = None  #: of a hot press with nothing in it: the sheet that it gets next


@dataclass(frozen=True, slots=True, kw_only=True)
class ToDo:
    """A sheet that is not in a press yet."""

    sheet: str
    what: str
    order: str | None
    next: Next
    planned: datetime | None
    late: timedelta | None  #: behind the plan
    #: why none of it may be weighed, prepared or loaded at all; empty: no lot of it is held
    blocked: str = ""
    waits: str = ""  #: for what, where nothing forbids it: platens that heat up
    loads: datetime | None = None  #: when it is planned to be laid into one
    presses: tuple[str, ...] = ()  #: into which it is planned to be loaded


@dataclass(frozen=True, slots=True, kw_only=True)
class Apart:
    """A charge that was weighed and is not to be pressed now: it lies in a closed bin of its own, marked."""

    sheet: str
    mass: float  #: [kg]
    because: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Call:
    """Something that people are called to, seen and heard."""

    id: str  #: the same for the same call, so that it sounds once
    kind: Literal["early", "due", "late", "unattended", "danger"]
    at: datetime  #: when it is due
    words: str
    people: int
    sheet: str | None = None
    place: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Undoable:
    """A tap that may still be taken back."""

    event: str
    kind: str
    sheet: str | None
    until: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Floor:
    """The whole floor at one instant."""

    now: datetime
    danger: Danger | None  #: on: nothing else is shown before its words
    measure: tuple[Danger, ...]  #: over, but these presses wait for a temperature
    places: tuple[PlaceHere, ...]
    to_do: tuple[ToDo, ...]
    apart: tuple[Apart, ...]
    ready: tuple[MouldHere, ...]  #: to be demoulded, the one that is ready longest first
    calls: tuple[Call, ...]  #: the most pressing first
    questions: tuple[Question, ...]
    silences: tuple[Silence, ...]  #: of which it is asked whether the heat failed
    undoable: tuple[Undoable, ...]
    here: tuple[str, ...]  #: people present
    extract: Extract
    checked: Event | None  #: the last word of today on the start checks; None: nobody has gone through them
    plan_id: str | None  #: when the plan that is shown was made
