"""Which tests a lot's origin asks for, which are in, and whether it may be released by them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from flatstock.actions.wet_flake import is_wet
from flatstock.errors import Fault
from flatstock.intake.origins import Required, required_tests
from flatstock.records.lots import history
from flatstock.records.store import Store
from flatstock.running.event import Event
from flatstock.running.standing import standing
from flatstock.workshop.shop import Lot

__all__ = [
    "SHORT",
    "LotTest",
    "Required",
    "not_by_file",
    "not_yet",
    "release_faults",
    "required_tests",
    "tests_of",
    "told_tests",
]

#: what a test is called in a few words
SHORT = {
    "float_sink": "float and sink",
    "zero_find": "looking through",
    "melt_under_extract": "melt test",
    "moisture": "water",
    "bulk_density": "bulk density",
    "bromine": "bromine",
    "chlorine": "chlorine",
    "paper": "papers",
}
Result = Literal["passed", "failed"]
_TRAIL = "read from the list of lots"


@dataclass(frozen=True, slots=True, kw_only=True)
class LotTest:
    """One test of a lot: why it is asked for, and its last result."""

    test: str
    words: str
    because: str
    result: Result | None  #: None: not done
    told: str  #: what was found, in words; or where it was read
    at: datetime | None
    who: tuple[str, ...]


def told_tests(store: Store, lot: str) -> list[Event]:
    """Results noted of a lot, corrected ones as corrected, oldest first."""
    found = [one for _, one in store.events(kinds=("tested",)) if one.facts.get("lot") == lot]
    more = [one for event in found for _, one in store.events(correcting=event.id)]
    return standing([*found, *more])


def tests_of(lot: Lot, told: Iterable[Event]) -> tuple[LotTest, ...]:
    """What a lot must be known by, the tests that its origin asks for first; then whatever else was tested."""
    last = {str(one.facts.get("test")): one for one in told}
    asked = required_tests(lot.origin, colour=lot.colour, form=lot.form)
    extra = [
        Required(test=name, words=name.replace("_", " "), because="done besides")
        for name in last
        if name not in {one.test for one in asked}
    ]
    return tuple(_test(one, last.get(one.test), _on_list(lot, one.test)) for one in (*asked, *extra))


def _test(asked: Required, event: Event | None, listed: tuple[Result, str] | None) -> LotTest:
    if event is not None:
        return LotTest(
            test=asked.test,
            words=asked.words,
            because=asked.because,
            result="failed" if event.facts.get("result") == "failed" else "passed",
            told=_said(event),
            at=event.at,
            who=event.who,
        )
    result, told = listed or (None, "")
    return LotTest(
        test=asked.test, words=asked.words, because=asked.because, result=result, told=told, at=None, who=()
    )


def _said(event: Event) -> str:
    found, number = event.facts.get("found"), event.facts.get("number")
    unit = {"moisture": " %", "bulk_density": " kg/m³", "zero_find": " % at most"}.get(
        str(event.facts.get("test")), ""
    )
    said = [str(found)] if found else []
    if isinstance(number, int | float):
        said.append(f"{number:.3g}{unit}")
    return ", ".join(said)


def _on_list(lot: Lot, test: str) -> tuple[Result, str] | None:
    """What the list of lots says already."""
    if test == "bromine" and lot.bromine != "not_tested":
        return ("passed", f"clear; {_TRAIL}") if lot.bromine == "clear" else ("failed", f"found; {_TRAIL}")
    if test == "moisture" and lot.moisture is not None:
        return "failed" if is_wet(lot.moisture) else "passed", f"{lot.moisture * 100:.3g} %; {_TRAIL}"
    if test == "bulk_density" and lot.bulk_density is not None:
        return "passed", f"{lot.bulk_density:.3g} kg/m³; {_TRAIL}"
    return None


def release_faults(lot: Lot, tests: Iterable[LotTest], *, released_before: bool) -> list[Fault]:
    """Why a lot can't be released: a test that is missing, unless it was released before; one that failed last."""
    found = []
    for one in tests:
        if one.result == "failed":
            found.append(
                Fault(lot.id, f"{SHORT.get(one.test, one.test)}: it has failed last", "test it again first")
            )
        elif one.result is None and not released_before:
            what = f"{SHORT.get(one.test, one.test)}: no result is in ({one.because})"
            found.append(Fault(lot.id, what, "note its result; until then the lot stays in quarantine"))
    return found


def not_yet(store: Store, lot: Lot) -> list[Fault]:
    """Why the tests don't let a lot be released, by whatever door; empty: they do."""
    with store.reading() as db:
        before = any(one.status == "released" for one in history(db, lot.id)) or lot.status == "released"
    return release_faults(lot, tests_of(lot, told_tests(store, lot.id)), released_before=before)


def not_by_file(store: Store, lot: Lot, before: Lot | None) -> list[Fault]:
    """Why a file can't have a lot as released: a test that its origin asks for is missing or has failed last.

    `before`: the lot as it was, where it is released already and the file says another origin, colour or form of it;
    then only what is asked for besides counts.
    """
    told = told_tests(store, lot.id)
    with store.reading() as db:
        once = any(one.status == "released" for one in history(db, lot.id))
    if before is None:
        return release_faults(lot, tests_of(lot, told), released_before=once)
    known = {one.test for one in tests_of(before, told)}
    return release_faults(
        lot, [one for one in tests_of(lot, told) if one.test not in known], released_before=False
    )
