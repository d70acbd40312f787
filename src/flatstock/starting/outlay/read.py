"""outlay.toml of a folder to a question, or every fault in it at once."""

from __future__ import annotations

from dataclasses import replace
from difflib import get_close_matches
from pathlib import Path
from typing import cast

from flatstock.errors import Refused
from flatstock.evidence import Kind
from flatstock.starting.outlay.checklist import usual
from flatstock.starting.outlay.question import Check, Necessity, Person, Purchase, Question, Range
from flatstock.starting.outlay.shop_with import ALL, FANS, things, those
from flatstock.starting.own_file import read_own
from flatstock.workshop.row import Row
from flatstock.workshop.shop import Workshop
from flatstock.workshop.spots import Notes

__all__ = ["MOST_OPTIONAL", "read_outlay"]

FILE = "outlay.toml"
MOST_OPTIONAL = 16  #: every set of them is looked at: 65 536
#: words for all of a kind that a shop has none of before its first one; of fans it says that they are not fitted
NONE_YET = ("frames", "skins")
_STARTS = ("lease", "first_melt", "first_sale")


def read_outlay(folder: Path, shop: Workshop | None = None) -> tuple[Question, list[str]]:
    """The question in a workshop's outlay.toml, and what is worth knowing; with `shop`, what purchases add to it
    is held against what is there.

    Raises
    ------
    Refused
        There is none, or it has faults: all of them, by line.
    """
    row, notes = read_own(folder, "outlay")
    if row is not None and shop is not None:
        _adds_fit(row, shop, notes)
    question = None if row is None else _question(row, notes)
    if notes.faults or question is None:
        raise Refused(notes.sorted())
    return (question if shop is None else _of_shop(question, shop)), notes.warnings


def _of_shop(question: Question, shop: Workshop) -> Question:
    """The same with each thing that purchases add by its id."""
    purchases = tuple(
        replace(
            one,
            adds=tuple(dict.fromkeys(thing for name in one.adds for thing in those(shop, name))),
            adds_like=tuple(thing for name in one.adds_like for thing in those(shop, name)),
        )
        for one in question.purchases
    )
    return replace(question, purchases=purchases)


def _question(row: Row, notes: Notes) -> Question | None:
    rows = [part for part in row.tables("purchases") if part.has("id")]
    _purchases_fit(rows, notes)
    resources = _resources(row, rows, notes)
    ranges = _ranges(row, notes)
    demand = _demand(row, notes) if row.has("demand_per_week") and row.has("months") else ()
    _checks_fit(row, {part.text("id") for part in rows}, notes)
    if notes.faults:
        return None
    purchases = tuple(_purchase(part) for part in rows)
    optional = sum(not one.required for one in purchases)
    if optional > MOST_OPTIONAL:
        what = f"{optional} purchases that are faster or nicer; the search looks at {MOST_OPTIONAL} at most"
        notes.fault(*row.at("purchases"), what, "leave some out, or write those that belong together as one")
        return None
    starts = row.day("starts")
    return Question(
        shop=row.text("shop"),
        currency=row.maybe_text("currency"),
        starts=starts,
        months=row.count("months"),
        weeks=row.number("weeks_per_month"),
        cash=row.number("cash_start"),
        overdraft=row.number("overdraft"),
        discount=row.number("discount_percent_year") / 100,
        price=row.number("price_per_sheet"),
        variable=row.number("variable_per_sheet"),
        fixed=row.number("fixed_per_month"),
        yield_=row.number("yield"),
        demand=demand,
        resources=resources,
        have=row.shares("have"),
        purchases=purchases,
        ranges=ranges,
        people=tuple(
            Person(
                role=part.text("role"), hours=part.number("hours_per_week"), hot=part.flag("hot_transfer"),
                days=part.weekdays("days"),
            )
            for part in row.tables("people") if part.has("role") and part.has("hours_per_week")
        ),
        checks=_checks(row),
        dial_in=row.number("dial_in_sheets"),
    )  # fmt: skip


def _purchase(row: Row) -> Purchase:
    return Purchase(
        id=row.text("id"),
        what=row.text("what") or row.text("id"),
        cost=row.number("cost"),
        kind=cast(Kind, row.text("kind")),
        necessity=cast(Necessity, row.text("necessity")),
        lead=row.count("lead_months"),
        needs=tuple(dict.fromkeys(row.texts("needs"))),
        gives=row.shares("gives"),
        running=row.number("cost_per_month"),
        adds=tuple(dict.fromkeys(row.texts("adds"))),
        adds_like=row.texts("adds_like"),
    )


def _demand(row: Row, notes: Notes) -> tuple[float, ...]:
    said, months = row.amounts("demand_per_week"), row.count("months")
    if len(said) == 1:
        return said * months
    if len(said) != months:
        what = f"{len(said)} numbers for {months} months"
        notes.fault(*row.at("demand_per_week"), what, f"write one for each month, {months}, or one for all")
    return said


