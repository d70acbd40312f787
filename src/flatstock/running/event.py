"""What happened on the floor, one record a happening; only ever added, corrected by a later one.

Two instants stand on each: when it happened (`at`) and when a device noted it (`noted_at`). The device that
taps makes the `id`, so that the same tap told twice is one event.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from types import MappingProxyType
from typing import Any

__all__ = ["Event", "Scalar"]

Scalar = str | int | float | bool | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Event:
    """One happening. What its `kind` must carry stands in `kinds`.

    Raises
    ------
    ValueError
        An instant without an offset, a fact that is no JSON scalar, or no id.
    """

    id: str
    at: datetime  #: when it happened, with its offset
    noted_at: datetime  #: when the device noted it, with its offset
    kind: str
    who: tuple[str, ...] = ()  #: ids of people
    sheet: str | None = None
    place: str | None = None  #: where it happened; for what moves a mould, the place entered
    facts: Mapping[str, Scalar] = field(default_factory=dict)
    corrects: str | None = None  #: id of the event that this one corrects or undoes
    why: str | None = None
    device: str | None = None

    def __post_init__(self) -> None:
        if not self.id:
            raise ValueError("an event has an id")
        for name, moment in (("at", self.at), ("noted_at", self.noted_at)):
            if moment.utcoffset() is None:
                raise ValueError(f"{name} {moment.isoformat()} of event {self.id} has no offset from UTC")
        for name, fact in self.facts.items():
            if not isinstance(fact, str | int | float | bool | None):
                raise ValueError(f"fact {name} of event {self.id} is no JSON scalar: {fact!r}")
        object.__setattr__(self, "who", tuple(self.who))
        object.__setattr__(self, "facts", MappingProxyType(dict(self.facts)))

    @property
    def where(self) -> str | None:
        """The place it names; a press that was loaded may stand among the facts."""
        press = self.facts.get("press")
        return self.place if self.place is not None or not isinstance(press, str) else press

    def as_json(self) -> dict[str, Any]:
        """The event as JSON carries it; `of_json` reads it back without loss."""
        return {
            "id": self.id,
            "at": self.at.isoformat(),
            "noted_at": self.noted_at.isoformat(),
            "kind": self.kind,
            "who": list(self.who),
            "sheet": self.sheet,
            "place": self.place,
            "facts": dict(self.facts),
            "corrects": self.corrects,
            "why": self.why,
            "device": self.device,
        }

    @classmethod
    def of_json(cls, said: Mapping[str, Any]) -> Event:
        """The event that a JSON object says; what may be missing has its default.

        Raises
        ------
        ValueError
            A field that no event has, or one that is missing or of the wrong kind.
        """
        if unknown := sorted(set(said) - set(_TEXTS) - {"at", "noted_at", "who", "facts"}):
            raise ValueError(f"an event has no field {', '.join(unknown)}")
        if missing := [name for name in ("id", "at", "noted_at", "kind") if not said.get(name)]:
            raise ValueError(f"an event needs {', '.join(missing)}")
        texts = {name: said.get(name) for name in _TEXTS}
        for name, text in texts.items():
            if not isinstance(text, str | None):
                raise ValueError(f"{name} of an event is a text, not {text!r}")
        who, facts = said.get("who") or (), said.get("facts") or {}
        if not isinstance(who, list | tuple) or not all(isinstance(one, str) for one in who):
            raise ValueError(f"who of an event is a list of people's ids, not {who!r}")
        if not isinstance(facts, Mapping) or not all(isinstance(name, str) for name in facts):
            raise ValueError(f"facts of an event are names with values, not {facts!r}")
        try:
            at, noted_at = (datetime.fromisoformat(said[name]) for name in ("at", "noted_at"))
        except TypeError as error:
            raise ValueError(f"an instant of an event is a text in ISO 8601: {error}") from None
        return cls(at=at, noted_at=noted_at, who=tuple(who), facts=dict(facts), **texts)  # type: ignore[arg-type]


_TEXTS = ("id", "kind", "sheet", "place", "corrects", "why", "device")
