"""Faults, causes and questions as the data files have them."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import Any, Literal

__all__ = ["OTHER", "Answer", "Cause", "Fault", "Guide", "Picture", "Question", "Typed", "guide"]

Answer = Literal["yes", "no"]
OTHER = "other"  #: what none of a fault's causes explains


@dataclass(frozen=True, slots=True, kw_only=True)
class Cause:
    """What may have made it so, and what is done about it."""

    id: str
    name: str
    remedy: str
    change: str  #: the number to change
    follow: Literal["lot", "press", "skins", "frame", "any", "none"]  #: which sheet next proves the remedy
    lot: Literal["dry_first", "hold"] | None  #: what becomes of the lots
    first: tuple[str, ...]  #: said before anything else
    first_from: float  #: share from which on it is said
    defer_to: str
    cautions: tuple[str, ...]  #: topics of the safety list
    kind: str
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Typed:
    """A number that answers a question."""

    unit: str
    least: float  #: from here on the answer is yes
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """Something to look at or to try, with two answers."""

    id: str
    ask: str
    yes: str
    no: str
    look: bool  #: seen with the sheet in hand; else a test
    hands: float  #: minutes of people; assumed
    wait: float  #: minutes until the answer is there besides; assumed
    record: float  #: how much an answer counts that is read from the records, 0 to 1
    closes: str | None
    number: Typed | None
    cautions: tuple[str, ...]  #: topics of the safety list
    likely: Mapping[str, float]  #: P(yes | cause)
    otherwise: float
    kind: str
    source: str

    def chance(self, answer: Answer, cause: str) -> float:
        """P(answer | cause)."""
        yes = 0.5 if cause == OTHER else self.likely.get(cause, self.otherwise)
        return yes if answer == "yes" else 1.0 - yes

    def words(self, answer: Answer) -> str:
        """What the answer says."""
        return self.yes if answer == "yes" else self.no


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """A kind of bad sheet: its causes with their odds before anything is looked at, and what tells them apart."""

    id: str
    name: str
    odds: Mapping[str, float]  #: "other" among them
    questions: tuple[Question, ...]
    danger: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """One of the pictures that a person taps."""

    id: str
    words: str
    fault: str
    shows: Mapping[str, Answer]  #: answers that the picture itself gives


@dataclass(frozen=True, slots=True, kw_only=True)
class Guide:
    """All of it."""

    causes: Mapping[str, Cause]
    faults: Mapping[str, Fault]
    pictures: Mapping[str, Picture]
    words: Mapping[str, float]  #: "often" and the likelihood it stands for


@cache
def guide() -> Guide:
    """The data files, read once."""
    words = {name: float(value) for name, value in _read("questions")["words"].items()}
    questions = [
        (table["faults"], _question(name, table, words))
        for name, table in _read("questions")["question"].items()
    ]
    faults = {
        table["id"]: Fault(
            id=table["id"],
            name=table["name"],
            odds=MappingProxyType({name: float(odds) for name, odds in table["odds"].items()} | {OTHER: 1.0}),
            questions=tuple(one for of, one in questions if table["id"] in of),
            danger=table.get("danger", False),
        )
        for table in _read("faults")["fault"]
    }
    pictures = {
        table["id"]: Picture(
            id=table["id"], words=table["words"], fault=table["fault"], shows=table.get("shows", {})
        )
        for table in _read("faults")["picture"]
    }
    causes = {name: _cause(name, table) for name, table in _read("causes")["cause"].items()}
    return Guide(causes=causes, faults=faults, pictures=pictures, words=words)


def _read(name: str) -> dict[str, Any]:
    return tomllib.loads((Path(__file__).parent / "data" / f"{name}.toml").read_text("utf-8"))


def _cause(name: str, table: Mapping[str, Any]) -> Cause:
    return Cause(
        id=name,
        name=table["name"],
        remedy=table["do"],
        change=table["change"],
        follow=table["follow"],
        lot=table.get("lot"),
        first=tuple(table.get("first", ())),
        first_from=float(table.get("first_from", 1)),
        defer_to=table.get("defer_to", ""),
        cautions=tuple(table.get("cautions", ())),
        kind=table["kind"],
        source=table.get("source", ""),
    )


def _question(name: str, table: Mapping[str, Any], words: Mapping[str, float]) -> Question:
    typed = table.get("number")
    return Question(
        id=name,
        ask=table["ask"],
        yes=table["yes"],
        no=table["no"],
        look=table.get("look", False),
        hands=float(table["hands_min"]),
        wait=float(table.get("wait_min", 0)),
        record=float(table.get("record", 0)),
        closes=table.get("closes"),
        number=None
        if typed is None
        else Typed(unit=typed["unit"], least=float(typed["from"]), words=typed["words"]),
        cautions=tuple(table.get("cautions", ())),
        likely=MappingProxyType(
            {cause: words[word] for word, causes in table["likely"].items() for cause in causes}
        ),
        otherwise=words[table.get("else", "even")],
        kind=table["kind"],
        source=table.get("source", ""),
    )
