"""What may never be pressed, what is always said beside a number, and the one check behind every door.

The list stands in `data/safety_rules.toml`. Nothing in this module can be switched off.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from itertools import pairwise
from math import isfinite

from flatstock.errors import Fault
from flatstock.plastics.datafile import read
from flatstock.plastics.lot_states import state_words
from flatstock.plastics.model import Plastic

__all__ = [
    "Caution",
    "NeverPressed",
    "Rule",
    "Rules",
    "Sheet",
    "cautions_for",
    "cautions_on",
    "check_pressable",
    "never_pressed",
    "rules",
    "topic_of",
]


_ELECTRICAL = ("electr", "weee", "e-waste", "ewaste", "e-scrap")  # pieces of the word for such an origin


@dataclass(frozen=True, slots=True, kw_only=True)
class NeverPressed:
    """One entry of what is never pressed."""

    id: str
    what: str
    names: tuple[str, ...]  #: words in a name, a form or a marking that mean this
    fragments: tuple[str, ...]  #: pieces of words that mean it as well
    reason: str
    defer_to: str
    mark: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """A rule that the tool enforces."""

    id: str
    text: str
    defer_to: str
    mark: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution:
    """The usual caution on one topic, and who decides."""

    topic: str
    text: str
    defer_to: str
    mark: str  #: how it is known: read, second_hand, from_memory, computed, assumed


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """A print that is always there."""

    lines: tuple[str, ...]
    defer_to: str
    mark: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Rules:
    """The whole data file."""

    edition: str
    wet_charge_share: float  #: water above which breathing is refused, mass fraction
    cool_to_touch: float  #: [°C]
    never_pressed: tuple[NeverPressed, ...]
    rules: tuple[Rule, ...]
    papers: Mapping[str, tuple[str, ...]]  #: topics that every answer of a kind carries
    cautions: tuple[Caution, ...]
    emergency_card: Sheet
    closing_check: Sheet
    start_check: Sheet


@cache
def rules() -> Rules:
    """The safety rules as they stand in the data file."""
    data = read("safety_rules")
    return Rules(
        edition=data["edition"],
        wet_charge_share=data["limits"]["wet_charge_share"],
        cool_to_touch=float(data["limits"]["cool_to_touch_C"]),
        never_pressed=tuple(
            NeverPressed(
                **{**entry, "names": tuple(entry["names"]), "fragments": tuple(entry.get("fragments", ()))}
            )
            for entry in data["never_pressed"]
        ),
        rules=tuple(Rule(**entry) for entry in data["rule"]),
        papers={paper: tuple(topics) for paper, topics in data["papers"].items()},
        cautions=tuple(Caution(**entry) for entry in data["caution"]),
        emergency_card=_sheet(data["emergency_card"]),
        closing_check=_sheet(data["closing_check"]),
        start_check=_sheet(data["start_check"]),
    )


def _sheet(table: Mapping[str, object]) -> Sheet:
    lines = table["lines"]
    assert isinstance(lines, list)
    return Sheet(lines=tuple(lines), defer_to=str(table["defer_to"]), mark=str(table["mark"]))


def cautions_for(*topics: str) -> list[dict[str, str]]:
    """The cautions on `topics`, in the file's order, as documents carry them.

    Raises
    ------
    KeyError
        A topic that the file does not know: a slip in the caller must not lose a caution.

    >>> cautions_for("wet")[0]["defer_to"]
    'a moisture test by mass loss'
    """
    known = {caution.topic for caution in rules().cautions}
    if unknown := sorted(set(topics) - known):
        raise KeyError(f"no caution on {', '.join(unknown)}; there are {', '.join(sorted(known))}")
    return [{"text": c.text, "defer_to": c.defer_to} for c in rules().cautions if c.topic in topics]


def cautions_on(paper: str, *also: str) -> list[dict[str, str]]:
    """The cautions that every answer of a kind carries, and those on topics that `also` apply to this one.

    Raises
    ------
    KeyError
        A kind of answer or a topic that the file does not know.

    >>> len(cautions_on("wallchart", "water_cooled")) - len(cautions_on("wallchart"))
    1
    """
    return cautions_for(*rules().papers[paper], *also)


def topic_of(text: str) -> str | None:
    """The topic of a caution as a document carries it; None where the file has no such words.

    >>> topic_of(cautions_for("stack")[0]["text"])
    'stack'
    """
    return next((caution.topic for caution in rules().cautions if caution.text == text), None)


def never_pressed(words: str) -> NeverPressed | None:
    """The entry that a name, a form or a marking falls under, by whole words; None: none.

    Blends count by any of their parts ("PC/ABS" is refused). An empty name is unidentified.

    >>> never_pressed("PVC-U pipe").id
    'pvc'
    >>> never_pressed("hdpe") is None
    True
    """
    parts = [part for part in re.split(r"[^a-z0-9]+", words.lower()) if part]
    joined = {"".join(pair) for pair in pairwise(parts)} | {"".join(parts)}
    said = joined.union(parts)
    for entry in rules().never_pressed:
        if said & set(entry.names) or any(piece in word for piece in entry.fragments for word in said):
            return entry
    return None if parts else rules().never_pressed[-1]


def check_pressable(
    plastic: Plastic | None,
    set_point: float | None,
    origin: str | None,
    status: str | None,
    *,
    name: str = "",
    form: str = "",
    lot: str = "",
    bromine_free: bool | None = None,
    flame_retarded: bool = False,
    filled: bool = False,
    foamed: bool = False,
    crosslinked: bool = False,
    moisture: float | None = None,
    breathing: bool = False,
    strangers: Mapping[str, float] | None = None,
    colour: str | None = None,
    where: str = "",
) -> list[Fault]:
    """Every reason why this must not be pressed; empty when nothing here forbids it.

    One call checks one plastic with one lot (or none). No argument lifts a rule: the flags can only
    add a reason, and `bromine_free=True` states a test's result.

    Parameters
    ----------
    plastic
        From the library or the workshop's own; None when nobody knows what it is.
    set_point : float | None
        Platens [°C]; None when none is asked for.
    origin, status : str | None
        Of the lot ("packaging", "electrical", …; "released", "quarantine", …); None without a lot.
    name, form, lot
        What the plastic is called where `plastic` is None or more is said ("PVC film"), the form of the
        flake ("caps", "foam"), the lot's id for the sentence.
    bromine_free : bool | None
        Result of a bromine test; None: not tested.
    moisture : float | None
        Water as a share of the charge.
    breathing : bool
        The press is opened a little to let gas out.
    strangers : Mapping[str, float] | None
        Plastic id to share of the charge.
    colour : str | None
        Of the flake: black flake of unknown origin may come from electrical goods.
    """
    found: list[Fault] = []
    thing = f"lot {lot}" if lot else plastic.name if plastic else name or "this plastic"

    def refuse(what: str, instead: str) -> None:
        found.append(Fault(where=where, what=what, instead=instead))

    entry = _forbidden(plastic, name, form)
    if entry is not None:
        refuse(f"{thing} is never pressed: {entry.reason}", f"leave it out; decides: {entry.defer_to}")
    elif plastic is not None and plastic.never_pressed:
        refuse(f"{plastic.name} is never pressed: {plastic.never_pressed}", "leave it out")
    flags = {"flame_retarded": flame_retarded, "filled": filled, "foamed": foamed, "crosslinked": crosslinked}
    for item in rules().never_pressed:
        if flags.get(item.id) and item is not entry:
            refuse(
                f"{thing} is {item.what}, never pressed: {item.reason}",
                f"leave it out; decides: {item.defer_to}",
            )
    found += _origin_and_status(thing, origin, status, bromine_free, colour, where)
    if plastic is not None and plastic.never_pressed is None:
        found += _limits(plastic, set_point, where)
    found += _water(thing, moisture, breathing, where)
    found += _strangers(thing, strangers or {}, where)
    return found


def _forbidden(plastic: Plastic | None, name: str, form: str) -> NeverPressed | None:
    if plastic is None:
        return never_pressed(name) or never_pressed(form or "flake")
    words = [plastic.id, plastic.symbol, name, form]
    if plastic.own:
        words += [plastic.name, plastic.family]
    for said in words:
        entry = never_pressed(said) if said.strip() else None
        # an identified plastic may well be of "mixed" colours or "various" caps
        if entry is not None and (entry.id != "unidentified" or said == plastic.id):
            return entry
    return None


def _origin_and_status(
    thing: str,
    origin: str | None,
    status: str | None,
    bromine_free: bool | None,
    colour: str | None,
    where: str,
) -> list[Fault]:
    found = []
    electrical = any(word in (origin or "").lower() for word in _ELECTRICAL)
    if electrical and bromine_free is not True:
        result = "without a bromine result" if bromine_free is None else "and its bromine test failed"
        found.append(
            Fault(
                where=where,
                what=f"{thing} comes from electrical goods {result}; it may be flame-retarded,"
                " which gives off harmful gases when heated",
                instead="keep it in quarantine until a laboratory's bromine test says that it holds none",
            )
        )
    elif (
        (origin or "").lower() == "unknown" and "black" in (colour or "").lower() and bromine_free is not True
    ):
        found.append(
            Fault(
                where=where,
                what=f"{thing} is black and nobody knows where it comes from; black plastic from electrical goods"
                " may be flame-retarded, which gives off harmful gases when heated",
                instead="write its origin in lots.csv if it is known, else have it tested for bromine",
            )
        )
    if status is not None and status.lower() != "released":
        found.append(
            Fault(
                where=where,
                what=f"{thing} is {state_words(status)}; only a released lot is pressed",
                instead="choose a released lot, or have it checked and released by whoever does that here",
            )
        )
    return found


def _limits(plastic: Plastic, set_point: float | None, where: str) -> list[Fault]:
    process = plastic.process
    highest = process.highest_set_point if process else None
    found = []
    if highest is None:
        found.append(
            Fault(
                where=where,
                what=f"{plastic.name} has no highest set-point on file",
                instead="declare highest_set_point_C for it in plastics.toml, from its data sheet",
            )
        )
    if process is None or not (process.fume or "").strip():
        found.append(
            Fault(
                where=where,
                what=f"{plastic.name} has no line on its fume on file",
                instead="declare fume for it in plastics.toml, from its safety data sheet",
            )
        )
    if set_point is not None and not isfinite(set_point):
        found.append(
            Fault(where=where, what=f"set-point {set_point} °C is no temperature", instead="write one")
        )
    elif set_point is not None and highest is not None and set_point > highest.value:
        found.append(
            Fault(
                where=where,
                what=f"set-point {set_point:g} °C is above {highest.value:g} °C, the highest for"
                f" {plastic.name} (nothing overrides it)",
                instead=f"stay at or below {highest.value:g} °C and press longer",
            )
        )
    return found


def _water(thing: str, moisture: float | None, breathing: bool, where: str) -> list[Fault]:
    most = rules().wet_charge_share
    if not breathing or moisture is None or moisture <= most:  # a moisture that is no number is refused too
        return []
    return [
        Fault(
            where=where,
            what=f"{thing} holds {100 * moisture:.2g} % water; breathing a charge with more than"
            f" {100 * most:g} % blows steam and melt at whoever stands there",
            instead="dry it first and measure again",
        )
    ]


def _strangers(thing: str, strangers: Mapping[str, float], where: str) -> list[Fault]:
    found = []
    for stranger, share in strangers.items():
        entry = never_pressed(stranger)
        # PET flake is tolerated as specks (pairs.toml); unidentified pieces have their own small share there
        if entry is None or entry.id in ("pet", "unidentified") or share == 0:
            continue
        found.append(
            Fault(
                where=where,
                what=f"{thing} holds {100 * share:.2g} % {stranger}, which no charge may hold:"
                f" {entry.reason}",
                instead="sort it out of the lot or leave the lot out",
            )
        )
    return found