def _purchases_fit(rows: list[Row], notes: Notes) -> None:
    """Names that stand twice, needs that are nobody, and purchases that need themselves."""
    known = [part.text("id") for part in rows]
    needs = {part.text("id"): part.texts("needs") for part in rows}
    seen: set[str] = set()
    for part in rows:
        name = part.text("id")
        if name in seen:
            notes.fault(*part.at("id"), f"{name} is there already", "give each purchase a name of its own")
        seen.add(name)
        for need in part.texts("needs"):
            if need == name:
                notes.fault(*part.at("needs"), f"{name} needs itself", "name what must be ordered before it")
            elif need not in known:
                near = get_close_matches(need, known, n=1, cutoff=0.5)
                instead = f"the nearest is {near[0]}" if near else f"one of {', '.join(known)}"
                notes.fault(*part.at("needs"), f"no purchase {need!r} here", instead)
        ring = _ring(name, needs)
        if ring and name == min(ring):
            words = " needs ".join([*ring, ring[0]])
            notes.fault(*part.at("needs"), f"{words}: none can be ordered first", "take one of these out")


def _adds_fit(row: Row, shop: Workshop, notes: Notes) -> None:
    """What purchases add is in shop.toml, and no thing comes with two of them."""
    known, bringer = things(shop), dict[str, str]()
    for part in row.tables("purchases"):
        for key in ("adds", "adds_like"):
            for name in part.texts(key):
                found = [one for one in those(shop, name) if one in known]
                if not found and name in NONE_YET:
                    what = f"shop.toml has no {name} yet, so it adds none to a week that is planned with it"
                    notes.warn(*part.at(key), what)
                elif not found or (key == "adds_like" and any(one.endswith(FANS) for one in found)):
                    near = get_close_matches(name, known, n=1, cutoff=0.5)
                    instead = (
                        f"the nearest is {near[0]}"
                        if near
                        else f"name things by their id in shop.toml, or all of a kind: {', '.join(ALL)}"
                    )
                    what = f"shop.toml has no {name!r} of which there could be more or less"
                    notes.fault(*part.at(key), what, instead)
                if key == "adds":
                    for one in found:
                        _comes_once(part, one, bringer, notes)


def _comes_once(part: Row, thing: str, bringer: dict[str, str], notes: Notes) -> None:
    first = bringer.setdefault(thing, part.text("id"))
    if first != part.text("id"):
        what = f"{thing} comes with {first} already"
        notes.fault(*part.at("adds"), what, "let it come with one; the other may need that purchase")


def _ring(name: str, needs: dict[str, tuple[str, ...]]) -> list[str]:
    """A chain of needs that comes back to `name`; empty where there is none, or it needs itself directly."""
    paths = [[name]]
    reached = {name}
    while paths:
        path = paths.pop()
        for need in needs.get(path[-1], ()):
            if need == name and len(path) > 1:
                return path
            if need not in reached:
                reached.add(need)
                paths.append([*path, need])
    return []


def _resources(row: Row, rows: list[Row], notes: Notes) -> tuple[str, ...]:
    given = {name for part in rows for name in part.shares("gives")} | row.shares("have").keys()
    named = row.texts("resources")
    if not named:
        return tuple(sorted(given))
    for name in sorted({n for n in named if named.count(n) > 1}):
        notes.fault(*row.at("resources"), f"{name} stands there twice", "name each once")
    for part, key in [*((part, "gives") for part in rows), (row, "have")]:
        for name in part.shares(key):
            if name not in named:
                near = get_close_matches(name, named, n=1, cutoff=0.5)
                instead = f"the nearest is {near[0]}" if near else f"one of {', '.join(named)}"
                notes.fault(*part.at(key), f"no resource {name!r} here", instead)
    for name in named:
        if name not in given:
            notes.warn(*row.at("resources"), f"nothing gives {name}, so no sheet is ever made.")
    return tuple(dict.fromkeys(named))


def _ranges(row: Row, notes: Notes) -> tuple[Range, ...]:
    found: list[Range] = []
    for part in row.tables("ranges"):
        if not (part.has("of") and part.has("low") and part.has("high") and part.has("mode")):
            continue
        one = Range(
            of=part.text("of"), low=part.number("low"), mode=part.number("mode"), high=part.number("high")
        )
        if not one.low <= one.mode <= one.high:
            what = f"{one.low:g}, {one.mode:g}, {one.high:g} are not in order"
            notes.fault(
                *part.at("low"), what, "low at most mode, mode at most high, all relative: -0.15, 0, 0.1"
            )
        if one.of in [other.of for other in found]:
            notes.fault(*part.at("of"), f"{one.of} has a range already", "give each one")
        found.append(one)
    return tuple(found)


def _checks_fit(row: Row, purchases: set[str], notes: Notes) -> None:
    for part in row.tables("checklist"):
        before = part.text("before")
        if before and before not in purchases and before not in _STARTS:
            notes.fault(
                *part.at("before"),
                f"nothing is called {before!r} here",
                f"a purchase, or {', '.join(_STARTS)}",
            )


def _checks(row: Row) -> tuple[Check, ...]:
    """The shop's own lines, after them the usual ones that it doesn't have."""
    own = [
        Check(
            id=part.text("id"), what=part.text("what"), owner=part.maybe_text("owner"), date=part.day("date"),
            evidence=part.maybe_text("evidence"), before=part.text("before"), done=part.flag("done"),
        )
        for part in row.tables("checklist") if part.has("id") and part.has("what")
    ]  # fmt: skip
    known = {one.id for one in own}
    return (*own, *(one for one in usual() if one.id not in known))
